import json
import subprocess
import sys
from dataclasses import replace
from decimal import Decimal as D
from pathlib import Path

import jsonschema
import pydantic
import pytest

from catalogue.money import Money
from estimator.papers.contract import EstimateJson, json_schema, schema_text
from estimator.papers.contract_of import fact_value
from estimator.papers.digits import plain
from estimator.papers.exact_json import as_decimal, rounded, whole_or_text
from estimator.papers.terminal import summary
from estimator.papers.workbook import bill_workbook
from estimator.price import Discount
from tests.papers import sample
from tests.papers.reading import budget_json, firm_json, formulas, hostile_json, row_of

SCHEMA_FILE = Path(__file__).parents[2] / "docs" / "estimate.schema.json"


def line(text: str, item: str) -> dict[str, object]:
    return next(each for each in json.loads(text)["lines"] if each["item"] == item)


def test_the_published_schema_is_the_one_of_the_code():
    assert SCHEMA_FILE.read_text(encoding="utf-8") == schema_text()


@pytest.mark.parametrize("make", [firm_json, budget_json, hostile_json])
def test_what_is_written_fits_the_published_schema(make):
    # jsonschema: the reference library for JSON Schema draft 2020-12.
    schema = json.loads(SCHEMA_FILE.read_text(encoding="utf-8"))
    checker = jsonschema.Draft202012Validator(schema)
    checker.check_schema(schema)
    assert list(checker.iter_errors(json.loads(make().dumps()))) == []


def test_the_schema_refuses_money_with_a_fraction_and_a_missing_key():
    checker = jsonschema.Draft202012Validator(json_schema())
    data = json.loads(firm_json().dumps())
    data["price"]["net"] = 7880.5
    del data["schema_version"]
    said = " ".join(error.message for error in checker.iter_errors(data))
    assert "7880.5 is not of type 'integer'" in said
    assert "'schema_version' is a required property" in said


@pytest.mark.parametrize("make", [firm_json, budget_json, hostile_json])
def test_an_estimate_read_back_is_the_same_estimate_and_the_same_bytes(make):
    made = make()
    again = EstimateJson.loads(made.dumps())
    assert again == made
    assert again.dumps() == made.dumps()


def test_another_schema_version_is_refused():
    text = firm_json().dumps().replace('"schema_version": "1.4"', '"schema_version": "2.0"')
    with pytest.raises(pydantic.ValidationError, match="schema_version"):
        EstimateJson.loads(text)


def test_a_revision_kept_in_schema_1_1_still_reads_and_prints():
    # The budget sample as version 1.1 wrote it, before there were buys and substitutes.
    kept = EstimateJson.loads((Path(__file__).parent / "kept/estimate-1.1.json").read_bytes())
    assert (kept.swaps, kept.lines[0].buys, kept.lines[0].left_over) == ((), (), None)
    assert [(each.item, each.packs, each.cost) for each in kept.lines] == [
        (each.item, each.packs, each.cost) for each in budget_json().lines]
    assert summary(kept) == summary(budget_json())
    book = bill_workbook(kept)
    row = row_of(book, "Bill", "D", "DEMO-STORE")
    assert (formulas(book)["Bill", f"N{row}"], ("Bill", f"H{row}") in formulas(book)) == (
        f"=I{row}*L{row}", False)
    assert EstimateJson.loads(kept.dumps()) == kept


def test_no_number_in_it_is_a_binary_fraction():
    def refuse(text: str) -> float:
        raise AssertionError(f"{text} is a number with a fraction")

    json.loads(budget_json().dumps(), parse_float=refuse)


def test_a_whole_quantity_is_an_integer_and_any_other_is_text():
    # 18.7 m of cable: worked example, invented figures.
    text = firm_json().dumps()
    assert line(text, "DEMO-STORE")["need"] == 3
    assert line(text, "00420")["need"] == "18.7"


def test_a_line_is_charged_by_the_unit_and_its_waste_apart():
    # By hand: 118.05 / 50 m = 2.361 a metre; 18.7 m = 44.1507; 5 % waste 0.935 m = 2.207535.
    cable = line(firm_json().dumps(), "00420")
    assert cable["unit_cost"] == 236
    assert cable["unit_cost_ten_thousandths"] == 23610
    assert cable["cost"] == 4415
    assert cable["waste_cost"] == 221
    assert cable["allowance"] == "0.935"
    assert cable["offer"]["price"] == 11805
    assert cable["offer"]["from"] == "2026-07-01"
    assert cable["offer"]["to"] == "2026-12-31"


