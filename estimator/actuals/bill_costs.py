"""A bill held against orders, deliveries and jobs, and what each of its lines costs whom.

    goods of an order      the difference to what they were taken in at (`matching`)
    goods without one      what they charge: of the job they name, else of the firm
    carriage, and other charges of an order that name no job
                           to the jobs of the order by the value of its lines, the shelf's share to
                           the firm: the ledger of stock holds no carriage
    the rest               what they charge: of the job they name, else of the firm

Codes of the problems: Z234 charged twice, Z235 a head that there is not, Z236 the order, Z237 its
line, Z238 an item, Z239 a job. Cautions: Z246 charged and not come, Z247 more carriage than the
order says, Z248 a price that is far from the order's, Z249 a cost of no job.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from fractions import Fraction

from catalogue.price_lists.faults import Fault
from catalogue.problems import suggestion
from estimator.actuals.bill_rows import amount
from estimator.actuals.bills import KINDS, NOTHING, Bill, BillLine
from estimator.actuals.matching import FIRM, Pool, split
from estimator.buying.ordering import OrderLine
from estimator.buying.receiving import Placed

FAR = 5  # times the order's price, or a part of it: common practice, no source
Key = tuple[str, str, str]  # "order", number, line; or "site", job, item


@dataclass(frozen=True, slots=True)
class BookedLine:
    """One line as it is booked; job "" is the firm. See `catalogue.tables.job_record`."""

    row: int
    kind: str
    head: str
    job: str
    order: int | None
    order_line: int | None
    item: str
    name: str
    quantity: Decimal
    net_minor: int
    cost_minor: int


@dataclass(frozen=True, slots=True)
class Before:
    """When a bill was booked already, what it charged, and the file that it was read from."""

    on: date
    net_minor: int
    file: str
    digest: str = ""


@dataclass
class Books:
    """What bills are held against; pools and carriage grow with each bill that is costed.

    Attributes:
        jobs: all jobs.
        items: code of an item -> its cost head.
        heads: cost heads that there are.
        theirs: supplier (small letters) and part number -> code of the item.
        orders: by number; those that the bills name and that there are.
        booked: bills that are booked, by `Bill.key`.
        pools: what came against what was charged.
        carriage: order -> carriage that was charged so far.
    """

    jobs: Mapping[str, str]
    items: Mapping[str, str]
    heads: frozenset[str]
    theirs: Mapping[tuple[str, str], str] = field(default_factory=dict)
    orders: Mapping[int, Placed] = field(default_factory=dict)
    booked: Mapping[tuple[str, str], Before] = field(default_factory=dict)
    pools: dict[Key, Pool] = field(default_factory=dict)
    carriage: dict[int, int] = field(default_factory=dict)


@dataclass
class Costed:
    """A bill with its lines as they are booked, and what should be looked at, by row."""

    bill: Bill
    lines: list[BookedLine] = field(default_factory=list)
    cautions: list[tuple[int, Fault]] = field(default_factory=list)

    @property
    def cost_minor(self) -> int:
        """Return what of it is a cost beside the ledger, of jobs and firm."""
        return sum(line.cost_minor for line in self.lines)


def faults_of(bill: Bill, books: Books) -> Iterator[tuple[int, str, Fault]]:
    """Yield what is wrong with a bill, by row and field."""
    there = books.booked.get(bill.key)
    if there is not None:
        source = f"from {there.file}" if there.file else "by hand"
        yield bill.lines[0].row, "number", Fault(
            "Z234", f"{bill.supplier} has charged {bill.number} before: {amount(there.net_minor)} "
            f"of {there.on}, booked {source}", "look whether it is the same paper; nothing is "
            "booked twice")
    for line in bill.lines:
        if line.job and line.job not in books.jobs:
            yield line.row, "job", Fault("Z239", f"there is no job '{line.job}'", suggestion(
                line.job, books.jobs) or "its id is as in: estimator jobs list")
        if line.head and line.head not in books.heads:
            yield line.row, "head", Fault(
                "Z235", f"'{line.head}' is no cost head", suggestion(line.head, books.heads))
        if line.item and line.item not in books.items:
            yield line.row, "item", Fault(
                "Z238", f"there is no item '{line.item}'", suggestion(line.item, books.items)
                or "find its code: estimator catalogue find WORDS")
        if line.order is not None:
            yield from _order_faults(line, bill, books)


def _order_faults(
    line: BillLine, bill: Bill, books: Books
) -> Iterator[tuple[int, str, Fault]]:
    placed = books.orders.get(line.order or 0)
    if placed is None:
        yield line.row, "order", Fault("Z236", f"there is no order {line.order}",
                                       "see them: estimator orders list")
        return
    supplier = placed.order.supplier
    if " ".join(supplier.casefold().split()) != bill.key[0]:
        yield line.row, "order", Fault(
            "Z236", f"order {line.order} went to {supplier}, and {bill.supplier} charges it",
            "put the order or the supplier right")
        return
    if line.kind != "goods" or _is_for_all(line):
        return
    found = _lines_of(line, placed, books)
    if len(found) != 1:
        yield line.row, "order_line", _no_line(line, placed, len(found))
    elif line.job and line.job not in (jobs := dict(recipients(placed, found[0]))):
        named = ", ".join(job or "the shelf" for job in jobs)
        yield line.row, "job", Fault(
            "Z239", f"order {line.order}, line {found[0].line}, is for {named}, not {line.job}",
            "leave the job out, or order goods for it")


def _no_line(line: BillLine, placed: Placed, many: int) -> Fault:
    lines = len(placed.order.lines)
    of = f"line {line.order_line}" if line.order_line else (
        line.item or line.supplier_code or "these goods")
    if many:
        return Fault("Z237", f"order {line.order} has {many} lines of {of}",
                     "say which: the column of the order's line")
    return Fault("Z237", f"order {line.order} has nothing like {of}",
                 f"its lines are 1 to {lines}: estimator orders show {line.order}")


def _is_for_all(line: BillLine) -> bool:
    """Return whether a line of goods is about a whole order: a discount, or a surcharge."""
    return not (line.order_line or line.item or line.supplier_code or line.quantity)


def _lines_of(line: BillLine, placed: Placed, books: Books) -> list[OrderLine]:
    """Return the lines of an order that a line of a bill may mean."""
    lines = list(placed.order.lines)
    if line.order_line is not None:
        lines = [each for each in lines if each.line == line.order_line]
    if line.item:
        lines = [each for each in lines if each.item == line.item]
    theirs = line.supplier_code.casefold()
    if theirs and len(lines) > 1:
        lines = [each for each in lines if each.supplier_code.casefold() == theirs]
    return lines


def recipients(placed: Placed, line: OrderLine) -> list[tuple[str, Decimal]]:
    """Return for whom a line of an order is: jobs with their quantities, and the shelf's rest."""
    if placed.order.to.job:
        return [(placed.order.to.job, line.quantity)]  # it stands in the ledger as this job's
    found: dict[str, Decimal] = {}
    for each in line.jobs:
        found[each.job] = found.get(each.job, NOTHING) + each.quantity
    rest = line.quantity - sum(found.values(), NOTHING)
    return [*found.items(), *([(FIRM, rest)] if rest > 0 else [])]


