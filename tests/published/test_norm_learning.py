"""What finished jobs say of norms, against closed forms, brute force and drawn jobs with truths.

The posterior is worked out again on a plain grid by NumPy and SciPy; jobs are drawn by NumPy.
"""

from __future__ import annotations

from dataclasses import replace
from math import exp, log, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from estimator.labour.norms import standard_norms
from estimator.learning.booked import JobBooked, Seen, seen_on
from estimator.learning.learned import Learned, learned
from estimator.learning.proposals import crews
from estimator.learning.ratios import BEFOREHAND, job_luck, ratios
from estimator.outcome.few_jobs import pulled_together
from tests.factories import ON

NORMS = standard_norms()
ROOF = ("rail", "panel-clamp", "roof-entry", "set-out", "panels-to-scaffold")


def one(job: str, unit: str, ratio: float, nest: str = "", crew: str = "A") -> Seen:
    return Seen(job, crew, "task", unit, "roof", nest, 10.0, log(ratio), (unit,))


# --- shrinking -------------------------------------------------------------------------------


@pytest.mark.parametrize(("jobs", "weight", "factor"), [(4, 0.39, 1.12), (30, 0.83, 1.25)])
def test_the_worked_example_of_a_ratio_of_1_30(jobs: int, weight: float, factor: float) -> None:
    # Worked example, invented figures: one job scatters by .30, the norms among each other by .12:
    # w = n / (n + .30^2 / .12^2); the factor is 1 + w x .30, printed to two places.
    w = jobs / (jobs + 0.30**2 / 0.12**2)
    assert round(w, 2) == weight
    assert round(1 + w * 0.30, 2) == factor
    # The same from the program, which holds no single scatter for true: three hundred norms that
    # lie .12 apart leave hardly another one, so that the mean of all is 1.00 and the weight is w.
    spread = sqrt(0.12**2 + 0.30**2 / jobs)
    others = [1 + spread * float(stats.norm.ppf((at + 0.5) / 300)) for at in range(300)]
    (likely, _, told), *_ = pulled_together([1.30, *others], [0.30**2 / jobs] * 301, 0.30)
    assert told == pytest.approx(w, abs=0.01)
    assert likely == pytest.approx(factor, abs=0.006)


def grid_posterior(means: list[float], variances: list[float], scale: float
                   ) -> list[tuple[float, float]]:
    """Return mean and deviation of each true mean: the whole posterior on one grid, by brute force.

    Over scatter t (half-Cauchy) and middle m (flat) the true means are independent and normal.
    """
    t = scale * np.tan(np.pi * (np.arange(400) + 0.5) / 800)
    m = np.linspace(min(means) - 2, max(means) + 2, 801)
    density = np.ones((len(t), len(m)))
    for mean, variance in zip(means, variances, strict=True):
        density *= stats.norm.pdf(mean, m[None, :], np.sqrt(variance + t[:, None] ** 2))
    density /= density.sum()
    found = []
    for mean, variance in zip(means, variances, strict=True):
        w = t[:, None] ** 2 / (t[:, None] ** 2 + variance)
        likely = w * mean + (1 - w) * m[None, :]
        first = float((density * likely).sum())
        second = float((density * (likely**2 + w * variance)).sum())
        found.append((first, sqrt(second - first**2)))
    return found


@pytest.mark.parametrize("seed", range(4))
def test_coverings_within_a_task_have_the_posterior_of_a_brute_force_grid(seed: int) -> None:
    source = np.random.default_rng(seed)
    seen = [one(f"{nest}{at}", "rail", float(np.exp(source.normal(shift, 0.2))), nest)
            for nest, shift, jobs in (("slate", 0.3, 9), ("pantile", 0.0, 14), ("plain", 0.1, 4))
            for at in range(jobs)]
    (unit,) = ratios(seen)
    logs = {nest: [s.log_ratio for s in seen if s.nest == nest] for nest in sorted(unit.nests)}
    # The variance within coverings, as in the analysis of variance; one task alone is its own
    # comparison, so that it is left as it is.
    variance = sum(float(np.var(v)) * len(v) for v in logs.values()) / (len(seen) - len(logs))
    half_error = variance**2 / 2
    theirs = grid_posterior(
        [float(np.mean(v)) + variance / 2 for v in logs.values()],
        [variance / len(v) + half_error / (BEFOREHAND + len(v) - 1) for v in logs.values()],
        sqrt(variance))
    for ratio, (mean, deviation) in zip(unit.nests.values(), theirs, strict=True):
        assert ratio.log_likely == pytest.approx(mean, abs=2e-3)
        assert ratio.error == pytest.approx(deviation, abs=2e-3)


