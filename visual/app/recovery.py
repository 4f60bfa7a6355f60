"""Unsaved work on disk, so that neither a crash nor a power cut takes it."""

import json
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from visual.errors import InputError
from visual.site import SiteText, read_site_text, replace_file

ENDING = ".unsaved"


@dataclass(frozen=True)
class Unsaved:
    """Work that was not saved.

    Parameters
    ----------
    text : str
        The text of the site file as it was edited.
    base : str
        Digest of the saved text that the work began from.
    when : str
        When it was kept, to the minute, local time.
    """

    text: str
    base: str
    when: str


def unsaved_file(path: Path) -> Path:
    """Return where the unsaved work of a site file is kept: beside it."""
    return path.with_name(path.name + ENDING)


def keep_unsaved(path: Path, text: str, *, base: str) -> None:
    """Keep unsaved work of a site file; the file is whole at any moment.

    Raises
    ------
    InputError
        If it cannot be written.
    """
    when = datetime.now().astimezone().isoformat(sep=" ", timespec="minutes")[:16]
    content = json.dumps({"when": when, "base": base, "text": text}, ensure_ascii=False)
    replace_file(unsaved_file(path), content.encode("utf-8"), back_up=False)


def find_unsaved(path: Path) -> Unsaved | None:
    """Return the unsaved work of a site file; None if there is none, or it makes no sense."""
    try:
        found = json.loads(unsaved_file(path).read_text(encoding="utf-8"))
        return Unsaved(text=str(found["text"]), base=str(found["base"]), when=str(found["when"]))
    except (OSError, ValueError, KeyError, TypeError):
        return None


def work_to_take_up(path: Path, saved: SiteText) -> tuple[str, str]:
    """Return the text to go on with when a site is opened, and what to say about it."""
    unsaved = find_unsaved(path)
    if unsaved is None or unsaved.text == saved.text:
        return saved.text, ""
    try:
        read_site_text(unsaved.text, path=path)
    except InputError:
        return saved.text, f"Unsaved work of {unsaved.when} can no longer be used."
    notice = f"Unsaved work of {unsaved.when} was taken up. Reset goes back to the file."
    if unsaved.base != saved.digest:
        notice += " The file was changed since."
    return unsaved.text, notice


def drop_unsaved(path: Path) -> None:
    """Take the kept work away; it does not matter if there is none."""
    try:
        unsaved_file(path).unlink(missing_ok=True)
    except OSError as error:
        raise InputError.one(
            file=str(unsaved_file(path)),
            key="",
            value=None,
            rule=f"cannot be removed: {error.strerror}",
            way_out="remove it by hand",
        ) from None
