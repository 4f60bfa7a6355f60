"""The picture as a page: its rectangles, type sizes and pixels per millimetre."""

from dataclasses import dataclass, replace

from visual.scene.camera import Panel
from visual.scene.fonts import Font, font, line_height
from visual.scene.style import PAGE_WIDTH, TYPE, page_scale, type_pixels


@dataclass(frozen=True)
class Rect:
    """A rectangle in whole pixels: left, top, right, bottom; right and bottom are outside."""

    left: int
    top: int
    right: int
    bottom: int

    @property
    def width(self) -> int:
        """Width. [px]"""
        return self.right - self.left

    @property
    def height(self) -> int:
        """Height. [px]"""
        return self.bottom - self.top

    def inset(self, by: int) -> "Rect":
        """Return the rectangle with a margin taken off on all sides."""
        return Rect(self.left + by, self.top + by, self.right - by, self.bottom - by)


@dataclass(frozen=True)
class Sheet:
    """Sizes that follow from the size of a picture.

    Parameters
    ----------
    width, height : int
        Size of the whole picture. [px]
    """

    width: int
    height: int

    def px(self, millimetres: float) -> float:
        """Return a length on the page in pixels."""
        return millimetres * page_scale(self.width, self.height)

    def type(self, millimetres: float, *, bold: bool = False) -> Font:
        """Return the typeface for a type height on the page."""
        return font(type_pixels(millimetres, self.width, self.height), bold=bold)

    @property
    def pad(self) -> int:
        """Common margin. [px]"""
        return max(4, round(self.px(2.4)))

    @property
    def title_font(self) -> Font:
        """Type of the site name."""
        return self.type(TYPE.title, bold=True)

    @property
    def subtitle_font(self) -> Font:
        """Type of the view name."""
        return self.type(TYPE.subtitle)

    @property
    def label_font(self) -> Font:
        """Type of labels on the drawing."""
        return self.type(TYPE.label)

    @property
    def small_font(self) -> Font:
        """Type of legend and foot."""
        return self.type(TYPE.small)

    @property
    def printed_scale(self) -> float:
        """Metres on the page per pixel when printed `PAGE_WIDTH` wide."""
        return PAGE_WIDTH / 1000 / self.width


@dataclass(frozen=True)
class Page:
    """Where everything stands.

    Parameters
    ----------
    title, frame, panel, foot : Rect
        Title strip, drawing, legend and foot.
    """

    title: Rect
    frame: Rect
    panel: Rect
    foot: Rect


def lay_page(sheet: Sheet, *, panel: Panel, panel_size: int, foot_lines: int) -> Page:
    """Divide a page.

    Parameters
    ----------
    sheet : Sheet
        The page.
    panel : {"right", "bottom"}
        Where the legend stands.
    panel_size : int
        Its width (right) or height (bottom). [px]
    foot_lines : int
        Lines of text in the foot.
    """
    w, h, pad = sheet.width, sheet.height, sheet.pad
    title = Rect(0, 0, w, round(line_height(sheet.title_font) + 1.2 * pad))
    foot_height = round(foot_lines * line_height(sheet.small_font) + 1.2 * pad)
    foot = Rect(0, h - foot_height, w, h)
    body = Rect(pad, title.bottom, w - pad, foot.top)
    if panel == "right":
        edge = body.right - panel_size
        return Page(title, replace(body, right=edge - pad), replace(body, left=edge), foot)
    edge = body.bottom - panel_size
    return Page(title, replace(body, bottom=edge - pad // 2), replace(body, top=edge), foot)
