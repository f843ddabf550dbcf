import re
from dataclasses import replace
from decimal import Decimal as D
from html.parser import HTMLParser
from pathlib import Path

import pytest

from catalogue.money import Money
from estimator.papers import words
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_parts import SwapJson
from estimator.papers.page_templates import COMPILED, TEMPLATES, compile_templates
from estimator.papers.quote_page import quote_page
from estimator.price import Discount
from estimator.settings import Pricing, Settings
from tests.approved import check_approved
from tests.papers import sample
from tests.papers.reading import budget_json, firm_json, hostile_json

SETTINGS = Settings(firm=sample.FIRM)


def page(estimate: EstimateJson) -> str:
    return quote_page(estimate, SETTINGS)


def seen(html: str) -> str:
    """The words that a reader sees, one blank between them."""
    texts: list[str] = []

    class Reader(HTMLParser):
        hidden = False

        def handle_starttag(self, tag, attrs):
            self.hidden = tag == "style"

        def handle_endtag(self, tag):
            self.hidden = False

        def handle_data(self, data):
            if not self.hidden:
                texts.append(data)

    Reader().feed(html)
    return " ".join(" ".join(texts).split())


def test_the_quote_is_as_approved():
    check_approved("papers/quote.html", page(firm_json()))


def test_the_budget_range_is_as_approved():
    check_approved("papers/budget.html", page(budget_json()))


def test_it_says_who_what_how_much_and_until_when():
    text = seen(page(firm_json()))
    for said in (
        "Sample Roof and Store", "A. Sample", "1 Sample Lane", "J-104/1", "14 September 2026",
        "14 October 2026: quotes hold for 30 days", "3 × storage module 5 kWh",
        "One single-phase converter of 5 kW, outside the house, with its circuit.",
        "making good of decoration", "an isolator stands between meter and board",
        "VAT at 0 % on £7,780.00", "VAT at 20 % on £100.00", "6 m of cover strip over the leads",
        words.DEFERRAL,
    ):
        assert said in text, said


def test_deposit_and_advance_stay_within_the_code():
    # By hand: 25 % of £7,900 = £1,975; 60 % = £4,740. The caps: consumer code for renewable energy
    # as published in fitters' terms.
    text = seen(page(firm_json()))
    assert "Deposit with your order: £1,975.00 (25 % of the price with VAT)" in text
    assert "no earlier than 3 weeks before delivery" in text
    assert "no more than £4,740.00 (60 %)" in text


def test_a_firm_that_asks_for_more_than_the_code_allows_is_held_to_the_code():
    greedy = Settings(firm=sample.FIRM, pricing=Pricing(deposit_share=D("0.9")))
    assert "£1,975.00 (25 % of the price with VAT)" in seen(quote_page(firm_json(), greedy))


def test_the_right_to_cancel_is_told_in_days_after_the_last_goods():
    # Consumer Contracts Regulations 2013 (SI 2013/3134): 14 days after the last goods.
    assert "until 14 days after the last goods are delivered" in seen(page(firm_json()))


def test_without_limits_in_the_practice_pack_no_limit_is_invented():
    made = sample.firm_estimate()
    bare = replace(made.sheet, job={
        path: value for path, value in made.sheet.job.items() if not path.startswith("practice.")
    })
    text = seen(page(EstimateJson.of(replace(made, sheet=bare), 1)))
    assert "Deposit" not in text
    assert "60 %" not in text
    assert "The contract states your right to cancel" in text


def without_style(html: str) -> str:
    return re.sub(r"<style>.*?</style>", "", html, flags=re.DOTALL)


def amounts(minor: int) -> list[str]:
    """An amount in the ways in which it might slip onto a page."""
    pounds, pence = divmod(minor, 100)
    shown = (f"{pounds:,}.{pence:02d}", f"{pounds}.{pence:02d}", f"{pounds:,}{pence:02d}")
    return [*shown, str(minor)]


def secret_amounts(estimate: EstimateJson) -> set[int]:
    cost = estimate.cost
    found = {
        cost.materials, cost.waste, cost.labour, cost.bought_in, cost.contingency, cost.warranty,
        cost.direct, cost.overhead, cost.total, cost.p80_reserve,
        estimate.price.net - cost.total, estimate.price.net - cost.direct,
        *(head.amount for head in cost.heads),
        *(line.cost for line in estimate.lines), *(line.waste_cost for line in estimate.lines),
        *(line.offer.price for line in estimate.lines if line.offer),
        *(line.unit_cost for line in estimate.lines if line.unit_cost),
        *(risk.cost for risk in estimate.risks),
    }
    return {minor for minor in found if minor >= 50}


@pytest.mark.parametrize("make", [firm_json, budget_json])
def test_no_amount_of_cost_or_profit_is_on_the_page(make):
    made = make()
    html = without_style(page(made))
    secrets = secret_amounts(made)
    assert len(secrets) > 30
    leaked = [
        text for minor in secrets for text in amounts(minor)
        if re.search(rf"(?<![\d.,]){re.escape(text)}(?![\d]|[.,]\d)", html)
    ]
    assert leaked == []


def test_the_search_for_costs_would_find_one():
    made = firm_json()
    html = page(made.model_copy(update={"scope": (f"parts at £{made.cost.total / 100:,.2f}",)}))
    assert any(text in html for text in amounts(made.cost.total))


