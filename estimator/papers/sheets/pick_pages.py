"""The pages of a pick sheet: what is picked, boxes to open, shortages, van, cuts, cautions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from estimator.papers import words
from estimator.papers.cautions import Caution
from estimator.papers.digits import plain
from estimator.papers.sheets.pages import ALL, YES, Box, Content, Heading, Page, Row, Sum, band
from estimator.van.pick_sheet import in_packs
from estimator.van.sheet_model import PickRow, PickSheet

PICK, BOXES = "Pick", "Boxes"
WRITE_INS = 8
SIGNED = ("picked by", "checked by")
COLUMNS = (
    Heading("Line", 5), Heading("Bin", 6), Heading("Item", 10), Heading("What", 24),
    Heading("Need", 6), Heading("Unit", 5), Heading("Packs + loose", 9), Heading("From", 8),
    Heading("Drum, batch, bar", 10), Heading("Cut at marks", 13), Heading("Use by", 10),
    Heading("May be instead", 10), Heading("Picked", 7), Heading("Instead", 10),
    Heading("Serial, batch or drum", 13), Heading("Checked", 8), Heading("Loaded", 8),
    Heading("Short", 6), Heading("Remark", 12),
)
_SHORT = Sum('=IF({Picked}{r}="","",{Need}{r}-IF({Picked}{r}="all",{Need}{r},{Picked}{r}))')
_BOX_COLUMNS = (
    Heading("Line", 5), Heading("Box of", 11), Heading("What", 30), Heading("Boxes", 7),
    Heading("Part", 11), Heading("What lies in it", 32), Heading("In each", 7),
    Heading("Expected", 9), Heading("Used here", 8), Heading("Comes back", 8),
    Heading("Found", 8), Heading("Remark", 20),
)


@dataclass(frozen=True, slots=True)
class Issued:
    """A sheet's name, such as "D-101/2", and the first figures of its digest."""

    name: str
    digest: str

    @property
    def code(self) -> str:
        """Return what the code on the sheet says."""
        return f"{self.name} {self.digest[:12]}"


def pick_pages(sheet: PickSheet, issued: Issued, cautions: Sequence[Caution]) -> tuple[Page, ...]:
    """Return the pages of a pick sheet in the order in which they are needed."""
    made = [_pick(sheet, issued), _boxes(sheet, issued), _shortages(sheet, issued),
            _van(sheet, issued), _cuts(sheet, issued), _cautions(sheet, issued, cautions)]
    return tuple(page for page in made if page.rows)


def written_on(sheet: PickSheet, issued: Issued) -> tuple[Page, ...]:
    """Return the pages of a pick sheet that are written on."""
    return tuple(page for page in (_pick(sheet, issued), _boxes(sheet, issued)) if page.rows)


def about(sheet: PickSheet, issued: Issued) -> str:
    """Return the line that says which job and which sheet it is."""
    parts = (sheet.title, sheet.address, words.day(sheet.on), f"sheet {issued.code}")
    return ", ".join(part for part in parts if part)


def _page(
    sheet: PickSheet, issued: Issued, name: str, columns: tuple[Heading, ...],
    rows: Sequence[Row], *notes: str,
) -> Page:
    return Page(name, f"{name} - job {sheet.job}, revision {sheet.revision}",
                about(sheet, issued), notes, columns, tuple(rows), name in (PICK, BOXES))


# -- what is picked --------------------------------------------------------------------------------


def _pick(sheet: PickSheet, issued: Issued) -> Page:
    rows: list[Row] = []
    short = [row for row in sheet.rows if row.short]
    if short:
        rows.append(band("SHORT: settle these first", COLUMNS))
        rows += [_short_row(row) for row in short]
    rows.append(band("Pick, in the order of the walk", COLUMNS))
    for row in sheet.rows:
        if not row.short:
            rows += _pick_rows(row)
    rows.append(band("Write in what else was taken: item, how many, from where", COLUMNS))
    rows += [_write_in(n, sheet.places) for n in range(1, WRITE_INS + 1)]
    rows.append(band("Names", COLUMNS))
    rows += [Row((None, None, name, Box()), name) for name in SIGNED]
    return _page(
        sheet, issued, PICK, COLUMNS, rows,
        "Write in the cells with a thick edge only. Picked: how many, 0 for none, or the word all. "
        "Instead: only an item of the column before it.",
        "A thing with a serial number has one row for each number. What is short and found all "
        "the same is written in at the end.",
        f"Standing stock of a van may be taken from: {sheet.van or 'none'}.")


def _short_row(row: PickRow) -> Row:
    return Row((
        row.line, row.bin, row.item, row.name, row.pick, row.unit, _packs(row),
        "SHORT", row.short, row.run, None, _instead(row)), row.key)


def _pick_rows(row: PickRow) -> Iterator[Row]:
    yield Row((
        row.line, row.bin, row.item, row.name, row.pick, row.unit, _packs(row),
        row.place, row.lot, _cut(row), None if row.use_by is None else row.use_by.isoformat(),
        _instead(row), Box("number", (ALL,)), Box("word", row.instead) if row.instead else None,
        None if row.serials else Box(), Box("word", (YES,)), Box("word", (YES,)), _SHORT, Box(),
    ), row.key)
    for n in range(1, row.serials + 1):
        expected = row.lots[n - 1] if n <= len(row.lots) else ""
        yield Row((None, None, None, f"serial number {n} of {row.serials}", None, None, None, None,
                   expected, *[None] * 5, Box()), f"{row.key}#{n}")


