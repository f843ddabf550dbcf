"""Quotes, answers, days, variations, hours and payments of the year as rows."""

from __future__ import annotations

import hashlib
from collections import defaultdict
from dataclasses import asdict, replace
from datetime import date, timedelta
from typing import Any

from catalogue.money import round_half_up
from catalogue.tables import (
    CUSTOMER_PAYMENT,
    JOB,
    JOB_DAY,
    JOB_EVENT,
    KEPT_TEXT,
    PLAN_LINE,
    QUOTED,
    READING,
    REVISION,
    REVISION_BASIS,
    TIME_FILE,
    TIME_LINE,
    VARIATION,
    VARIATION_EVENT,
)
from demo_jobs.year.calendar import LAST, after
from demo_jobs.year.goods import BY, Rows, moment
from demo_jobs.year.houses import Heading
from demo_jobs.year.pool import SUPPLY, Copy, Pool, Pooled, copied
from demo_jobs.year.records import Asked, Done, Revision, Worked, Year
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_parts import JobJson
from estimator.papers.planned import plan_lines, quoted_job
from estimator.settings import Settings

CHANGES = ('converter.signal = "none"\nconverter.wired_internet_m = 11\n'
           "supply.bonds_undersize = 2")
PAPERS = ("network-notice", "scheme-certificate", "building-control", "maker-registration")
PAPERS_DAYS = 6
FOUND = "two main bonds are too thin, and there is no signal at the converter"


def heading_of(asked: Asked, revision: Revision) -> Heading:
    """Return who asks, where, and who looked at it, for one of its revisions."""
    return Heading(asked.job, asked.title, asked.customer, asked.address, asked.surveyor,
                   asked.estimator, asked.revisions[0].on, SUPPLY[revision.choice.period])


def job_rows(year: Year, pool: Pool, settings: Settings) -> Rows:
    """Return the rows of every job of a year, goods and bills aside."""
    rows: Rows = defaultdict(list)
    done = {each.asked.job: each for each in year.done}
    texts: dict[str, str] = {}
    for asked in year.asked:
        rows[JOB].append({"id": asked.job, "title": asked.title,
                          "created_at": moment(asked.revisions[0].on, 9)})
        _quotes(rows, texts, asked, done.get(asked.job), pool)
        _asked_days(rows, asked)
        if asked.job in done:
            _job_days(rows, done[asked.job])
    for each in year.done:
        _variation(rows, each, pool)
        rows[CUSTOMER_PAYMENT] += [
            {"job_id": each.asked.job, "what": paid.what, "on_date": paid.on,
             "amount_minor": paid.amount_minor, "at": moment(paid.on), "by": BY}
            for paid in each.paid]
        rows[READING] += _papers(each, pool.truths["close-out-gaps"]["paper"])
    rows[KEPT_TEXT] += [{"digest": key, "text": text} for key, text in sorted(texts.items())]
    rows[JOB_EVENT].sort(key=lambda row: (row["at"], row["job_id"]))
    _hours(rows, year, settings)
    return rows


def _quotes(
    rows: Rows, texts: dict[str, str], asked: Asked, done: Done | None, pool: Pool
) -> None:
    revisions = list(asked.revisions)
    if done is not None and done.found is not None:
        revisions.append(done.found.after)
    for number, revision in enumerate(revisions, 1):
        heading = heading_of(asked, revision)
        pooled, copy = pool.pooled(revision.choice), copied(pool, revision, number, heading)
        found = done.found if done is not None and number > len(asked.revisions) else None
        rows[REVISION].append({
            "job_id": asked.job, "number": number, "on_date": revision.on,
            "survey_text": copy.survey, "estimate_json": copy.text, "inputs_digest": copy.digest,
            "made_at": moment(found.on if found else revision.on, 10), "kind": pooled.made.kind,
            "net_minor": pooled.made.price.net, "currency": pooled.made.currency})
        for kind, text in pooled.texts.items():
            digest = hashlib.sha256(text.encode()).hexdigest()
            texts[digest] = text
            rows[REVISION_BASIS].append({
                "job_id": asked.job, "number": number, "kind": kind, "digest": digest})
        kept = _kept(pooled, copy, heading, revision, number)
        rows[QUOTED].append({"job_id": asked.job, "number": number, **asdict(
            replace(quoted_job(kept), lead_source=asked.lead_source))})
        accepted = done is not None and number >= len(asked.revisions)
        if accepted and (found is None or found.agreed):
            rows[PLAN_LINE] += [
                {"job_id": asked.job, "number": number, "line": at, **asdict(line)}
                for at, line in enumerate(plan_lines(kept), 1)]


def _kept(
    pooled: Pooled, copy: Copy, heading: Heading, revision: Revision, number: int
) -> EstimateJson:
    """Return the estimate under the job's name, without reading its text again."""
    names = {name: getattr(heading, name)
             for name in JobJson.model_fields if hasattr(heading, name)}
    return pooled.made.model_copy(update={
        "job": pooled.made.job.model_copy(update=names), "revision": number, "on": revision.on,
        "price": pooled.made.price.model_copy(update={"valid_until": copy.valid_until})})


