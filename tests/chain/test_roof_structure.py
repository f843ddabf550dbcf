"""Wind, load, ballast and edge of a roof, from the survey to findings, questions and bill.

The house is that of the demo job with 2 x 6 panels of 1.134 x 1.762 m and 21.8 kg: rafters at
0.6 m, hooks of 1.1 kN, rails of 1.2 m span; worked example, invented figures.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D

import pytest

from catalogue.items import Item
from catalogue.price_book import PriceBook
from catalogue.specs import MountingSpec
from estimator.design.case import with_outcome
from estimator.design.check import Check
from estimator.design.sheet import Unknown
from estimator.design.structure.judge_roof import judge_roof
from estimator.estimate import Basis, Estimate, make_estimate
from estimator.practice.pack import Practice, country_folder, read_practice
from tests.chain.roofs import asked, case_of, check, figure, judged, surveyed, worked

ENGINEER = "structural engineer"
SITE = ("site.wind_m_s", "site.altitude_m", "site.terrain", "plane[0].ridge_m")
NO_SITE: dict[str, object] = {"wind_m_s": None, "altitude_m": None, "terrain": None}


def need(estimate: Estimate, rule: str) -> D:
    return sum(
        (r.quantity for line in estimate.bill.lines for r in line.reasons if r.rule == rule), D(0))


def fixings(basis: Basis, site: dict[str, object] | None = None, **plane: object) -> int:
    count = judged(surveyed(site=site, **plane), basis)[1].scopes["plane"][0]["plane.fixings"]
    assert isinstance(count, int)
    return count


# --- wind and fixings ---------------------------------------------------------------------------

def test_without_a_wind_calculation_the_sum_of_the_code_counts_the_fixings(basis: Basis) -> None:
    # By hand, EN 1991-1-4 and the UK annex: vb 22.3 x 1.085 = 24.196 m/s; suburb at 8.2 m: kr
    # 0.21539, ln(27.333) = 3.3081, vm 17.24 m/s, 1 + 7 / 3.3081 = 3.1160, qp = 3.1160 x 0.613 x
    # 297.2 Pa = 0.5677 kPa. x 1.3 x 1.5 = 1.1071, less 0.9 x 13.41 kg/m2 x 9.81 = 0.1184: 0.9887.
    # 0.9887 x 0.881 m x 10/8 = 1.0888 kN/m: 1.3066 kN at 1.2 m is over 1.1, 0.6533 at 0.6 m not.
    found, sheet = judged(surveyed(uplift_kpa=None), basis)
    answer = worked(found)
    assert figure(answer, "peak velocity pressure") == pytest.approx(0.5677, abs=0.00005)
    assert figure(answer, "net uplift") == pytest.approx(0.9887, abs=0.00005)
    assert figure(answer, "load of the worst fixing") == pytest.approx(0.6533, abs=0.0001)
    assert figure(answer, "fixings by the span of the rails") == 28
    assert figure(answer, "fixings by uplift, at whole rafter steps") == 52
    plane = sheet.scopes["plane"][0]
    assert (plane["plane.fixings"], plane["plane.fixing_step_m"]) == (52, D("0.6"))
    held = check(found, "roof-fixings")
    assert (held.level, held.signed, held.decides, held.limit) == (
        "caution", True, ENGINEER, D("1.1"))
    assert [each for each in found.unanswered if each.code.startswith("roof-")] == []


def test_the_bill_buys_the_fixings_that_hold(basis: Basis) -> None:
    found = make_estimate(surveyed(uplift_kpa=None), basis)
    assert need(found, "pv-roof-fixing") == 52
    # Three screws a hook and 5 % spare: 163.8.
    assert need(found, "pv-fixing-screw") == 164
    detail = found.sheet.detail("plane.fixings", "plane[0]")
    assert "28 by the span of the rails, 52 by uplift" in detail.source
    assert detail.evidence == ""


def test_the_wind_calculation_of_the_survey_wins_and_the_sum_stands_beside_it(
    basis: Basis,
) -> None:
    found, sheet = judged(surveyed(uplift_kpa=D("0.5")), basis)
    assert sheet.scopes["plane"][0]["plane.fixings"] == 28
    answer = worked(found)
    assert answer.method == "the survey's wind calculation"
    assert figure(answer, "net uplift") == 0.5
    beside = figure(answer, "net uplift by EN 1991-1-4, to compare")
    assert beside == pytest.approx(0.9887, abs=0.00005)
    assert check(found, "roof-fixings").level == "caution"


def test_a_site_nobody_has_noted_is_priced_at_its_worst_and_asked(basis: Basis) -> None:
    # 26 m/s, 100 m above the sea, farmland; two storeys of 3 m and 4 m of roof. By hand: vb 28.6,
    # kr 0.19, ln(200) = 5.2983, vm 28.79, 1 + 7 / 5.2983 = 2.3212, qp = 2.3212 x 0.613 x 828.9 Pa =
    # 1.1795 kPa; net 1.1795 x 1.95 - 0.1184 = 2.1816; x 0.881 x 0.6 x 10/8 = 1.4415 kN, over 1.1:
    # not even every rafter holds. In all 52.31 kN x 10/8 / 1.1 = 59.4.
    survey = surveyed(site=NO_SITE, uplift_kpa=None, ridge_m=None)
    found, sheet = judged(survey, basis)
    assert figure(worked(found), "load of the worst fixing") == pytest.approx(1.4415, abs=0.0005)
    assert sheet.scopes["plane"][0]["plane.fixings"] == 60
    question = asked(found, "roof-fixings")
    assert set(question.facts) == set(SITE)
    assert (question.worst.level, question.worst.signed) == ("stop", True)
    told = check(found, "roof-fixings")
    assert told.level == "caution"
    assert "taken at its worst" in told.says

    estimate = make_estimate(survey, basis)
    questions = {each.fact: each for each in estimate.questions}
    assert {questions[fact].at_worst for fact in SITE} == {"stop"}
    assert questions["site.wind_m_s"].assumed == "26"
    assert questions["plane[0].ridge_m"].assumed == "10"
    assert estimate.kind == "budget"
    assert any("basic wind velocity" in each for each in estimate.price_holds_if)
    reasons = [r for line in estimate.bill.lines for r in line.reasons
               if r.rule == "pv-roof-fixing"]
    assert [reason.assumed for reason in reasons] == [True]


@pytest.mark.parametrize("fact", ["wind_m_s", "altitude_m", "terrain", "ridge_m"])
def test_one_unknown_of_the_site_is_asked_and_never_lowers_the_count(
    basis: Basis, fact: str
) -> None:
    site: dict[str, object] = {} if fact == "ridge_m" else {fact: None}
    plane: dict[str, object] = {"ridge_m": None} if fact == "ridge_m" else {}
    survey = surveyed(site=site, uplift_kpa=None, **plane)
    found, sheet = judged(survey, basis)
    (path,) = asked(found, "roof-fixings").facts
    assert path.endswith(f".{fact}")
    assert sheet.scopes["plane"][0]["plane.fixings"] >= fixings(basis, uplift_kpa=None)


def test_a_wind_calculation_leaves_nothing_to_ask_of_the_site(basis: Basis) -> None:
    found = make_estimate(surveyed(site=NO_SITE, ridge_m=None), basis)
    assert found.kind == "firm"
    assert {each.fact for each in found.questions} & set(SITE) == set()
    assert not any("wind" in each for each in found.price_holds_if)


def test_close_to_the_sea_the_wind_is_taken_to_come_over_it(basis: Basis) -> None:
    inland, coast = (
        judged(surveyed(site={"terrain": None, "coast_distance_km": km}, uplift_kpa=None),
               basis)[0]
        for km in (D("1"), D("0.99")))
    assert "terrain farmland" in worked(inland).method
    assert "terrain sea" in worked(coast).method


def test_more_panels_never_lower_the_fixings_or_the_load(basis: Basis) -> None:
    counts, loads = [], []
    for panels in range(1, 13):
        found, sheet = judged(
            surveyed(uplift_kpa=None, rows=None, columns=None, panels=panels), basis)
        counts.append(sheet.scopes["plane"][0]["plane.fixings"])
        loads.append(figure(worked(found), "net uplift in all"))
    assert counts == sorted(counts)
    assert counts[0] < counts[-1]
    assert loads == sorted(loads)
    assert loads[-1] == pytest.approx(12 * loads[0])


@pytest.mark.parametrize(("group", "fact", "values"), [
    ("site", "wind_m_s", [D(v) for v in range(18, 33, 2)]),
    ("site", "altitude_m", [D(v) for v in (-5, 0, 50, 150, 300, 600)]),
    ("site", "terrain", ["town", "suburb", "farmland", "open", "sea"]),
    ("plane", "ridge_m", [D(v) for v in (4, 6, 8, 10, 14, 20)]),
    ("plane", "uplift_kpa", [D(v) / 4 for v in range(13)]),
])
def test_more_wind_never_takes_fewer_fixings(
    basis: Basis, group: str, fact: str, values: list[object]
) -> None:
    # From 10 m up no terrain is held at its least height (EN 1991-1-4, table 4.1: town 10 m).
    counts = []
    for value in values:
        plane: dict[str, object] = {"uplift_kpa": None, "ridge_m": D(12)}
        site = {fact: value} if group == "site" else {}
        counts.append(fixings(basis, site, **{**plane, **({} if site else {fact: value})}))
    assert counts == sorted(counts)
    assert counts[0] < counts[-1]


def without_figure(prices: PriceBook) -> PriceBook:
    """Return the catalogue with roof fixings whose data sheets do not say what they hold."""
    def blank(item: Item) -> Item:
        if "roof fixing" not in item.roles or not isinstance(item.spec, MountingSpec):
            return item
        return replace(item, spec=item.spec.model_copy(update={"resistance_kn": None}))

    offers = [offer for ranked in prices.offers.values() for offer in ranked]
    return PriceBook.of(prices.on, [blank(item) for item in prices.items.values()], offers)


def test_a_fixing_whose_sheet_gives_no_figure_bars_a_firm_price(basis: Basis) -> None:
    found = make_estimate(surveyed(), replace(basis, prices=without_figure(basis.prices)))
    stop = next(each for each in found.findings if each.code == "roof-fixing-figure")
    assert (stop.level, stop.decides) == ("stop", "mounting maker")
    assert "enter the figure of the data sheet" in stop.says
    assert found.kind == "budget"
    assert need(found, "pv-roof-fixing") == 28


def test_a_covering_nobody_knows_is_held_by_the_weakest_fixing_on_offer(basis: Basis) -> None:
    # The weakest hook of the starter catalogue holds 0.7 kN: 1.0572 kN/m x 0.6 m x 10/8 = 0.7929.
    found, sheet = judged(surveyed(covering=None), basis)
    assert figure(worked(found), "what one fixing holds") == pytest.approx(0.7)
    question = asked(found, "roof-fixings")
    assert (question.facts, question.worst.level) == (("plane[0].covering",), "stop")
    assert sheet.scopes["plane"][0]["plane.fixings"] == 52


def test_rafters_nobody_has_measured_are_held_at_the_wider_spacing_too(basis: Basis) -> None:
    # 1.3 kPa: 1.1453 kN/m x 10/8 = 1.4316 kN/m. On every rafter at 0.45 m the end fixing has
    # 0.225 + 0.3 m of rail and 0.7516 kN, and there are ceil((7.104 - 0.6 + 0.45) / 0.45) + 1 = 17
    # on each of four lines; at 0.6 m 0.8590 kN and 13. Both hold 1.1 kN: the dearer 68 are priced.
    found, sheet = judged(surveyed(rafter_spacing_m=None, uplift_kpa=D("1.3")), basis)
    assert sheet.scopes["plane"][0]["plane.fixings"] == 68
    question = asked(found, "roof-fixings")
    assert (question.facts, question.worst.level) == (("plane[0].rafter_spacing_m",), "caution")
    # 2 kPa: at 0.45 m 0.991 kN (reach half a step) holds, at 0.6 m 1.3215 kN does not.
    found, _ = judged(surveyed(rafter_spacing_m=None, uplift_kpa=D(2)), basis)
    worst = asked(found, "roof-fixings").worst
    assert (worst.level, worst.value) == ("stop", D("1.3215"))
    assert check(found, "roof-fixings").level == "caution"


def test_a_terrain_that_the_firms_own_table_leaves_out_is_asked_about(basis: Basis) -> None:
    practice = basis.practice
    fewer = tuple(
        replace(table, rows=tuple(row for row in table.rows if row[0] != "suburb"))
        for table in practice.tables["wind_terrain"])
    own = replace(basis, practice=Practice(
        practice.values, {**practice.tables, "wind_terrain": fewer}))
    found, sheet = judged(surveyed(uplift_kpa=None), own)
    assert asked(found, "roof-wind").facts == ("site.terrain",)
    assert sheet.scopes["plane"][0]["plane.fixings"] == 28


def test_a_plane_that_cannot_be_laid_out_is_asked_about(basis: Basis) -> None:
    found, sheet = judged(
        surveyed(slope_length_m=None, rows=None, columns=None, panels=None), basis)
    question = asked(found, "roof-wind")
    assert "plane[0].slope_length_m" in question.facts
    assert question.worst.level == "caution"
    assert isinstance(sheet.scopes["plane"][0]["plane.fixings"], Unknown)


def test_a_plane_of_unknown_kind_is_a_question_and_no_crash(basis: Basis) -> None:
    found = make_estimate(surveyed(kind=None), basis)
    assert "plane[0].kind" in {each.fact for each in found.questions}
    assert found.kind == "budget"


# --- added load ---------------------------------------------------------------------------------

@pytest.mark.parametrize(("covering", "share"), [
    # 13.41 kg/m2 x 9.81 = 0.13155 kPa over the own load of the covering; LABC note: 15 %.
    ("concrete interlocking", 0.1644), ("plain tile", 0.1316),
])
def test_the_added_load_is_signed_for_whether_it_passes_or_not(
    basis: Basis, covering: str, share: float
) -> None:
    found, _ = judged(surveyed(covering=covering), basis)
    load = check(found, "roof-added-load")
    assert float(load.value) == pytest.approx(share, abs=0.00005)
    assert (load.level, load.signed, load.decides) == ("caution", True, ENGINEER)
    assert ("a structural check is due" in load.says) is (share >= 0.15)
    assert "LABC note" in load.source
    assert figure(worked(found, "roof-load"), "added load") == pytest.approx(0.13155, abs=1e-5)


def test_under_an_unknown_covering_the_lightest_roof_is_taken_and_asked(basis: Basis) -> None:
    # 0.13155 / 0.40 = 32.9 %.
    found, _ = judged(surveyed(covering=None), basis)
    question = asked(found, "roof-added-load")
    assert question.facts == ("plane[0].covering",)
    assert float(question.worst.value) == pytest.approx(0.3289, abs=0.0001)


def test_panels_in_the_roof_are_lighter_than_the_tiles_they_replace(basis: Basis) -> None:
    # Plain tile alone weighs 0.75 kPa, the panels 0.1316.
    found, _ = judged(surveyed("in-roof"), basis)
    load = check(found, "roof-added-load")
    assert (load.value, load.level, load.signed) == (0, "caution", True)
    assert figure(worked(found, "roof-load"), "covering taken off") == 0.75
    wind = check(found, "roof-wind")
    assert (wind.level, wind.signed, wind.limit) == ("caution", True, "the tray maker's figure")


# --- ballast and ground arrays ------------------------------------------------------------------

# By hand for the flat demo roof: 23.5 x 1.006 m/s over the sea at 3.4 m: kr 0.15604, ln(1133.3) =
# 7.0329, vm 25.94 m/s, 1 + 7 / 7.0329 = 1.9953, qp 0.8232 kPa; x 0.4 x 1.5 - 0.1184 = 0.3755 kPa on
# 11.99 m2: 4.502 kN; / (0.9 x 9.81) = 509.9 kg.
LEAST_KG = 509.9


def test_flat_roofs_without_an_engineers_figure_are_priced_by_a_first_sum_and_never_firm(
    basis: Basis,
) -> None:
    found = make_estimate(surveyed("flat-roof"), basis)
    # 510 / 20 = 25.5 blocks.
    assert need(found, "pv-ballast-block") == 26
    assert found.kind == "budget"
    question = next(each for each in found.questions if each.fact == "plane[0].ballast_kg")
    assert (question.at_worst, question.worst) == (
        "stop", "no firm price without the engineer's ballast, and no rule of thumb in its place")
    assert any("ballast" in each for each in found.kind_because)
    (reason,) = (r for line in found.bill.lines for r in line.reasons
                 if r.rule == "pv-ballast-block")
    assert reason.assumed


@pytest.mark.parametrize(("given", "level"), [("510", "caution"), ("509", "stop")])
def test_the_engineers_ballast_is_held_against_the_least_by_sum_and_priced(
    basis: Basis, given: str, level: str
) -> None:
    survey = surveyed("flat-roof", ballast_kg=D(given))
    found, sheet = judged(survey, basis)
    ballast = check(found, "roof-ballast")
    assert (ballast.level, ballast.signed, ballast.decides) == (level, True, ENGINEER)
    assert ballast.value == D(given)
    assert float(ballast.limit) == pytest.approx(LEAST_KG, abs=0.1)
    assert sheet.scopes["plane"][0]["plane.ballast_priced_kg"] == D(given)
    assert need(make_estimate(survey, basis), "pv-ballast-block") == 26


def test_ballast_beside_an_unknown_wind_neither_passes_nor_stops(basis: Basis) -> None:
    found, _ = judged(surveyed("flat-roof", NO_SITE, ballast_kg=D("510")), basis)
    assert check(found, "roof-ballast").level == "caution"
    question = asked(found, "roof-ballast")
    assert question.worst.level == "stop"
    assert set(question.facts) == {"site.wind_m_s", "site.altitude_m", "site.terrain"}


def test_ballast_counts_as_added_load(basis: Basis) -> None:
    # (13.41 + 510 / 11.99) kg/m2 x 9.81 = 0.5489 kPa.
    found, _ = judged(surveyed("flat-roof", ballast_kg=D("510")), basis)
    assert figure(worked(found, "roof-load"), "added load") == pytest.approx(0.5489, abs=0.0001)


def test_an_array_on_the_ground_is_for_an_engineer(basis: Basis) -> None:
    found, _ = judged(surveyed("ground-array"), basis)
    wind = check(found, "roof-wind")
    assert (wind.level, wind.signed, wind.decides) == ("caution", True, ENGINEER)
    assert not [each for each in found.checked if each.code in ("roof-added-load", "roof-edge")]


# --- edge ---------------------------------------------------------------------------------------

@pytest.mark.parametrize(("edge", "level"), [
    # 400 mm usual; below 300 mm an engineer (sources with `judge_edge` in tests/published).
    ("0.40", "fine"), ("0.35", "caution"), ("0.29", "stop"),
])
def test_the_clear_edge_asked_for_is_held_against_the_usual_one(
    basis: Basis, edge: str, level: str
) -> None:
    found, _ = judged(surveyed(edge_zone_m=D(edge)), basis)
    told = check(found, "roof-edge")
    assert (told.level, told.value) == (level, D(edge))


def test_panels_that_do_not_fit_are_held_against_what_is_left_round_them(basis: Basis) -> None:
    # The block is 6.904 m wide: (7.6 - 6.904) / 2 = 0.348 m each side.
    found, _ = judged(surveyed(eaves_length_m=D("7.6")), basis)
    told = check(found, "roof-edge")
    assert (told.level, told.value) == ("caution", D("0.348"))


def test_a_plane_of_unknown_size_leaves_its_edge_open(basis: Basis) -> None:
    found, _ = judged(surveyed(slope_length_m=None), basis)
    assert asked(found, "roof-edge").facts == ("plane[0].slope_length_m",)


# --- other countries ----------------------------------------------------------------------------

@pytest.mark.parametrize("country", ["us", "anz"])
@pytest.mark.parametrize("job", ["panels-and-storage", "flat-roof"])
def test_a_pack_without_values_for_roofs_is_told_and_no_crash(
    basis: Basis, country: str, job: str
) -> None:
    case = replace(case_of(surveyed(job), basis),
                   practice=read_practice([country_folder(country)]))
    found = judge_roof(case)
    (told,) = found.told
    assert isinstance(told, Check)
    assert (told.code, told.level, told.signed) == ("roof-no-values", "caution", True)
    assert "none for wind and load on roofs" in told.says
    plane = with_outcome(case, found).sheet.scopes["plane"][0]
    assert plane["plane.fixings"] == (28 if job == "panels-and-storage" else 0)
    assert isinstance(plane["plane.ballast_priced_kg"], Unknown)