def _write_in(n: int, places: tuple[str, ...]) -> Row:
    cells: list[Content] = [
        None, None, Box(), "written in", None, None, None, Box("word", places), *[None] * 4,
        Box("number"), None, Box(), Box("word", (YES,)), Box("word", (YES,)), None, Box()]
    return Row(tuple(cells), f"+{n}")


def _packs(row: PickRow) -> str:
    """Return whole packs and loose ones; a length is cut off, whatever it was bought as."""
    return "" if row.left is not None or row.run else in_packs(row.pick, row.pack)


def _cut(row: PickRow) -> str:
    marks = "" if row.left is None else (
        f"{plain(row.pick)} {row.unit}: {plain(row.left)} to {plain(row.left + row.pick)}")
    return "\n".join(part for part in (marks, row.run, row.saw) if part)


def _instead(row: PickRow) -> str:
    return "\n".join(row.instead) or "no"


# -- the other pages -------------------------------------------------------------------------------


def _boxes(sheet: PickSheet, issued: Issued) -> Page:
    rows = [
        Row((box.line, box.box, _name_of(sheet, box.line), box.boxes, box.item, box.name, box.each,
             box.expected, box.used, box.expected - box.used, Box("number"), Box()), box.key)
        for box in sheet.boxes
    ]
    return _page(sheet, issued, BOXES, _BOX_COLUMNS, rows,
                 "Open these boxes and count. What is missing is missing on site.")


def _name_of(sheet: PickSheet, line: int) -> str:
    return next((row.name for row in sheet.rows if row.line == line), "")


def _shortages(sheet: PickSheet, issued: Issued) -> Page:
    columns = (Heading("Line", 6), Heading("Item", 12), Heading("What", 40), Heading("Short", 8),
               Heading("Unit", 6), Heading("Why", 34), Heading("May be instead", 24))
    rows = [Row((row.line, row.item, row.name, row.pick, row.unit, row.short,
                 ", ".join(row.instead) or "no"))
            for row in sheet.rows if row.short]
    if sheet.sign:
        rows.append(band("BLOCKED until somebody has put a name to it", columns))
        rows += [Row((None, each.decides, each.says, each.limit)) for each in sheet.sign]
    return _page(sheet, issued, "Shortages", columns, rows,
                 "Buy, take a substitute, bring it later, or postpone. What is allowed instead is "
                 "equal or better in every hard field.")


def _van(sheet: PickSheet, issued: Issued) -> Page:
    columns = (Heading("No", 5), Heading("Job", 10), Heading("Item", 12), Heading("What", 40),
               Heading("How many", 9), Heading("kg each", 8), Heading("kg", 9),
               Heading("Longest mm", 9), Heading("Where", 30), Heading("Who lifts one", 18))
    load = sheet.load
    rows = [band("goes together" if load.fits else "DOES NOT GO in one van in one day", columns)]
    rows += [Row((None, None, None, f"{each.measure}: the van {each.holds}", None, None, None, None,
                  ", ".join(each.takes), "enough" if each.enough else "NOT ENOUGH"))
             for each in load.shared]
    rows.append(band("Load in this order; what is wanted first goes in last", columns))
    for n, each in enumerate(load.loads, 1):
        mass = None if each.each_kg is None else each.each_kg * each.count
        rows.append(Row((n, each.job, each.item, each.name, f"{plain(each.count)} {each.unit}",
                         each.each_kg, mass, each.longest_mm, each.where, each.lift)))
    return _page(
        sheet, issued, "Van", columns, rows,
        f"{load.van}: {plain(load.mass_kg)} kg of {plain(load.payload_kg)} kg payload; tools and "
        f"crew are not counted. {load.unknown} goods have no mass in the catalogue.",
        f"Longest piece: {load.longest or 'none'}; the van takes {load.longest_mm} mm. Nothing "
        "lies on what breaks.",
        "How a load is secured: the driver, the van maker's manual and the local code decide.")


def _cuts(sheet: PickSheet, issued: Issued) -> Page:
    columns = (Heading("Bar", 24), Heading("Item", 12), Heading("Piece", 40),
               Heading("Length mm", 12), Heading("Saw at mm", 12), Heading("Rest", 26))
    rows = [Row((each.bar, each.item, each.piece, each.length_mm, each.mark_mm, each.rest))
            for each in sheet.saw]
    return _page(sheet, issued, "Cuts", columns, rows, "Marks run from the square end of each bar.")


def _cautions(sheet: PickSheet, issued: Issued, cautions: Sequence[Caution]) -> Page:
    columns = (Heading("What", 26), Heading("Caution", 80), Heading("Source", 40))
    rows: list[Row] = [band("Lifts: the guide's count of people, to be assessed on site", columns)]
    rows += [Row((each.what, each.who,
                  "" if each.each_kg is None else f"{plain(each.each_kg)} kg each"))
             for each in sheet.lifts]
    rows.append(band("Hired or brought along", columns))
    rows += [Row((aid, "")) for aid in sheet.aids]
    rows.append(band("Cautions, in the order of the work", columns))
    for each in cautions:
        rows.append(Row((each.step, each.says, each.source)))
        rows += [Row((None, f"{n}. {step}")) for n, step in enumerate(each.steps, 1)]
    return _page(sheet, issued, "Tools and cautions", columns, rows, words.DEFERRAL)