def costed(bill: Bill, books: Books) -> Costed:
    """Return a sound bill as it is booked; the pools grow with it."""
    done = Costed(bill)
    for line in bill.lines:
        placed = books.orders.get(line.order or 0)
        if placed is not None and (line.kind == "goods" and not _is_for_all(line)):
            _of_order(done, line, placed, books)
        elif placed is not None and not line.job:
            _over_order(done, line, placed, books)
        else:
            _of_job(done, line, books)
        if line.job and books.jobs[line.job] in ("open", "declined"):
            done.cautions.append((line.row, Fault(
                "Z249", f"job {line.job} is {books.jobs[line.job]}, and this is booked on it",
                "look whether another job is meant")))
    return done


def _of_order(done: Costed, line: BillLine, placed: Placed, books: Books) -> None:
    """Book goods of an order: to its jobs what they differ from what they were taken in at."""
    (ordered,) = _lines_of(line, placed, books)
    pool = books.pools["order", str(line.order), str(ordered.line)]
    costs = pool.charge(line.quantity, line.net_minor)
    weights = [weight for _, weight in pool.recipients]
    nets = split(line.net_minor, weights)
    quantities = split(int(line.quantity * 1000), weights)
    for (job, _), net, milli in zip(pool.recipients, nets, quantities, strict=True):
        done.lines.append(BookedLine(
            line.row, "goods", line.head or books.items[ordered.item], job, line.order,
            ordered.line, ordered.item, line.name or ordered.name, Decimal(milli) / 1000, net,
            costs[job]))
    if pool.not_come:
        done.cautions.append((line.row, Fault(
            "Z246", f"{pool.not_come:f} of {ordered.item} are charged and have not come (order "
            f"{line.order}, line {ordered.line})", "they cost nothing until they come; do not pay "
            "for them unseen")))
    _look_at_price(done, line, ordered)


