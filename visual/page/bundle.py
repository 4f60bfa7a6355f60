"""The built viewer: one script and one style sheet, made when the package is built."""

from dataclasses import dataclass
from pathlib import Path

from visual.errors import DrawingError

BUILT = Path(__file__).parent / "built"


@dataclass(frozen=True)
class Bundle:
    """The viewer as it goes into a page.

    Parameters
    ----------
    script, style : str
        One minified module, and the style sheet.
    """

    script: str
    style: str


def read_bundle(folder: Path = BUILT) -> Bundle:
    """Return the built viewer.

    Raises
    ------
    DrawingError
        If it has not been built.
    """
    try:
        script = (folder / "viewer.js").read_text(encoding="utf-8")
        style = (folder / "viewer.css").read_text(encoding="utf-8")
    except FileNotFoundError:
        message = (
            "the viewer of the page has not been built in this copy of the program; install it "
            "with pip, or run: python visual/page/hatch_build.py"
        )
        raise DrawingError(message) from None
    return Bundle(script, style)
