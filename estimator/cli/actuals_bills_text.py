"""What `estimator actuals` prints of bills."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from catalogue.money import Money
from estimator.cli.actuals_text import columns_lines, problem_lines, so_many
from estimator.cli.catalogue_text import problem_data
from estimator.papers.digits import plain
from estimator.papers.terminal import clean, shortened, table

if TYPE_CHECKING:
    from estimator.actuals.bill_costs import Costed
    from estimator.workflow.bills import BillsImport
    from estimator.workflow.bills_settle import Settled

NAMED = 60  # most lines that the terminal names one by one
_WORDS = 34


def bills_data(done: BillsImport) -> dict[str, Any]:
    """Return what a file of bills books as data; money is in minor units."""
    return {
        "columns": done.columns.columns.to_toml(), "columns_from": done.columns.origin,
        "currency": done.currency, "written": done.written,
        "read_in_already": None if done.before is None else {
            "at": done.before[0], "by": done.before[1]},
        "bills": [_bill_data(each) for each in done.bills],
        "net_minor": done.net.minor, "cost_minor": done.cost.minor,
        "booked_already": done.already, "refused": done.refused_bills,
        "problems": [problem_data(each) for each in done.refused],
        "cautions": [problem_data(each) for each in done.cautions], "skipped": done.skipped,
    }


def _bill_data(each: Costed) -> dict[str, Any]:
    bill = each.bill
    return {
        "document": bill.document, "supplier": bill.supplier, "number": bill.number,
        "on": bill.on, "due": bill.due, "net_minor": bill.net_minor, "tax_minor": bill.tax_minor,
        "lines": [
            {"row": line.row, "kind": line.kind, "head": line.head, "job": line.job,
             "order": line.order, "order_line": line.order_line, "item": line.item,
             "name": line.name, "quantity": line.quantity, "net_minor": line.net_minor,
             "cost_minor": line.cost_minor} for line in each.lines]}


def bills_text(done: BillsImport) -> str:
    """Return what a file of bills books: columns, what is refused, each line, sums."""
    if done.before is not None:
        at, by = done.before
        return clean(f"This file was read in already on {at.date()}"
                     f"{f' by {by}' if by else ''}; nothing of it is booked twice.\n"
                     "To go through it once more: --again")
    lines = [*columns_lines(done.columns), *problem_lines(done.cautions),
             *problem_lines(done.refused)]
    rows = [
        (f"{each.bill.supplier} {each.bill.number}", line.kind, line.job or "the firm",
         shortened(line.name, _WORDS), plain(line.quantity) if line.quantity else "",
         str(Money(line.net_minor, done.currency)), str(Money(line.cost_minor, done.currency)))
        for each in done.bills for line in each.lines]
    lines += table(rows[:NAMED], "llllrrr",
                   ("bill", "kind", "for", "", "quantity", "net", "cost") if rows else ())
    if len(rows) > NAMED:
        lines.append(f"... and {len(rows) - NAMED} more lines; --json has all of them")
    lines.append(f"{so_many(len(done.bills), 'bill')} over {done.net} net; {done.cost} of it is a "
                 f"cost beside what the stock holds; {done.already} booked already, "
                 f"{done.refused_bills} refused"
                 + "".join(f", {many} {what}" for what, many in done.skipped.items()))
    lines.append("Booked." if done.written else "Nothing is booked yet.")
    return clean("\n".join(lines))


def settled_data(found: Sequence[Settled], written: bool) -> dict[str, Any]:
    """Return what is booked of goods that came after their bill as data; money in minor units."""
    return {"written": written, "settled": [
        {"supplier": each.supplier, "number": each.number, "job": each.job, "order": each.order,
         "item": each.item, "cost_minor": each.cost.minor} for each in found]}


def settled_text(found: Sequence[Settled], written: bool) -> str:
    """Return what is booked of goods that came after their bill."""
    if not found:
        return "Nothing is to be settled."
    lines = table(
        [(f"{each.supplier} {each.number}", each.job or "the firm",
          str(each.order) if each.order else "", each.item, str(each.cost)) for each in found],
        "lllrr", ("bill", "for", "order", "item", "cost"))
    lines.append("Booked." if written else "Nothing is booked yet. Add --write to book it.")
    return clean("\n".join(lines))
