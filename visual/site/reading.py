"""Reading a site file: text → tables → record, with everything that is wrong at once."""

import re
import tomllib
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from visual.errors import InputError, Problem
from visual.site.cross_checks import cross_problems, crs_unit
from visual.site.problems import look_up, to_problem
from visual.site.section import DRAFT
from visual.site.site_file import SITE_FILE_NAME, SiteFile
from visual.site.text import SiteText


def read_site(path: Path) -> SiteFile:
    """Read and check a site file.

    Parameters
    ----------
    path : Path
        The file, or its folder if it is called ``site.toml``.

    Raises
    ------
    InputError
        With every problem of the file.
    """
    path = Path(path)
    if path.is_dir():
        path = path / SITE_FILE_NAME
    return read_site_text(SiteText.read(path).text, path=path)


def read_site_text(text: str, *, path: Path) -> SiteFile:
    """Check the text of a site file that may not be written yet.

    Parameters
    ----------
    text : str
        What the file holds, or is going to hold.
    path : Path
        The file; what the text names is looked for in its folder.

    Raises
    ------
    InputError
        With every problem of the text.
    """
    return parse_site(_tables(text, str(path)), file=str(path), path=path)


def parse_site(data: dict[str, Any], *, file: str, path: Path | None = None) -> SiteFile:
    """Check the tables of a site file.

    Parameters
    ----------
    data : dict
        The tables, as TOML gives them.
    file : str
        The file, as the user knows it.
    path : Path or None
        Where it lies; None leaves out the check that the files it names exist.

    Raises
    ------
    InputError
        With every problem of the file.
    """
    context = {"crs_unit": crs_unit(look_up(data, ("site", "crs")))}
    problems: list[Problem] = []
    try:
        site = SiteFile.model_validate(data, context=context)
    except ValidationError as error:
        problems = [
            to_problem(one, file=file, data=data, record=SiteFile)
            for one in error.errors(include_url=False)
        ]
        site = SiteFile.model_validate(data, context=context | {DRAFT: True})
    site._path = path
    problems += cross_problems(site, file=file)
    if problems:
        raise InputError(_once(problems))
    return site


def _once(problems: list[Problem]) -> list[Problem]:
    """Leave out what two checks say of the same key and value."""
    kept: dict[tuple[str, str], Problem] = {}
    for problem in problems:
        kept.setdefault((problem.key, problem.rule), problem)
    return list(kept.values())


def _tables(text: str, file: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except RecursionError:
        rule, way_out = "is nested too deeply", "write it as docs/site_file.md shows"
    except ValueError as error:  # TOMLDecodeError, and numbers too long for Python
        raise InputError([_syntax(file, str(error))]) from None
    raise InputError.one(file=file, key="", value=None, rule=rule, way_out=way_out)


def _syntax(file: str, message: str) -> Problem:
    place = re.search(r"\(at (?:line (\d+)|end of document)", message)
    reason = message[: place.start()].strip() if place else message
    line = f"line {place[1]}" if place and place[1] else "end of file" if place else ""
    return Problem(
        file=file,
        key=line,
        value=None,
        rule=f"is not valid TOML: {reason}",
        way_out="correct it there; text needs quotes, and a table stands once",
    )
