"""The documents keep up with the program."""

import ast
import itertools
import re
import subprocess
import tomllib
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from visual.checks import assess, results_document
from visual.cli import hillmast
from visual.model import load_model

ROOT = Path(__file__).parents[2]
PAGES = sorted(ROOT.glob("docs/**/*.md"))
NUMBERS = [ROOT / "docs" / "numbers.md", ROOT / "docs" / "forces.md"]
READERS_PAGES = [ROOT / "README.md", *PAGES]
CHECKS = [path.read_text(encoding="utf-8") for path in sorted(ROOT.glob("visual/checks/*.py"))]

MACHINE_PATH = re.compile(r"(?<![\w.~$}])/(?:work|opt|tmp|home|root|Users)/|[A-Z]:\\Users")
PACKAGE_REGISTRY = re.compile(
    r"pypi\.org|pythonhosted\.org|npmjs\.(?:org|com)|anaconda\.org|crates\.io|proxy\.golang\.org"
)


def text_of(path: Path) -> str:
    return path.read_text(encoding="utf-8")


def tracked_texts() -> Iterator[tuple[str, str]]:
    """Yield name and text of every tracked file that is text."""
    listed = subprocess.run(
        ["git", "ls-files", "-z"], capture_output=True, text=True, cwd=ROOT, check=False
    )
    if listed.returncode != 0:
        pytest.skip("not a working copy of the repository")
    for name in filter(None, listed.stdout.split("\0")):
        try:
            yield name, (ROOT / name).read_text(encoding="utf-8")
        except (UnicodeDecodeError, FileNotFoundError):
            continue


# --- commands ----------------------------------------------------------------------------------


@pytest.mark.parametrize("name", sorted(hillmast.commands))
def test_command_is_in_the_documents(name: str) -> None:
    assert any(f"hillmast {name}" in text_of(page) for page in READERS_PAGES)


@pytest.mark.parametrize("name", sorted(hillmast.commands))
def test_command_and_its_options_have_help(name: str) -> None:
    command = hillmast.commands[name]
    assert command.help
    for option in command.params:
        assert not isinstance(option, click.Option) or option.help, option.name


def test_documents_name_no_command_that_is_not_there() -> None:
    named = {
        word
        for page in [*READERS_PAGES, ROOT / "DEVELOPERS.md"]
        for word in re.findall(r"(?:`|^ *)hillmast ([a-z]+)", text_of(page), flags=re.MULTILINE)
    }
    assert named <= set(hillmast.commands)


# --- numbers -----------------------------------------------------------------------------------


def functions() -> dict[str, list[ast.FunctionDef]]:
    """Return the functions and methods of the checks by name."""
    found: dict[str, list[ast.FunctionDef]] = {}
    for text in CHECKS:
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.FunctionDef):
                found.setdefault(node.name, []).append(node)
    return found


def said(value: ast.expr) -> set[str]:
    """Return the names of checks that an expression can stand for."""
    if isinstance(value, ast.Constant):
        return {value.value}
    if isinstance(value, ast.IfExp):
        return said(value.body) | said(value.orelse)
    if isinstance(value, ast.Name):
        assert value.id == "check", "a check is passed on under its own name"
        return set()
    source = value.func if isinstance(value, ast.Call) else value
    name = source.attr if isinstance(source, ast.Attribute) else ast.unparse(source)
    returned = [
        node.value
        for function in functions()[name]
        for node in ast.walk(function)
        if isinstance(node, ast.Return) and node.value is not None
    ]
    return set().union(*(said(one) for one in returned))


def checks_in_the_source() -> set[str]:
    """Return every name that stands for an argument called `check`."""
    places = {
        name: [argument.arg for argument in node.args.args].index("check")
        for name, nodes in functions().items()
        for node in nodes
        if "check" in [argument.arg for argument in node.args.args]
    }
    found: set[str] = set()
    for call in (
        n for text in CHECKS for n in ast.walk(ast.parse(text)) if isinstance(n, ast.Call)
    ):
        name = ast.unparse(call.func)
        if name in places and len(call.args) > places[name]:
            found |= said(call.args[places[name]])
        for keyword in call.keywords:
            if keyword.arg == "check" and name in {"Finding", *places}:
                found |= said(keyword.value)
    return found


