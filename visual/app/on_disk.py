"""The site file on disk: what is saved in it, and whether something else changed it."""

from pathlib import Path

from visual.errors import HillmastError, InputError
from visual.site import SiteText, file_stamp, read_site_text, replace_file


class OutsideError(HillmastError):
    """The file was changed by something else since it was read."""


class SiteOnDisk:
    """A site file as it was last read or written.

    Parameters
    ----------
    path : Path
        The file.

    Raises
    ------
    InputError
        If it cannot be used.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.saved = SiteText.read(path)
        self.outside = ""
        self._backed_up = False
        self._stamp = file_stamp(path)
        read_site_text(self.saved.text, path=path)

    def look(self) -> bool:
        """Look whether something else changed the file; True if that is news.

        `outside` is then ``changed`` or ``gone``, or empty if the file is again as it was.
        """
        stamp = file_stamp(self.path)
        if stamp == self._stamp:
            return False
        self._stamp = stamp
        before, self.outside = self.outside, self._found(stamp is None)
        return self.outside != before

    def write(self, text: str, *, force: bool) -> None:
        """Write the file; what it held the first time, or held from outside, is kept beside it.

        Raises
        ------
        OutsideError
            If something else changed the file, unless `force`.
        InputError
            If it cannot be written.
        """
        self.look()
        if self.outside and not force:
            message = "the file was changed by something else since it was read"
            raise OutsideError(message)
        written = self.saved.with_text(text)
        replace_file(self.path, written.content, back_up=not self._backed_up or bool(self.outside))
        self._settle(written, backed_up=True)

    def write_as(self, name: str, text: str) -> None:
        """Write another file in the same folder and go on with that one.

        Raises
        ------
        InputError
            If the name is no file name, or taken, or cannot be written.
        """
        path = _beside(self.path, name)
        written = self.saved.with_text(text)
        replace_file(path, written.content, back_up=False)
        self.path = path
        self._settle(written, backed_up=True)

    def read_again(self) -> SiteText:
        """Take what something else wrote as what is saved; raises InputError if it is of no use."""
        found = SiteText.read(self.path)
        read_site_text(found.text, path=self.path)
        self._settle(found, backed_up=False)
        return found

    def disregard(self) -> None:
        """Go on as if nothing had happened outside; the next write backs up what is there."""
        self._settle(self.saved, backed_up=False)

    def _settle(self, saved: SiteText, *, backed_up: bool) -> None:
        self.saved, self._backed_up = saved, backed_up
        self._stamp, self.outside = file_stamp(self.path), ""

    def _found(self, gone: bool) -> str:
        if gone:
            return "gone"
        try:
            return "" if SiteText.read(self.path).text == self.saved.text else "changed"
        except InputError:
            return "changed"


def _beside(path: Path, name: str) -> Path:
    name = name.strip()
    if name and "." not in name:
        name += ".toml"
    plain = name == Path(name).name and not name.startswith(".") and name.endswith(".toml")
    if not plain or len(name) > 100 or not name.isprintable() or "\\" in name:
        rule, way_out = "must be a plain file name that ends with .toml", "such as site_moved.toml"
        raise _error(name[:60], rule, way_out)
    if (path.parent / name).exists():
        raise _error(name, "there is such a file already", "take another name")
    return path.parent / name


def _error(name: str, rule: str, way_out: str) -> InputError:
    return InputError.one(file=name, key="", value=None, rule=rule, way_out=way_out)
