"""From the drums of a finished estimate to their JSON form; nothing is computed but the marks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from math import ceil

from estimator.bill import BillLine
from estimator.buying.drums import Length, RunsBought
from estimator.buying.purchase import cut_to_measure
from estimator.papers import contract_cuts as c
from estimator.rules.run_lengths import Run


def cables_json(lines: Sequence[BillLine]) -> tuple[c.CableJson, ...]:
    """Return the runs and drums of each line; drums are numbered from 1 in the order of the bill.

    A drum that only a least quantity asks for serves no run and is left out: it is on the bill.
    """
    found: list[c.CableJson] = []
    for line in lines:
        if line.laid is not None:
            found.append(_cable(line, line.laid, 1 + sum(len(each.drums) for each in found)))
    return tuple(found)


def _cable(line: BillLine, laid: RunsBought, first: int) -> c.CableJson:
    held = [length for length in laid.lengths if length.runs]
    return c.CableJson(
        line=line.line, item=line.item.code, name=line.item.name, held=line.item.held,
        option=line.option,
        drums=tuple(_drum(length, line.runs, n) for n, length in enumerate(held, start=first)),
        too_long=tuple(_run(line.runs[at], _mm_up(line.runs[at].length * (1 + line.item.waste)))
                       for at in laid.too_long),
        longest_mm=None if laid.longest is None else _mm(laid.longest))


def _drum(length: Length, runs: Sequence[Run], number: int) -> c.DrumJson:
    offer = length.offer
    return c.DrumJson(
        number=number, supplier=offer.supplier, supplier_code=offer.supplier_code,
        length_mm=(whole := _mm(length.length)), cut_to_measure=cut_to_measure(offer),
        cut_charge=None if offer.cut_charge is None else offer.cut_charge.minor,
        runs=tuple(_taken(length, runs)), rest_mm=whole - sum(map(_mm, length.runs)))


def _taken(length: Length, runs: Sequence[Run]) -> Iterator[c.CableRunJson]:
    mark = 0
    for at, run in zip(length.at, length.runs, strict=True):
        long = _mm(run)
        yield _run(runs[at], long, mark, mark + long)
        mark += long


def _run(run: Run, long: int, start: int | None = None, end: int | None = None) -> c.CableRunJson:
    return c.CableRunJson(label=run.label, rule=run.rule, on=run.on, number=run.number, of=run.of,
                          length_mm=long, from_mm=start, to_mm=end)


def _mm(metres: Decimal) -> int:
    """Return the whole millimetres of a length; runs that are laid out are whole ones already."""
    return int(metres * 1000)


def _mm_up(metres: Decimal) -> int:
    """Return whole millimetres that hold a length."""
    return ceil(metres * 1000)
