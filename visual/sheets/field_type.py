"""Sizes of type and spaces on sheets that are read in rain with gloves on."""

from dataclasses import dataclass

from visual.sheets.page import Sheet

_A4 = 277.0  # width of the frame of an A4 sheet [mm]


@dataclass(frozen=True)
class Type:
    """Sizes of type and spaces of a field sheet.

    Parameters
    ----------
    k : float
        1 on A4; larger paper has larger type.
    """

    k: float

    @classmethod
    def on(cls, sheet: Sheet) -> "Type":
        """Return the sizes for a sheet: on larger paper larger, but not as much as the paper."""
        return cls(max(1.0, 1.0 + 0.7 * (sheet.paper.frame.width / _A4 - 1.0)))

    @property
    def value(self) -> float:
        """Of values. [pt]"""
        return 14.5 * self.k

    @property
    def below(self) -> float:
        """Of what stands small under a value. [pt]"""
        return 8.0 * self.k

    @property
    def head(self) -> float:
        """Of headings. [pt]"""
        return 8.5 * self.k

    @property
    def title(self) -> float:
        """Of titles. [pt]"""
        return 11.0 * self.k

    @property
    def note(self) -> float:
        """Of notes. [pt]"""
        return 9.5 * self.k

    @property
    def row(self) -> float:
        """Least height of a row. [mm]"""
        return 10.0 * self.k

    @property
    def pad(self) -> float:
        """Free space beside the text of a cell. [mm]"""
        return 1.5 * self.k
