"""The rooms: who may import whom, who alone may import what, and how big things may grow.

The table of rooms is the one in ``docs/architecture.md``; it is read here and held against the
imports of every module, those inside functions included.
"""

import ast
import functools
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "visual"
MODULES = sorted(PACKAGE.rglob("*.py"))

ANYWHERE = {"numpy", "scipy"}
"""Outside libraries that every room may import."""

DRAWING = {"pyvista", "vtk", "vtkmodules", "PIL", "matplotlib"}

MOST_LINES = 340  # of a module; the goal is 250
MOST_FUNCTION_LINES = 60
VAGUE_NAMES = {"util", "utils", "helper", "helpers", "common", "misc", "tools"}

Function = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True)
class Row:
    """One row of the table of rooms."""

    order: int
    rooms: tuple[str, ...]
    holds: str
    libraries: tuple[str, ...]

    @property
    def planned(self) -> bool:
        return "not yet there" in self.holds


def rows_of_the_table() -> tuple[Row, ...]:
    page = (ROOT / "docs" / "architecture.md").read_text(encoding="utf-8")
    cells = [
        [cell.strip() for cell in line.strip("|").split("|")]
        for line in page.splitlines()
        if re.match(r"\| \d+ \|", line)
    ]
    return tuple(
        Row(
            order=int(order),
            rooms=tuple(name.rstrip("/") for name in re.findall(r"`([^`]+)`", rooms)),
            holds=holds,
            libraries=tuple(re.findall(r"`([^`]+)`", libraries)),
        )
        for order, rooms, holds, libraries in cells
    )


ROWS = rows_of_the_table()
ORDER = {room.removesuffix(".py"): row.order for row in ROWS for room in row.rooms}
ALONE = {
    library: {
        room.removesuffix(".py") for row in ROWS if library in row.libraries for room in row.rooms
    }
    for library in {name for row in ROWS for name in row.libraries}
}


def relative(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def room_of(path: Path) -> str:
    """Return the room of a module; empty for the package's own ``__init__``."""
    first = path.relative_to(PACKAGE).parts[0].removesuffix(".py")
    return "" if first == "__init__" else first


@functools.cache
def parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def imported(tree: ast.AST) -> Iterator[str]:
    """Yield the full name of everything that is imported anywhere in a module."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are absolute"
            yield from (f"{node.module}.{alias.name}" for alias in node.names)
        elif isinstance(node, ast.Call) and called(node) in ("import_module", "__import__"):
            name = node.args[0]
            assert isinstance(name, ast.Constant), "a name put together cannot be checked"
            yield str(name.value)


def called(call: ast.Call) -> str:
    return getattr(call.func, "attr", getattr(call.func, "id", ""))


def rooms_seen(path: Path) -> set[str]:
    """Return the other rooms that a module imports."""
    inside = (name.split(".") for name in imported(parsed(path)))
    seen = {name[1] for name in inside if name[0] == "visual" and name[1] in ORDER}
    return seen - {room_of(path)}


def libraries_seen(path: Path) -> set[str]:
    return {name.split(".")[0] for name in imported(parsed(path))} - {"visual"}


def functions(tree: ast.AST) -> Iterator[Function]:
    return (node for node in ast.walk(tree) if isinstance(node, Function))


def test_every_room_has_a_row_and_every_row_its_room() -> None:
    rooms = {room for row in ROWS if not row.planned for room in row.rooms}
    planned = {room for row in ROWS if row.planned for room in row.rooms}
    there = {
        path.name
        for path in PACKAGE.iterdir()
        if path.name not in ("__init__.py", "__pycache__")
        and (path.suffix == ".py" or (path / "__init__.py").exists())
    }
    assert there == rooms
    assert not planned & there, "no longer planned: take the words out of the table"


def test_every_import_is_found(tmp_path: Path) -> None:
    module = tmp_path / "module.py"
    module.write_text(
        "import a.b, c\nfrom d.e import f\n"
        "def g():\n    import h\n    return importlib.import_module('i')\n",
        encoding="utf-8",
    )
    assert set(imported(parsed(module))) == {"a.b", "c", "d.e.f", "h", "i"}


@pytest.mark.parametrize("path", MODULES, ids=relative)
def test_a_room_imports_only_rooms_above_it(path: Path) -> None:
    own = room_of(path)
    if own == "":
        assert rooms_seen(path) == set()
        return
    wrong = {room for room in rooms_seen(path) if ORDER[room] >= ORDER[own]}
    assert not wrong, f"{own} (order {ORDER[own]}) must not see {sorted(wrong)}"


@pytest.mark.parametrize("path", MODULES, ids=relative)
def test_a_library_is_imported_only_where_the_table_says(path: Path) -> None:
    for library in libraries_seen(path):
        if library in ALONE:
            assert room_of(path) in ALONE[library], f"{library} is for {sorted(ALONE[library])}"
        else:
            assert library in ANYWHERE | sys.stdlib_module_names, f"{library} is in no row"


def test_every_library_of_the_table_is_used_in_its_room() -> None:
    used = {(room_of(path), library) for path in MODULES for library in libraries_seen(path)}
    for row in ROWS:
        rooms = [room.removesuffix(".py") for room in row.rooms]
        for library in () if row.planned else row.libraries:
            assert any((room, library) in used for room in rooms), f"{library} in {rooms}"


def test_no_module_has_a_name_that_says_nothing() -> None:
    names = {part.removesuffix(".py") for path in MODULES for part in path.relative_to(ROOT).parts}
    assert not names & VAGUE_NAMES


@pytest.mark.parametrize("path", MODULES, ids=relative)
def test_modules_and_functions_stay_small(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert len(text.splitlines()) <= MOST_LINES
    for function in functions(ast.parse(text)):
        lines = (function.end_lineno or 0) - function.lineno + 1
        assert lines <= MOST_FUNCTION_LINES, function.name


@pytest.mark.parametrize("path", MODULES, ids=relative)
def test_everything_public_has_a_docstring(path: Path) -> None:
    tree = parsed(path)
    assert ast.get_docstring(tree), "the module itself"
    classes = [node for node in tree.body if isinstance(node, ast.ClassDef)]
    public = [*classes, *(node for node in tree.body if isinstance(node, Function))]
    for one in classes:
        public += [node for node in one.body if isinstance(node, Function)]
    for node in public:
        overloads = [ast.unparse(decorator) for decorator in node.decorator_list]
        if not node.name.startswith("_") and "overload" not in overloads:
            assert ast.get_docstring(node), node.name


NO_DRAWING = """
import sys
from visual.cli import hillmast
import visual.checks, visual.model, visual.raising, visual.site
for name in hillmast.commands:
    hillmast.main([name, "--help"], standalone_mode=False)
hillmast.main(["schema"], standalone_mode=False)
print(sorted({module.split(".")[0] for module in sys.modules} & set(DRAWING)), file=sys.stderr)
"""


def test_nothing_that_draws_is_loaded_by_what_does_not_draw() -> None:
    program = NO_DRAWING.replace("DRAWING", repr(sorted(DRAWING)))
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, cwd=ROOT, check=False
    )
    assert done.returncode == 0, done.stderr
    assert done.stderr.strip().splitlines()[-1] == "[]"
