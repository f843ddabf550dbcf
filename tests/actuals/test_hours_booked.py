"""Hours that are booked: once, at the cost of an hour, whole or not at all, and taken back."""

from __future__ import annotations

import io
from datetime import date, time
from decimal import Decimal as D
from fractions import Fraction as F
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import load_workbook

from catalogue.problems import ProblemsFound
from estimator.actuals.durations import clock_of, hours_of
from estimator.actuals.time_money import amount_of
from estimator.actuals.timesheet import GROUPS
from estimator.labour import norms
from estimator.papers.timesheet import timesheet
from estimator.workflow.actual_costs import actual_costs
from estimator.workflow.hours import HoursImport, HoursWanted, import_hours
from estimator.workflow.hours_back import take_back
from estimator.workflow.hours_sheet import write_hours_sheet
from tests.actuals.firm import TODAY, asked

# By hand: 7.5 h at 43.98 = 329.85, at 23.85 = 178.875 -> 178.88; 20 min at 43.98 = 14.66,
# at 23.85 = 7.95; 50 min at 52.50 = 43.75, at 23.85 = 19.875 -> 19.88.
WEEK = """\
Person,Day,Job,Task group,Hours,Minutes,Cause,Rate
R. Fitter,2026-11-05,D-101,roof,7:30,,,
R. Fitter,2026-11-06,D-101,waiting,,20,scaffold late,
S. Sparks,2026-11-05,D-104,electrical,,50,,52.50
"""
WRONG = WEEK + "S. Sparks,2026-11-06,D-104,electric,7:30,,,\n"


def book(firm: str, content: str, **how: Any) -> HoursImport:
    Path("week.csv").write_text(content, encoding="utf-8")
    return import_hours(firm, HoursWanted(Path("week.csv"), TODAY, write=True, **how))


def test_each_line_is_rounded_once_and_sums_are_those_of_the_lines(firm: str) -> None:
    done = book(firm, WEEK)
    assert done.written
    assert asked(firm, "SELECT amount_minor, overhead_minor, minutes, rate_minor FROM time_line "
                       "ORDER BY id") == [
        (32_985, 17_888, 450, 4_398), (1_466, 795, 20, 4_398), (4_375, 1_988, 50, 5_250)]
    assert [each.minor for each in done.sums] == [32_985 + 1_466 + 4_375, 17_888 + 795 + 1_988]
    shown = {(each.job, each.kind, each.group): each.amount.minor
             for each in actual_costs(firm).sums}
    by_sql = {(job, "labour", group): amount for job, group, amount in asked(
        firm, "SELECT job_id, task_group, SUM(amount_minor) FROM time_line GROUP BY 1, 2")}
    by_sql |= {(job, "overhead", group): amount for job, group, amount in asked(
        firm, "SELECT job_id, task_group, SUM(overhead_minor) FROM time_line GROUP BY 1, 2")}
    assert shown == by_sql
    assert actual_costs(firm, "D-104").total("D-104").minor == 4_375 + 1_988


def test_the_same_file_is_not_booked_twice_whatever_it_is_called(firm: str) -> None:
    book(firm, WEEK)
    Path("other.csv").write_text(WEEK, encoding="utf-8")
    again = import_hours(firm, HoursWanted(Path("other.csv"), TODAY, write=True))
    assert again.before is not None
    assert not again.written
    once_more = import_hours(firm, HoursWanted(Path("other.csv"), TODAY, write=True, again=True))
    assert [line for _, line in once_more.already] == [1, 2, 3]
    assert asked(firm, "SELECT COUNT(*) FROM time_line") == [(3,)]
    assert asked(firm, "SELECT COUNT(*) FROM time_file") == [(1,)]


def test_a_dry_run_books_nothing(firm: str) -> None:
    Path("week.csv").write_text(WEEK, encoding="utf-8")
    told: list[tuple[int, int]] = []
    done = import_hours(firm, HoursWanted(Path("week.csv"), TODAY),
                        lambda now, of: told.append((now, of)))
    assert (len(done.rows), done.written) == (3, False)
    assert told == sorted(told)
    assert asked(firm, "SELECT COUNT(*) FROM time_line") == [(0,)]
    assert asked(firm, "SELECT COUNT(*) FROM time_file") == [(0,)]


def test_a_refused_row_keeps_all_from_being_booked_unless_somebody_says_so(firm: str) -> None:
    with pytest.raises(ProblemsFound) as found:
        book(firm, WRONG)
    assert [each.code for each in found.value.problems] == ["Z204", "Z219"]
    assert asked(firm, "SELECT COUNT(*) FROM time_line") == [(0,)]
    assert book(firm, WRONG, skip_refused=True).written
    # put right, the file is another; what is booked already is passed over
    mended = book(firm, WRONG.replace("electric,", "electrical,"))
    assert (len(mended.already), len(mended.rows), mended.written) == (3, 1, True)
    assert asked(firm, "SELECT COUNT(*), SUM(minutes) FROM time_line") == [
        (4, 450 + 20 + 50 + 450)]


