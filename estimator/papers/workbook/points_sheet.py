"""What is still to settle: findings worst first, parts missing, questions, open risks."""

from __future__ import annotations

from estimator.papers import words
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_parts import FindingJson
from estimator.papers.workbook.pen import Column, Formula, Page, Pence

NAME = "To settle"
COLUMNS = (
    Column("What", 10, "wrap"), Column("Says", 44, "wrap"), Column("On", 20, "wrap"),
    Column("Found", 12, "wrap"), Column("Limit", 12, "wrap"), Column("Least", 9, "money"),
    Column("Most", 9, "money"), Column("Who decides, source", 30, "wrap"),
)


def findings_worst_first(estimate: EstimateJson) -> list[FindingJson]:
    """Return the findings: stop, then caution, then fine; in rule order within each."""
    return sorted(estimate.findings, key=lambda each: words.LEVEL_ORDER.index(each.level))


def write_points(page: Page, estimate: EstimateJson) -> str:
    """Write the open points and return the cell that sums the risks, or "" without risks."""
    page.header()
    page.band(words.KIND[estimate.kind])
    for because in estimate.kind_because or ("nothing bars a firm price",):
        page.row([None, because])
    _findings(page, estimate)
    _missing(page, estimate)
    _swaps(page, estimate)
    _questions(page, estimate)
    risks = _risks(page, estimate)
    if estimate.price_holds_if:
        page.band("the price holds if")
        for says in estimate.price_holds_if:
            page.row([None, says])
    return risks


def _findings(page: Page, estimate: EstimateJson) -> None:
    page.band("findings, worst first")
    for each in findings_worst_first(estimate):
        unit = f" {each.unit}" if each.unit else ""
        page.row([
            words.LEVEL[each.level], each.says, each.subject,
            f"{each.value}{unit}" if each.value else "",
            f"{each.limit}{unit}" if each.limit else "",
            None, None, "; ".join(part for part in (each.decides, each.source) if part),
        ])
    if not estimate.findings:
        page.row([None, "none"])


def _missing(page: Page, estimate: EstimateJson) -> None:
    if estimate.gaps:
        page.band("not in the catalogue, not priced")
        for gap in estimate.gaps:
            page.row(["no item", f"{words.count(gap.quantity, 'each')} x {gap.wants}: "
                      f"{gap.because}", gap.on, None, None, None, None, f"rule {gap.rule}"])


def _swaps(page: Page, estimate: EstimateJson) -> None:
    if estimate.swaps:
        page.band("substitutes, as good in every hard field or better")
        for each in estimate.swaps:
            page.row([
                "instead", f"{each.substitute_name} ({each.substitute}) stands in for "
                f"{each.original_name} ({each.original})", each.why, None, None, None, None,
                each.by])


def _questions(page: Page, estimate: EstimateJson) -> None:
    if not estimate.questions:
        return
    page.band("questions, and what their answer may cost")
    for each in estimate.questions:
        priced = f"; priced as {words.answer(each.assumed)} meanwhile" if each.assumed else ""
        if each.worst:
            priced += f"; at worst {words.LEVEL[each.at_worst]}: {each.worst}"
        page.row([
            "ask", f"{each.asks}{priced}", each.on or each.fact, "unknown", None,
            None if each.low is None else Pence(each.low),
            None if each.high is None else Pence(each.high),
            f"waits: {', '.join(each.rules)}" if each.rules else "",
        ])


def _risks(page: Page, estimate: EstimateJson) -> str:
    """Write the open risks; column F holds the chance, column G the cost."""
    if not estimate.risks:
        return ""
    page.band("open risks: chance (left) and cost (right)")
    rows = [
        page.row(["risk", risk.because, ", ".join(risk.open_facts), None, None, risk.chance,
                  Pence(risk.cost), None], kinds={5: "share"})
        for risk in estimate.risks
    ]
    first, last = rows[0], rows[-1]
    row = page.row(
        [None, "chance times cost, in all", *[None] * 4, Formula(
            f"=ROUND(SUMPRODUCT(F{first}:F{last},G{first}:G{last}),2)",
            Pence(estimate.cost.contingency)), None],
        "sum",
    )
    return f"'{NAME}'!$G${row}"
