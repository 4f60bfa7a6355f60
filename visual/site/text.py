"""The text of a site file as bytes on disk: how it is read, compared and written whole."""

import errno
import hashlib
import re
import shutil
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path

from visual.errors import InputError

_MARK = b"\xef\xbb\xbf"


@dataclass(frozen=True)
class SiteText:
    """The text of a site file, and how its file spells it.

    Parameters
    ----------
    text : str
        The text; lines end with a line feed.
    crlf : bool
        True if its file ends lines with carriage return and line feed.
    mark : bool
        True if its file begins with a byte order mark.
    """

    text: str
    crlf: bool = False
    mark: bool = False

    @classmethod
    def read(cls, path: Path) -> "SiteText":
        """Read a site file.

        Raises
        ------
        InputError
            If it is not there, cannot be read, or is no UTF-8 text.
        """
        try:
            return cls.of(path.read_bytes())
        except (FileNotFoundError, NotADirectoryError):
            rule = "there is no such file"
            way_out = "check the path, or make a starter site with: hillmast new"
        except UnicodeDecodeError as error:
            rule = f"is not UTF-8 text (byte {error.start})"
            way_out = "save it as UTF-8 in a text editor"
        except OSError as error:
            rule = f"cannot be read: {error.strerror}"
            way_out = "check the path and its permissions"
        raise _error(path, rule, way_out)

    @classmethod
    def of(cls, content: bytes) -> "SiteText":
        """Return the text of a file's content; raises UnicodeDecodeError if it is none."""
        text = content.decode("utf-8-sig")
        return cls(
            text=text.replace("\r\n", "\n"),
            crlf="\r\n" in text,
            mark=content.startswith(_MARK),
        )

    @property
    def content(self) -> bytes:
        """What stands in the file."""
        text = re.sub(r"(?<!\r)\n", "\r\n", self.text) if self.crlf else self.text
        return (_MARK if self.mark else b"") + text.encode("utf-8")

    @property
    def digest(self) -> str:
        """A short name of the text, the same for the same text only."""
        return hashlib.sha256(self.text.encode("utf-8")).hexdigest()[:20]

    def with_text(self, text: str) -> "SiteText":
        """Return another text, spelled in the same way."""
        return replace(self, text=text)


def replace_file(path: Path, content: bytes, *, back_up: bool = True) -> Path | None:
    """Put new content in place of a file, so that there is a whole file at any moment.

    Parameters
    ----------
    path : Path
        The file; it may be missing if there is nothing to back up.
    content : bytes
        What it is to hold.
    back_up : bool
        True to keep what it held beside it, under a name that overwrites nothing.

    Returns
    -------
    Path or None
        The back-up.

    Raises
    ------
    InputError
        If it cannot be written.
    """
    backup = _free_name(path) if back_up and path.exists() else None
    beside = path.with_name(path.name + ".part")
    try:
        if backup is not None:
            shutil.copy2(path, backup)
        beside.write_bytes(content)
        if path.exists():
            shutil.copymode(path, beside)
        beside.replace(path.resolve())
    except OSError as error:
        for left in (beside, backup):
            with suppress(OSError):
                if left is not None:
                    left.unlink(missing_ok=True)
        full = error.errno in (errno.ENOSPC, errno.EDQUOT)
        way_out = "make room on the disk" if full else "check the permissions of the folder"
        raise _error(path, f"cannot be written: {error.strerror}", way_out) from None
    return backup


def _free_name(path: Path) -> Path:
    """Return a name for the back-up that is not taken: site.toml.bak, .bak2, .bak3 …"""
    number, name = 1, path.with_name(f"{path.name}.bak")
    while name.exists():
        number += 1
        name = path.with_name(f"{path.name}.bak{number}")
    return name


def _error(path: Path, rule: str, way_out: str) -> InputError:
    return InputError.one(file=str(path), key="", value=None, rule=rule, way_out=way_out)