def test_a_line_served_from_boxes_says_so_and_has_no_unit_cost():
    bracket = line(firm_json().dumps(), "DEMO-BRACKET")
    assert (bracket["need"], bracket["boxed"], bracket["buy"]) == (3, 3, 0)
    assert bracket["boxes"] == [{"part": "DEMO-BRACKET", "quantity": 3}]
    assert bracket["unit_cost"] is None
    assert bracket["offer"] is None


def test_a_code_with_leading_noughts_stays_text():
    assert line(firm_json().dumps(), "00420")["item"] == "00420"


def test_an_unknown_fact_is_null_and_never_a_guess():
    waiting = next(each for each in json.loads(budget_json().dumps())["not_fired"]
                   if each["rule"] == "isolator-visit")
    assert waiting["stopped_by"][0]["value"] is None
    assert waiting["undecided"] is True


def test_surveyed_facts_of_a_leg_are_told_by_their_own_path():
    facts = {fact["path"]: fact["value"] for fact in json.loads(firm_json().dumps())["facts"]}
    assert facts["leg[0].length_m"] == "12.5"
    assert facts["storage.modules"] == 3
    assert facts["supply.isolator_present"] is None


def test_private_remarks_are_no_part_of_it():
    # The remark of the sample survey: "key under the blue pot".
    assert "blue pot" not in firm_json().dumps()
    assert "park on the drive" in firm_json().dumps()


def test_a_discount_is_told_with_reason_and_name():
    made = sample.firm_estimate(discount=Discount(Money.of("80"), "neighbour job", "M. Manager"))
    price = json.loads(EstimateJson.of(made, 1).dumps())["price"]
    assert price["discount"] == {"amount": 8000, "reason": "neighbour job", "name": "M. Manager"}
    assert price["list_net"] - price["net"] == 8000


def test_revisions_count_from_one():
    with pytest.raises(pydantic.ValidationError, match="revision"):
        EstimateJson.of(sample.firm_estimate(), 0)


def test_a_kind_that_is_neither_firm_nor_budget_is_refused():
    with pytest.raises(pydantic.ValidationError, match="kind"):
        EstimateJson.of(replace(sample.firm_estimate(), kind="maybe"), 1)


@pytest.mark.parametrize(("number", "json_form"), [
    (D("3"), 3), (D("3.0"), 3), (D("1E+2"), 100), (D("18.70"), "18.7"), (D("-0.5"), "-0.5"),
    (D("-0.0"), 0), (D("0.30"), "0.3"),
])
def test_decimals_have_one_form_each(number, json_form):
    assert whole_or_text(number) == json_form
    assert as_decimal(json_form) == number


@pytest.mark.parametrize("wrong", [18.7, True, "1e3", "01", "1,5", "", "NaN", D("NaN"), None])
def test_a_quantity_in_another_form_is_refused(wrong):
    with pytest.raises(ValueError, match="never a binary fraction"):
        as_decimal(wrong)


def test_rounding_goes_half_away_from_zero():
    # Decimal's own ROUND_HALF_UP, by the standard library's documentation, gives the same.
    assert plain(rounded(D("2.345"), 2)) == "2.35"
    assert plain(rounded(D("-2.345"), 2)) == "-2.35"
    assert plain(rounded(D("0.125"), 2)) == "0.13"


def test_facts_of_every_type_have_a_json_value():
    assert fact_value(D("0.60")) == "0.6"
    assert fact_value(True) is True
    assert fact_value(("slate", "tile")) == ("slate", "tile")
    assert fact_value(None) is None


def test_the_same_estimate_gives_the_same_bytes_whatever_the_hash_seed():
    program = (
        "import hashlib; from tests.papers import reading; "
        "from estimator.papers.workbook import bill_workbook; "
        "from estimator.papers.quote_page import quote_page; "
        "from estimator.settings import Settings; "
        "made = reading.budget_json(); "
        "print(*[hashlib.sha256(x).hexdigest() for x in (made.dumps().encode(), "
        "bill_workbook(made), quote_page(made, Settings()).encode())])"
    )
    root = Path(__file__).parents[2]
    seen = {
        subprocess.run(
            [sys.executable, "-c", program], cwd=root, env={"PYTHONHASHSEED": seed}, check=True,
            capture_output=True, text=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(seen) == 1
    assert len(seen.pop().split()) == 3
