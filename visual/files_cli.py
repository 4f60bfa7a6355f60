"""The command that writes machine files: export; like `cli`, it calculates nothing."""

from pathlib import Path
from typing import Any

import click


@click.command()
@click.argument("site", type=click.Path(path_type=Path))
@click.option(
    "--to",
    "names",
    multiple=True,
    metavar="FORMAT",
    help="dxf, geojson, gpkg, kml, gpx, gltf, csv, json, or all that the site permits; several "
    "with commas between, or repeat the option.",
)
@click.option(
    "-o",
    "--out",
    type=click.Path(path_type=Path),
    default=Path("hillmast-export"),
    show_default=True,
    metavar="DIR",
    help="Folder for the files.",
)
def export(site: Path, names: tuple[str, ...], out: Path) -> None:
    """Write a site as files for other programs: drawing, maps, receiver, 3D model, tables.

    All files are written, or none. What is in them: docs/exports.md.
    """
    from visual.checks import assess
    from visual.exports import ALL, FORMATS, known_names, possible, wanted_formats, write_exports
    from visual.model import load_model

    wanted = known_names(names)
    _note("reading the site …")
    model = load_model(site)
    wanted_formats(wanted, model)  # what cannot be had is told before the long work
    _note("checking the raise …")
    report = assess(model)
    _note("writing …")
    _list(write_exports(report, wanted, out))
    left_out = set(FORMATS) - set(possible(model)) if ALL in wanted else set()
    for name in sorted(left_out):
        _note(f"left out {name}: it needs longitude and latitude, which this site does not have")


def _list(written: Any) -> None:
    width = max(len(str(one.path)) for one in written)
    for one in written:
        click.echo(f"{one.path!s:<{width}}  {one.word}")


def _note(text: str) -> None:
    click.echo(text, err=True)


COMMANDS = (export,)
