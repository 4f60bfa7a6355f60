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


def read_bundle(
    folder: Path = BUILT, *, script: str = "viewer.js", style: str = "viewer.css"
) -> Bundle:
    """Return the built viewer.

    Parameters
    ----------
    folder : Path
        Where it was built.
    script, style : str
        Its files: those of the page, or of the live view.

    Raises
    ------
    DrawingError
        If it has not been built.
    """
    try:
        code = (folder / script).read_text(encoding="utf-8")
        look = (folder / style).read_text(encoding="utf-8")
    except FileNotFoundError:
        message = (
            "the viewer of the page has not been built in this copy of the program; install it "
            "with pip, or run: python visual/page/hatch_build.py"
        )
        raise DrawingError(message) from None
    return Bundle(code, look)
