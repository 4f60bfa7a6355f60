"""Run the benchmarks: ``python tests/benchmarks/run.py [name …]`` from the top folder.

Not part of the tests. Each compares two ways side by side in one process and prints the ratio;
results are kept in docs/performance.md.
"""

import importlib
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
NAMES = ("start_up", "heights", "clearances", "raster_window", "first_picture")


def main(names: list[str]) -> None:
    """Print the lines of the named benchmarks, or of all."""
    sys.path[:0] = [str(HERE), str(HERE.parents[1])]
    for name in names or NAMES:
        for line in importlib.import_module(name).run():
            sys.stdout.write(line + "\n")


if __name__ == "__main__":
    main(sys.argv[1:])
