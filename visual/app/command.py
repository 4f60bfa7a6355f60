"""The command ``hillmast open``."""

import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING

import click

from visual.process import suit_small_arrays

if TYPE_CHECKING:
    from visual.app.running import Running

CHOICES = {"s": "save", "k": "keep", "d": "drop", "g": "go on"}


@click.command("open")
@click.argument("site", type=click.Path(path_type=Path), default=Path())
@click.option("--port", type=click.IntRange(0, 65535), default=0, help="A free one if left out.")
@click.option("--no-browser", is_flag=True, help="Only print the address.")
def open_command(site: Path, port: int, no_browser: bool) -> None:
    """Open the live view of SITE, or of the sites in a folder, in the browser.

    Drag base, anchors and front, change the mast in fields, and see every number follow. The view
    is served on this machine alone, to whoever has the address printed here. Stop it with Ctrl-C;
    what is not saved is asked about.
    """
    suit_small_arrays()
    from visual.app.desk import Desk
    from visual.app.running import start

    running = start(Desk(site), port=port)
    click.echo(f"Live view: {running.address}")
    click.echo("Stop it with Ctrl-C.", err=True)
    if not no_browser:
        import webbrowser

        webbrowser.open(running.address)
    while running.alive and not _stopped(running):
        pass


def _stopped(running: "Running") -> bool:
    """Wait for Ctrl-C and return True once the server is to stop and has stopped."""
    try:
        while running.alive:
            time.sleep(0.2)
    except KeyboardInterrupt:
        choice = _ask(running)
        if choice == "go on":
            return False
        if choice == "save":
            _save(running)
        running.stop(keep=choice != "drop")
    return True


def _ask(running: "Running") -> str:
    """Return what to do with unsaved work; it is kept where nobody can be asked."""
    unsaved = running.desk.unsaved()
    if not unsaved or not sys.stdin.isatty():
        return "keep"
    names = ", ".join(str(session.path) for session in unsaved)
    click.echo(f"\nThere is unsaved work: {names}", err=True)
    try:
        answer = click.prompt(
            "[s]ave it, [k]eep it for the next time, [d]rop it, or [g]o on",
            type=click.Choice(list(CHOICES), case_sensitive=False),
            default="k",
            show_choices=False,
            err=True,
        )
    except (click.Abort, EOFError, KeyboardInterrupt):
        return "keep"
    return CHOICES[str(answer)]


def _save(running: "Running") -> None:
    from visual.errors import HillmastError

    for session in running.desk.unsaved():
        try:
            session.save(version=session.version)
            click.echo(f"saved: {session.path}", err=True)
        except HillmastError as error:
            click.echo(f"not saved, kept for the next time: {error}", err=True)


COMMANDS = (open_command,)
