"""The sample sites that come with the program."""

import shutil
from pathlib import Path

from visual.errors import InputError
from visual.site.site_file import SITE_FILE_NAME


def samples_folder() -> Path:
    """Return where the sample sites lie: in the installed package, or beside it."""
    package = Path(__file__).parents[1]
    installed = package / "sample_sites"
    return installed if installed.is_dir() else package.parent / "sample_sites"


def sample_names() -> tuple[str, ...]:
    """Return the names of the sample sites."""
    return tuple(sorted(path.parent.name for path in samples_folder().glob(f"*/{SITE_FILE_NAME}")))


def copy_sample(name: str, folder: Path) -> Path:
    """Copy a sample site and return its site file.

    Parameters
    ----------
    name : str
        One of `sample_names`.
    folder : Path
        Made if it does not exist. A file in it that is not the sample's is left alone.

    Raises
    ------
    InputError
        If there is no such sample, or a file of the same name but other content is in the way.
    """
    if name not in sample_names():
        way_out = f"choose one of {', '.join(sample_names())}"
        raise _error(name, "there is no sample site of this name", way_out)
    sources = [path for path in sorted((samples_folder() / name).iterdir()) if path.is_file()]
    for source in sources:
        copy = folder / source.name
        if copy.exists() and (not copy.is_file() or copy.read_bytes() != source.read_bytes()):
            rule = "a file of this name with other content is in the way"
            raise _error(str(copy), rule, "choose another folder")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for source in sources:
            shutil.copyfile(source, folder / source.name)
    except OSError as error:
        rule = f"cannot be written: {error.strerror}"
        raise _error(str(folder), rule, "choose another folder") from None
    return folder / SITE_FILE_NAME


def _error(file: str, rule: str, way_out: str) -> InputError:
    return InputError.one(file=file, key="", value=None, rule=rule, way_out=way_out)
