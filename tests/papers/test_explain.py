import json

import pytest

from catalogue.problems import ProblemsFound
from estimator.papers import words
from estimator.papers.contract import EstimateJson
from estimator.papers.explain import why, why_json, why_not, why_not_json
from tests.approved import check_approved
from tests.papers import sample
from tests.papers.reading import budget_json, firm_json, hostile_json


def stored() -> EstimateJson:
    """The estimate as it comes back from the store."""
    return EstimateJson.loads(budget_json().dumps())


def flat(text: str) -> str:
    return " ".join(text.split())


def test_why_a_line_is_there_is_as_approved():
    text = "\n".join(why(stored(), asked) for asked in ("DEMO-ANCHOR", "3", "00420", "19"))
    check_approved("papers/why.txt", text)


def test_why_a_part_is_not_there_is_as_approved():
    text = "\n".join(
        why_not(stored(), asked) for asked in ("backup board", "isolator-visit", "bollard"))
    check_approved("papers/why-not.txt", text)


def test_a_line_tells_rule_place_formula_numbers_facts_and_price():
    text = why(stored(), "DEMO-ANCHOR")
    for said in (
        "every bracket hole takes one fixing made for that wall",
        "rule   rule-demo-anchor, sample.toml:15",
        "storage.modules * kit.storage.bracket_holes + 4 = 3 * 4 + 4 = 16",
        'storage.modules = 3: measured, survey.toml:14, "3 mods"',
        "North Counter, £41.25 for a pack of 50, holds from 1 July 2026 to 31 December 2026",
        "cost: £13.20, 16 from the shelf at £0.825 a unit, and £0.66 waste",
        words.DEFERRAL,
    ):
        assert said in text, said


def test_a_boxed_line_tells_what_the_boxes_gave():
    text = why(stored(), "DEMO-BRACKET")
    assert "needed 3, from boxes 3, to buy 0" in text
    assert "from boxes: 3 x DEMO-BRACKET" in text
    assert "price: nothing to buy" in text


def test_a_line_number_and_its_item_code_tell_the_same():
    assert why(stored(), "7") == why(stored(), "00420")


def test_a_code_that_looks_like_a_line_number_is_taken_as_a_code():
    row = sample.Row("3", "part with a number for a code", "meter", "each", "1", "1", "5.00", "x")
    made = EstimateJson.of(sample.firm_estimate((*sample.ROWS, row)), 1)
    assert "part with a number for a code" in why(made, "3")


def test_an_item_that_is_also_an_option_tells_both_lines():
    extra = sample.Row("DEMO-COVER", "cover strip over the leads", "containment", "m", "2", "2",
                       "7.30", "the leads must be covered here")
    made = EstimateJson.of(sample.firm_estimate((*sample.ROWS, extra)), 1)
    text = flat(why(made, "DEMO-COVER"))
    assert text.count("cover strip over the leads (DEMO-COVER)") == 2
    assert text.count("an option, not in the price") == 1


def test_a_wrong_line_or_code_is_a_problem_with_a_remedy():
    with pytest.raises(ProblemsFound) as caught:
        why(stored(), "DEMO-ANCHR")
    problem = caught.value.problems[0]
    assert problem.code == "W001"
    assert problem.mend == "did you mean 'DEMO-ANCHOR'?"


def test_why_not_names_the_rule_and_the_fact_that_stops_it():
    text = why_not(stored(), "backup board")
    assert "rule backup-board would add it" in text
    assert "job.backup = no: measured, survey.toml:4" in text


def test_why_not_says_that_a_rule_waits_for_a_fact_nobody_knows():
    text = why_not(stored(), "origin isolation visit")
    assert 'supply.isolator_present = unknown: unknown, survey.toml:25, "iso ??"' in text
    assert "It waits: nobody knows that fact yet." in text


def test_why_not_takes_an_item_code_by_the_roles_the_catalogue_gives_it():
    text = why_not(stored(), "SOME-BOARD", roles=[("enclosure", "backup board")])
    assert "rule backup-board would add it" in text


def test_why_not_of_a_part_in_the_bill_says_on_which_line():
    assert "DEMO-CONV is in the bill: line 1" in why_not(stored(), "DEMO-CONV")


def test_why_not_of_a_missing_item_says_that_the_catalogue_lacks_it():
    assert "the catalogue has no item that will do" in flat(why_not(stored(), "bollard"))


def test_why_not_of_something_no_rule_knows_is_a_problem():
    with pytest.raises(ProblemsFound) as caught:
        why_not(firm_json(), "heat pump")
    assert caught.value.problems[0].code == "W002"


def test_a_machine_gets_the_same_lines_and_rules_as_json():
    told = json.loads(why_json(stored(), "00420"))
    assert [line["item"] for line in told["lines"]] == ["00420"]
    assert told["lines"][0]["need"] == "18.7"
    told = json.loads(why_not_json(stored(), "backup board"))
    assert [rule["rule"] for rule in told["not_fired"]] == ["backup-board"]
    assert told["lines"] == told["gaps"] == []


def test_a_rule_without_a_role_is_not_taken_for_every_part():
    # A rule that names its item outright has neither family nor role.
    made = stored()
    bare = made.not_fired[0].model_copy(update={"family": "", "role": "", "rule": "panels"})
    made = made.model_copy(update={"not_fired": (bare,)})
    assert "rule panels would add it" in why_not(made, "panels")
    with pytest.raises(ProblemsFound):
        why_not(made, "heat alarm")


def test_an_empty_word_matches_nothing():
    with pytest.raises(ProblemsFound):
        why_not(firm_json(), "")


def test_hostile_words_stay_on_their_line():
    text = why(hostile_json(), "1")
    assert all(sign == "\n" or sign.isprintable() for sign in text)
