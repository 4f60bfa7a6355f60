"""The command for the sheet set; like `cli`, it calculates nothing."""

import datetime as dt
import os
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from visual.errors import InputError

Site = click.argument("site", type=click.Path(path_type=Path))


@click.command()
@Site
@click.option("--paper", default="A3", show_default=True, help="A3, A4, letter or tabloid.")
@click.option(
    "--for",
    "reader",
    metavar="READER",
    help="permit, crew or neighbour: only the sheets for them; all sheets if left out.",
)
@click.option(
    "-o",
    "--out",
    type=click.Path(path_type=Path),
    default=Path("hillmast-sheets.pdf"),
    show_default=True,
    help="The PDF file.",
)
@click.option("--revision", default="", metavar="TEXT", help="Revision for the title block.")
@click.option("--date", metavar="YYYY-MM-DD", help="Date for the title block; today if left out.")
@click.option("--units", help="metric or imperial; those of the site file if left out.")
@click.option(
    "--scale",
    metavar="1:N",
    help="Scale of the site plan; the largest standard scale that shows all if left out.",
)
def sheets(
    site: Path,
    paper: str,
    reader: str | None,
    out: Path,
    revision: str,
    date: str | None,
    units: str | None,
    scale: str | None,
) -> None:
    """Draw the sheet set: plan, elevations, pictures, field sheets, findings, as one PDF.

    The same site, revision and date give the same file, byte for byte.
    """
    from visual.checks import assess
    from visual.model import load_model
    from visual.sheets import PAPERS
    from visual.sheets.sheet_set import READERS, sheet_set, write_whole

    paper = _one_of("--paper", paper, list(PAPERS))
    reader = None if reader is None else _one_of("--for", reader, READERS)
    units = None if units is None else _one_of("--units", units, ("metric", "imperial"))
    day = dt.date.today() if date is None else _date(date)
    denominator = None if scale is None else _scale(scale)
    _check_file(out)
    click.echo("reading the site …", err=True)
    model: Any = load_model(site)
    if units is not None:
        model = model.in_units(units)
    click.echo("checking the raise …", err=True)
    content = sheet_set(
        assess(model),
        paper=paper,
        reader=reader,  # type: ignore[arg-type]  # checked above
        revision=revision,
        date=day,
        denominator=denominator,
        progress=lambda text: click.echo(f"drawing: {text}", err=True),
    )
    write_whole(out, content)
    click.echo(f"Sheet set {out}")


def _one_of(option: str, value: str, names: Sequence[str]) -> str:
    """Return the name that a user means, whatever its case."""
    found = next((name for name in names if name.lower() == value.strip().lower()), None)
    if found is not None:
        return found
    import difflib  # not for help

    near = difflib.get_close_matches(value.lower(), [name.lower() for name in names], n=1)
    hint = f"did you mean {near[0]}? " if near else ""
    raise InputError.one(
        file=option,
        key="",
        value=value,
        rule="there is no such choice",
        way_out=f"{hint}take one of: {', '.join(names)}",
    )


def _date(text: str) -> dt.date:
    try:
        return dt.date.fromisoformat(text.strip())
    except ValueError:
        raise InputError.one(
            file="--date",
            key="",
            value=text,
            rule="this is no day of the calendar",
            way_out="write it like 2026-05-01",
        ) from None


def _scale(text: str) -> float:
    from visual.sheets import parse_scale

    try:
        return parse_scale(text)
    except ValueError as error:
        rule, _, way_out = str(error).partition("; ")
        raise InputError.one(
            file="--scale", key="", value=text, rule=rule, way_out=way_out
        ) from None


def _check_file(path: Path) -> None:
    """Refuse a place that cannot be written to before all the work is done."""
    rule = ""
    if path.is_dir():
        rule, way_out = "this is a folder", "give the name of a file, such as sheets.pdf"
    elif not path.absolute().parent.is_dir():
        rule, way_out = "its folder is not there", "make the folder first"
    elif not os.access(path.absolute().parent, os.W_OK):
        rule, way_out = "its folder cannot be written to", "give a file somewhere else"
    if rule:
        raise InputError.one(file="--out", key="", value=str(path), rule=rule, way_out=way_out)


COMMANDS = (sheets,)
