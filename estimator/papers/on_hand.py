"""Cuts laid out again with pieces on hand: which piece serves which cut, and what that saves."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from catalogue.money import Money, round_half_up
from estimator.buying.cutting.on_hand import Balance, HandPiece
from estimator.papers import cable_words, cut_words
from estimator.papers.contract import EstimateJson
from estimator.papers.cut_list import cable_text, cut_text
from estimator.papers.digits import plain

STOCK = ("The quote cuts from new bars and drums: stock is kept for a job when it is accepted. "
         "What is kept for other jobs is not taken off here.")
JOINTS = "Joints stay where the quote has them; other joints may save more."


@dataclass(frozen=True)
class HandLine:
    """A cut, or the runs of a cable, with pieces on hand.

    Attributes:
        subject: what is cut.
        codes: the items it is cut from.
        bought_before, bought_now: what is bought new, in words -> how many.
        used: the pieces on hand that are cut, with the item that each is of.
        offcuts: what is left and kept, in millimetres, with its worth in minor units.
        scrap_mm: what is left and not kept.
        keep_mm: shortest length that is kept; `worth_per_m`: of a metre, in minor units.
        gap_minor: what a better way of cutting the same pieces could save at the very most.
    """

    subject: str
    codes: tuple[str, ...]
    before: Balance
    now: Balance
    bought_before: Mapping[str, int]
    bought_now: Mapping[str, int]
    used: tuple[tuple[str, HandPiece], ...]
    offcuts: tuple[tuple[int, Fraction], ...]
    scrap_mm: int
    keep_mm: int
    worth_per_m: int
    gap_minor: Fraction

    @property
    def saved_minor(self) -> Fraction:
        """Return what the pieces on hand save."""
        return self.before.net - self.now.net


@dataclass(frozen=True)
class HandCuts:
    """A kept estimate with its cuts laid out again.

    Attributes:
        estimate: the kept estimate with the new cuts in the place of its own; never kept itself.
        lines: what changed, in the order of the cut list.
        unused: pieces on hand that no cut takes, with the item that each is of.
    """

    estimate: EstimateJson
    lines: tuple[HandLine, ...]
    unused: tuple[tuple[str, HandPiece], ...]

    @property
    def saved_minor(self) -> Fraction:
        """Return what the pieces on hand save in all."""
        return sum((line.saved_minor for line in self.lines), Fraction(0))


def hand_text(found: HandCuts) -> str:
    """Return the cut list with pieces on hand, then what is bought, used, left over and saved."""
    made, currency = found.estimate, found.estimate.currency
    parts = [f"Cut list of job {made.job.id}, revision {made.revision}, with pieces on hand"]
    if made.cuts:
        parts += ["", *cut_words.BEFORE]
    for cut in made.cuts:
        parts += ["", *cut_text(cut)]
    if made.cables:
        parts += ["", "RUNS OF CABLE", *cable_words.BEFORE]
    for cable in made.cables:
        parts += ["", *cable_text(cable, currency)]
    parts += ["", "WHAT THE PIECES ON HAND SAVE"]
    for line in found.lines:
        parts += _line(line, currency)
    if found.unused:
        parts.append("Not needed: " + ", ".join(
            f"{each.mark} ({code}, {cable_words.metres(each.length_mm)} m)"
            for code, each in found.unused))
    parts += [f"Saved in all: {_money(found.saved_minor, currency)}", STOCK, JOINTS]
    return "\n".join(parts) + "\n"


def _line(line: HandLine, currency: str) -> Iterator[str]:
    yield f"  {line.subject} ({', '.join(line.codes)})"
    if not line.used:
        yield "    no piece on hand makes it cheaper: cut as quoted"
        return
    yield f"    bought as quoted: {_bought(line.bought_before)}; now: {_bought(line.bought_now)}"
    yield "    on hand: " + ", ".join(
        f"{each.mark}, {cable_words.metres(each.length_mm)} m" for _, each in line.used)
    kept = ", ".join(f"{cable_words.metres(length)} m worth {_money(worth, currency)}"
                     for length, worth in line.offcuts) or "none"
    yield (f"    left and kept, from {cable_words.metres(line.keep_mm)} m on: {kept}; scrap: "
           f"{cable_words.metres(line.scrap_mm)} m")
    yield (f"    as quoted: {_balance(line.before, currency)}; "
           f"now: {_balance(line.now, currency)}")
    best = "no other way of cutting these pieces saves more" if line.gap_minor <= 0 else (
        f"any other way of cutting these pieces saves at most {_money(line.gap_minor, currency)} "
        "more")
    yield f"    saved: {_money(line.saved_minor, currency)}; {best}"


def _balance(each: Balance, currency: str) -> str:
    used = f" + {_money(each.used, currency)} of pieces used" if each.used else ""
    return (f"{_money(each.bought, currency)} bought{used} - {_money(each.kept, currency)} kept = "
            f"{_money(each.net, currency)}")


def _bought(counts: Mapping[str, int]) -> str:
    return ", ".join(f"{many} x {what}" for what, many in counts.items()) or "nothing"


def _money(minor: Fraction, currency: str) -> str:
    """Return an amount to the penny, and exactly beside it where it has parts of a penny."""
    shown = str(Money(round_half_up(minor), currency))
    return shown if minor.denominator == 1 else f"{shown} (exactly {_exact(minor)} pence)" if (
        currency == "GBP") else f"{shown} (exactly {_exact(minor)} minor units)"


def _exact(minor: Fraction) -> str:
    """Return a number exactly: as decimals where they end, else as a fraction."""
    rest = minor.denominator
    for prime in (2, 5):
        while rest % prime == 0:
            rest //= prime
    return plain(Decimal(minor.numerator) / Decimal(minor.denominator)) if rest == 1 else str(minor)


def hand_data(found: HandCuts) -> dict[str, Any]:
    """Return the same as plain data; money as exact text in minor units."""
    made = found.estimate
    held = made.model_dump(mode="json", include={"cuts", "cables"})
    return {
        "job": made.job.id, "revision": made.revision, "currency": made.currency,
        "saved_minor": _exact(found.saved_minor),
        "lines": [_line_data(line) for line in found.lines],
        "unused": _pieces(found.unused), **held,
    }


def _line_data(line: HandLine) -> dict[str, Any]:
    return {
        "subject": line.subject, "items": list(line.codes),
        "bought_as_quoted": dict(line.bought_before), "bought_now": dict(line.bought_now),
        "as_quoted": _balance_data(line.before), "now": _balance_data(line.now),
        "used": _pieces(line.used),
        "offcuts_kept": [{"length_mm": length, "worth_minor": _exact(worth)}
                         for length, worth in line.offcuts],
        "scrap_mm": line.scrap_mm, "keep_from_mm": line.keep_mm,
        "worth_per_m_minor": line.worth_per_m, "saved_minor": _exact(line.saved_minor),
        "gap_minor": _exact(line.gap_minor),
    }


def _balance_data(each: Balance) -> dict[str, str]:
    return {"bought_minor": _exact(each.bought), "used_minor": _exact(each.used),
            "kept_minor": _exact(each.kept), "net_minor": _exact(each.net)}


def _pieces(pieces: Sequence[tuple[str, HandPiece]]) -> list[dict[str, Any]]:
    return [{"item": code, "mark": each.mark, "length_mm": each.length_mm}
            for code, each in pieces]
