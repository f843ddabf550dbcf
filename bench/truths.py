"""Holds the review against years whose truth is known: how often it finds it, whom it accuses.

Each seed is a firm's year of its own (`demo_jobs/year`), with the same truths planted. Told is, for
each truth, in how many years the review names it; and in how many it names anything else: another
covering, wall, crew, estimator or supplier than the planted one. Leaves with status 1 if the crew
with the unlucky mix was accused in more than one year of ten, or one of the three that cost most
was missed in more than one of four.
"""

from __future__ import annotations

import argparse
import shutil
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator, Mapping
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from catalogue import db  # noqa: E402  the folder must be known first
from demo_jobs.year.calendar import FIRST, LAST  # noqa: E402
from demo_jobs.year.truths import Truth, read_truths  # noqa: E402
from demo_jobs.year.writing import Desk, fill, lay  # noqa: E402
from demo_jobs.year.year import year  # noqa: E402
from estimator.review.margin import LOSES  # noqa: E402
from estimator.review.report import Report, Review  # noqa: E402
from estimator.review.suppliers import DEARER  # noqa: E402
from estimator.workflow.review import ReviewRequest, review  # noqa: E402
from estimator.workflow.review_reports import REPORTS  # noqa: E402

SEEDS = 20
WANTED = ("margin-by-covering", "margin-by-wall", "margin-by-crew", "margin-by-estimator", "norms",
          "suppliers", "win-rate", "concentration")


def reviewed(database: Path) -> dict[str, Report]:
    """Return the reports on a year by name, those that there are."""
    names = tuple(name for name in WANTED if name in REPORTS)
    made: Review = review(
        ReviewRequest((FIRST, LAST), LAST, str(database), names), lambda done, of: None)
    return {report.name: report for report in made.reports}


def named(report: Report) -> set[str]:
    """Return what a report says stands out: the first cell of each such row."""
    return {str(row[0]) for row, says in zip(report.rows, report.column("says"), strict=True)
            if says in (LOSES, DEARER)}


def judged(
    reports: Mapping[str, Report], truths: Mapping[str, Truth]
) -> Iterator[tuple[str, bool]]:
    """Yield what the review found and whom it accused, each with whether it did."""
    covering = truths["slow-covering"]["covering"]
    wall, crew = truths["under-priced-wall"]["wall"], truths["unlucky-crew"]["crew"]
    hours = named(reports["norms"])
    coverings, walls = named(reports["margin-by-covering"]), named(reports["margin-by-wall"])
    crews = named(reports["margin-by-crew"])
    of_crew = {what for what in hours if ", crew " in what}
    theirs = {f"{group}, {covering}" for group in truths["slow-covering"]["groups"]} | {
        f"{group}, {wall}" for group in truths["under-priced-wall"]["groups"]}
    yield "found: slow covering, by margin", covering in coverings
    yield "found: slow covering, by hours on the roof", f"roof, {covering}" in hours
    yield "found: under-priced wall, by margin", wall in walls
    yield "found: under-priced wall, by hours", any(f", {wall}" in what for what in hours)
    yield "accused: the crew with the unlucky mix", crew in crews or any(
        what.endswith(f"crew {crew}") for what in of_crew)
    yield "accused: another crew", bool(crews - {crew}) or any(
        not what.endswith(f"crew {crew}") for what in of_crew)
    yield "accused: another covering, by margin", bool(coverings - {covering})
    yield "accused: another wall, by margin", bool(walls - {wall})
    yield "accused: other hours", bool(hours - of_crew - theirs)
    yield "accused: an estimator", bool(named(reports["margin-by-estimator"]))
    yield from _of_the_firm(reports, truths)


def _of_the_firm(
    reports: Mapping[str, Report], truths: Mapping[str, Truth]
) -> Iterator[tuple[str, bool]]:
    if "suppliers" in reports:
        supplier, said = truths["creeping-supplier"]["supplier"], named(reports["suppliers"])
        yield "found: creeping supplier", supplier in said
        yield "accused: another supplier", bool(said - {supplier})
    sources = reports["concentration"].rows
    yield "found: the source that most come from", (
        sources[0][0] == truths["lead-source"]["source"])
    told = " ".join(reports["win-rate"].answer)
    yield "found: fewer are taken the more they earn", "the higher margin is taken less" in told


def one_year(seed: int, desk: Desk, empty: Path, folder: Path) -> dict[str, Report]:
    """Make the year of a seed in a database of its own and review it."""
    database = folder / f"year-{seed}.db"
    shutil.copy(empty, database)
    engine = db.open_database(str(database))
    with db.session(engine) as work:
        fill(work, desk, year(seed, desk.firm), whole=False)
        work.commit()
    engine.dispose()
    try:
        return reviewed(database)
    finally:
        database.unlink()


def main() -> int:
    """Run the seeds and print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seeds", type=int, default=SEEDS)
    parser.add_argument("--from", type=int, default=101, dest="first")
    asked = parser.parse_args()
    truths, found, seeds = read_truths(), Counter[str](), range(
        asked.first, asked.first + asked.seeds)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        desk = lay(folder / "firm")
        desk.engine.dispose()
        empty = folder / "empty.db"
        shutil.copy(desk.folder / "estimator.db", empty)
        for seed in seeds:
            verdicts = list(judged(one_year(seed, desk, empty, folder), truths))
            found.update({what: int(so) for what, so in verdicts})
            told = "; ".join(what for what, so in verdicts if so and what.startswith("accused"))
            print(f"seed {seed}: {told or 'nobody accused'}", file=sys.stderr, flush=True)
        desk.engine.dispose()
    print(f"{'of ' + str(len(seeds)) + ' years':<48}years")
    for what, _ in verdicts:
        print(f"{what:<48}{found[what]:>5}")
    return int(not _good(found, len(seeds)))


def _good(found: Mapping[str, int], years: int) -> bool:
    hit = ("found: slow covering, by margin", "found: slow covering, by hours on the roof",
           "found: under-priced wall, by hours")
    return all(found[what] >= 0.75 * years for what in hit) and (
        found["accused: the crew with the unlucky mix"] <= 0.1 * years)


if __name__ == "__main__":
    sys.exit(main())