def test_what_is_booked_in_another_file_counts_for_day_and_overlap(firm: str) -> None:
    head = "Person,Day,Job,Task group,Hours,Begun,Ended\n"
    book(firm, head + "R. Fitter,2026-11-05,D-101,roof,,22:00,02:00\n"
                      "R. Fitter,2026-11-07,D-101,roof,10,,\n")
    Path("more.csv").write_text(
        head + "r. fitter,2026-11-06,D-104,roof,,01:00,03:00\n"
               "R. Fitter,2026-11-07,D-104,roof,6:01,,\n", encoding="utf-8")
    done = import_hours(firm, HoursWanted(Path("more.csv"), TODAY))
    assert [(each.where.line, each.code) for each in done.refused] == [(2, "Z215"), (3, "Z216")]
    assert "(line 1, booked already)" in done.refused[0].says
    assert "16 h 1 min" in done.refused[1].says


def test_a_line_is_taken_back_to_the_penny_and_once(firm: str) -> None:
    book(firm, WEEK)
    done = take_back(firm, 1, "on another job")
    assert (done.by_line, done.minutes, done.amount_minor, done.overhead_minor) == (
        4, -450, -32_985, -17_888)
    assert asked(firm, "SELECT SUM(minutes), SUM(amount_minor), SUM(overhead_minor) FROM time_line "
                       "WHERE id = 1 OR takes_back = 1") == [(0, 0, 0)]
    for line in (1, 4):
        with pytest.raises(ProblemsFound) as found:
            take_back(firm, line, "again")
        assert [each.code for each in found.value.problems] == ["Z221"]
    # what was taken back may be booked anew, and no longer fills the day
    assert len(book(firm, WEEK + "\n").rows) == 1


@given(rate=st.integers(0, 1_000_000), minutes=st.integers(1, 1_000))
def test_an_amount_is_the_nearest_penny_and_its_reversal_undoes_it(rate: int, minutes: int) -> None:
    amount = amount_of(rate, minutes)
    assert abs(F(rate) * minutes / 60 - amount) <= F(1, 2)
    assert amount + amount_of(rate, -minutes) == 0


@given(minutes=st.integers(1, 24 * 60 - 1))
def test_hours_are_read_the_same_however_they_are_written(minutes: int) -> None:
    hours, rest = divmod(minutes, 60)
    spelled = [f"{hours}:{rest:02}", f"{hours}h{rest:02}", f"{hours} h {rest} min",
               f"{minutes} min", time(hours, rest)]
    if minutes * 100 % 60 == 0:
        spelled += [f"{D(minutes) / 60:f}", f"{D(minutes) / 60:f}".replace(".", ",")]
    assert {hours_of(each, decimal=True) for each in spelled} == {minutes}
    assert {clock_of(each) for each in (f"{hours:02}:{rest:02}", f"{hours:02}{rest:02}",
                                        time(hours, rest))} == {minutes}


def test_groups_are_those_of_the_norms_and_rework() -> None:
    assert set(GROUPS) == {*norms.GROUPS, "rework"}


def test_a_blank_timesheet_lists_the_jobs_in_hand_and_is_read_back(firm: str) -> None:
    assert write_hours_sheet(firm, Path("sheet.xlsx")) == 3
    book_ = load_workbook("sheet.xlsx")
    sheet, lists = book_["Hours"], book_["Lists"]
    assert (sheet.page_setup.paperSize, sheet.page_setup.orientation) == (9, "landscape")
    assert sheet.print_title_rows == "$1:$1"
    assert lists.sheet_state == "hidden"
    titles = [cell.value for cell in sheet[1]]
    chosen = {}
    for rule in sheet.data_validations.dataValidation:
        column = titles[next(iter(rule.sqref.ranges)).min_col - 1]
        cells = lists[rule.formula1.removeprefix("Lists!").lstrip("=")]
        chosen[column] = [cell.value for (cell,) in cells]
    assert chosen["Job"] == ["00420", "D-101", "D-104"]
    assert chosen["Task group"] == list(GROUPS)
    assert chosen["Task"][0] == next(
        norm.id for norm in sorted(norms.standard_norms().values(), key=lambda each: each.id)
        if norm.group == "roof")
    row = {"Person": "R. Fitter", "Day": date(2026, 11, 5), "Job": "00420", "Task group": "roof",
           "Begun": time(8, 0), "Ended": time(16, 30), "Hours": time(8, 0)}
    for title, value in row.items():
        sheet.cell(2, titles.index(title) + 1).value = value
    book_.save("sheet.xlsx")
    done = import_hours(firm, HoursWanted(Path("sheet.xlsx"), TODAY, write=True))
    assert [(each.job, each.minutes, each.times) for each in done.rows] == [
        ("00420", 480, ("08:00", "16:30"))]
    assert done.written


def test_a_title_that_would_run_as_a_formula_stays_text_and_bytes_stay_the_same() -> None:
    wild = [("=1+1", "+cmd"), ("@job", "-2")]
    made = timesheet(wild, GROUPS, [])
    assert made == timesheet(wild, GROUPS, [])
    lists = load_workbook(io.BytesIO(made))["Lists"]
    cells = [cell for row in lists["A2:B3"] for cell in row]
    assert [cell.value for cell in cells] == ["=1+1", "+cmd", "@job", "-2"]
    assert {cell.data_type for cell in cells} == {"s"}
