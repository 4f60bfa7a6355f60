"""The commands that judge, draw and start a site; like `cli`, they calculate nothing."""

from pathlib import Path
from typing import Any

import click

from visual.process import nothing_collected, suit_small_arrays

EXIT_STOP = 1

COLOURS = {"stop": "red", "not checked": "magenta", "caution": "yellow", "ok": "green"}

CAUTION = (
    "Planning aid, not a stamped design. Loads, anchors and mast strength are for a licensed "
    "engineer; local code and the makers' instructions win. Keep everybody out of the fall zone "
    "during a raise; treat every overhead line as live; light wind only; rated rigging only; "
    "never stand under or in line with a loaded rope; raise first without the head; move one "
    "front wire at a time."
)

Site = click.argument("site", type=click.Path(path_type=Path))


class Size(click.ParamType[tuple[int, int]]):
    """A picture size such as ``1600x1000``."""

    name = "WxH"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[int, int]:
        """Return width and height in pixels."""
        if isinstance(value, tuple):
            return value
        try:
            width, height = (int(part) for part in str(value).lower().split("x"))
        except ValueError:
            self.fail(f"{value!r} is not a size; write it like 1600x1000", param, ctx)
        if not (300 <= width <= 8000 and 200 <= height <= 8000):
            self.fail(f"{value!r}: a picture is 300x200 to 8000x8000 pixels", param, ctx)
        return width, height


@click.command()
@Site
@click.option(
    "--json", "json_file", type=click.Path(path_type=Path), help="Write the results document here."
)
def check(site: Path, json_file: Path | None) -> None:
    """Judge a site and print the findings, worst first.

    Exit code 0: nothing stops; 1: something stops; 2: the input cannot be used.
    """
    report = _assess(site)
    if json_file is not None:
        from visual.checks import write_results
        from visual.crew.results import crew_results

        write_results(report, json_file, more=crew_results(report))
        _note(f"results document: {json_file}")
    _print_findings(report)
    if report.stops:
        raise SystemExit(EXIT_STOP)


@click.command("raise")
@Site
@click.option("--first", is_flag=True, help="The first raise, without the head.")
@click.option(
    "--csv", "csv_file", type=click.Path(path_type=Path), help="Write every step here, in SI."
)
@click.option(
    "--charts",
    type=click.Path(path_type=Path, file_okay=False),
    help="Folder for charts of the raise, PNG and SVG.",
)
def raise_(site: Path, first: bool, csv_file: Path | None, charts: Path | None) -> None:
    """Print the table of the raise: travel and forces at each angle, and what is done by hand."""
    from visual.checks import raise_csv, raise_table

    report = _assess(site)
    click.secho(f"\n{report.model.site.site.name}", bold=True)
    for line in raise_table(report, first=first):
        click.echo(line)
    for text in _wrapped(CAUTION):
        click.echo(text)
    if csv_file is not None:
        csv_file.write_text(raise_csv(report, first=first), encoding="utf-8")
        _note(f"every step: {csv_file}")
    if charts is not None:
        _draw_charts(report, out=charts)


@click.command()
@Site
@click.option("--view", "views", multiple=True, metavar="NAME", help="View to draw; repeatable.")
@click.option("--size", type=Size(), default="1600x1000", show_default=True, help="In pixels.")
@click.option("--angle", type=float, help="Raising angle in degrees; each view's own if left out.")
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("hillmast-pictures"),
    show_default=True,
    help="Folder for the PNG files.",
)
def picture(
    site: Path, views: tuple[str, ...], size: tuple[int, int], angle: float | None, out: Path
) -> None:
    """Draw the named views of a site, or all of them, as PNG files."""
    _draw(_assess(site), views=views, size=size, angle=angle, out=out)


@click.command()
@Site
def view(site: Path) -> None:
    """Open the site in a window with a slider for the raising angle (needs a screen)."""
    from visual.scene import open_window

    open_window(_assess(site))


