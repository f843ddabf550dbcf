"""The pages of a sheet for what comes back: each thing that was picked, and what was bought."""

from __future__ import annotations

from decimal import Decimal

from estimator.papers import words
from estimator.papers.digits import plain
from estimator.papers.sheets.pages import ALL, Box, Heading, Page, Row, Sum, band
from estimator.papers.sheets.pick_pages import Issued
from estimator.van.pick_sheet import END, MM_PER_M
from estimator.van.sheet_model import BackRow, BackSheet

BACK, BOUGHT = "Comes back", "Bought"
BECAME = ("fitted", "back", "damaged")
BOUGHT_ROWS = 8
COUNTED_BY = "counted by"
COLUMNS = (
    Heading("Line", 5), Heading("Bin", 8), Heading("Item", 12), Heading("What", 34),
    Heading("Out", 8), Heading("Unit", 6), Heading("Drum, batch, serial", 16),
    Heading("Back, good", 9), Heading("Back, damaged", 9), Heading("Offcuts in m", 14),
    Heading("Fitted, back or damaged", 12), Heading("Used", 8),
    Heading("Where it is fitted, remark", 26),
)
_BOUGHT_COLUMNS = (
    Heading("No", 5), Heading("Item", 14), Heading("What", 40), Heading("How many", 10),
    Heading("Paid in all, without tax", 14), Heading("Supplier", 22), Heading("Remark", 26),
)
_USED = Sum('=IF({Back, good}{r}="","",{Out}{r}-IF({Back, good}{r}="all",{Out}{r},'
            "{Back, good}{r})-N({Back, damaged}{r}))")


def back_pages(sheet: BackSheet, issued: Issued) -> tuple[Page, ...]:
    """Return the pages of a sheet for what comes back; all are written on."""
    about = ", ".join(part for part in (
        sheet.title, sheet.address, words.day(sheet.on), f"sheet {issued.code}") if part)
    rows = [_row(row) for row in sheet.rows]
    sticks = ("Of rails and other sticks count the whole ones, and give each offcut worth keeping "
              "in metres: its mark is told when the sheet is read.",)
    rows += [band("Names", COLUMNS), Row((None, None, COUNTED_BY, Box()), COUNTED_BY)]
    back = Page(
        BACK, f"{BACK} - job {sheet.job}, revision {sheet.revision}", about,
        ("Count what comes back: how many good ones, 0 for none, or the word all; and how many "
         "damaged ones.",
         "Of a cable or bar cut from a length give each offcut in metres, such as 3.2; 1.5, or 0. "
         "What is not back is used.",
         *(sticks if any(row.stick_mm for row in sheet.rows) else ()),
         *(f"Bring back of bar {each.bar}, {each.item}: {each.length_mm} mm for job {each.job}."
           for each in sheet.leaves)),
        COLUMNS, tuple(rows), written_on=True)
    bought = Page(
        BOUGHT, f"{BOUGHT} on the way - job {sheet.job}, revision {sheet.revision}", about,
        ("What was bought for this job and brought straight to the house.",),
        _BOUGHT_COLUMNS, tuple(_bought(n) for n in range(1, BOUGHT_ROWS + 1)), written_on=True)
    return back, bought


def _row(row: BackRow) -> Row:
    serial, length = row.kind == "serial", row.kind == "length"
    name = row.name if row.kind != END or row.stick_mm is None else (
        f"{row.name}: end of {plain(Decimal(row.stick_mm) / MM_PER_M)} m")
    return Row((
        row.line or None, row.bin, row.item, name, row.out, row.unit, row.lot,
        None if serial or length else Box("number", (ALL,)),
        None if serial else Box("number"), Box("lengths") if length or row.stick_mm else None,
        Box("word", BECAME) if serial else None, None if serial or length else _USED, Box(),
    ), row.key)


def _bought(n: int) -> Row:
    return Row((n, Box(), None, Box("number"), Box("number"), Box(), Box()), f"+{n}")
