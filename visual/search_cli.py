"""The commands that search for other places; like `cli`, they calculate nothing."""

import math
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from visual.errors import InputError

Site = click.argument("site", type=click.Path(path_type=Path))
FilePath = click.Path(path_type=Path)
Folder = click.Path(path_type=Path, file_okay=False)
EXIT_NO_PLACE = 1
LINES = 10  # of progress for each thing that is done, where it goes to a file

CAUTION = (
    "Planning aid, not a stamped design. The search looks at many places coarsely: check "
    "the one you choose, with its own survey. Ask the owner of every line, and the permit office."
)


@click.command()
@Site
@click.option("--within", type=FilePath, help="Vector file: search inside its polygons only.")
@click.option("--radius", metavar="LENGTH", help="Search within this of the base only.")
@click.option(
    "--step", default="1 m", show_default=True, metavar="LENGTH", help="Distance between places."
)
@click.option(
    "--turn", default="5deg", show_default=True, metavar="DEGREES", help="Between front bearings."
)
@click.option(
    "--top", type=click.IntRange(1, 50), default=8, show_default=True, help="Length of the list."
)
@click.option("--threads", type=click.IntRange(min=1), help="Tiles at a time; all processors.")
@click.option(
    "--looks",
    type=click.IntRange(0, 100_000),
    metavar="N",
    help="Places to look at exactly that a bound may turn down wrongly; 200 if left out.",
)
@click.option("--write", "rank", type=click.IntRange(min=1), help="Write place K as a site file.")
@click.option("-o", "--out", type=Folder, help="Folder for map, pictures, raster and polygons.")
def search(
    site: Path,
    within: Path | None,
    radius: str | None,
    step: str,
    turn: str,
    top: int,
    threads: int | None,
    looks: int | None,
    rank: int | None,
    out: Path | None,
) -> None:
    """Find where else on the land, and which way round, the mast could stand.

    Exit code 0: there is a place; 1: there is none; 2: the input cannot be used.
    """
    from visual.search.choose import LOOKS
    from visual.search.run import search as run_search
    from visual.search.search_text import search_lines
    from visual.site import read_areas

    model = _model(site)
    if out is not None:
        out.mkdir(parents=True, exist_ok=True)  # if that cannot be, better now than at the end
    click.echo("loading the compiled search; the first time ever it is compiled …", err=True)
    found = run_search(
        model,
        within=None if within is None else read_areas(within, frame=model.frame),
        radius=None if radius is None else _length("--radius", radius),
        step=_length("--step", step),
        turn=_angle(turn),
        top=max(top, rank or 0),
        threads=threads,
        looks=LOOKS if looks is None else looks,
        progress=Reporter(),
    )
    _print(model, list(search_lines(found)))
    if rank is not None:
        _write_place(found, rank)
    if out is not None:
        _write_all(found, out)
    if not found.works.any():
        raise SystemExit(EXIT_NO_PLACE)


@click.command()
@Site
@click.option(
    "--at", nargs=2, type=float, metavar="EASTING NORTHING", help="The spot; the base if left out."
)
@click.option(
    "--turn", default="5deg", show_default=True, metavar="DEGREES", help="Between front bearings."
)
@click.option("-o", "--out", type=FilePath, help="Draw the rose into this PNG file.")
def rose(site: Path, at: tuple[float, float] | None, turn: str, out: Path | None) -> None:
    """Say which front bearings work at a spot, and what stops the others."""
    from visual.search.rose import rose_at, rose_lines

    model = _model(site)
    x, y = _spot(model, at)
    found = rose_at(model, x, y, turn=_angle(turn), tell=_told(Reporter()))
    _print(model, rose_lines(found))
    if out is not None:
        from visual.scene.search_rose import draw_rose

        draw_rose(model, found, out)
        click.echo(f"rose: {out}", err=True)
    if not found.works.any() or found.place_share < 0:
        raise SystemExit(EXIT_NO_PLACE)


