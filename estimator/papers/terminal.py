"""The summary of a quoted job for the terminal: readable at 100 columns, without colour."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from estimator.papers import words
from estimator.papers.digits import plain
from estimator.papers.packs import packs

if TYPE_CHECKING:
    from estimator.papers.contract import EstimateJson
    from estimator.papers.contract_parts import LineJson, QuestionJson

WIDTH = 100
BETWEEN = 2  # blanks between two columns of a table
INDENT = "  "

Row = Sequence[str]


def summary(estimate: EstimateJson, written: Sequence[str] = ()) -> str:
    """Return the summary of an estimate.

    Args:
        estimate: what to tell.
        written: the files that were written, as the reader may name them.
    """
    blocks = (
        _job(estimate), _bill(estimate), _swaps(estimate), _back(estimate), _walls(estimate),
        _hours(estimate), _cost(estimate), _price(estimate), _grave_findings(estimate),
        _missing(estimate), _questions(estimate), _written(written), [words.DEFERRAL],
    )
    return clean("\n\n".join("\n".join(block) for block in blocks if block)) + "\n"


def clean(text: str) -> str:
    """Return the text without control characters, which could move the cursor or hide lines."""
    return "".join(sign if sign == "\n" or sign.isprintable() else "?" for sign in text)


def table(rows: Iterable[Row], align: str, headings: Row = ()) -> list[str]:
    """Return rows as lines; `align` holds l or r for each column."""
    held = [[" ".join(cell.splitlines()).strip() for cell in row] for row in rows]
    if not held:
        return []
    # Columns this plain are set here: to load a library for them takes longer than all the rest.
    held = [list(headings), *held] if headings else held
    widths = [max(map(len, column)) for column in zip(*held, strict=True)]
    return [
        (INDENT + (BETWEEN * " ").join(
            cell.rjust(width) if side == "r" else cell.ljust(width)
            for cell, width, side in zip(row, widths, align, strict=True)
        )).rstrip() for row in held
    ]


def wrapped(text: str, first: str, width: int = WIDTH) -> list[str]:
    """Return a text broken into lines, the first led by `first`, the others set below it."""
    flat = " ".join(text.split())
    return textwrap.wrap(flat, width, initial_indent=first, subsequent_indent=" " * len(first))


def shortened(text: str, width: int) -> str:
    """Return a text on one line, its end left out if it is wider."""
    flat = " ".join(text.split())
    return flat if len(flat) <= width else flat[: width - 3].rstrip() + "..."


def _job(estimate: EstimateJson) -> list[str]:
    job, price = estimate.job, estimate.price
    title = f": {job.title}" if job.title else ""
    where = ", ".join(part for part in (job.customer, job.address) if part)
    lines = wrapped(f"Job {job.id}, revision {estimate.revision}{title}", "")
    if where:
        lines += wrapped(where, "")
    lines += wrapped(
        f"prices of {words.day(estimate.on)}, valid until {words.day(price.valid_until)} "
        f"({price.valid_because})", "",
    )
    lines += ["", *wrapped(f"{words.KIND[estimate.kind]}: {_price_in_short(estimate)}", "")]
    for because in estimate.kind_because:
        lines += wrapped(because, f"{INDENT}because ")
    return lines


def _price_in_short(estimate: EstimateJson) -> str:
    if estimate.kind == "firm":
        return f"{words.money(estimate.price.gross, estimate.currency)} with VAT"
    span = estimate.price_range
    more = "; some answers cannot be priced yet, it may be more" if span.open_ended else ""
    return f"{words.between(span.low, span.high, estimate.currency)} with VAT{more}"


def _bill(estimate: EstimateJson) -> list[str]:
    rows: list[Row] = []
    kept = [line for line in estimate.lines if not line.option]
    for head, lines in groupby(kept, key=lambda line: line.head):
        held = list(lines)
        amount = words.money(sum(line.cost for line in held), estimate.currency)
        rows.append(("", head.upper(), "", "", "", amount, ""))
        rows.extend(_line(line, estimate.currency) for line in held)
    options = [line for line in estimate.lines if line.option]
    if options:
        rows.append(("", "OPTIONS, NOT IN THE PRICE", "", "", "", "", ""))
        rows.extend(_line(line, estimate.currency) for line in options)
    headings = ("to buy", "what", "needed", "boxed", "packs", "cost", "line")
    return ["BILL", *table(_fitted(rows, headings, 1), "rlrrlrr", headings)]


def _fitted(rows: Sequence[Row], headings: Row, names: int) -> list[Row]:
    """Return the rows with the names cut to what the other columns leave of the width."""
    others = [
        max(len(row[at]) for row in (headings, *rows)) for at in range(len(headings)) if at != names
    ]
    room = max(12, WIDTH - len(INDENT) - sum(others) - BETWEEN * len(others))
    return [(*row[:names], shortened(row[names], room), *row[names + 1:]) for row in rows]


def _line(line: LineJson, currency: str) -> Row:
    cost = "NO PRICE" if line.offer is None and line.buy > 0 else words.money(line.cost, currency)
    return (
        words.count(line.buy, line.unit), line.name, words.measure(line.need),
        words.measure(line.boxed) if line.boxed else "", packs(line), cost, str(line.line),
    )


def _swaps(estimate: EstimateJson) -> list[str]:
    lines: list[str] = []
    for each in estimate.swaps:
        said = "; ".join(part for part in (each.why, each.by) if part)
        lines += wrapped(
            f"{each.substitute_name} ({each.substitute}) stands in for {each.original_name} "
            f"({each.original}){f': {said}' if said else ''}", INDENT)
    return ["SUBSTITUTES, as good in every hard field or better", *lines] if lines else []


def _back(estimate: EstimateJson) -> list[str]:
    rows: list[Row] = [
        (str(each.quantity), each.name, each.item, f"of {each.boxed} in boxes")
        for each in estimate.surplus
    ]
    fitted = _fitted(rows, ("", "", "", ""), 1)
    return ["COMES BACK TO THE STORE", *table(fitted, "rlll")] if rows else []


def _walls(estimate: EstimateJson) -> list[str]:
    lines: list[str] = []
    for wall in estimate.walls:
        things = [each.name for each in wall.placed if each.kind == "converter"]
        modules = len(wall.placed) - len(things)
        if modules:
            things.insert(0, f"{modules} module{'' if modules == 1 else 's'}")
        lines += wrapped(
            f"wall of the {wall.subject}, {wall.width_mm} x {wall.height_mm} mm: "
            f"{' and '.join(things)} set out, coordinates in the workbook", INDENT)
    return ["ON THE WALL", *lines] if lines else []


def _hours(estimate: EstimateJson) -> list[str]:
    hours = estimate.hours
    rows: list[Row] = [(words.hours(each.hours), each.group) for each in hours.by_group]
    rows += [
        (words.hours(hours.mean), "person-hours, mean"),
        (words.hours(hours.p80), "person-hours not exceeded in 80 of 100 such jobs"),
        (words.hours(hours.elapsed), "on site by the clock: "
         f"{plain(hours.days)} day{'' if hours.days == 1 else 's'}, up to {hours.crew} people"),
    ]
    return ["HOURS", *table(rows, "rl")]


def _cost(estimate: EstimateJson) -> list[str]:
    from estimator.cost import CARRIAGE_HEAD  # the list of jobs needs none of it

    cost = estimate.cost
    carriage = sum(each.amount for each in cost.heads if each.head == CARRIAGE_HEAD)
    of_them = f", {words.money(carriage, estimate.currency)} of it carriage" if carriage else ""
    steps = (
        (cost.materials, f"materials{of_them}"), (cost.waste, "waste"),
        (cost.bought_in, "bought in"),
        (cost.labour, "labour"), (cost.contingency, "open risks"), (cost.warranty, "warranty"),
        (cost.direct, "DIRECT COST"), (cost.overhead, "overhead"), (cost.total, "FULL COST"),
    )
    rows = [(words.money(amount, estimate.currency), what) for amount, what in steps]
    return ["COST (office only)", *table(rows, "rl")]


def _price(estimate: EstimateJson) -> list[str]:
    price, currency = estimate.price, estimate.currency
    rows: list[Row] = []
    if price.discount:
        rows += [
            (words.money(price.list_net, currency), "list price"),
            (words.money(-price.discount.amount, currency),
             shortened(f"discount: {price.discount.reason}, {price.discount.name}", 60)),
        ]
    rows.append((words.money(price.net, currency), "price, net"))
    rows += [
        (words.money(each.vat, currency),
         f"VAT at {words.rate(each.rate)} on {words.money(each.net, currency)}")
        for each in price.vat
    ]
    rows.append((words.money(price.gross, currency), "PRICE WITH VAT"))
    lines = ["PRICE", *table(rows, "rl")]
    lines += wrapped(
        f"net margin {words.percent(price.margin)}, contribution "
        f"{words.percent(price.contribution)}; {words.SIGNED_BY.get(price.signed_by, '')}", INDENT,
    )
    for caution in price.cautions:
        lines += wrapped(caution, f"{INDENT}look at: ")
    return lines


def _findings(estimate: EstimateJson, levels: Sequence[str] = words.LEVEL_ORDER) -> list[str]:
    lines: list[str] = []
    for level in levels:
        for each in (found for found in estimate.findings if found.level == level):
            unit = f" {each.unit}" if each.unit else ""
            measured = f" ({each.value}{unit}, limit {each.limit}{unit})" if each.limit else ""
            lines += wrapped(
                f"{each.subject}: {each.says.rstrip('.')}{measured}. Decides: {each.decides}. "
                f"Source: {each.source}", f"{INDENT}{words.LEVEL[level]:<8}",
            )
            if each.let_pass_by:
                lines += wrapped(f"let pass by {each.let_pass_by}: {each.let_pass_because}",
                                 INDENT + " " * 8)
            elif level == "stop":
                lines.append(f"{INDENT}{'':<8}code {each.code}")
            if each.signed:
                lines.append(f"{INDENT}{'':<8}name, signature, date: {'_' * 40}")
    return ["FINDINGS, worst first", *lines] if lines else []


def _grave_findings(estimate: EstimateJson) -> list[str]:
    """Return stops and cautions, and how many checks found nothing amiss."""
    lines = _findings(estimate, words.LEVEL_ORDER[:2])
    fine = sum(each.level == "fine" for each in estimate.findings)
    if not fine:
        return lines
    counted = f"{fine} more check{'s' if fine > 1 else ''}: fine (estimator check lists them)"
    return [*(lines or ["FINDINGS"]), f"{INDENT}{counted}"]


def _worked(estimate: EstimateJson) -> list[str]:
    lines: list[str] = []
    for each in estimate.worked:
        way = f" ({each.method})" if each.method else ""
        lines += wrapped(f"{each.subject}: {each.says.rstrip('.')}{way}. Source: {each.source}",
                         INDENT)
        figures = "; ".join(f"{one.name} {one.value} {one.unit}".rstrip() for one in each.sums)
        lines += wrapped(figures, INDENT * 3) if figures else []
    return ["WORKED OUT", *lines] if lines else []


def findings_report(estimate: EstimateJson) -> str:
    """Return what was found, what is still to be asked and worked out, without bill or price."""
    blocks = (_job(estimate), _findings(estimate), _missing(estimate), _questions(estimate),
              _worked(estimate), [words.DEFERRAL])
    return clean("\n\n".join("\n".join(block) for block in blocks if block)) + "\n"


def _missing(estimate: EstimateJson) -> list[str]:
    lines: list[str] = []
    for gap in estimate.gaps:
        lines += wrapped(
            f"{plain(gap.quantity)} x {gap.wants}: {gap.because} (rule {gap.rule})", INDENT)
    return ["NOT IN THE CATALOGUE, not priced", *lines] if lines else []


def _questions(estimate: EstimateJson) -> list[str]:
    lines: list[str] = []
    for each in estimate.questions:
        on = f"{each.on}: " if each.on else ""
        lines += wrapped(f"{on}{each.asks} {' '.join(_worth(each, estimate))}", f"{INDENT}? ")
    return ["QUESTIONS, and what the answer may cost", *lines] if lines else []


def _worth(each: QuestionJson, estimate: EstimateJson) -> Iterator[str]:
    if each.low is not None and each.high is not None:
        low, high = (words.money(minor, estimate.currency) for minor in (each.low, each.high))
        yield f"[{low} to {high}]"
    elif not each.assumed:
        yield "[cost cannot be told yet]"
    if each.assumed:
        yield f"[priced as {words.answer(each.assumed)} meanwhile]"
    if each.worst:
        yield f"(at worst {words.LEVEL[each.at_worst]}: {each.worst.rstrip('.')})"
    yield f"({each.fact})"


def _written(written: Sequence[str]) -> list[str]:
    return ["WRITTEN", *(f"{INDENT}{name}" for name in written)] if written else []
