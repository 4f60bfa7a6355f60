"""Draw the pictures of the gallery and write its page; run from the top folder."""

from pathlib import Path

from PIL import Image

from visual.checks import assess
from visual.model import load_model
from visual.scene import draw_pictures
from visual.scene.search_pictures import draw_search
from visual.search.run import search

SIZE = (1000, 625)
SEARCH_SIZE = (1360, 850)  # room for the table beside the map
FOLDER = Path("docs/gallery")

SITES = (
    (
        "hill_paddock",
        "sample_sites/hill_paddock/site.toml",
        "Hill paddock, badly placed",
        "Beside the hedge, near the barn and an 11 kV line: much stops.",
    ),
    (
        "hill_paddock_moved",
        "sample_sites/hill_paddock/site_moved.toml",
        "Hill paddock, moved and turned",
        "The same mast higher up, laid along the fall line: nothing stops.",
    ),
    (
        "terrace",
        "sample_sites/terrace/site.toml",
        "Terrace, surveyed in feet",
        "The mast lies out over the bank, below level.",
    ),
    (
        "flat_yard",
        "sample_sites/flat_yard/site.toml",
        "Flat yard",
        "Level ground and round numbers; its README works them by hand.",
    ),
)

SEARCHES = (
    ("hill_paddock", 2.0, "The field of the hill paddock, searched every 2 m."),
    ("terrace", 0.5, "Little of the terrace is left between house and service line."),
    ("flat_yard", 1.0, "Level ground: a shed and the edge of the survey stand in the way."),
)

HEAD = """# Gallery

Every picture here is drawn by `hillmast picture` or `hillmast search` from a sample site, by
`docs/make_gallery.py`, smaller than usual and with 256 colours; the commands themselves draw
1600 × 1000 in full colour.
"""


def _write_small(path: Path, target: Path) -> None:
    """Move a picture, with 256 colours: a quarter of the size, and the page stays light."""
    with Image.open(path) as image:
        dots = image.info["dpi"]
        # this way rare colours, such as that of a wire, keep a place in the palette
        small = image.convert("RGB").quantize(
            256, method=Image.Quantize.MAXCOVERAGE, kmeans=3, dither=Image.Dither.NONE
        )
    small.save(target, optimize=True, dpi=dots)
    path.unlink()


def _moved(paths: list[Path], name: str) -> list[str]:
    """Make pictures small, put them into the gallery, and return their lines on the page."""
    lines = []
    for path in paths:
        target = FOLDER / f"{name}-{path.name}"
        _write_small(path, target)
        lines.append(f"![{name}: {path.stem}](gallery/{target.name})\n")
    (FOLDER / name).rmdir()
    return lines


def _search(name: str, step: float) -> list[Path]:
    """Draw the search of a sample site."""
    found = search(load_model(Path("sample_sites") / name), step=step, top=6)
    return draw_search(found, FOLDER / name, size=SEARCH_SIZE)


def main() -> None:
    """Draw every view and the search of every sample site, and list them on one page."""
    page = [HEAD]
    for name, step, words in SEARCHES:
        page.append(f"## Where else: {name.replace('_', ' ')}\n\n{words}\n")
        page += _moved(_search(name, step), name)
    for name, site, title, words in SITES:
        report = assess(load_model(Path(site)))
        paths = draw_pictures(report, size=SIZE, out=FOLDER / name)
        page.append(f"## {title}\n\n{words}\n")
        page += _moved(paths, name)
    Path("docs/gallery.md").write_text("\n".join(page), encoding="utf-8")


if __name__ == "__main__":
    main()