@click.command()
@click.argument(
    "folder",
    metavar="[DIR]",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("hillmast-demo"),
)
def demo(folder: Path) -> None:
    """Copy a sample site to DIR, check it, draw views, charts and page, and say where all is."""
    from visual.checks import write_results
    from visual.crew.results import crew_results
    from visual.site import copy_sample

    site = copy_sample("hill_paddock", folder)
    _note(f"sample site: {site}")
    report = _assess(site)
    write_results(report, folder / "results.json", more=crew_results(report))
    _print_findings(report)
    pictures = _draw(report, views=(), size=(1600, 1000), angle=None, out=folder / "pictures")
    charts = _draw_charts(report, out=folder / "charts")
    click.echo(f"\nSite file        {site}")
    click.echo(f"Results document {folder / 'results.json'}")
    click.echo(f"Pictures         {folder / 'pictures'} ({len(pictures)} PNG files)")
    click.echo(f"Charts           {folder / 'charts'} ({len(charts)} PNG and SVG files)")
    _write_page(report, folder / "page.html")
    moved = site.parent / "site_moved.toml"
    click.echo(f"Next, the same mast in a better place: hillmast check {moved}")


@click.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path, file_okay=False))
@click.option("--dem", type=click.Path(path_type=Path), help="Raster of ground heights.")
@click.option("--survey", type=click.Path(path_type=Path), help="Table of surveyed points.")
@click.option("--crs", help='CRS of the survey, such as "EPSG:32630"; a local grid if left out.')
def new(folder: Path, dem: Path | None, survey: Path | None, crs: str | None) -> None:
    """Start a site folder DIR with a commented site file around a DEM or a survey."""
    from visual.model import start_site

    if (dem is None) == (survey is None):
        message = "give either --dem FILE or --survey FILE"
        raise click.UsageError(message)
    click.echo(f"Site file: {start_site(folder, dem=dem, survey=survey, crs=crs)}")


@click.command()
def schema() -> None:
    """Print the JSON Schema of the site file."""
    import json

    from visual.site import json_schema

    click.echo(json.dumps(json_schema(), indent=2, ensure_ascii=False))


def _assess(site: Path) -> Any:
    """Load and judge a site, saying what goes on."""
    suit_small_arrays()
    with nothing_collected():
        from visual.checks import assess
        from visual.model import load_model

        _note("reading the site …")
        model = load_model(site)
        _note("checking the raise …")
        return assess(model)


def _print_findings(report: Any) -> None:
    from visual.checks import findings_table, summary_lines

    site = report.model.site.site
    click.secho(f"\n{site.name}", bold=True)
    for text in summary_lines(report, units=site.units):
        click.echo(text)
    click.echo()
    for line in findings_table(report.findings, units=site.units):
        click.secho(line.text, fg=COLOURS.get(line.status or ""))
    for text in _wrapped(CAUTION):
        click.echo(text)


def _wrapped(text: str) -> list[str]:
    import textwrap

    return ["", *textwrap.wrap(text, 100)]


def _draw(
    report: Any,
    *,
    views: tuple[str, ...],
    size: tuple[int, int],
    angle: float | None,
    out: Path,
) -> list[Path]:
    from visual.scene import draw_pictures

    return draw_pictures(report, views=views, size=size, angle=angle, out=out, progress=_progress)


def _draw_charts(report: Any, *, out: Path) -> list[Path]:
    from visual.scene.charts import draw_charts

    return draw_charts(report, out=out, progress=_progress)


def _write_page(report: Any, path: Path) -> None:
    """Write the page to send; a copy of the program without its viewer says so and goes on."""
    from visual.errors import DrawingError
    from visual.page import write_page

    try:
        click.echo(f"Page to send     {write_page(report, path)}")
    except DrawingError as error:
        _note(f"no page: {error}")


def _progress(path: Path, number: int, total: int) -> None:
    """Say which of several files is there."""
    click.echo(f"[{number}/{total}] {path}")


def _note(text: str) -> None:
    """Say on standard error what goes on, so that standard output stays clean for pipes."""
    click.echo(text, err=True)


COMMANDS = (check, raise_, picture, view, demo, new, schema)