def explained_checks() -> set[str]:
    found = "".join(text_of(page).split("\n## `findings`\n")[1] for page in NUMBERS)
    return set(re.findall(r"^### `(.+)`$", found, flags=re.MULTILINE))


def test_every_check_is_explained_and_no_other() -> None:
    assert explained_checks() == checks_in_the_source()


@pytest.fixture(scope="module")
def results() -> dict[str, object]:
    return results_document(assess(load_model(ROOT / "sample_sites" / "terrace")))


def keys(node: object) -> Iterator[str]:
    if isinstance(node, dict):
        yield from node
        for value in node.values():
            yield from keys(value)
    elif isinstance(node, list):
        for value in node:
            yield from keys(value)


def test_checks_that_come_up_are_found_in_the_source(results: dict) -> None:
    assert {finding["check"] for finding in results["findings"]} <= checks_in_the_source()


def test_every_key_of_the_results_is_explained(results: dict) -> None:
    page = "".join(map(text_of, NUMBERS))
    assert not [key for key in dict.fromkeys(keys(results)) if f"`{key}`" not in page]


def test_modules_and_tests_that_the_numbers_name_are_there() -> None:
    page = "".join(map(text_of, NUMBERS))
    for name in re.findall(r"`(visual(?:\.\w+)+)`", page):
        path = ROOT / name.replace(".", "/")
        last = name.rsplit(".", 1)[1]
        inside = path.parent / "__init__.py"
        assert path.is_dir() or path.with_suffix(".py").exists() or last in text_of(inside), name
    for name in re.findall(r"`(tests/[^`]*)`", page):
        assert (ROOT / name).exists(), name


# --- dependencies ------------------------------------------------------------------------------


def test_every_dependency_has_its_reason_and_no_other() -> None:
    project = tomllib.loads(text_of(ROOT / "pyproject.toml"))["project"]
    extras = itertools.chain(*project["optional-dependencies"].values())
    needed = [*project["dependencies"], *extras]
    names = {re.split(r"[\s<>=!~\[;]", line, maxsplit=1)[0] for line in needed}
    page = text_of(ROOT / "docs" / "dependencies.md")
    assert names == set(re.findall(r"^\| `([^`]+)` \|", page, flags=re.MULTILINE))


# --- what no file may hold ---------------------------------------------------------------------


def test_the_patterns_find_what_they_are_for() -> None:
    separator, dot = "/", "."
    assert MACHINE_PATH.search(f'open("{separator}home{separator}ada/x")')
    assert MACHINE_PATH.search(f"cd {separator}tmp{separator}x")
    assert not MACHINE_PATH.search("sample_sites/home/x, https://example.test/work/1")
    assert PACKAGE_REGISTRY.search(f"https://pypi{dot}org/simple")


def test_no_file_names_a_place_on_one_machine_or_a_package_registry() -> None:
    found = [
        f"{name}: {match.group()}"
        for name, text in tracked_texts()
        for pattern in (MACHINE_PATH, PACKAGE_REGISTRY)
        for match in pattern.finditer(text)
    ]
    assert not found


# --- links -------------------------------------------------------------------------------------


def without_code(text: str) -> str:
    return re.sub(
        r"`[^`\n]+`", "", re.sub(r"^```.*?^```", "", text, flags=re.DOTALL | re.MULTILINE)
    )


def anchors(path: Path) -> set[str]:
    """Return the anchors of the headings of a page, as the usual renderers make them."""
    text = re.sub(r"^```.*?^```", "", text_of(path), flags=re.DOTALL | re.MULTILINE)
    headings = re.findall(r"^#+ (.+)$", text, flags=re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", heading.lower()).replace(" ", "-") for heading in headings}


def test_links_between_pages_resolve() -> None:
    broken = []
    for name, text in tracked_texts():
        if not name.endswith(".md"):
            continue
        page = ROOT / name
        for link in re.findall(r"\]\(([^)\s]+)\)", without_code(text)):
            if re.match(r"[a-z]+:", link):
                continue
            file, _, anchor = link.partition("#")
            target = (page.parent / file).resolve() if file else page
            if not target.exists() or (anchor and anchor not in anchors(target)):
                broken.append(f"{name}: {link}")
    assert not broken
