"""A variation and what it changes, for the terminal and for machines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from datetime import date
from typing import Any, Protocol

from estimator.outcome.variation import Variation
from estimator.papers import words
from estimator.papers.contract import EstimateJson
from estimator.papers.difference import changed_blocks, changed_data
from estimator.papers.terminal import INDENT, clean, table, wrapped


class Told(Protocol):
    """A variation with the estimates before it and with it."""

    @property
    def variation(self) -> Variation: ...  # noqa: D102
    @property
    def was(self) -> EstimateJson: ...  # noqa: D102
    @property
    def now(self) -> EstimateJson: ...  # noqa: D102
    @property
    def notes(self) -> Sequence[str]: ...  # noqa: D102


def variation_text(told: Told) -> str:
    """Return what was found, what it costs and changes, and what must be agreed, at 100 columns."""
    blocks = (_head(told), _money(told), *changed_blocks(told.was, told.now), list(_next(told)),
              [words.DEFERRAL])
    return clean("\n\n".join("\n".join(block) for block in blocks if block)) + "\n"


def _head(told: Told) -> list[str]:
    found = told.variation
    photo = f" (photo {found.photo})" if found.photo else ""
    return [
        *wrapped(f"Variation {found.number} of job {found.job}: revision {found.before} -> "
                 f"{found.after}", ""),
        *wrapped(f"{found.found}{photo}", f"{INDENT}found: "), f"{INDENT}reason: {found.reason}",
        *(line for change in found.changes for line in wrapped(change, f"{INDENT}now: "))]


def _money(told: Told) -> list[str]:
    was, now, currency = told.was, told.now, told.now.currency
    rows = [(name, words.money(old, currency), words.money(new, currency),
             words.signed(new - old, currency)) for name, old, new in (
        ("full cost", was.cost.total, now.cost.total), ("price, net", was.price.net, now.price.net),
        ("price with tax", was.price.gross, now.price.gross))]
    charged = ("The customer pays the change of price." if told.variation.chargeable else
               "It is not charged: the customer pays what was agreed.")
    priced = (f"Extra goods at the prices of {words.day(now.on)}, the day of the quote; rules, "
              "norms, practice values and settings are those of the quote too.")
    return [*table(rows, "lrrr", ("", "was", "now", "change")),
            *(line for text in (charged, priced, *told.notes) for line in wrapped(text, INDENT))]


def _next(told: Told) -> Iterator[str]:
    found, now = told.variation, told.now
    yield from wrapped(
        f"net margin {words.percent(now.price.margin)}; "
        f"{words.SIGNED_BY.get(now.price.signed_by, '')}", INDENT)
    for because in now.kind_because:
        yield from wrapped(because, f"{INDENT}no firm price: ")
    yield "Before work on it begins the customer agrees in writing:"
    for command in (f'agree {found.job} {found.number} --on DATE --writing "e-mail of DATE"',
                    f"refuse {found.job} {found.number} --on DATE"):
        yield f"{INDENT}estimator jobs {command} --name NAME"


def variation_data(told: Told) -> dict[str, Any]:
    """Return all of it as plain data; money in minor units."""
    was, now = told.was, told.now
    return {
        **asdict(told.variation), "currency": now.currency,
        "was": _totals(was), "now": _totals(now), "kind": now.kind,
        "kind_because": list(now.kind_because), "prices_of": now.on.isoformat(),
        **changed_data(was, now), "notes": list(told.notes),
    }


def _totals(kept: EstimateJson) -> dict[str, int]:
    return {"cost": kept.cost.total, "net": kept.price.net, "gross": kept.price.gross}


class Said(Protocol):
    """What the customer said of a variation."""

    @property
    def answer(self) -> str: ...  # noqa: D102
    @property
    def on(self) -> date: ...  # noqa: D102
    @property
    def writing(self) -> str: ...  # noqa: D102
    @property
    def by(self) -> str: ...  # noqa: D102


class Answered(Protocol):
    """A variation with its answer, and the revision that stands accepted now."""

    @property
    def variation(self) -> Variation: ...  # noqa: D102
    @property
    def said(self) -> Said: ...  # noqa: D102
    @property
    def accepted(self) -> EstimateJson: ...  # noqa: D102


def answered_text(told: Answered) -> str:
    """Return in words what was answered, and what stands now."""
    found, said, now = told.variation, told.said, told.accepted
    writing = f" ({said.writing.strip()})" if said.writing.strip() else ""
    lines = [
        *wrapped(f"Variation {found.number} of job {found.job}: {said.answer} on "
                 f"{words.day(said.on)}{writing}, says {said.by.strip()}", ""),
        f"{INDENT}revision {now.revision} stands: price, net "
        f"{words.money(now.price.net, now.currency)}, with tax "
        f"{words.money(now.price.gross, now.currency)}"]
    if said.answer == "agreed":
        lines += wrapped("Its goods are reserved, less what is on site. A pick sheet that is out "
                         f"is stale: estimator stock sheet {found.job}", INDENT)
    return clean("\n".join(lines)) + "\n"
