"""Split the goods of a quoted job over suppliers: today's offers, carriage, locks and the day."""

from __future__ import annotations

from dataclasses import dataclass

from catalogue import db
from catalogue.problems import Place
from estimator.cost import BOUGHT_IN_HEADS
from estimator.papers.contract import EstimateJson
from estimator.papers.order_split import LineToOrder, OrderSplit
from estimator.workflow.firm import database_of, firm_files, firm_settings
from estimator.workflow.jobs import kept_estimate, revision_number
from estimator.workflow.order_basket import Rules, ToSplit, market_of, split_lines


@dataclass(frozen=True)
class Asked:
    """Which job's goods are to be ordered.

    Attributes:
        revision: of the job; the newest if None.
        with_stock: whether what the shelf would give is ordered too.
    """

    job: str
    revision: int | None
    rules: Rules
    with_stock: bool = False


def split_orders(database: str | None, asked: Asked) -> OrderSplit:
    """Return the cheapest split of a kept revision's goods over suppliers.

    Hire, scaffold, other firms' work and fees are no goods and are left out.

    Raises:
        ProblemsFound: J001, J002 for the job; else every mistake of E201 to E208.
    """
    files = firm_files()
    settings = firm_settings(files)
    engine = db.open_database(database_of(database, files))
    try:
        with db.session(engine, write=False) as work:
            estimate = kept_estimate(
                work, asked.job, revision_number(work, asked.job, asked.revision))
            to_split = goods_of(estimate, asked)
            market = market_of(work, asked.rules.on, to_split.lines, estimate.currency)
    finally:
        engine.dispose()
    wanted = asked.rules.wanted(settings.buying, estimate.currency)
    return OrderSplit(
        estimate.job.id, estimate.job.title, estimate.revision, estimate.currency, wanted,
        asked.with_stock, tuple(sorted(set(asked.rules.without))), to_split.lines,
        split_lines(to_split, asked.rules, market, wanted))


def goods_of(estimate: EstimateJson, asked: Asked) -> ToSplit:
    """Return the goods of a kept estimate that are to be ordered."""
    locked = {item for item, _ in asked.rules.locks}
    return ToSplit(
        tuple(
            LineToOrder(f"{line.line:04}", line.line, line.item, line.name, line.unit,
                        line.buy + line.allowance, line.item in locked)
            for line in estimate.lines
            if line.buy > 0 and not line.option and line.head not in BOUGHT_IN_HEADS
            and (line.held == "job" or asked.with_stock)
        ),
        Place(f"job {estimate.job.id}, revision {estimate.revision}"),
        "hire, other firms' work and fees are no goods"
        + ("" if asked.with_stock else "; --with-stock orders what the shelf would give"))