def test_the_luck_of_jobs_and_of_tasks_is_told_apart() -> None:
    source = np.random.default_rng(5)
    seen = [replace(one(str(job), task, 1.0), log_ratio=float(shift + source.normal(0, 0.25)))
            for job in range(400) for shift in [source.normal(0, 0.12)] for task in ROOF]
    luck = job_luck(seen)
    # Standard errors of a variance s^2 from n values: s^2 sqrt(2 / n).
    assert luck.task == pytest.approx(0.25**2, abs=4 * 0.25**2 * sqrt(2 / 1600))
    of_means = 0.12**2 + 0.25**2 / 5
    assert luck.job == pytest.approx(0.12**2, abs=4 * of_means * sqrt(2 / 400))


def test_a_norm_that_is_right_has_a_ratio_of_one_although_logarithms_lie_below() -> None:
    # Log-normal ratios of mean 1: their mean logarithm is - .3^2 / 2 = -0.045.
    source = np.random.default_rng(8)
    seen = [one(str(job), "rail", float(np.exp(source.normal(-0.045, 0.3)))) for job in range(2000)]
    (unit,) = ratios(seen)
    assert np.mean([each.log_ratio for each in seen]) == pytest.approx(-0.045, abs=0.03)
    assert unit.usual.likely == pytest.approx(1.0, abs=4 * 0.3 / sqrt(2000))


# --- drawn jobs with truths beside them --------------------------------------------------------


def drawn(source: np.random.Generator, jobs: int, truths: dict[str, float], slate: float = 1.0,
          slow_crew: float = 1.0, by_group: bool = False) -> list[JobBooked]:
    """Draw finished jobs: each task takes its truth, on slate more, by a job factor and its luck.

    Crew C does three in four of its jobs on slate, the others one in four.
    """
    found = []
    for number in range(jobs):
        crew = "ABC"[number % 3]
        covering = "slate" if source.uniform() < (0.75 if crew == "C" else 0.25) else "pantile"
        luck = source.lognormal(-0.12**2 / 2, 0.12)
        planned, booked = {}, {}
        for task, truth in truths.items():
            if task == "fixing-slate" and covering != "slate":
                continue
            hours = float(source.uniform(1, 6))
            actual = hours * truth * luck * source.lognormal(-0.2**2 / 2, 0.2)
            actual *= (slate if covering == "slate" else 1) * (slow_crew if crew == "C" else 1)
            planned["roof", task] = hours
            key = ("roof", "" if by_group else task)
            booked[key] = booked.get(key, 0.0) + actual
        found.append(JobBooked(f"J{number}", crew, covering, "", planned, booked))
    return found


def told(jobs: list[JobBooked]) -> Learned:
    return learned(jobs, NORMS, ON, len(jobs))


def test_intervals_hold_the_truth_as_often_as_they_say_and_few_sound_norms_are_accused() -> None:
    source = np.random.default_rng(2026)
    inside = tried = accused = sound = 0
    for _ in range(30):
        truths = {task: (1.25 if at == 0 else 1.0) for at, task in enumerate(ROOF)}
        found = told(drawn(source, 24, truths))
        for each in found.found:
            low, high = each.ratio.interval()
            inside += low <= truths[each.norm.id] <= high
            tried += 1
            if truths[each.norm.id] == 1.0:
                sound += 1
                accused += each.verdict == "proposed"
    # Of 150 in clusters of five that share the luck of their jobs; 142 are meant.
    assert 0.90 <= inside / tried <= 0.99
    assert accused / sound <= 0.10


def test_a_slow_task_is_found_and_its_minutes_are_raised() -> None:
    truths = dict.fromkeys(ROOF, 1.0) | {"roof-entry": 1.4}
    found = {each.norm.id: each for each in told(
        drawn(np.random.default_rng(3), 60, truths)).found}
    entry = found["roof-entry"]
    assert entry.verdict == "proposed"
    assert 1.2 < entry.ratio.likely < 1.5
    # 20 / 30 / 60 minutes, each times the ratio, to the minute.
    assert entry.new == tuple(round(points * entry.ratio.likely) for points in (20, 30, 60))
    assert [name for name, each in found.items() if each.verdict == "proposed"] == ["roof-entry"]


def test_a_slow_covering_stands_apart_raises_no_common_norm_and_accuses_no_crew() -> None:
    slate = wrong = raised = accused = 0
    for seed in range(12):
        found = told(drawn(np.random.default_rng(seed), 90, dict.fromkeys(ROOF, 1.0), slate=1.3))
        slow = [each.ratio.likely for each in found.apart if each.nest == "slate"]
        assert all(1.1 < ratio < 1.5 for ratio in slow)
        slate, wrong = slate + len(slow), wrong + len(found.apart) - len(slow)
        raised += sum(each.verdict == "proposed" for each in found.found)
        low, high = found.crews["C"].interval()
        accused += not low <= 0 <= high
    # Of 60 tasks each; tasks share the luck of their jobs, so that chance comes in clusters.
    assert slate >= 54
    assert wrong <= 3
    assert raised <= 9
    assert accused <= 1


