"""The record of a job, for the terminal and for machines."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict
from datetime import date, datetime
from typing import Any, Protocol

from estimator.outcome.variation import Variation
from estimator.papers import words
from estimator.papers.terminal import INDENT, clean, table, wrapped


class Revision(Protocol):
    """A kept revision."""

    @property
    def number(self) -> int: ...  # noqa: D102
    @property
    def prices_of(self) -> date: ...  # noqa: D102
    @property
    def kind(self) -> str: ...  # noqa: D102
    @property
    def net_minor(self) -> int: ...  # noqa: D102
    @property
    def plan_minor(self) -> int | None: ...  # noqa: D102


class Answer(Protocol):
    """What became of a quote."""

    @property
    def event(self) -> str: ...  # noqa: D102
    @property
    def revision(self) -> int: ...  # noqa: D102
    @property
    def at(self) -> datetime: ...  # noqa: D102
    @property
    def by(self) -> str: ...  # noqa: D102
    @property
    def why(self) -> str: ...  # noqa: D102


class Day(Protocol):
    """What happened to a job on a day."""

    @property
    def what(self) -> str: ...  # noqa: D102
    @property
    def on(self) -> date: ...  # noqa: D102
    @property
    def by(self) -> str: ...  # noqa: D102
    @property
    def why(self) -> str: ...  # noqa: D102
    @property
    def crew(self) -> str: ...  # noqa: D102
    @property
    def chance_percent(self) -> int | None: ...  # noqa: D102


class Varied(Protocol):
    """A variation and what was said of it."""

    @property
    def variation(self) -> Variation: ...  # noqa: D102
    @property
    def answer(self) -> str: ...  # noqa: D102
    @property
    def on(self) -> date | None: ...  # noqa: D102
    @property
    def writing(self) -> str: ...  # noqa: D102
    @property
    def by(self) -> str: ...  # noqa: D102


class Record(Protocol):
    """All that is kept of a job."""

    @property
    def job(self) -> str: ...  # noqa: D102
    @property
    def title(self) -> str: ...  # noqa: D102
    @property
    def stands(self) -> str: ...  # noqa: D102
    @property
    def currency(self) -> str: ...  # noqa: D102
    @property
    def accepted(self) -> int | None: ...  # noqa: D102
    @property
    def revisions(self) -> Sequence[Revision]: ...  # noqa: D102
    @property
    def answers(self) -> Sequence[Answer]: ...  # noqa: D102
    @property
    def days(self) -> Sequence[Day]: ...  # noqa: D102
    @property
    def variations(self) -> Sequence[Varied]: ...  # noqa: D102
    @property
    def chain(self) -> Sequence[Variation]: ...  # noqa: D102
    @property
    def counts(self) -> Mapping[str, int]: ...  # noqa: D102
    def net_of(self, number: int) -> int: ...  # noqa: D102


def record_text(record: Record) -> str:
    """Return the record to read at 100 columns."""
    blocks = (
        [*wrapped(f"Job {record.job}: {record.title}", ""), f"{INDENT}it is {record.stands}"],
        _block("QUOTES", _revisions(record), "lrllrr",
               ("", "revision", "prices of", "kind", "price, net", "planned cost")),
        _block("ANSWERS", _answers(record.answers), "llrll",
               ("", "on", "revision", "says", "why")),
        _block("DAYS", _days(record.days), "llllll", ("", "on", "crew", "chance", "says", "note")),
        [line for each in record.variations for line in _variation(each, record.currency)],
        _price(record),
        [f"{INDENT}{count} {name}" for name, count in record.counts.items() if count],
    )
    return clean("\n\n".join("\n".join(block) for block in blocks if block)) + "\n"


def _block(
    title: str, rows: Iterable[tuple[str, ...]], align: str, headings: tuple[str, ...]
) -> list[str]:
    listed = list(rows)
    return [title, *table(listed, align, headings)] if listed else []


def _revisions(record: Record) -> Iterator[tuple[str, ...]]:
    for each in record.revisions:
        plan = "" if each.plan_minor is None else words.money(each.plan_minor, record.currency)
        yield ("accepted" if each.number == record.accepted else "", str(each.number),
               words.day(each.prices_of), words.KIND[each.kind].lower(),
               words.money(each.net_minor, record.currency), plan)


def _answers(answers: Iterable[Answer]) -> Iterator[tuple[str, ...]]:
    for each in answers:
        yield each.event, words.day(each.at.date()), str(each.revision), each.by, each.why


def _days(days: Iterable[Day]) -> Iterator[tuple[str, ...]]:
    for each in days:
        chance = "" if each.chance_percent is None else f"{each.chance_percent} %"
        yield each.what, words.day(each.on), each.crew, chance, each.by, each.why


def _variation(each: Varied, currency: str) -> Iterator[str]:
    found = each.variation
    photo = f" (photo {found.photo})" if found.photo else ""
    said = (f"{each.answer} on {words.day(each.on)}, says {each.by}" if each.on else
            "open: nothing is agreed yet")
    writing = f" ({each.writing})" if each.writing else ""
    charged = words.signed(found.price_minor, currency) if found.chargeable else "not charged"
    yield f"VARIATION {found.number}: revision {found.before} -> {found.after}, {found.reason}"
    yield from wrapped(f"{found.found}{photo}, says {found.by}", f"{INDENT}found: ")
    for change in found.changes:
        yield from wrapped(change, f"{INDENT}now: ")
    yield (f"{INDENT}full cost {words.signed(found.cost_minor, currency)}, price, net: {charged}")
    yield from wrapped(said + writing, INDENT)


def _price(record: Record) -> list[str]:
    if record.accepted is None:
        return []
    currency, chain = record.currency, record.chain
    first = chain[0].before if chain else record.accepted
    rows = [(words.money(record.net_of(first), currency), f"price, net, of revision {first}"),
            *((words.signed(each.price_minor, currency), f"variation {each.number}")
              for each in chain),
            (words.money(record.net_of(record.accepted), currency), "PRICE NOW, net")]
    return ["PRICE", *table(rows, "rl")]


def record_data(record: Record) -> dict[str, Any]:
    """Return the record as plain data; money in minor units, days and times as ISO 8601."""
    return {
        "job": record.job, "title": record.title, "stands": record.stands,
        "currency": record.currency, "accepted_revision": record.accepted,
        "net_minor": None if record.accepted is None else record.net_of(record.accepted),
        **{name: [_plain(each) for each in getattr(record, name)]
           for name in ("revisions", "answers", "days", "variations")},
        "counts": dict(record.counts),
    }


def _plain(each: Any) -> dict[str, Any]:
    return {name: value.isoformat() if isinstance(value, date) else value
            for name, value in asdict(each).items()}
