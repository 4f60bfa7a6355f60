"""The command ``hillmast``: a thin door that calculates nothing itself.

Each command imports what it needs when it runs, so that help is instant and nothing that draws
is loaded for a command that does not.
"""

import os
import sys
from collections.abc import Callable
from typing import Any

import click

from visual import __version__, crew_cli, files_cli, page_cli, search_cli, sheets_cli, site_cli
from visual.app import command as live_command
from visual.errors import HillmastError

EXIT_BAD_INPUT = 2
EXIT_INTERRUPTED = 130


def _help_width() -> int:
    """Return how many columns help is written in: those of the terminal, 50 to 100.

    Asked here, as the command-line library loads three compressors to ask.
    """
    try:
        columns = int(os.environ.get("COLUMNS", "0")) or os.get_terminal_size().columns
    except (ValueError, OSError):
        columns = 0
    return max(min(columns or 80, 100) - 2, 50)


@click.group(
    context_settings={"help_option_names": ["-h", "--help"], "terminal_width": _help_width()}
)
@click.version_option(__version__, prog_name="hillmast")
def hillmast() -> None:
    """Site and raise guyed tilt-up masts on sloped ground.

    SITE is a site folder with a site.toml in it, or a site file.
    """


ROOMS = (site_cli, crew_cli, files_cli, search_cli, sheets_cli, page_cli, live_command)

for command in (one for room in ROOMS for one in room.COMMANDS):
    hillmast.add_command(command)


def main(arguments: list[str] | None = None) -> None:
    """Run a command; bad input ends with code 2 and one clear message, never a traceback."""
    # Looking through all that is installed for one who would have a say in how records are read
    # takes longer than reading a site file; nobody should have a say.
    os.environ["PYDANTIC_DISABLE_PLUGINS"] = "__all__"
    sys.exit(_exit_code(lambda: hillmast.main(args=arguments, standalone_mode=False)))


def _exit_code(run: Callable[[], Any]) -> int:
    try:
        run()
    except HillmastError as error:
        click.secho(f"hillmast: {error}", fg="red", err=True)
        return EXIT_BAD_INPUT
    except click.ClickException as error:
        error.show()
        return EXIT_BAD_INPUT
    except OSError as error:
        place = f"{error.filename}: " if error.filename else ""
        click.secho(f"hillmast: {place}{error.strerror or error}", fg="red", err=True)
        return EXIT_BAD_INPUT
    except (click.Abort, KeyboardInterrupt):
        click.echo("hillmast: interrupted; nothing half-written is left", err=True)
        return EXIT_INTERRUPTED
    except SystemExit as stop:
        return int(stop.code or 0)
    return 0


if __name__ == "__main__":
    main()
