"""What has become of the open quotes: for the terminal, as CSV, as plain data."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from catalogue.csv_sheets import csv_text, guarded
from catalogue.money import Money, round_half_up
from estimator.drift import Drift, Drifted
from estimator.papers import words
from estimator.papers.digits import plain
from estimator.papers.exact_json import rounded, whole_or_text
from estimator.papers.terminal import INDENT, clean, table, wrapped

COLUMNS = (
    "job", "title", "revision", "quoted on", "valid until", "kind", "net", "cost then", "cost now",
    "change", "margin then %", "margin now %", "contribution now %", "verdict", "standing", "ring",
    "at stake", "moved most",
)
RING = "RING FIRST: firm prices that bind and have become dearer"
HOLD = "NO DEARER: firm prices that bind"
BUDGETS = "BUDGETS: they bind nobody; quote again before they are agreed"
EXPIRED = "EXPIRED: re-price, do not re-date"
EXPLAINED = 10  # quotes of the list on the terminal whose largest moves are told
MOVES = 3
SHARE_PLACES = 6


def standing(each: Drifted) -> str:
    """Return whether a quote still binds the firm, in a word."""
    return "expired" if each.expired else "binds" if each.binds else "budget"


def drift_text(found: Drift) -> str:
    """Return the list for the terminal: whom to ring, what holds, budgets, expired, totals."""
    number = len(found.quotes) + len(found.not_run)
    if not number:
        return "No quote is open.\n"
    imagined = f", if {' and '.join(found.what_if)}" if found.what_if else ""
    lines = wrapped(f"{number} open quote{'s' if number > 1 else ''} at the prices of "
                    f"{words.day(found.on)}{imagined}", "")
    for heading, group in _groups(found):
        if group:
            lines += ["", heading, *_rows(found, group)]
    if found.not_run:
        lines += ["", "NOT RUN AGAIN"]
        lines += [f"{INDENT}{line}" for each in found.not_run for problem in each.problems
                  for line in str(problem).splitlines()]
    return clean("\n".join([*lines, "", *_totals(found)])) + "\n"


def _groups(found: Drift) -> Iterator[tuple[str, list[Drifted]]]:
    yield RING, [each for each in found.quotes if each.quote.job in found.stakes]
    yield HOLD, [each for each in found.quotes
                 if each.binds and each.quote.job not in found.stakes]
    yield BUDGETS, [each for each in found.quotes if standing(each) == "budget"]
    yield EXPIRED, [each for each in found.quotes if each.expired]


def _rows(found: Drift, group: Sequence[Drifted]) -> Iterator[str]:
    headings = ("ring", "job", "until", "net", "cost then", "cost now", "change", "margin",
                "now", "verdict")
    rows = [
        (_place(found, each), each.quote.job, each.quote.valid_until.isoformat(),
         str(each.quote.net), str(each.quote.cost.full), str(each.cost.full),
         _signed(each.change), _percent(each.margin_then), _percent(each.margin_now), each.verdict)
        for each in group
    ]
    headed, *told = table(rows, "rllrrrrrrl", headings)
    yield headed
    for line, each in zip(told, group, strict=True):
        yield line
        yield from _explained(found, each)


def _place(found: Drift, each: Drifted) -> str:
    stake = found.stakes.get(each.quote.job)
    return str(stake.place) if stake else ""


def _explained(found: Drift, each: Drifted) -> Iterator[str]:
    """Say what is at stake and what moved, for the first ones; always what bars a firm price."""
    stake = found.stakes.get(each.quote.job)
    if stake and stake.place <= EXPLAINED:
        yield from wrapped(f"at stake {_minor(stake.minor, found.currency)}; {moved_most(each)}",
                           INDENT * 4)
    if each.binds and each.unpriced:
        yield from wrapped(f"cannot be bought: {', '.join(each.unpriced)}", INDENT * 4)
    if each.binds and each.kind == "budget":
        yield from wrapped(f"no firm price any more: {'; '.join(each.kind_because)}", INDENT * 4)


def moved_most(each: Drifted) -> str:
    """Return the largest moves in words: "Storage module (0001) +£391.50, labour, roof -£3.00"."""
    return ", ".join(
        f"{one.name}{f' ({one.item})' if one.item else ''} {_signed(one.change)}"
        for one in each.moved[:MOVES])


def _totals(found: Drift) -> Iterator[str]:
    binding = [each for each in found.quotes if each.binds]
    under = sum(each.verdict in ("under minimum", "at a loss") for each in binding)
    rate = words.percent(found.accept_rate)
    yield from wrapped(
        f"Of {len(binding)} that bind, {under} now under the minimum of "
        f"{words.percent(found.margin_minimum)}. Exposure, were all accepted: {found.exposure}; "
        f"at {rate} accepted: {_minor(found.expected, found.currency)}.", "")


def _signed(money: Money) -> str:
    return f"+{money}" if money.minor > 0 else str(money)


def _percent(share: Fraction) -> str:
    return words.percent(rounded(share, SHARE_PLACES + 2))


def _minor(minor: Fraction, currency: str) -> str:
    return words.money(round_half_up(minor), currency)


def drift_csv(found: Drift) -> bytes:
    """Return the table as CSV in UTF-8: amounts in major units, shares in per cent; then totals."""
    rows = [[_cell(value) for value in row] for row in (*table_rows(found), *total_rows(found))]
    return csv_text(COLUMNS, rows).encode()


def table_rows(found: Drift) -> Iterator[list[Any]]:
    """Yield one row for each quote, of `COLUMNS`; those that could not be run have their problem.

    Money is `Money`, a share an exact fraction, a blank cell "".
    """
    for each in found.quotes:
        quote, stake = each.quote, found.stakes.get(each.quote.job)
        yield [
            quote.job, quote.title, quote.revision, quote.on, quote.valid_until, quote.kind,
            quote.net, quote.cost.full, each.cost.full, each.change, each.margin_then,
            each.margin_now, each.contribution_now, each.verdict, standing(each),
            stake.place if stake else "",
            Money(round_half_up(stake.minor), found.currency) if stake else "", moved_most(each),
        ]
    for failed in found.not_run:
        says = "; ".join(f"{each.code} {each.says}" for each in failed.problems)
        yield [failed.job, "", failed.revision, *[""] * 10, "not run again", *[""] * 3, says]


def total_rows(found: Drift) -> Iterator[list[Any]]:
    """Yield the rows below the table: what is exposed, and on what that rests."""
    def told(name: str, change: Any, remark: str, stake: Any = "") -> list[Any]:
        return [name, remark, *[""] * 7, change, *[""] * 6, stake, ""]

    expected = Money(round_half_up(found.expected), found.currency)
    imagined = f", if {' and '.join(found.what_if)}" if found.what_if else ""
    yield told("exposure", found.exposure,
               f"were all that bind accepted, at the prices of {found.on}{imagined}")
    yield told("expected", "", f"at {words.percent(found.accept_rate)} accepted", expected)


def _cell(value: Any) -> str:
    if isinstance(value, Money):
        return plain(Decimal(value.minor) / 100)
    if isinstance(value, Fraction):
        return plain(rounded(value * 100, 2))
    return guarded(str(value))


def drift_json(found: Drift) -> dict[str, Any]:
    """Return everything as plain data; money in minor units, shares to six places."""
    return {
        "on": found.on.isoformat(), "currency": found.currency, "what_if": list(found.what_if),
        "accept_rate": whole_or_text(found.accept_rate),
        "margin_minimum": whole_or_text(found.margin_minimum),
        "margin_target": whole_or_text(found.margin_target),
        "exposure": found.exposure.minor, "expected": round_half_up(found.expected),
        "quotes": [_as_data(each, found) for each in found.quotes],
        "not_run": [
            {"job": each.job, "revision": each.revision, "problems": [
                {"code": one.code, "place": str(one.where), "says": one.says, "mend": one.mend}
                for one in each.problems]}
            for each in found.not_run],
    }


def _as_data(each: Drifted, found: Drift) -> dict[str, Any]:
    quote, stake = each.quote, found.stakes.get(each.quote.job)
    return {
        "job": quote.job, "title": quote.title, "revision": quote.revision,
        "on": quote.on.isoformat(), "valid_until": quote.valid_until.isoformat(),
        "kind": quote.kind, "kind_now": each.kind, "kind_because": list(each.kind_because),
        "standing": standing(each), "net": quote.net.minor, "cost_then": quote.cost.full.minor,
        "cost_now": each.cost.full.minor, "change": each.change.minor,
        "margin_then": _share(each.margin_then), "margin_now": _share(each.margin_now),
        "contribution_now": _share(each.contribution_now), "verdict": each.verdict,
        "unpriced": list(each.unpriced), "ring": stake.place if stake else None,
        "at_stake": round_half_up(stake.minor) if stake else 0,
        "moved": [{"item": one.item, "name": one.name, "change": one.change.minor}
                  for one in each.moved],
    }


def _share(share: Fraction) -> int | str:
    return whole_or_text(rounded(share, SHARE_PLACES))


def _workbook(found: Drift) -> bytes:
    from estimator.papers.workbook.drift_sheet import drift_workbook

    return drift_workbook(found)


# By the ending of the file's name.
DRIFT_PAPERS: Mapping[str, Callable[[Drift], bytes]] = {".csv": drift_csv, ".xlsx": _workbook}