def _look_at_price(done: Costed, line: BillLine, ordered: OrderLine) -> None:
    if line.quantity <= 0 or not ordered.price_minor:
        return
    usual = Fraction(ordered.price_minor) / Fraction(ordered.per)
    asked = Fraction(line.net_minor) / Fraction(line.quantity)
    if usual / FAR <= asked <= usual * FAR:
        return
    done.cautions.append((line.row, Fault(
        "Z248", f"one {ordered.item} is charged at {amount(round(asked))} and was ordered at "
        f"{amount(round(usual))}", f"look whether the quantity counts packs of {ordered.pack:f}; "
        "it is in units of the item")))


def _over_order(done: Costed, line: BillLine, placed: Placed, books: Books) -> None:
    """Book what is charged for a whole order: to its jobs by the value of its lines."""
    weights: dict[tuple[str, str], Fraction] = {}
    for ordered in placed.order.lines:
        head = books.items[ordered.item] if line.kind == "goods" else KINDS[line.kind]
        for job, quantity in recipients(placed, ordered):
            share = Fraction(ordered.cost_minor) * Fraction(quantity) / Fraction(ordered.quantity)
            key = (job, line.head or head)
            weights[key] = weights.get(key, Fraction(0)) + share
    if not any(weights.values()):
        weights = dict.fromkeys(weights, Fraction(1))
    for (job, head), net in zip(
            weights, split(line.net_minor, list(weights.values())), strict=True):
        done.lines.append(BookedLine(line.row, line.kind, head, job, line.order, None, "",
                                     line.name or line.kind, NOTHING, net, net))
    if line.kind == "carriage" and line.order is not None:
        books.carriage[line.order] = books.carriage.get(line.order, 0) + line.net_minor
        more = books.carriage[line.order] - placed.order.carriage_minor
        if more > 0:
            done.cautions.append((line.row, Fault(
                "Z247", f"{amount(books.carriage[line.order])} of carriage are charged for order "
                f"{line.order}, which says {amount(placed.order.carriage_minor)}: {amount(more)} "
                "more", "ask the supplier; it is booked as charged")))


def _of_job(done: Costed, line: BillLine, books: Books) -> None:
    """Book what is charged without an order, or for a job that it names."""
    item = line.item or books.theirs.get((done.bill.key[0], line.supplier_code.casefold()), "")
    head = line.head or books.items.get(item, "") or KINDS[line.kind]
    cost = line.net_minor
    pool = books.pools.get(("site", line.job, item)) if line.kind == "goods" else None
    if pool is not None:
        cost = pool.charge(line.quantity, line.net_minor)[line.job]
    done.lines.append(BookedLine(
        line.row, line.kind, head, line.job, line.order, None, item, line.name or line.kind,
        line.quantity, line.net_minor, cost))
    if not line.job:
        done.cautions.append((line.row, Fault(
            "Z249", f"{amount(line.net_minor)} of {line.name or line.kind} name no job, and are a "
            "cost of the firm", "name the job, or the order, if they are for one")))
