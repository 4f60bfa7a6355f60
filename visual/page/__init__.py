"""The page: one HTML file with the whole scene in it, and the viewer that shows it.

::

    packing.py                     arrays as short texts
    layer_data.py, around.py, moving.py, pull_chart.py, facts.py, finding_data.py,
    view_data.py, sunlight.py, thinning.py, data.py   from a report to plain data
    bundle.py, page.py             the built viewer, and the file with everything in it
    viewer/                        the viewer itself: TypeScript on three.js
    hatch_build.py                 builds it into ``built/`` when the package is built

The viewer knows no mechanics. Whatever moves, and every number, is worked out here and sent as a
table. Importing this package is cheap.
"""

from visual.page.page import write_page

__all__ = ["write_page"]
