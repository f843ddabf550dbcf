"""The margin reports, with figures reckoned by hand."""

from __future__ import annotations

import pytest

from estimator.review.cells import JobsAlike, as_gap, as_share
from estimator.review.margin import margin_by
from estimator.review.report import Report


def cell(crew: str = "A", covering: str = "plain tile", jobs: int = 10, hours_gap: float = 0.0,
         cost_gap: float = 0.0, actual_minor: int = 850_000, scatter: float = 0.1) -> JobsAlike:
    """Jobs sold for 10,000.00 and reckoned at 8,500.00 each, whose gaps scatter so much."""
    def millionths(gap: float) -> tuple[int, int]:
        return (round(jobs * gap * 1_000_000),
                round(jobs * (gap**2 + scatter**2) * 1_000_000_000_000))
    return JobsAlike(
        "storage", covering, "dense brick", crew, "Sam Sample", jobs, jobs * 1_000_000,
        jobs * 850_000, jobs * actual_minor, jobs * 20_000, jobs * 20_000, 0,
        *millionths(cost_gap), jobs, *millionths(hours_gap))


def row(report: Report, name: str) -> dict[str, object]:
    keys = [column.key for column in report.columns]
    return next(dict(zip(keys, each, strict=True)) for each in report.rows if each[0] == name)


def test_margins_add_up_and_are_shares_of_what_was_sold() -> None:
    """By hand: A 10 x (10,000 - 9,000) = 10,000.00 of 100,000.00 is 10 %; B 5 x 1,500 is 15 %.
    Together 17,500.00 of 150,000.00 is 11.67 %; reckoned with 15 %."""
    report = margin_by("crew", [cell("A", actual_minor=900_000), cell("B", jobs=5)], "GBP")
    assert (row(report, "A")["margin_minor"], row(report, "A")["margin_share"]) == (1_000_000, 0.1)
    assert (row(report, "B")["margin_minor"], row(report, "B")["margin_share"]) == (750_000, 0.15)
    assert report.answer[0] == (
        "15 jobs made 17,500.00 GBP on 150,000.00 GBP: 11.7 %, and 15.0 % was reckoned with.")
    assert report.jobs == 15


def test_a_crew_of_few_jobs_is_not_ranked_and_that_is_said() -> None:
    report = margin_by("crew", [cell("C", jobs=7), cell("A"), cell("B", jobs=4), cell("D")], "GBP")
    assert [each[0] for each in report.rows][2:] == ["B", "C"]
    assert row(report, "B")["says"] == "under 8 jobs"
    assert "Not ranked, since they have fewer than 8 jobs: B and C." in report.cautions


def test_a_slow_crew_is_named_and_one_with_slow_work_is_not() -> None:
    """C has only slate, which takes 40 % longer with every crew; D takes 40 % longer at the same
    work as A. Gaps by hand: 2 x 0.4 / 2.4 = 0.3333."""
    gap = as_gap(0.4)
    assert gap == pytest.approx(0.33333, abs=1e-5)
    cells = [cell("A", jobs=30), cell("A", "slate", 10, gap), cell("B", jobs=30),
             cell("B", "slate", 10, gap), cell("C", "slate", 30, gap, actual_minor=950_000),
             cell("D", jobs=30, hours_gap=gap)]
    report = margin_by("crew", cells, "GBP")
    assert row(report, "D")["says"] == "above the others"
    assert row(report, "C")["says"] == ""
    mix = "Mix: C has the lowest margin, 5.0 %"
    assert [said for said in report.answer if said.startswith(mix)]
    coverings = margin_by("covering", [
        cell("A", jobs=30), cell("A", "slate", 30, cost_gap=gap)], "GBP")
    assert row(coverings, "slate")["says"] == "above the others"
    assert coverings.answer[1].startswith("slate costs more than the others, like with like: by ")


def test_what_is_above_the_others_but_under_its_own_standard_is_not_named() -> None:
    report = margin_by("wall", [
        cell("A", "a", 40, cost_gap=-0.3), cell("A", "b", 40, cost_gap=-0.05)], "GBP")
    assert {each[-1] for each in report.rows} <= {""}


def test_without_jobs_it_says_so() -> None:
    report = margin_by("wall", [], "GBP")
    assert (report.answer, report.rows) == (("No job was finished in the period.",), ())


def test_a_gap_and_a_share_are_each_other_s_inverse() -> None:
    """By hand: half as much again is 2 x 0.5 / 2.5 = 0.4."""
    assert as_gap(0.5) == pytest.approx(0.4)
    assert as_share(0.4) == pytest.approx(0.5)
    assert as_share(as_gap(-0.35)) == pytest.approx(-0.35)