def _asked_days(rows: Rows, asked: Asked) -> None:
    for revision in asked.revisions:
        rows[JOB_DAY].append(_day(asked, "sent", revision.on, revision.on,
                                  chance=asked.chance_percent))
    rows[JOB_DAY] += [_day(asked, "contacted", day, day) for day in asked.contacted]
    if asked.answer and asked.answered_on is not None:
        rows[JOB_EVENT].append(_event(
            asked.job, len(asked.revisions), asked.answer, asked.answered_on, 12))


def _job_days(rows: Rows, done: Done) -> None:
    asked = done.asked
    assert asked.answered_on is not None
    rows[JOB_DAY].append(_day(asked, "planned", done.planned_on, asked.answered_on, done.crew))
    for what, day in (("begun", done.begun), ("commissioned", done.commissioned)):
        if day is not None:
            rows[JOB_DAY].append(_day(asked, what, day, day, done.crew))
    newest = len(asked.revisions)
    if done.found is not None and done.found.agreed:
        newest += 1
        rows[JOB_EVENT].append(_event(asked.job, newest, "accepted", done.found.on, 12))
    if done.closed is not None:
        rows[JOB_EVENT].append(_event(asked.job, newest, "closed", done.closed, 16))


def _day(
    asked: Asked, what: str, on: date, written: date, crew: str = "", chance: int | None = None
) -> dict[str, Any]:
    return {"job_id": asked.job, "what": what, "on_date": on, "crew": crew,
            "chance_percent": chance, "at": moment(written, 11), "by": asked.estimator, "why": ""}


def _event(job: str, revision: int, event: str, on: date, hour: int) -> dict[str, Any]:
    return {"job_id": job, "revision": revision, "event": event, "at": moment(on, hour), "by": BY,
            "why": ""}


def _variation(rows: Rows, done: Done, pool: Pool) -> None:
    found, asked = done.found, done.asked
    if found is None:
        return
    before = pool.offered(asked.revisions[-1].choice)
    then = pool.offered(found.after.choice)
    number = len(asked.revisions)
    price = then.net_minor - before.net_minor if found.chargeable else 0
    rows[VARIATION].append({
        "job_id": asked.job, "number": 1, "found": FOUND, "photo": f"{asked.job}-found.jpg",
        "reason": found.reason, "changes": CHANGES, "before_revision": number,
        "after_revision": number + 1, "chargeable": found.chargeable,
        "cost_minor": then.cost_minor - before.cost_minor, "price_minor": price,
        "at": moment(found.on, 10), "by": done.crew})
    rows[VARIATION_EVENT].append({
        "job_id": asked.job, "number": 1, "event": "agreed" if found.agreed else "refused",
        "on_date": found.on, "writing": "e-mail", "at": moment(found.on, 12), "by": BY})


def _papers(done: Done, forgotten: str) -> list[dict[str, Any]]:
    """Return what was sent off after the work, each as a day; of the readings no more is told."""
    if done.commissioned is None:
        return []
    on = after(done.commissioned, PAPERS_DAYS)
    codes = [] if on > LAST else [code for code in PAPERS if not (done.gap and code == forgotten)]
    return [
        {"job_id": done.asked.job, "code": code, "subject": "job", "value": on.isoformat(),
         "unit": "", "not_tested": "", "verdict": "as expected", "instrument": "",
         "calibrated_on": None, "conditions": "", "on_date": on, "at": moment(on), "by": BY}
        for code in codes]


def _hours(rows: Rows, year: Year, settings: Settings) -> None:
    """Add the hours, as one file a month."""
    labour = settings.labour
    files: dict[int, int] = {}
    lines = sorted(
        ((done, worked) for done in year.done for worked in done.worked),
        key=lambda each: (each[1].on, each[1].person, each[1].begun, each[0].asked.job))
    for row, (done, worked) in enumerate(lines, 1):
        month = worked.on.month
        if month not in files:
            files[month] = len(files) + 1
            name = f"hours-{worked.on:%Y-%m}.csv"
            rows[TIME_FILE].append({
                "id": files[month], "file_name": name,
                "digest": hashlib.sha256(name.encode()).hexdigest(),
                "at": _month_end(worked), "by": BY})
        cost, overhead = (round_half_up(rate * 100 * worked.minutes / 60)
                          for rate in (labour.cost_per_hour, labour.overhead_per_hour))
        rows[TIME_LINE].append({
            "file_id": files[month], "row": row, "job_id": done.asked.job, **_times(worked),
            "rate_minor": int(labour.cost_per_hour * 100), "amount_minor": cost,
            "overhead_minor": overhead, "takes_back": None, "at": _month_end(worked), "by": BY})


def _times(worked: Worked) -> dict[str, Any]:
    return {
        "person": worked.person, "crew": worked.crew, "on_date": worked.on,
        "begun": _clock(worked.begun), "ended": _clock(worked.begun + worked.minutes),
        "minutes": worked.minutes, "task_group": worked.group, "task": worked.task,
        "cause": worked.cause}


def _clock(minutes: int) -> str:
    return f"{minutes // 60 % 24:02d}:{minutes % 60:02d}"


def _month_end(worked: Worked) -> Any:
    first = worked.on.replace(day=1)
    return moment((first + timedelta(31)).replace(day=1) - timedelta(1))
