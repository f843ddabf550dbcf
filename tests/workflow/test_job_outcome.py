"""`estimator actuals show`: published examples through the command, and a job from quote to end."""

from __future__ import annotations

import json
import shutil
from datetime import UTC, date, datetime
from decimal import Decimal as D
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Connection, insert

from catalogue import tables
from catalogue.db import open_database, session
from tests.chain.desk import run
from tests.workflow.finished import Finished, Worked, write

NOON = datetime(2026, 6, 5, 12, tzinfo=UTC)
CABLE, OTHER_CABLE = "03025-TE", "03040-TE"


@pytest.fixture
def desk(starter_template: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    shutil.copy(starter_template, tmp_path / "estimator.db")
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_DB", raising=False)
    return tmp_path


def put(*jobs: Finished, more: tuple[dict[str, Any], ...] = ()) -> None:
    engine = open_database("estimator.db")
    with session(engine) as work:
        write(work, *jobs)
        for each in more:
            _bill(work, **each)
        work.commit()
    engine.dispose()


def _bill(work: Connection, job: str, item: str, quantity: str, minor: int) -> None:
    number = work.execute(insert(tables.INVOICE).values(
        kind="invoice", supplier="Counter North", number=f"{job} {item}", on_date=NOON.date(),
        due_on=None, currency="GBP", net_minor=minor, tax_minor=0, file_name="", digest="",
        at=NOON, by="a test")).inserted_primary_key
    work.execute(insert(tables.INVOICE_LINE).values(
        invoice_id=number[0] if number else 0, line=1, kind="goods", head="cable", job_id=job,
        order_number=None, order_line=None, item_code=item, name=item, quantity=D(quantity),
        net_minor=minor, cost_minor=minor))


def shown(job: str, *more: str) -> dict[str, Any]:
    result = run("actuals", "show", job, "--json", *more)
    assert result.exit_code == 0, result.output
    data: dict[str, Any] = json.loads(result.stdout)
    return {report["name"]: report for report in data["reports"]}


def test_published_variances_go_through_the_command(desk: Path) -> None:
    """A page of questions and answers: material 16,500 at 2.10 of 15,000 at 2.30: price 3,300 F,
    usage 3,450 A; labour 500 h at 8.50 of 70 h at 7.50: rate 500 A, efficiency 3,225 A."""
    put(Finished("J-1", net_minor=5_000_000, standard_minor=3_502_500, plan=(
        ("goods", "cable", CABLE, "", D(15_000), 3_450_000),
        ("labour", "labour", "", "roof", D(70), 52_500)),
        worked=(Worked("roof", 500 * 60, 425_000),)),
        more=({"job": "J-1", "item": CABLE, "quantity": "16500", "minor": 3_465_000},))
    reports = shown("J-1")
    causes = {row["head"]: row for row in reports["job-causes"]["rows"]}
    assert (causes["cable"]["price_minor"], causes["cable"]["usage_minor"]) == (-330_000, 345_000)
    labour = causes["labour, roof"]
    assert (labour["price_minor"], labour["usage_minor"]) == (50_000, 322_500)
    # By hand: 50,000.00 - 34,650.00 - 4,250.00 = 11,100.00, 22.2 %; quoted 14,975.00, 29.95 %.
    assert reports["job-margin"]["answer"] == [
        "It made 11,100.00 GBP (22.2 % of the price) against 14,975.00 GBP (30.0 % of the price) "
        "quoted; most of it went on cable: usage (3,450.00 GBP)."]


def test_published_earned_value_goes_through_the_command(desk: Path) -> None:
    """An example of earned value: PV 40,000, EV 35,000, AC 45,000: CV -10,000, SV -5,000, CPI
    0.78, SPI 0.875; of a budget of 100,000 the whole will cost 100,000 / (35 / 45)."""
    put(Finished("J-2", state="accepted", on=None, plan=(
        ("labour", "labour", "", "roof", D(1_000), 10_000_000),),
        worked=(Worked("roof", 60 * 500, 4_500_000),)))
    progress = shown("J-2", "--done", "roof=35", "--planned", "40")["job-progress"]
    assert progress["answer"] == [
        "Work worth 35,000.00 GBP of 100,000.00 GBP is earned, 40,000.00 GBP should be by now; it "
        "has cost 45,000.00 GBP.",
        "Cost index 0.778 (earned / actual), 10,000.00 GBP over what was earned.",
        "Schedule index 0.875 (earned / planned), 5,000.00 GBP behind.",
        "At completion 128,571.43 GBP (budget / cost index), 28,571.43 GBP over budget."]
    assert progress["rows"][0]["earned_minor"] == 3_500_000


def test_agreed_variations_flex_the_standard_and_are_told_apart(desk: Path) -> None:
    put(Finished("J-3", net_minor=1_000_000, standard_minor=800_000, state="accepted", plan=(
        ("goods", "cable", CABLE, "", D(10), 200_000),
        ("labour", "labour", "", "roof", D(20), 600_000))))
    engine = open_database("estimator.db")
    with session(engine) as work:
        work.execute(insert(tables.REVISION).values(
            job_id="J-3", number=2, on_date=date(2026, 6, 2), survey_text="", estimate_json="{}",
            inputs_digest="1" * 64, made_at=NOON, kind="firm", net_minor=1_100_000,
            currency="GBP"))
        for line, (head, group, quantity, minor) in enumerate((
                ("cable", "", 15, 300_000), ("labour", "roof", 21, 630_000)), start=1):
            work.execute(insert(tables.PLAN_LINE).values(
                job_id="J-3", number=2, line=line, kind="labour" if group else "goods", head=head,
                code="" if group else CABLE, task_group=group, supplier="", quantity=D(quantity),
                amount_minor=minor))
        work.execute(insert(tables.VARIATION).values(
            job_id="J-3", number=1, found="longer run", photo="", reason="hidden", changes="",
            before_revision=1, after_revision=2, chargeable=True, cost_minor=130_000,
            price_minor=100_000, at=NOON, by="a test"))
        work.execute(insert(tables.VARIATION_EVENT).values(
            job_id="J-3", number=1, event="agreed", on_date=date(2026, 6, 2), writing="letter",
            at=NOON, by="a test"))
        for event in ("accepted", "closed"):
            work.execute(insert(tables.JOB_EVENT).values(
                job_id="J-3", revision=2, event=event, at=NOON, by="a test", why=""))
        work.execute(insert(tables.TIME_LINE).values(
            file_id=None, row=0, person="Pat", begun="", ended="", rate_minor=3_000, job_id="J-3",
            takes_back=None, crew="A", on_date=date(2026, 6, 4), minutes=20 * 60, task_group="roof",
            task="", cause="", amount_minor=600_000, overhead_minor=0, at=NOON, by="a test"))
        _bill(work, "J-3", CABLE, "15", 300_000)
        work.commit()
    engine.dispose()
    reports = shown("J-3")
    # By hand: 2,000 quoted; the customer pays 1,000 more, it costs 1,300 more; an hour saved, 300.
    assert [tuple(row.values()) for row in reports["job-margin"]["rows"]] == [
        ("margin as quoted", 200_000), ("variations: the customer pays", 100_000),
        ("variations: their cost", -130_000), ("labour, roof", 30_000), ("margin made", 200_000)]
    heads = {row["head"]: tuple(row.values())[1:] for row in reports["job-heads"]["rows"]}
    assert heads == {"cable": (200_000, 100_000, 300_000, 300_000, 0),
                     "labour, roof": (600_000, 30_000, 630_000, 600_000, -30_000)}
    assert reports["job-margin"]["answer"][1] == (
        "1 variation agreed: the customer pays 1,000.00 GBP more, and the margin reckoned became "
        "300.00 GBP less.")
    assert "most of what was saved came from labour, roof: efficiency (300.00 GBP)" in (
        reports["job-margin"]["answer"][0])


def test_an_item_picked_instead_is_another_item_and_not_a_saving(desk: Path) -> None:
    put(Finished("J-4", plan=(("goods", "cable", CABLE, "", D(10), 10_000),)))
    engine = open_database("estimator.db")
    with session(engine) as work:
        for name, kind in (("store", "store"), ("site J-4", "site")):
            work.execute(insert(tables.PLACE).values(name=name, kind=kind, note=""))
        work.execute(insert(tables.MOVE).values(
            kind="pick", item_code=OTHER_CABLE, lot_id=None, quantity=D(10), from_place="store",
            to_place="site J-4", job_id="J-4", document="", value_minor=14_000, at=NOON,
            by="a test", why=f"instead of {CABLE}"))
        work.commit()
    engine.dispose()
    (line,) = shown("J-4")["job-lines"]["rows"]
    assert line["note"] == f"{OTHER_CABLE} used instead"
    assert line["usage_minor"] == 0
    assert line["specification_minor"] + line["price_minor"] == 4_000
    assert line["specification_minor"] != 0


def test_a_person_reads_the_same_within_a_hundred_columns(desk: Path) -> None:
    put(Finished("J-5", plan=(("labour", "labour", "", "roof", D(10), 40_000),
                              ("provision", "warranty", "", "", D(0), 1_500)),
                 standard_minor=41_500, worked=(Worked("roof", 720, 49_000, 11_000),)))
    text = run("actuals", "show", "J-5").output
    assert text.startswith("Job J-5: ")
    for words in ("DID THE JOB MAKE MONEY?", "labour, roof: efficiency", "BY WHICH CAUSE?"):
        assert words in text
    assert all(len(line) <= 100 for line in text.splitlines())
