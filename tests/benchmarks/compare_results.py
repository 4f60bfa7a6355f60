"""Hold the results of the sample sites before and after a change against each other.

``python tests/benchmarks/compare_results.py write FOLDER`` writes their results documents;
``… compare OLD NEW`` prints every text that differs and the largest differences of numbers.
"""

import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
SITES = ("hill_paddock", "hill_paddock/site_moved.toml", "terrace", "flat_yard")
SHOWN, SAME = 40, 1e-11


def write(folder: Path) -> None:
    """Write the results document of every sample site."""
    sys.path.insert(0, str(ROOT))
    from visual.checks import assess, write_results
    from visual.crew.results import crew_results
    from visual.model import load_model

    folder.mkdir(exist_ok=True)
    for site in SITES:
        report = assess(load_model(ROOT / "sample_sites" / site))
        name = site.replace("/", "_").removesuffix(".toml")
        write_results(report, folder / f"{name}.json", more=crew_results(report))


def differences(old: Any, new: Any, place: str) -> Iterator[tuple[float, str]]:
    """Yield relative difference and place of everything that differs; infinite for texts."""
    if isinstance(old, dict) and isinstance(new, dict):
        for key in sorted(set(old) | set(new)):
            yield from differences(old.get(key), new.get(key), f"{place}/{key}")
    elif isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        for number, pair in enumerate(zip(old, new, strict=True)):
            yield from differences(*pair, f"{place}/{number}")
    elif old != new:
        numbers = all(isinstance(one, int | float) for one in (old, new))
        share = abs(old - new) / max(abs(old), abs(new)) if numbers else float("inf")
        yield share, f"{place}: {old!r} → {new!r}"


def compare(old: Path, new: Path) -> None:
    """Print what differs, the largest first."""
    found = [
        difference
        for path in sorted(old.glob("*.json"))
        for difference in differences(
            json.loads(path.read_text()), json.loads((new / path.name).read_text()), path.stem
        )
        if difference[0] > SAME
    ]
    for share, text in sorted(found, reverse=True)[:SHOWN]:
        sys.stdout.write(f"{share:9.1e}  {text}\n")
    sys.stdout.write(f"{len(found)} differences above {SAME:g}\n")


if __name__ == "__main__":
    if sys.argv[1] == "write":
        write(Path(sys.argv[2]))
    else:
        compare(Path(sys.argv[2]), Path(sys.argv[3]))
