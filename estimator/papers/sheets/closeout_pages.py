"""The pages of a close-out sheet: cautions, then who and with what, readings, handing over."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from estimator.closing.entries import PACK, PAPERS
from estimator.closing.sheet_model import CloseOutSheet, GroupRow, ReadRow
from estimator.papers import words
from estimator.papers.cautions import Caution
from estimator.papers.sheets.pages import Box, Content, Heading, Page, Row, band
from estimator.papers.sheets.pick_pages import Issued

CAUTIONS, WITH, READINGS, HANDING = "Cautions", "Who and with what", "Readings", "Handing over"
HERE, SERIAL, CALIBRATED = "Write here", "Serial number", "Calibrated on"
TESTED_BY, DAY, WEATHER = "tested by", "day of the tests", "weather and sky"
INSTRUMENTS = tuple("ABCDEF")
READ, WHY_NOT, INSTRUMENT, REMARK = "Reading", "Not tested because", "Instrument", "Remark"
LICENSED = "Only a competent, licensed person tests, and stops where anything is not as expected."
_HANDING_GROUPS = ("Snags", PACK, PAPERS)
_WITH_COLUMNS = (
    Heading("What", 30), Heading(HERE, 44), Heading(SERIAL, 24), Heading(CALIBRATED, 16))
_COLUMNS = (
    Heading("Of", 17), Heading("What", 38), Heading("Expected", 26), Heading("Tolerance", 18),
    Heading(READ, 13), Heading("Unit", 8), Heading(WHY_NOT, 22), Heading(INSTRUMENT, 11),
    Heading(REMARK, 20),
)
_HANDING_COLUMNS = (
    Heading("What", 52), Heading("Expected", 34), Heading(READ, 16), Heading(WHY_NOT, 30),
    Heading(REMARK, 30),
)
_JOB = "job"


def closeout_pages(
    sheet: CloseOutSheet, issued: Issued, cautions: Sequence[Caution]
) -> tuple[Page, ...]:
    """Return the pages in the order in which they are needed."""
    return (_cautions(sheet, issued, cautions), *closeout_written_on(sheet, issued))


def closeout_written_on(sheet: CloseOutSheet, issued: Issued) -> tuple[Page, ...]:
    """Return the pages that are written on."""
    return _with(sheet, issued), _readings(sheet, issued), _handing(sheet, issued)


def page_of(row: ReadRow) -> str:
    """Return the page on which a reading stands."""
    return HANDING if row.group in _HANDING_GROUPS else READINGS


def _page(
    sheet: CloseOutSheet, issued: Issued, name: str, columns: tuple[Heading, ...],
    rows: Sequence[Row], *notes: str,
) -> Page:
    about = ", ".join(part for part in (
        sheet.title, sheet.address, words.day(sheet.on), f"sheet {issued.code}") if part)
    return Page(name, f"{name} - job {sheet.job}, revision {sheet.revision}", about, notes,
                columns, tuple(rows), written_on=name != CAUTIONS)


def _cautions(sheet: CloseOutSheet, issued: Issued, cautions: Sequence[Caution]) -> Page:
    columns = (Heading("What", 26), Heading("Caution", 84), Heading("Who, or source", 40))
    rows = [band("While testing", columns)]
    rows += [Row((group.name, group.caution, group.who)) for group in sheet.groups if group.caution]
    rows.append(band("On site", columns))
    for each in cautions:
        rows.append(Row((each.step, each.says, each.source)))
        rows += [Row((None, f"{n}. {step}")) for n, step in enumerate(each.steps, 1)]
    return _page(sheet, issued, CAUTIONS, columns, rows,
                 "STRINGS ARE LIVE WHENEVER LIGHT FALLS ON THEM. STORAGE CANNOT BE MADE DEAD. "
                 "PROVE DEAD BEFORE YOU TOUCH.", LICENSED, words.DEFERRAL)


def _with(sheet: CloseOutSheet, issued: Issued) -> Page:
    rows = [
        Row((TESTED_BY, Box()), TESTED_BY), Row((DAY, Box("day")), DAY),
        Row((WEATHER, Box()), WEATHER),
        band("Instruments, named by their letter on the next page", _WITH_COLUMNS),
        *(Row((f"instrument {letter}", Box(), Box(), Box("day")), letter)
          for letter in INSTRUMENTS),
    ]
    return _page(sheet, issued, WITH, _WITH_COLUMNS, rows,
                 "Write in the cells with a thick edge only; days as 2026-03-31.", LICENSED)


def _readings(sheet: CloseOutSheet, issued: Issued) -> Page:
    rows = [row for group in sheet.groups if group.name not in _HANDING_GROUPS
            for row in _group(sheet, group)]
    return _page(
        sheet, issued, READINGS, _COLUMNS, rows,
        "Reading: what the instrument shows, without the unit; >200 if it shows no more. What is "
        "not tested gets its reason.",
        "Where nothing is expected the reading is noted, and who tests decides. Volts and currents "
        "of strings: steady sky, irradiance and cell temperature at the same minute.",
        "STRINGS ARE LIVE WHENEVER LIT. STORAGE CANNOT BE MADE DEAD.")


def _group(sheet: CloseOutSheet, group: GroupRow) -> Iterator[Row]:
    yield band(f"{group.name} - {group.who}", _COLUMNS)
    if group.caution:
        yield band(group.caution, _COLUMNS)
    for row in sheet.rows:
        if row.group == group.name:
            yield Row((
                "" if row.subject == _JOB else row.subject, row.read, row.expected, row.tolerance,
                _box(row), row.unit, Box(),
                Box("word", INSTRUMENTS) if row.box == "number" else None, Box()), row.key)


def _handing(sheet: CloseOutSheet, issued: Issued) -> Page:
    rows: list[Row] = []
    for group in sheet.groups:
        if group.name in _HANDING_GROUPS:
            rows.append(band(f"{group.name} - {group.who}", _HANDING_COLUMNS))
            rows += [Row((row.read, row.expected, _box(row), Box(), Box()), row.key)
                     for row in sheet.rows if row.group == group.name]
    return _page(
        sheet, issued, HANDING, _HANDING_COLUMNS, rows,
        "Yes or no, or the day on which a paper went out, as 2026-03-31; what is not done gets its "
        "reason. A paper without a day keeps its clock running.",
        "Serial numbers may be noted with string and position under 'Remark'.")


def _box(row: ReadRow) -> Content:
    match row.box:
        case "number":
            return Box("reading", row.words)
        case "day":
            return Box("day")
        case "text":
            return Box()
        case _:
            return Box("word", row.words)
