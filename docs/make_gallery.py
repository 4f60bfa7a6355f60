"""Draw the pictures of the gallery and write its page; run from the top folder."""

from pathlib import Path

from visual.checks import assess
from visual.model import load_model
from visual.scene import draw_pictures

SIZE = (1200, 750)
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

HEAD = """# Gallery

Every picture here is drawn by `hillmast picture` from a sample site, by `docs/make_gallery.py`.
"""


def main() -> None:
    """Draw every view of every sample site, and list them on one page."""
    page = [HEAD]
    for name, site, title, words in SITES:
        report = assess(load_model(Path(site)))
        paths = draw_pictures(report, size=SIZE, out=FOLDER / name)
        page.append(f"## {title}\n\n{words}\n")
        for path in paths:
            target = path.rename(FOLDER / f"{name}-{path.name}")
            page.append(f"![{title}: {path.stem}](gallery/{target.name})\n")
        (FOLDER / name).rmdir()
    Path("docs/gallery.md").write_text("\n".join(page), encoding="utf-8")


if __name__ == "__main__":
    main()