@pytest.mark.parametrize("make", [firm_json, budget_json])
def test_no_margin_supplier_rule_finding_or_private_word_is_on_the_page(make):
    made = make()
    html = without_style(page(made)).casefold()
    price = made.price
    secrets = [
        "blue pot",  # the private remark of the sample
        *(words.percent(share, places) for share in (price.margin, price.markup, price.contribution)
          for places in (0, 1, 2)),
        *(words.percent(share).replace(" ", "") for share in (price.margin, price.contribution)),
        "margin", "markup", "overhead", "contingency", "profit", "warranty provision",
        *(line.offer.supplier for line in made.lines if line.offer),
        *(line.offer.supplier_code for line in made.lines if line.offer),
        *(line.item for line in made.lines if line.item.startswith("DEMO")),
        *(reason.rule for line in made.lines for reason in line.reasons),
        *(reason.because for line in made.lines for reason in line.reasons),
        *(rule.rule for rule in made.not_fired), *(risk.id for risk in made.risks),
        *(risk.because for risk in made.risks),
        *(finding.says for finding in made.findings), *(finding.code for finding in made.findings),
        *(gap.wants for gap in made.gaps), *made.kind_because,
        *(question.fact for question in made.questions),
        made.job.surveyor, made.job.estimator, *made.job.remarks, "survey.toml", "sample.toml",
    ]
    assert len(secrets) > 80
    assert [each for each in secrets if each and each.casefold() in html] == []


def test_the_reason_of_a_discount_stays_in_the_office():
    made = EstimateJson.of(sample.firm_estimate(
        discount=Discount(Money.of("80"), "he will sign today", "M. Manager")), 1)
    text = seen(page(made))
    assert "Discount -£80.00" in text
    assert "sign today" not in text
    assert "M. Manager" not in text


def test_a_budget_is_no_offer_and_has_nothing_to_sign():
    text = seen(page(budget_json()))
    assert "This is a budget range, not an offer to sign." in text
    assert "Is there an isolator between meter and board?" in text
    assert "As far as we can tell, with VAT £7,900.00 to £8,065.00" in text
    assert "the price may be more than that" in text
    assert "2 further points must be settled by us" in text
    for word in ("Quotation", "Agreed", "signature", "Deposit", "Valid until", "To pay"):
        assert word not in text


def test_an_offer_has_a_box_for_each_side_to_sign():
    text = seen(page(firm_json()))
    assert text.count("name, signature, date") == 2
    assert "budget" not in text.casefold()


def test_what_people_typed_is_escaped():
    html = page(hostile_json())
    assert "<script" not in html
    assert "<b>x</b>" not in html
    # The customer, one line of scope, one assumption, one exclusion.
    assert html.count("&lt;script&gt;alert(1)&lt;/script&gt;") == 4


def test_hostile_words_of_the_firm_are_escaped_too():
    firm = sample.FIRM.model_copy(update={"name": "<img src=x onerror=alert(1)>"})
    html = quote_page(firm_json(), Settings(firm=firm))
    assert "<img" not in html
    assert "&lt;img" in html


def test_the_page_needs_no_network_and_runs_no_script():
    html = page(firm_json())
    assert not re.search(r"https?:|//[a-z]|\bsrc=|<link|<script|<iframe|@import|url\(", html)
    assert "default-src 'none'" in html


def test_the_page_is_well_formed_and_says_its_language():
    html = page(firm_json())
    void = {"meta", "br"}
    stack: list[str] = []
    wrong: list[str] = []

    class Checker(HTMLParser):
        def handle_starttag(self, tag, attrs):
            if tag not in void:
                stack.append(tag)

        def handle_endtag(self, tag):
            if not stack or stack.pop() != tag:
                wrong.append(tag)

    Checker().feed(html)
    assert (stack, wrong) == ([], [])
    assert html.lstrip().startswith("<!DOCTYPE html>")
    assert '<html lang="en-GB">' in html
    assert 'name="viewport" content="width=device-width' in html


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    full = "".join(sign * 2 for sign in colour) if len(colour) == 3 else colour
    parts = [int(full[at:at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_contrast_is_counted_as_the_guidelines_say():
    # WCAG 2.2: black on white is 21 to 1; #767676 on white is the known limit, 4.54 to 1.
    assert (luminance("fff") + 0.05) / (luminance("000") + 0.05) == pytest.approx(21)
    assert (luminance("fff") + 0.05) / (luminance("767676") + 0.05) == pytest.approx(4.54, abs=0.01)


def test_every_text_colour_has_the_contrast_of_level_aa():
    css = (TEMPLATES / "quote.css").read_text(encoding="utf-8")
    colours = set(re.findall(r"[ {;]color: #([0-9a-f]{3,6})", css))
    assert colours
    assert set(re.findall(r"background: ([^;]+)", css)) == {"#fff"}
    for colour in colours:
        assert (luminance("fff") + 0.05) / (luminance(colour) + 0.05) >= 4.5, colour


def test_the_compiled_templates_are_those_of_the_templates(tmp_path: Path) -> None:
    compile_templates(tmp_path)
    texts = [
        {file.name: file.read_text(encoding="utf-8") for file in folder.glob("*.py")}
        for folder in (COMPILED, tmp_path)
    ]
    assert len(texts[0]) == len(list(TEMPLATES.iterdir()))
    assert texts[0] == texts[1], "run: make templates"


def test_the_customer_is_told_which_part_stands_in_for_which_and_nothing_of_why():
    swap = SwapJson(original="A", original_name="Panel 440 W", substitute="B",
                    substitute_name="Panel <450 W>", why="cheaper this week", by="R. Buyer")
    told = seen(page(firm_json().model_copy(update={"swaps": (swap,)})))
    assert "Panel <450 W>, in place of Panel 440 W" in told
    assert "Tell us before you sign" in told
    assert "cheaper this week" not in told
    assert "R. Buyer" not in told
    assert "Substitutes" not in seen(page(firm_json()))
