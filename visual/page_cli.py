"""The command for the page; like `cli`, it calculates nothing."""

from pathlib import Path

import click


@click.command()
@click.argument("site", type=click.Path(path_type=Path))
@click.option(
    "-o",
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    help="The HTML file; by default named after the site file, in this folder.",
)
def page(site: Path, out: Path | None) -> None:
    """Write one HTML file to look around in, to send to anybody: scene, raise, findings."""
    from visual.checks import assess
    from visual.model import load_model
    from visual.page import write_page

    click.echo("reading the site …", err=True)
    model = load_model(site)
    click.echo("checking the raise …", err=True)
    report = assess(model)
    path = out or Path(f"{page_name(site)}.html")
    path.parent.mkdir(parents=True, exist_ok=True)
    write_page(report, path, progress=lambda text: click.echo(text, err=True))
    click.echo(f"{path} ({path.stat().st_size / 1e6:.1f} MB)")


def page_name(site: Path) -> str:
    """Return the name of the page of a site: its folder, and its file if that is another one."""
    whole = site.resolve()
    if whole.suffix != ".toml":
        return whole.name
    folder = whole.parent.name
    return folder if whole.stem == "site" else f"{folder}-{whole.stem}"


COMMANDS = (page,)
