"""Working out what one state of a site comes to."""

from collections.abc import Callable

from visual.app.answer import Answer
from visual.app.kept_work import KeptWork
from visual.app.sketch import Sketch
from visual.checks import assess, results_document
from visual.checks.report import nothing
from visual.model import ModelLoader
from visual.site import SiteFile, data_state


def work_out(
    site: SiteFile,
    loader: ModelLoader,
    *,
    version: int,
    text: str,
    sketched: Sketch | None = None,
    kept: KeptWork | None = None,
    between: Callable[[], None] = nothing,
) -> Answer:
    """Load and judge a site.

    Parameters
    ----------
    site, loader : SiteFile, ModelLoader
        The site and what builds its model.
    version, text : int, str
        The text it was read from.
    sketched : Sketch or None
        The quick part, where it is worked out already.
    kept : KeptWork or None
        What was worked out before.
    between : callable
        As `assess` takes it.

    Raises
    ------
    HillmastError
        If the site cannot be used; it carries every problem.
    """
    kept = kept or KeptWork()
    data = data_state(site)  # before they are read: a change while reading is then noticed
    if sketched is None:
        model = loader.load(site)
        raised = kept.raise_of(model)
    else:
        model, raised, data = sketched.model, sketched.raised, sketched.data
    report = assess(
        model,
        raised=raised,
        minima_of=kept.minima_of,
        forces_of=kept.forces_of,
        zone_of=kept.zone_of,
        between=between,
    )
    results = results_document(report)
    return Answer(version=version, text=text, report=report, results=results, data=data)
