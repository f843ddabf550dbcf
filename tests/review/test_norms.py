"""Hours worked against hours reckoned, by task group."""

from __future__ import annotations

from estimator.review.norms import Timed, norms


def timed(group: str, covering: str = "plain tile", crew: str = "A", jobs: int = 20,
          hours_gap: float = 0.0, wall: str = "dense brick", scatter: float = 0.1) -> Timed:
    """Jobs of 10 h reckoned each, worked by as much more as their gap says."""
    worked = round(jobs * 10_000 * (2 + hours_gap) / (2 - hours_gap))
    return Timed(group, covering, wall, crew, jobs, jobs * 10_000, worked,
                 round(jobs * hours_gap * 1_000_000),
                 round(jobs * (hours_gap**2 + scatter**2) * 1_000_000_000_000))


def test_a_slow_covering_is_named_for_roof_work_and_the_crew_that_has_it_is_not() -> None:
    """Gap 2/7 is 2 + 2/7 over 2 - 2/7, a third more. Slate: 40 of 80 jobs, 533.3 h for 400."""
    gap = 2 / 7
    report = norms([
        timed("roof", crew="A"), timed("roof", crew="B"), timed("roof", "slate", "B", 10, gap),
        timed("roof", "slate", "C", 30, gap), timed("site", "slate", "C", 30)], "GBP", 80)
    says = dict(zip(report.column("what"), report.column("says"), strict=True))
    assert says["roof, slate"] == "above the others"
    assert {says[f"roof, crew {crew}"] for crew in "ABC"} == {""}
    assert says["site, all jobs"] == ""
    over = dict(zip(report.column("what"), report.column("over_share"), strict=True))
    assert round(float(str(over["roof, slate"])), 4) == 0.3333
    assert report.answer[1].startswith("Roof work, covering slate: ")
    assert "40 jobs); 33.3 % over its own standard." in report.answer[1]
    assert report.answer[2].startswith("5 pairs of task group and covering, wall or crew")


def test_few_jobs_are_listed_last_and_said_to_be_few() -> None:
    report = norms([timed("storage", crew="A", wall="stone", jobs=3, hours_gap=0.4),
                    timed("storage", crew="A", wall="brick")], "GBP", 23)
    assert report.column("what") == ("storage, all jobs", "storage, brick", "storage, stone")
    assert report.rows[-1][-1] == "under 8 jobs"
    assert report.answer[-1] == "Not ranked anywhere where they have fewer than 8 jobs: stone."


def test_without_hours_it_says_so() -> None:
    assert norms([], "GBP", 4).answer == (
        "No finished job of the period has hours reckoned and worked.",)
