"""Writes the demo year: `python -m demo_jobs.year --seed 1 --out out/demo-year`."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from catalogue.problems import ProblemsFound
from demo_jobs.year.writing import make_year


def main() -> int:
    """Read the options and write the year; 1 if something is in its way."""
    parser = argparse.ArgumentParser(prog="python -m demo_jobs.year", description=__doc__)
    parser.add_argument("--seed", type=int, default=1, help="another number gives another year")
    parser.add_argument("--out", type=Path, default=Path("out/demo-year"), help="a new folder")
    asked = parser.parse_args()
    try:
        made = make_year(asked.seed, asked.out, lambda says: print(says, file=sys.stderr))  # noqa: T201
    except ProblemsFound as found:
        print(found, file=sys.stderr)  # noqa: T201
        return 1
    print(f"{asked.out}: {len(made.asked)} quotes, {len(made.done)} jobs, seed {made.seed}")  # noqa: T201
    return 0


if __name__ == "__main__":
    sys.exit(main())
