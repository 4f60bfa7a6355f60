"""The record of a whole site file."""

from functools import cached_property
from pathlib import Path

from pydantic import Field, PrivateAttr

from visual.errors import InputError
from visual.site.fields import Version
from visual.site.limits import Limits
from visual.site.limits_section import LimitsSection
from visual.site.section import Section
from visual.site.sections import (
    AnchorsTable,
    GinPoleSection,
    GroundSection,
    MastTable,
    SiteSection,
    SurroundingsSection,
    TensionSection,
    TurnbuckleSection,
    WireTable,
)
from visual.site.tow_section import TowSection

SITE_FILE_NAME = "site.toml"
"""Name of the site file where only its folder is given."""


class SiteFile(Section):
    """A site file, version 1: everything a person states about one mast on one site.

    Lengths are in metres, masses in kilograms, forces in newtons and angles in radians, whatever
    the file uses. Attributes are named as the keys of the file, save those that are Python words:
    ``yield_strength`` for ``yield`` and ``from_`` for ``from``.
    """

    format: Version = Field(description="Version of the site file; 1.")
    site: SiteSection = Field(description="The site as a whole.")
    ground: GroundSection = Field(description="The ground.")
    surroundings: SurroundingsSection | None = Field(
        default=None, description="What stands around; nothing is known of it if left out."
    )
    mast: MastTable = Field(description="The mast.")
    wire: WireTable = Field(description="Wire types by name, one table [wire.NAME] each.")
    anchors: AnchorsTable = Field(description="The four anchors.")
    gin_pole: GinPoleSection = Field(description="The gin pole.")
    tow: TowSection = Field(description="What pulls the mast up.")
    tension: TensionSection = Field(
        default_factory=TensionSection, description="How tight the wires are set."
    )
    turnbuckle: TurnbuckleSection = Field(description="The adjustment of each wire.")
    limits_stated: LimitsSection = Field(
        default_factory=LimitsSection,
        alias="limits",
        description="Numbers to keep to that differ from the defaults.",
    )
    _path: Path | None = PrivateAttr(default=None)

    @property
    def path(self) -> Path:
        """The file it was read from."""
        if self._path is None:
            message = "this site was not read from a file"
            raise ValueError(message)
        return self._path

    @property
    def folder(self) -> Path:
        """The folder that the file and everything it names lie in."""
        return self.path.parent

    @cached_property
    def limits(self) -> Limits:
        """Every limit, the defaults replaced by what the file states."""
        return self.limits_stated.limits()

    def resolve(self, name: str) -> Path:
        """Return the path of a file that the site file names.

        Raises
        ------
        InputError
            If it is not a file in the folder of the site file.
        """
        rule, way_out = file_trouble(self.folder, name)
        if rule:
            raise InputError.one(
                file=str(self.path), key="", value=name, rule=rule, way_out=way_out
            )
        return self.folder / name


def file_trouble(folder: Path, name: str) -> tuple[str, str]:
    """Return rule and way out if `name` is not a file inside `folder`; else two empty texts."""
    inside = ("must stay in the folder of the site file", "copy the file there")
    if Path(name).is_absolute():
        return inside
    try:
        whole = (folder / name).resolve()
        if not whole.is_relative_to(folder.resolve()):
            return inside
        if whole.is_file():
            return "", ""
    except (OSError, ValueError, RuntimeError):  # too long, holds a zero byte, links in a circle
        return "cannot be a file name", "correct the name"
    found = "is a folder, not a file" if whole.is_dir() else "this file does not exist"
    return found, f"put the file into {folder} or correct the name"
