"""Lays the firm's folder of the demo year and fills its database."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from sqlalchemy import Connection, Engine, insert

from catalogue import db
from catalogue.tables import KEPT_TEXT, REVISION, REVISION_BASIS
from catalogue.tables.base import metadata
from demo_jobs.year.goods import goods_rows
from demo_jobs.year.houses import read_houses
from demo_jobs.year.jobs import job_rows
from demo_jobs.year.pool import Pool
from demo_jobs.year.prices import add_earlier_prices, offered_prices
from demo_jobs.year.records import Year
from demo_jobs.year.truths import FILE, read_truths
from demo_jobs.year.year import Firm, year
from estimator.workflow.firm import FirmFiles
from estimator.workflow.folder import DATABASE, SETTINGS
from estimator.workflow.start import start_firm

TARGET, MINIMUM = Decimal("0.24"), Decimal("0.12")
NAME = "Demo Roofs and Storage"
TRUTHS = "truths.toml"
_BATCH = 2000
Tell = Callable[[str], None]


def quiet(says: str) -> None:
    """Tell nobody."""


@dataclass(frozen=True)
class Desk:
    """The folder of the firm, before anybody has asked it for a quote."""

    folder: Path
    engine: Engine
    pool: Pool
    firm: Firm


def lay(folder: Path) -> Desk:
    """Make the firm's folder with settings of its own, and a database with the earlier prices.

    Raises:
        ProblemsFound: if something is in the way of the folder.
    """
    start_firm(folder)
    settings = folder / SETTINGS
    text = settings.read_text(encoding="utf-8")
    for key, value in (("margin_target", TARGET), ("margin_minimum", MINIMUM)):
        text = re.sub(rf"^#?{key} = .*$", f"{key} = {value}", text, flags=re.MULTILINE)
    text = re.sub(r'^#?name = .*$', f'name = "{NAME}"', text, flags=re.MULTILINE)
    settings.write_text(text, encoding="utf-8")
    (folder / TRUTHS).write_text(FILE.read_text(encoding="utf-8"), encoding="utf-8")
    engine, truths = db.open_database(str(folder / DATABASE)), read_truths()
    with db.session(engine) as work:
        add_earlier_prices(work, truths)
        work.commit()
        prices = offered_prices(work)
    houses = {house.key: house for house in read_houses()}
    pool = Pool(engine, FirmFiles(folder), houses, truths)
    return Desk(folder, engine, pool, Firm.read(pool.offered, prices))


def fill(work: Connection, desk: Desk, made: Year, whole: bool = True) -> None:
    """Write a year into a database in which no job is yet; the caller commits.

    Args:
        work: the unit of work.
        desk: whose estimates the quotes are copies of.
        made: the year.
        whole: False leaves the estimates and surveys themselves out, which are nearly all of it; a
            review of finished jobs reads none of them.
    """
    basis, _ = desk.pool.basis(0)
    rows = {**goods_rows(made)}
    for table, those in job_rows(made, desk.pool, basis.settings).items():
        rows.setdefault(table, []).extend(those)
    if not whole:
        for row in rows[REVISION]:
            row.update(survey_text="", estimate_json="{}")
        del rows[KEPT_TEXT], rows[REVISION_BASIS]
    for table in metadata.sorted_tables:
        for at in range(0, len(rows.get(table, ())), _BATCH):
            work.execute(insert(table), rows[table][at:at + _BATCH])


def make_year(seed: int, folder: Path, tell: Tell = quiet) -> Year:
    """Lay the firm's folder, make the year of a seed and write it there."""
    tell("quoting the houses")
    desk = lay(folder)
    made = year(seed, desk.firm)
    tell(f"writing {len(made.asked)} quotes and {len(made.done)} jobs")
    with db.session(desk.engine) as work:
        fill(work, desk, made)
        work.commit()
    desk.engine.dispose()
    return made
