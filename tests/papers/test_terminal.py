import pytest

from estimator.papers import words
from estimator.papers.contract import EstimateJson
from estimator.papers.terminal import WIDTH, clean, findings_report, summary, wrapped
from tests.approved import check_approved
from tests.papers import sample
from tests.papers.reading import budget_json, firm_json, hostile_json

WRITTEN = ("out/J-104/J-104-1.xlsx", "out/J-104/J-104-1.html")


def test_the_summary_is_as_approved():
    check_approved("papers/summary.txt", summary(firm_json(), WRITTEN))


def test_the_summary_of_a_budget_is_as_approved():
    check_approved("papers/budget-summary.txt", summary(budget_json()))


@pytest.mark.parametrize("make", [firm_json, budget_json, hostile_json])
def test_it_fits_a_hundred_columns(make):
    assert max(len(line) for line in summary(make(), WRITTEN).splitlines()) <= WIDTH


def test_long_names_and_numbers_still_fit():
    long = sample.Row("L" * 40, "a very long name " * 6, "cable", "m", "9999.25", "1000",
                      "99999.99", "because")
    made = EstimateJson.of(sample.firm_estimate((*sample.ROWS, long)), 1)
    assert max(len(line) for line in summary(made).splitlines()) <= WIDTH


def test_the_first_lines_say_job_kind_and_price():
    lines = summary(firm_json()).splitlines()
    assert lines[0] == "Job J-104, revision 1: storage in the garage"
    assert "FIRM PRICE: £7,900.00 with VAT" in lines


def test_a_budget_says_why_it_is_no_firm_price():
    text = summary(budget_json())
    assert "BUDGET RANGE: £7,900.00 to £8,065.00 with VAT; some answers cannot be priced" in text
    assert "\n  because storage-flood: the place can flood" in text


def test_findings_stand_worst_first_and_in_words():
    text = findings_report(budget_json())
    assert text.index("  STOP ") < text.index("  CAUTION ") < text.index("  fine ")


def test_the_summary_counts_what_is_fine_and_tells_the_rest():
    text = summary(budget_json())
    assert "  fine " not in text
    assert "1 more check: fine (estimator check lists them)" in text


def test_what_must_be_signed_has_room_for_a_name():
    told = findings_report(budget_json()).split("\n")
    at = next(i for i, line in enumerate(told) if "structural engineer" in line)
    assert any("name, signature, date: ____" in line for line in told[at:at + 3])
    assert sum("signature" in line for line in told) == 1


def test_an_answer_stands_with_the_way_it_was_reached_and_its_figures():
    text = findings_report(budget_json())
    assert "converter circuit: 6 mm2 flat cable" in text
    assert "(tabulated current times factors)" in " ".join(text.split())
    assert "design current 25.6 A; capacity 32 A" in text


def test_a_question_says_what_happens_at_worst():
    assert "(at worst CAUTION: a bond is missing)" in " ".join(summary(budget_json()).split())


def test_questions_say_what_their_answer_may_cost():
    text = summary(budget_json())
    assert "? Is there an isolator between meter and board? [£0.00 to £140.00]" in text
    assert "[priced as 0 meanwhile]" in text


def test_it_names_the_files_and_defers():
    text = summary(firm_json(), WRITTEN)
    assert "WRITTEN\n  out/J-104/J-104-1.xlsx\n" in text
    assert text.endswith(words.DEFERRAL + "\n")


def test_no_sign_can_move_the_cursor_or_colour_the_screen():
    job = sample.JOB.model_copy(update={"customer": "A\x1b[2J\x9b31m\rB", "title": "x\ty"})
    text = summary(EstimateJson.of(sample.firm_estimate(job=job), 1))
    assert {sign for sign in text if sign != "\n" and not sign.isprintable()} == set()
    assert "A?[2J?31m B" in text


def test_cleaning_leaves_plain_words_alone():
    assert clean("6 mm² × 3, £4") == "6 mm² × 3, £4"
    assert clean("a\x00b\u202ec") == "a?b?c"  # noughts and marks that turn text round


def test_a_wrapped_text_hangs_below_its_first_word():
    assert wrapped("one two three", "ab ", 10) == ["ab one two", "   three"]
