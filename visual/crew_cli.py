"""The commands for the crew: wires, stake, asbuilt, plumb; like `cli`, they calculate nothing."""

import textwrap
from pathlib import Path
from typing import Any

import click

from visual.errors import InputError

Site = click.argument("site", type=click.Path(path_type=Path))
FilePath = click.Path(path_type=Path)
EXIT_STOP = 1

CAUTION = (
    "Planning aid, not a stamped design: anchors, wires and mast strength are for a licensed "
    "engineer; local code and the makers' instructions win. Check every length on the ground "
    "before you cut. Treat every overhead line as live; rated rigging only; never stand in line "
    "with a loaded wire; no turnbuckle beyond its thread, and every one secured when done."
)


@click.command()
@Site
@click.option(
    "--spool",
    "spools",
    multiple=True,
    metavar="LENGTH",
    help='Length in which wire can be had, such as "100 m", "2 x 60 m" or "guy=500 ft"; '
    "repeatable.",
)
@click.option(
    "--cut-at",
    default="20",
    show_default=True,
    metavar="DEGREES",
    help='Temperature while measuring off, °C or such as "41 F".',
)
@click.option(
    "--rig-at",
    default="20",
    show_default=True,
    metavar="DEGREES",
    help="Temperature at which the wires are to have their initial tension.",
)
@click.option("--steel-tape", is_flag=True, help="The tape is of steel and grows with the wire.")
def wires(site: Path, spools: tuple[str, ...], cut_at: str, rig_at: str, steel_tape: bool) -> None:
    """Print the wire schedule: lengths, marks, tensions, change-over, spools."""
    from visual.crew.spools import parse_spool
    from visual.crew.temperature import Cutting
    from visual.crew.wire_schedule import wire_schedule
    from visual.crew.wire_text import wire_schedule_lines

    cutting = Cutting(
        at=_temperature("--cut-at", cut_at),
        rigging=_temperature("--rig-at", rig_at),
        steel_tape=steel_tape,
    )
    stock = [parse_spool(text) for text in spools]
    model = _model(site)
    schedule = wire_schedule(model, cutting=cutting, spools=stock)
    _print(model, wire_schedule_lines(schedule, units=model.site.site.units))


@click.command()
@Site
@click.option("--gpx", type=FilePath, help="Write the pegs here as way points for a receiver.")
@click.option("--csv", "table", type=FilePath, help="Write the pegs here as a table.")
def stake(site: Path, gpx: Path | None, table: Path | None) -> None:
    """Print the stake-out of the anchors, and how to level the side anchors."""
    from visual.crew.level import level_hints
    from visual.crew.stake import stake_out
    from visual.crew.stake_text import level_hint_lines, stake_out_lines
    from visual.exports import write_points_csv, write_points_gpx

    model = _model(site)
    start = _start(model)
    staked = stake_out(model, start)
    units = model.site.site.units
    lines = stake_out_lines(staked, units=units)
    _print(model, [*lines, *level_hint_lines(level_hints(model, start), units=units)])
    if gpx is not None:
        write_points_gpx(staked, gpx)
        click.echo(f"way points: {gpx}", err=True)
    if table is not None:
        write_points_csv(staked, table)
        click.echo(f"table of points: {table}", err=True)


@click.command()
@Site
@click.argument("readings", type=FilePath)
@click.option("--write", is_flag=True, help="Write the positions into the site file.")
@click.option("--json", "json_file", type=FilePath, help="Write what was found here.")
def asbuilt(site: Path, readings: Path, write: bool, json_file: Path | None) -> None:
    """Find where the anchors are from READINGS of tape, level, compass, clinometer and GPS.

    Exit code 0: the readings agree; 1: one of them does not, or a mirror image fits as well; 2:
    the input cannot be used.
    """
    from visual.crew.as_built import as_built, as_built_model
    from visual.crew.as_built_text import as_built_lines, wire_lines
    from visual.crew.built_anchors import refuse_if_doubtful
    from visual.crew.readings import read_readings
    from visual.crew.results import as_built_results
    from visual.model import installed_wires

    model = _model(site)
    units = model.site.site.units
    survey = as_built(model, read_readings(readings, units=units), file=str(readings))
    measured = as_built_model(model, survey)
    lines = as_built_lines(survey, units=units)
    _print(model, [*lines, *wire_lines(installed_wires(measured), units=units)])
    _write_json(as_built_results(measured, survey), json_file)
    if write:
        refuse_if_doubtful(survey, file=str(readings))
        _write_anchors(model, measured, survey)
    if not survey.trustworthy:
        raise SystemExit(EXIT_STOP)


@click.command("plumb")
@Site
@click.argument("readings", type=FilePath)
@click.option("--json", "json_file", type=FilePath, help="Write what was found here.")
def plumb_command(site: Path, readings: Path, json_file: Path | None) -> None:
    """Say how to turn each turnbuckle so that the mast is plumb, from READINGS of its lean.

    Exit code 0: the readings go together; 1: they do not; 2: the input cannot be used.
    """
    from visual.crew.plumb import plumb
    from visual.crew.plumb_readings import read_plumb_readings
    from visual.crew.plumb_text import plumb_lines
    from visual.crew.results import plumb_results

    model = _model(site)
    found = plumb(model, read_plumb_readings(readings, model), file=str(readings))
    _print(model, plumb_lines(found, units=model.site.site.units))
    _write_json(plumb_results(found), json_file)
    if not found.agree:
        raise SystemExit(EXIT_STOP)


def _write_json(document: dict[str, Any], path: Path | None) -> None:
    from visual.checks import write_document

    if path is not None:
        write_document(document, path)
        click.echo(f"results: {path}", err=True)


def _write_anchors(model: Any, measured: Any, survey: Any) -> None:
    from visual.crew.built_anchors import built_anchors
    from visual.site import write_anchors

    path = model.site.path
    backup = write_anchors(path, built_anchors(measured, survey))
    click.echo(f"\nwritten: {path}; as it was: {backup}", err=True)


def _model(site: Path) -> Any:
    from visual.model import load_model

    click.echo("reading the site …", err=True)
    return load_model(site)


def _start(model: Any) -> Any:
    from visual.raising import find_start

    limits = model.site.limits
    return find_start(
        model, trestle=limits.trestle.value, head_clearance=limits.head_clearance.value
    )


def _print(model: Any, lines: list[str]) -> None:
    click.secho(f"\n{model.site.site.name}", bold=True)
    for line in [*lines, "", *textwrap.wrap(CAUTION, 100)]:
        click.echo(line)


def _temperature(option: str, text: str) -> float:
    from visual.crew.temperature import parse_temperature

    try:
        return parse_temperature(text)
    except ValueError as error:
        rule, _, way_out = str(error).partition("; ")
        raise InputError.one(file=option, key="", value=text, rule=rule, way_out=way_out) from None


COMMANDS = (wires, stake, asbuilt, plumb_command)
