"""The finished jobs most like a new one, as typed; their figures against sums by hand."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from sqlalchemy import insert

from catalogue import db
from catalogue.tables import INVOICE, INVOICE_LINE, PLAN_LINE, VARIATION, VARIATION_EVENT
from tests.chain.desk import DAY, quote, run
from tests.chain.finished_jobs import Finished, keep

NOON = datetime(2026, 6, 1, 12, tzinfo=UTC)
LIKE_D101: dict[str, Any] = {
    "kind_of_job": "storage", "storeys": 2, "panels": 0, "modules": 3, "area": ""}


def like(*more: str) -> dict[str, Any]:
    result = run("like", *more, "--json")
    assert result.exit_code == 0, result.output
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def finished(name: str, **more: Any) -> Finished:
    fields: dict[str, Any] = {
        "job": name, "wall": "dense brick", "closed": date(2026, 6, 1), "about": LIKE_D101,
        "planned": {("storage", "hang-module"): "10.0", ("travel", "travel"): "4.0"},
        "minutes": {("storage", ""): 600, ("travel", ""): 240}, **more}
    return Finished(**fields)


def happened_on(job: str) -> None:
    """A bill of 100.00 for the job, two variations of which one was agreed, a provision."""
    engine = db.open_database("estimator.db")
    with db.session(engine) as work:
        bill = work.execute(insert(INVOICE).values(
            kind="invoice", supplier="S", number="1", on_date=date(2026, 5, 1), due_on=None,
            currency="GBP", net_minor=10_000, tax_minor=0, file_name="", digest="", at=NOON,
            by="office")).inserted_primary_key
        assert bill is not None
        work.execute(insert(INVOICE_LINE).values(
            invoice_id=bill[0], line=1, kind="other", head="scaffold", job_id=job,
            order_number=None, order_line=None, item_code=None, name="scaffold",
            quantity=Decimal(1), net_minor=10_000, cost_minor=10_000))
        for number, event in ((1, "agreed"), (2, "refused")):
            work.execute(insert(VARIATION).values(
                job_id=job, number=number, found="rotten batten", photo="", reason="hidden",
                changes="", before_revision=1, after_revision=1, chargeable=True,
                cost_minor=4_000 * number, price_minor=5_000, at=NOON, by="office"))
            work.execute(insert(VARIATION_EVENT).values(
                job_id=job, number=number, event=event, on_date=date(2026, 5, 2),
                writing="e-mail", at=NOON, by="office"))
        work.execute(insert(PLAN_LINE).values(
            job_id=job, number=1, line=99, kind="provision", head="warranty", code="",
            task_group="", supplier="", quantity=Decimal(0), amount_minor=77_700))
        work.commit()
    engine.dispose()


def test_the_nearest_finished_jobs_stand_beside_a_quote_with_what_became_of_them(
    desk: Path
) -> None:
    keep(finished("near", minutes={("storage", ""): 660, ("rework", ""): 60, ("waiting", ""): 30}),
         finished("not-so-near", wall="stone", about=LIKE_D101 | {"modules": 1}),
         finished("roof", covering="slate", wall="", about={"kind_of_job": "panels", "modules": 0}),
         *(finished(f"far-{at}", wall="stone", about={**LIKE_D101, "modules": 8, "storeys": 3})
           for at in range(4)),
         finished("open-still", events=("accepted",)))
    happened_on("near")
    found = like("survey.toml", "--on", DAY)
    assert (found["revision"], found["finished"]) == (None, 7)
    names = [each["job"] for each in found["like"]]
    assert names == ["near", "not-so-near", "far-0", "far-1", "far-2"]
    near = found["like"][0]
    assert (near["hours"], near["hours_worked"]) == (14.0, 12.5)
    assert (near["rework_hours"], near["waiting_hours"]) == (1.0, 0.5)
    assert near["hours_over"] == round(12.5 / 14 - 1, 4)
    # Two lines of labour at 10.00; hours cost 0.73 and 0.40 of the office a minute; bill 100.00.
    assert (near["cost"], near["came_to"]) == (2_000, 750 * (73 + 40) + 10_000)
    assert (near["variations"], near["variation_cost"]) == (1, 4_000)
    assert found["facts"]["modules"] == 3
    assert found["facts"]["cable_m"] > 0

    quote("--no-papers")
    kept = like("D-101")
    assert kept.pop("revision") == 1
    assert kept == {key: value for key, value in found.items() if key != "revision"}
    shown = run("like", "D-101").stdout
    assert "OFFICE ONLY" in shown
    assert "not a rule" in shown


def test_prices_are_held_against_the_last_quotes_of_the_same_kind(desk: Path) -> None:
    three = json.dumps({"lines": [
        {"family": "storage", "item": "01505-WF", "need": 3, "option": False},
        {"family": "storage", "item": "01505-WF", "need": 1, "option": True}]})
    keep(*(finished(f"F-{at:02}", estimate=three, net_minor=600_000 + 1_000 * at)
           for at in range(25)),
         finished("panels", about={"kind_of_job": "panels"}, net_minor=1))
    found = like("survey.toml", "--on", DAY)
    prices = {each["per"]: each for each in found["prices"]}
    assert set(prices) == {"storage module", "kWh of storage"}
    module = prices["storage module"]
    # The last twenty are F-05 to F-24: 6,050.00 to 6,240.00 for three, the middle 2,048.33.
    assert (module["others"], module["middle"]) == (20, 204_833)
    assert module["price"] == round(found["net"] / 3)
    assert (module["cheaper"], module["dearer"], module["unusual"]) == (20, 0, "dear")
    # A module of 01505-WF holds 5 kWh: 6,145.00 for 15 kWh.
    assert prices["kWh of storage"]["middle"] == 40_967
    assert "LOOK AGAIN" in run("like", "survey.toml", "--on", DAY).stdout


def test_without_finished_jobs_there_is_nothing_to_hold_it_against(desk: Path) -> None:
    found = like("survey.toml", "--on", DAY)
    assert (found["like"], found["hours_over"]) == ([], None)
    assert "nothing to hold it against" in run("like", "survey.toml", "--on", DAY).stdout
