"""What the commands for sheets print, as text and as data."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from catalogue.stock.ledger import Move
from estimator.papers.digits import plain
from estimator.papers.words import money
from estimator.van.sheet_model import PickSheet
from estimator.workflow.picked import Read
from estimator.workflow.returned import Returned
from estimator.workflow.stock_sheet import SheetMade
from estimator.workflow.used import Used


def sheet_data(made: SheetMade) -> dict[str, Any]:
    """Return a sheet that was issued, as data."""
    return {"sheet": made.issued.name, "digest": made.issued.digest, "new": made.new,
            "file": str(made.file) if made.file else None,
            **made.sheet.model_dump(mode="json")}


def sheet_text(made: SheetMade) -> str:
    """Return what is said of a sheet that was issued."""
    sheet = made.sheet
    lines = [f"Sheet {made.issued.name}, revision {sheet.revision}"
             f"{'' if made.new else ' (issued before, nothing has changed)'}: {made.file}"]
    if isinstance(sheet, PickSheet):
        short = [row for row in sheet.rows if row.short]
        lines.append(f"  {len(sheet.rows) - len(short)} rows to pick, {len(short)} short, "
                     f"{len(sheet.boxes)} kinds of parts in boxes to count")
        lines += [f"  short: {plain(row.pick)} {row.unit} {row.item} {row.name}: {row.short}"
                  for row in short]
        load = sheet.load
        lines.append(f"  {load.van}: {plain(load.mass_kg)} kg of {plain(load.payload_kg)} kg")
        lines += [f"  NOT ENOUGH, {each.measure}: the van {each.holds}, {', '.join(each.takes)}"
                  for each in load.shared if not each.enough]
        lines += [f"  to be signed first, {each.decides}: {each.says}" for each in sheet.sign]
    else:
        lines.append(f"  {len(sheet.rows)} rows to count")
    return "\n".join(lines)


def picked_data(read: Read) -> dict[str, Any]:
    """Return what a pick sheet says, as data."""
    return {
        "sheet": read.name, "job": read.job, "by": read.by, "read_before": read.before is not None,
        "written": read.written, "moves": [_move_data(move) for move in read.moves],
        "short": [{"line": each.row.line, "item": each.row.item, "lacking": plain(each.lacking),
                   "unit": each.row.unit} for each in read.short],
        "swapped": [{"item": old, "instead": new, "quantity": plain(n)}
                    for old, new, n in read.swapped],
        "unchecked": read.unchecked,
        "boxes": [{"item": item, "expected": plain(expected), "found": plain(found)}
                  for item, expected, found in read.boxes],
    }


def picked_text(read: Read) -> str:
    """Return what a pick sheet says."""
    if read.before is not None:
        return _read_before(read.name, read.before[0], f"{read.before[1]:%Y-%m-%d}")
    lines = [f"Sheet {read.name}, picked by {read.by}", *_moves(read.moves)]
    lines += [f"  short: {plain(each.lacking)} {each.row.unit} {each.row.item} {each.row.name}"
              for each in read.short]
    lines += [f"  swapped: {plain(n)} {new} instead of {old}" for old, new, n in read.swapped]
    lines += [f"  box: {plain(found)} {item} found, {plain(expected)} expected"
              for item, expected, found in read.boxes]
    if read.unchecked:
        lines.append(f"  {read.unchecked} rows that nobody has checked")
    return "\n".join([*lines, _end(read.written)])


def returned_data(read: Returned) -> dict[str, Any]:
    """Return what a sheet of what comes back says, as data."""
    return {
        "sheet": read.name, "job": read.job, "by": read.by, "read_before": read.before is not None,
        "written": read.written, "moves": [_move_data(move) for move in read.moves],
        "fitted": [{"item": item, "serial": serial, "where": where}
                   for item, serial, where in read.fitted],
        "used": used_data(read.used),
    }


def returned_text(read: Returned) -> str:
    """Return what a sheet of what comes back says."""
    if read.before is not None:
        return "\n".join([_read_before(read.name, read.before[0], f"{read.before[1]:%Y-%m-%d}"),
                          used_text(read.used)])
    lines = [f"Sheet {read.name}, counted by {read.by}", *_moves(read.moves)]
    lines += [f"  fitted: {item} {serial}{f', {where}' if where else ''}"
              for item, serial, where in read.fitted]
    return "\n".join([*lines, used_text(read.used), _end(read.written)])


def used_data(used: Used) -> dict[str, Any]:
    """Return what a job has used, as data; money in minor units."""
    return {
        "job": used.job, "revision": used.revision, "currency": used.currency,
        "cost": used.cost_minor, "planned": used.planned_minor,
        "lines": [
            {"line": each.line or None, "item": each.item, "name": each.name, "unit": each.unit,
             "picked": plain(each.picked), "bought": plain(each.bought),
             "returned": plain(each.returned), "used": plain(each.used),
             "cost": each.cost_minor, "planned": each.planned_minor}
            for each in used.lines],
    }


def used_text(used: Used) -> str:
    """Return what a job has used, a row for each line of its bill."""
    from tabulate import tabulate

    rows = [
        [each.line or "-", each.item, each.name[:40], plain(each.picked), plain(each.bought),
         plain(each.returned), plain(each.used), each.unit,
         money(each.cost_minor, used.currency), money(each.planned_minor, used.currency)]
        for each in used.lines]
    rows.append(["", "", "ALL", "", "", "", "", "", money(used.cost_minor, used.currency),
                 money(used.planned_minor, used.currency)])
    table = tabulate(rows, ["line", "item", "what", "picked", "bought", "returned", "used", "",
                            "cost", "in the bill"], tablefmt="plain", disable_numparse=True,
                     colalign=("right", "left", "left", *["right"] * 4, "left", "right", "right"))
    return f"USED on job {used.job}: picked + bought - returned\n{table}"


def _moves(moves: tuple[Move, ...]) -> Iterator[str]:
    for move in moves:
        lot = f" of {move.lot}" if move.lot else ""
        why = f", {move.why}" if move.why else ""
        yield (f"  {move.kind:8} {plain(move.quantity):>8} {move.item}{lot}: "
               f"{move.from_place or 'outside'} -> {move.to_place or 'outside'}{why}")


def _move_data(move: Move) -> dict[str, Any]:
    return {
        "kind": move.kind, "item": move.item, "quantity": plain(move.quantity),
        "from": move.from_place, "to": move.to_place, "lot": move.lot,
        "value": move.value_minor, "why": move.why,
    }


def _read_before(name: str, by: str, day: str) -> str:
    return f"Sheet {name} was read already, on {day}, by {by}: nothing changes."


def _end(written: bool) -> str:
    return "Written." if written else "Nothing is written yet."