def _model(site: Path) -> Any:
    from visual.model import load_model

    click.echo("reading the site …", err=True)
    return load_model(site)


def _print(model: Any, lines: list[str]) -> None:
    import textwrap

    click.secho(f"\n{model.site.site.name}", bold=True)
    for line in [*lines, "", *textwrap.wrap(CAUTION, 100)]:
        click.echo(line)


def _write_place(found: Any, rank: int) -> None:
    from visual.search.files import write_place

    if rank > len(found.places):
        option, rule = "--write", f"the short list has {len(found.places)} places"
        raise _bad(option, str(rank), rule, "take one of them, or search with a smaller step")
    click.echo(f"site file with place {rank}: {write_place(found, rank)}", err=True)


def _write_all(found: Any, out: Path) -> None:
    from visual.scene.search_pictures import draw_search
    from visual.search.files import write_search

    click.echo("writing raster, polygons and list …", err=True)
    written = write_search(found, out)
    click.echo("drawing map, land and rose …", err=True)
    for path in [*written, *draw_search(found, out)]:
        click.echo(str(path), err=True)


def _spot(model: Any, at: tuple[float, float] | None) -> tuple[float, float]:
    if at is None:
        return 0.0, 0.0
    x, y = (float(value) for value in model.frame.to_local(*at))
    if not math.isfinite(x + y):
        option, text = "--at", f"{at[0]:g} {at[1]:g}"
        rule = "is no place in the CRS of the site"
        raise _bad(option, text, rule, "give easting and northing as in the site file")
    return x, y


def _length(option: str, text: str) -> float:
    from visual.units import parse_length

    try:
        value = parse_length(text)
    except ValueError as error:
        rule, _, way_out = str(error).partition("; ")
        raise _bad(option, text, rule, way_out) from None
    if not value > 0:
        raise _bad(option, text, "must be more than nothing", 'give a length such as "1 m"')
    return value


def _angle(text: str) -> float:
    try:
        value = float(text.strip().removesuffix("deg").removesuffix("°"))
    except ValueError:
        value = math.nan
    if not 0 < value <= 90:
        option, rule = "--turn", "must be degrees, more than 0 and at most 90"
        raise _bad(option, text, rule, "give 5deg")
    return math.radians(value)


def _bad(option: str, text: str, rule: str, way_out: str) -> InputError:
    return InputError.one(file=option, key="", value=text, rule=rule, way_out=way_out)


class Reporter:
    """Says how far it is on standard error: one line on a screen, few lines elsewhere."""

    def __init__(self) -> None:
        self._doing, self._next, self._open = "", 0.0, False

    def __call__(self, progress: Any) -> None:
        """Say it, if it is worth a line."""
        left = "" if progress.left is None else f", about {_duration(progress.left)} left"
        note = f", {progress.note}" if progress.note else ""
        text = f"{progress.doing}: {progress.done} of {progress.total}{note}{left}"
        new = progress.doing != self._doing
        if sys.stderr.isatty():
            self._on_screen(text, new=new, last=progress.done >= progress.total)
        elif new or progress.done >= progress.total or progress.done >= self._next:
            click.echo(text, err=True)
            self._next = progress.done + max(progress.total / LINES, 1.0)
        self._doing = progress.doing

    def _on_screen(self, text: str, *, new: bool, last: bool) -> None:
        if new and self._open:
            click.echo(err=True)
        click.echo(f"\r{text:<78}", err=True, nl=last)
        self._open = not last


def _told(report: Reporter) -> Callable[[int, int], None]:
    """Return what tells of the exact looks at the bearings of a rose."""
    from visual.search.pool import Progress

    return lambda done, total: report(Progress(done, total, None, "looking exactly"))


def _duration(seconds: float) -> str:
    return f"{seconds:.0f} s" if seconds < 90 else f"{seconds / 60:.0f} min"


COMMANDS = (search, rose)