def test_a_crew_that_is_slow_is_told_and_stands_in_no_norm() -> None:
    found = told(drawn(np.random.default_rng(6), 90, dict.fromkeys(ROOF, 1.0), slow_crew=1.3))
    low, _ = found.crews["C"].interval()
    assert low > 0
    assert found.crews["A"].shrunk < 0 < found.crews["C"].shrunk
    # A third of all jobs is 1.3 of the usual: norms of the whole firm rise by about a tenth.
    assert all(each.ratio.likely < 1.2 for each in found.found)


def test_hours_booked_by_group_alone_speak_for_all_norms_of_the_group() -> None:
    truths = dict.fromkeys((*ROOF, "fixing-slate"), 1.2)
    jobs = drawn(np.random.default_rng(7), 90, truths, slate=1.5, by_group=True)
    found = {each.norm.id: each for each in told(jobs).found}
    assert {each.known_by for each in found.values()} == {"group"}
    assert found["rail"].ratio == found["panel-clamp"].ratio
    # What belongs to one covering that stands apart goes by the group's ratio on that: 1.2 x 1.5.
    assert (found["rail"].nest, found["fixing-slate"].nest) == ("", "slate")
    assert 1.1 < found["rail"].ratio.likely < 1.3
    assert 1.6 < found["fixing-slate"].ratio.likely < 2.0
    assert {each.verdict for each in found.values()} == {"proposed"}


# --- what counts as task time -----------------------------------------------------------------


def test_waiting_and_work_done_again_are_no_task_time() -> None:
    job = JobBooked("J", "A", "slate", "", {("roof", "rail"): 2.0, ("waiting", "cure-wait"): 1.0}, {
        ("roof", "rail"): 3.0, ("rework", "rail"): 5.0, ("waiting", "cure-wait"): 9.0,
        ("waiting", ""): 4.0})
    (seen,) = seen_on([job])
    assert (seen.unit, exp(seen.log_ratio)) == ("rail", pytest.approx(1.5))


def test_a_group_of_which_some_hours_name_no_task_is_seen_as_a_whole() -> None:
    job = JobBooked("J", "A", "slate", "brick", {
        ("roof", "rail"): 2.0, ("roof", "mesh"): 2.0, ("storage", "link"): 1.0}, {
        ("roof", "rail"): 3.0, ("roof", ""): 3.0, ("storage", "link"): 1.0})
    roof, link = seen_on([job])
    assert (roof.known_by, roof.unit, roof.nest, roof.tasks) == (
        "group", "roof", "slate", ("mesh", "rail"))
    assert exp(roof.log_ratio) == pytest.approx(1.5)
    assert (link.known_by, link.unit, link.nest, link.log_ratio) == ("task", "link", "brick", 0.0)


def test_what_was_planned_or_booked_alone_and_what_was_taken_back_say_nothing() -> None:
    job = JobBooked("J", "A", "", "", {("roof", "rail"): 2.0, ("office", "office-pack"): 1.0}, {
        ("roof", "mesh"): 3.0, ("roof", "rail"): -1.0, ("site", "arrive"): 1.0})
    assert seen_on([job]) == ()
    assert told([job]).found == ()


def test_fewer_than_eight_jobs_and_norms_unknown_by_now_are_left_out() -> None:
    truths = {"rail": 3.0, "gone-by-now": 3.0}
    found = told(drawn(np.random.default_rng(9), 7, truths)).found
    assert [(each.norm.id, each.verdict) for each in found] == [("rail", "too few jobs")]


def test_minutes_are_rounded_to_what_a_person_would_write() -> None:
    # travel is 0.875 / 1 / 1.375 a minute, link 6 / 10 / 20: hundredths, tenths, whole minutes.
    jobs = [JobBooked(str(at), "A", "", "", {("travel", "travel"): 1.0, ("storage", "link"): 1.0}, {
        ("travel", "travel"): ratio, ("storage", "link"): ratio})
        for at, ratio in enumerate([1.29, 1.31] * 20)]
    new = {each.norm.id: [str(minutes) for minutes in each.new or ()] for each in told(jobs).found}
    assert new == {"travel": ["1.14", "1.3", "1.79"], "link": ["7.8", "13", "26"]}


@settings(max_examples=25)
@given(st.lists(
    st.tuples(st.sampled_from("ABC"), st.floats(0.2, 5)), min_size=1, max_size=12))
def test_crews_are_held_against_all_of_them(worked: list[tuple[str, float]]) -> None:
    seen = [one(str(at), "rail", ratio, crew=crew) for at, (crew, ratio) in enumerate(worked)]
    found = crews(seen)
    assert sum(each.mean * each.jobs for each in found.values()) == pytest.approx(0, abs=1e-9)
    assert sum(each.jobs for each in found.values()) == len(worked)


def test_nothing_is_learned_from_nothing() -> None:
    found = told([])
    assert (found.units, found.found, found.apart, found.crews) == ((), (), (), {})
