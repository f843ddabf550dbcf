"""The best basket by a mixed-integer solver, where the exact search would take too many steps.

Unknowns: whether a line is bought by a choice; whether a supplier has an order; whether each of its
charges falls away; the goods beyond the need (T) of each order; whether the job waits for at least
so many days. The same cost as in `basket_cost`, and a hair on each order, all hairs together less
than one minor unit, so that of equally cheap baskets one with fewest orders is taken.

The solver reckons with floats. What it proposes is costed again in whole minor units by
`basket_cost`, and its bound is lowered by more than its tolerance and then raised to a whole minor
unit, since every basket costs a whole number of them.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from estimator.buying.basket_cost import Plan, plan_of
from estimator.buying.basket_values import NO_TERMS, BasketLine, Charge, Terms, Wanted

SEED = 1
TOLERANCE = 1e-9  # of rows and of whole numbers; the thresholds are thousands of pounds at most
SLACK_MINOR = 0.01  # more than floats and tolerance can make of a bound
MINOR_PER_UNIT = 100  # the solver reckons in pounds


@dataclass(frozen=True, slots=True)
class Limits:
    """How long the solver may take: seconds, and parts of the search tree.

    A stop by seconds hangs on the machine; the one by parts does not, and comes first on any that
    is not very slow.
    """

    seconds: float = 20.0
    parts: int = 20_000


@dataclass(frozen=True, slots=True)
class Solved:
    """What the solver found: a plan if it has one, a cost that none can beat, whether it ended."""

    plan: Plan | None
    bound_minor: int | None
    complete: bool


@dataclass
class _Model:
    """Columns and rows of the program as lists, in the order in which they are written."""

    cost: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    rows: list[tuple[float, float, dict[int, float]]] = field(default_factory=list)

    def column(self, cost: float = 0.0, upper: float = 1.0, *, whole: bool = True) -> int:
        """Add an unknown from zero up to a limit; return its place."""
        self.cost.append(cost)
        self.upper.append(upper)
        self.whole.append(whole)
        return len(self.cost) - 1

    def at_least(self, least: float, terms: Mapping[int, float]) -> None:
        """Add the row sum(terms) >= least."""
        self.rows.append((least, math.inf, dict(terms)))


def solve(
    lines: Sequence[BasketLine], terms: Mapping[str, Terms], wanted: Wanted, limits: Limits
) -> Solved:
    """Return the plan that the solver proposes, costed exactly, and its bound.

    The same lines give the same plan: they are taken in the order given, suppliers by name, with
    one thread and a fixed seed.
    """
    model, bought, suppliers = _model(lines, terms, wanted)
    values, bound, complete = _run(model, limits)
    plan = None
    if values is not None:
        taken = [[values[column] for column in each] for each in bought]
        plan = plan_of(lines, [each.index(max(each)) for each in taken], terms, wanted)
    if not math.isfinite(bound):
        return Solved(plan, None, complete)
    hairs = suppliers * _hair(suppliers) * MINOR_PER_UNIT
    return Solved(
        plan, math.ceil(bound * MINOR_PER_UNIT - hairs - SLACK_MINOR), complete)


def _hair(suppliers: int) -> float:
    """Return what an order more costs, so that all together cost less than one minor unit."""
    return 1 / (MINOR_PER_UNIT * (suppliers + 1))


def _model(
    lines: Sequence[BasketLine], terms: Mapping[str, Terms], wanted: Wanted
) -> tuple[_Model, list[list[int]], int]:
    """Return the program, for each line the columns of its choices, and the number of sellers."""
    model = _Model()
    bought = [
        [model.column(_units(choice.goods_minor)) for choice in line.choices] for line in lines
    ]
    for columns in bought:
        model.rows.append((1.0, 1.0, dict.fromkeys(columns, 1.0)))
    _lateness(model, lines, bought, wanted)
    names = sorted({choice.supplier for line in lines for choice in line.choices})
    for name in names:
        own = [
            (column, choice.goods_minor, choice.classes)
            for line, columns in zip(lines, bought, strict=True)
            for column, choice in zip(columns, line.choices, strict=True)
            if choice.supplier == name
        ]
        _supplier(model, own, terms.get(name, NO_TERMS), float(wanted.surplus_share),
                  _hair(len(names)))
    return model, bought, len(names)


def _units(minor: int) -> float:
    return minor / MINOR_PER_UNIT


def _lateness(
    model: _Model, lines: Sequence[BasketLine], bought: Sequence[Sequence[int]], wanted: Wanted
) -> None:
    """Add one unknown for each number of days late that occurs: the job waits for so many."""
    days = [[wanted.days_late(choice) for choice in line.choices] for line in lines]
    levels = sorted({late for each in days for late in each if late})
    columns: dict[int, int] = {}
    before = 0
    for level in levels:
        columns[level] = model.column(
            _units((level - before) * (wanted.late_per_day_minor or 0)))
        if before:
            model.at_least(0, {columns[before]: 1.0, columns[level]: -1.0})
        before = level
    for each, own in zip(days, bought, strict=True):
        for level in levels:
            late = {column: -1.0 for column, by in zip(own, each, strict=True) if by == level}
            if late:
                model.at_least(0, {columns[level]: 1.0, **late})


_Own = tuple[int, int, frozenset[str]]  # column, goods in minor units, classes


def _supplier(
    model: _Model, own: Sequence[_Own], terms: Terms, share: float, hair: float
) -> None:
    """Add the order of one supplier: opened by any line, its value, its charges."""
    charges = [(None, terms.order), *sorted(
        (name, charge) for name, charge in terms.classes.items()
        if any(name in classes for _, _, classes in own))]
    order = model.column(hair)
    for column, _, _ in own:
        model.at_least(0, {order: 1.0, column: -1.0})
    value = {column: _units(goods) for column, goods, _ in own}
    most = _most_surplus(terms, [charge for _, charge in charges], share)
    if most:
        surplus = _surplus(model, most, share)
        value[surplus] = 1.0
        model.at_least(0, {order: _units(most), surplus: -1.0})
    if terms.least_minor:
        model.at_least(0, {**value, order: -_units(terms.least_minor)})
    for name, charge in charges:
        if charge.minor:
            held = [column for column, _, classes in own if name is None or name in classes]
            brings = order if name is None else _opened(model, held)
            _charge(model, charge, brings, order, value)


def _most_surplus(terms: Terms, charges: Sequence[Charge], share: float) -> int:
    """Return the most goods beyond the need that can pay: for a least order or a charge saved.

    A bound close to what can pay keeps the solver's first bound close to the truth.
    """
    useful = max(terms.least_minor, *(charge.free_from_minor or 0 for charge in charges))
    if not share:
        return useful
    saved = sum(charge.minor for charge in charges if charge.free_from_minor is not None)
    return min(useful, terms.least_minor + math.ceil((saved + 1) / share))


def _surplus(model: _Model, most_minor: int, share: float) -> int:
    """Add the goods beyond the need; what counts of them is whole minor units."""
    if share == 1:
        return model.column(1.0, _units(most_minor), whole=False)
    surplus = model.column(0.0, _units(most_minor), whole=False)
    counted = model.column(1 / MINOR_PER_UNIT, float(most_minor))
    model.at_least(0, {counted: 1.0, surplus: -share * MINOR_PER_UNIT})
    return surplus


def _charge(
    model: _Model, charge: Charge, brings: int, order: int,
    value: Mapping[int, float],
) -> None:
    """Add a charge: paid with any line that brings it, unless the order reaches its value."""
    paid = model.column(_units(charge.minor))
    free: dict[int, float] = {}
    if charge.free_from_minor is not None:
        fell = model.column()
        free = {fell: 1.0}
        model.at_least(0, {**value, fell: -_units(charge.free_from_minor)})
        model.at_least(0, {order: 1.0, fell: -1.0})
    model.at_least(0, {paid: 1.0, **free, brings: -1.0})


def _opened(model: _Model, held: Sequence[int]) -> int:
    """Add whether any of these lines is bought."""
    opened = model.column()
    for column in held:
        model.at_least(0, {opened: 1.0, column: -1.0})
    return opened


def _run(model: _Model, limits: Limits) -> tuple[Sequence[float] | None, float, bool]:
    """Return the values of the columns, the bound and whether it is proven; None without any."""
    import highspy  # with numpy a tenth of a second, so only where it is needed
    import numpy as np

    program = highspy.Highs()  # type: ignore[no-untyped-call]
    program.silent()
    for option, setting in (
        ("threads", 1), ("random_seed", SEED), ("mip_rel_gap", 0.0), ("mip_abs_gap", 0.0),
        ("time_limit", limits.seconds), ("mip_max_nodes", limits.parts),
        ("mip_feasibility_tolerance", TOLERANCE), ("primal_feasibility_tolerance", TOLERANCE),
    ):
        program.setOptionValue(option, setting)
    program.passModel(_as_lp(model, highspy, np))
    program.run()
    ended = program.getModelStatus() == highspy.HighsModelStatus.kOptimal
    info = program.getInfo()
    found = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    values = list(program.getSolution().col_value) if found else None
    return values, float(info.mip_dual_bound), ended


def _as_lp(model: _Model, highspy: Any, np: Any) -> Any:
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = len(model.cost), len(model.rows)
    lp.col_cost_ = np.array(model.cost)
    lp.col_lower_, lp.col_upper_ = np.zeros(len(model.cost)), np.array(model.upper)
    lp.row_lower_ = np.array([least for least, _, _ in model.rows])
    lp.row_upper_ = np.array([most for _, most, _ in model.rows])
    entries = [sorted(terms.items()) for _, _, terms in model.rows]
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.cumsum([0, *(len(each) for each in entries)])
    lp.a_matrix_.index_ = np.array([column for each in entries for column, _ in each])
    lp.a_matrix_.value_ = np.array([value for each in entries for _, value in each])
    kinds = highspy.HighsVarType
    lp.integrality_ = [kinds.kInteger if whole else kinds.kContinuous for whole in model.whole]
    return lp
