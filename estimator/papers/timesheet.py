"""A blank timesheet as a workbook: a row for each stretch of work, with lists to choose from.

It is printed on A4, filled in by hand or on a screen, and read by `estimator actuals hours`. What
somebody may have typed, such as a job's title, is written as text, so that nothing of it runs.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import datetime
from typing import Any

# Title -> width in characters; the reader knows a column by its title.
COLUMNS = {
    "Person": 16, "Crew": 10, "Day": 11, "Job": 14, "Task group": 12, "Task": 18, "Begun": 8,
    "Ended": 8, "Hours": 8, "Cause": 30,
}
ROWS = 40
_HINTS = {
    "Job": "one of the jobs in hand",
    "Task group": "what kind of work",
    "Cause": "why somebody waited or did it again",
    "Hours": "7:30; with begun and ended only if there was a break",
}
_MADE = datetime(2026, 1, 1)  # noqa: DTZ001 the same sheet gives the same bytes


def timesheet(
    jobs: Sequence[tuple[str, str]], groups: Sequence[str], tasks: Sequence[tuple[str, str, str]]
) -> bytes:
    """Return the workbook.

    Args:
        jobs: id and title of the jobs in hand.
        groups: task groups.
        tasks: id, group and name of the norms.
    """
    from xlsxwriter import Workbook

    out = io.BytesIO()
    book = Workbook(out, {"in_memory": True, "strings_to_formulas": False,
                          "strings_to_numbers": False, "strings_to_urls": False})
    book.set_properties({"title": "Timesheet", "created": _MADE})
    sheet, lists = book.add_worksheet("Hours"), book.add_worksheet("Lists")
    _write_lists(book, lists, jobs, groups, tasks)
    lists.hide()
    _write_rows(book, sheet)
    for title, column, many in (
        ("Job", "A", len(jobs)), ("Task group", "D", len(groups)), ("Task", "F", len(tasks)),
    ):
        if many:
            at = list(COLUMNS).index(title)
            sheet.data_validation(1, at, ROWS, at, {
                "validate": "list", "source": f"=Lists!${column}$2:${column}${many + 1}",
                "ignore_blank": True, "error_type": "warning",
                "input_title": title, "input_message": _HINTS.get(title, "from the list")})
    _set_page(sheet)
    book.close()
    return out.getvalue()


def _write_lists(
    book: Any, sheet: Any, jobs: Sequence[tuple[str, str]], groups: Sequence[str],
    tasks: Sequence[tuple[str, str, str]],
) -> None:
    text = book.add_format({"num_format": "@"})
    blocks = ((0, ("Job", "Title"), jobs), (3, ("Task group",), [(each,) for each in groups]),
              (5, ("Task", "Group", "Name"), tasks))
    for left, titles, rows in blocks:
        for at, row in enumerate([titles, *rows]):
            for i, value in enumerate(row):
                sheet.write_string(at, left + i, value, text)


def _write_rows(book: Any, sheet: Any) -> None:
    head = book.add_format({"bold": True, "bottom": 2, "text_wrap": True, "valign": "top"})
    line = {"border": 1, "border_color": "#808080"}
    text = book.add_format({**line, "num_format": "@"})
    day = book.add_format({**line, "num_format": "yyyy-mm-dd"})
    clock = book.add_format({**line, "num_format": "hh:mm"})
    stretch = book.add_format({**line, "num_format": "[h]:mm"})
    formats = {"Day": day, "Begun": clock, "Ended": clock, "Hours": stretch}
    for at, (title, width) in enumerate(COLUMNS.items()):
        sheet.set_column(at, at, width)
        sheet.write_string(0, at, title, head)
        for row in range(1, ROWS + 1):
            sheet.write_blank(row, at, None, formats.get(title, text))


def _set_page(sheet: Any) -> None:
    sheet.set_paper(9)  # A4
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(0)
    sheet.freeze_panes(1, 0)
    sheet.set_margins(0.4, 0.4, 0.6, 0.6)
    sheet.set_header("&L&\"Arial,Bold\"Timesheet&RPage &P of &N")
    sheet.set_footer("&LWaiting and rework need a cause. One row for each stretch of work; a new "
                     "row for another job or group.&RSigned:")
