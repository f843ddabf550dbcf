"""What goes out to a workbook or to CSV files comes back the same, and text stays text."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal as D
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

import openpyxl
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import Connection, Engine, select

from catalogue.db import open_database, session
from catalogue.entering import Entered
from catalogue.exchange import files_of, read_file, read_into, sheets_of
from catalogue.items import UNITS, Item
from catalogue.listing import BoxEntry, ItemEntry, Listing, OfferEntry, SupplierEntry
from catalogue.loading import load_items, load_offers
from catalogue.money import Money
from catalogue.recording import compare, record, stored_boxes, stored_offers
from catalogue.specs import FAMILIES
from catalogue.tables import OFFER
from tests.factories import ON, SUPPLIER, ItemFactory, spec_of

ENTERED = Entered(ON, "a test", "buyer", datetime(2026, 11, 2, 12, 0, tzinfo=UTC))
HOSTILE = ["=1+1", "+44 20", "-5", "@here", "'=x", "''-y", "=HYPERLINK(\"x\")", "00420", "1e5",
           "TRUE", "2026-01-02", "a;b", 'a "quoted", b', "#N/A"]
OUTS = ["items.xlsx", "folder of csv"]


def stored(work: Connection, items: list[Item], **others: Any) -> None:
    listing = Listing(
        suppliers={SUPPLIER: SupplierEntry(SUPPLIER, 1, "daily van")},
        items={item.code: ItemEntry(item) for item in items}, **others)
    record(work, listing, ENTERED)


def all_of(work: Connection) -> tuple[list[Any], ...]:
    return load_items(work), stored_offers(work), stored_boxes(work)


def written(work: Connection, folder: Path, out: str) -> Path:
    for path, content in files_of(sheets_of(work, ON), folder / out).items():
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(content)
    return folder / out


def round_trip(work: Connection, folder: Path, out: str) -> Listing:
    listing = read_into(work, read_file(written(work, folder, out)))
    assert listing.problems == []
    return listing


@pytest.mark.parametrize("out", OUTS)
def test_the_starter_catalogue_comes_back_whole(
    starter_url: str, tmp_path: Path, out: str
) -> None:
    with session(open_database(starter_url)) as work:
        path = written(work, tmp_path, out)
        plan = compare(work, read_into(work, read_file(path)), ENTERED)
    assert (plan.new, plan.changed) == ([], [])
    assert len(plan.unchanged) > 800  # suppliers, items, boxes and offers


@pytest.mark.parametrize("out", OUTS)
def test_an_empty_catalogue_filled_from_an_export_equals_the_one_exported(
    starter_url: str, tmp_path: Path, out: str, empty_template: Path
) -> None:
    with session(open_database(starter_url)) as work:
        before = all_of(work)
        path = written(work, tmp_path, out)
    other = tmp_path / "other.db"
    other.write_bytes(empty_template.read_bytes())
    with session(open_database(str(other))) as work:
        listing = read_into(work, read_file(path))
        assert listing.problems == []
        record(work, listing, ENTERED)
        assert all_of(work) == before


@pytest.mark.parametrize("out", OUTS)
@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_goes_out_and_comes_back_as_text(
    engine: Engine, tmp_path: Path, out: str, text: str
) -> None:
    code = text.replace(";", ",")  # a code has no ';', since that mark parts the codes of a list
    label = replace(
        ItemFactory(family="label", spec=spec_of("label", text=text, goes_on=text)),
        code=code, name=text, bin=text, note=text, roles=(code,))
    with session(engine) as work:
        stored(work, [label])
        assert round_trip(work, tmp_path, out).items[code].item == label


def test_in_a_workbook_hostile_text_is_no_formula(engine: Engine, tmp_path: Path) -> None:
    items = [replace(ItemFactory(), name=text) for text in HOSTILE]
    with session(engine) as work:
        stored(work, items)
        path = written(work, tmp_path, "items.xlsx")
    rows = list(openpyxl.load_workbook(path)["panel"].iter_rows(min_row=2, max_col=2))
    assert len(rows) == len(HOSTILE)
    for row in rows:
        assert [cell.data_type for cell in row] == ["s", "s"]
        assert [cell.number_format for cell in row] == ["@", "@"]


def test_in_a_csv_file_hostile_text_is_no_formula(engine: Engine, tmp_path: Path) -> None:
    items = [replace(ItemFactory(), name=text) for text in HOSTILE]
    with session(engine) as work:
        stored(work, items)
        path = written(work, tmp_path, "folder")
    for row in read_file(path / "panel.csv")[0].rows:
        assert row.cells["name"] in HOSTILE
    lines = (path / "panel.csv").read_text("utf-8").splitlines()[1:]
    names = [line.split(",", 1)[1].lstrip('"') for line in lines]
    assert not any(name[0] in "=+-@" for name in names)


decimals = st.decimals(min_value=D("0.001"), max_value=D("99999"), places=3).map(
    lambda d: d.normalize())
texts = st.text(
    st.characters(min_codepoint=32, max_codepoint=0x24F, exclude_characters=";\x7f"), max_size=20,
).map(str.strip).filter(lambda text: all(c.isprintable() for c in text))
words = texts.filter(bool)


@st.composite
def items(draw: st.DrawFn) -> Item:
    family = draw(st.sampled_from(["cable", "fixing", "consumable", "device"]))
    changes: dict[str, Any] = {
        "cable": lambda: {"size_mm2": draw(decimals), "colour": draw(texts),
                          "mv_per_a_m": draw(st.none() | decimals)},
        "fixing": lambda: {"pull_n": draw(st.none() | decimals), "walls": tuple(
            draw(st.lists(st.sampled_from(["concrete", "stone", "stud"]), unique=True)))},
        "consumable": lambda: {"persons": draw(st.integers(0, 9))},
        "device": lambda: {"board_family": draw(texts), "both_way": draw(st.booleans())},
    }[family]()
    note = draw(texts)
    if family == "consumable":
        changes["note"] = note
    spec = spec_of(family, **changes)
    return Item(
        code=draw(words), name=draw(words), family=family,
        roles=tuple(draw(st.lists(words, min_size=1, max_size=3, unique=True))),
        unit=draw(st.sampled_from(UNITS)), spec=spec, head=draw(words),
        held=draw(st.sampled_from(["stock", "job"])), bin=draw(texts),
        mass_kg=draw(st.none() | decimals),
        length_mm=int(spec.length_mm) if family == "fixing"  # type: ignore[attr-defined]
        else draw(st.none() | st.integers(1, 99_999)),
        waste=draw(st.decimals(min_value=0, max_value=D("0.999"), places=3)),
        vat_class=draw(st.sampled_from(["energy saving", "standard"])),
        serialised=draw(st.booleans()), sold_apart=draw(st.booleans()), note=note,
    )


@pytest.mark.parametrize("out", OUTS)
@settings(max_examples=25, deadline=None, suppress_health_check=[
    HealthCheck.function_scoped_fixture])
@given(made=st.lists(items(), min_size=1, max_size=6, unique_by=lambda item: item.code))
def test_every_item_survives_table_file_and_reading(
    engine: Engine, tmp_path: Path, out: str, made: list[Item]
) -> None:
    with session(engine) as work:  # rolls back, so each example starts with empty tables
        stored(work, made)
        assert sorted(load_items(work), key=lambda i: i.code) == sorted(
            made, key=lambda i: i.code)
        folder = Path(mkdtemp(dir=tmp_path))
        listing = round_trip(work, folder, out)
        assert {code: entry.item for code, entry in listing.items.items()} == {
            item.code: item for item in made}


def offer(**changes: Any) -> OfferEntry:
    plain = OfferEntry("00000", SUPPLIER, D(1), Money(1000), None, "", date(2026, 9, 1))
    return replace(plain, **changes)


@pytest.mark.parametrize("out", OUTS)
def test_all_dated_offers_and_box_contents_come_back(
    engine: Engine, tmp_path: Path, out: str
) -> None:
    offers = [
        offer(to_date=date(2026, 10, 31), supplier_code="0071"),
        offer(from_date=date(2026, 11, 1), price=Money(1100), lead_days=0),
        offer(from_date=date(2027, 1, 1), pack=D("0.5"), price=Money(700)),
        offer(from_date=date(2027, 1, 1), pack=D(2), price=Money(345), per=D(100),
              cut_charge=Money(250), carriage_class="long"),
        offer(from_date=date(2027, 1, 1), pack=D(2), price=Money(300), per=D(100), least=D(50)),
    ]
    box = BoxEntry("00000", "00001", 4, date(2026, 1, 1), date(2026, 12, 31))
    with session(engine) as work:
        stored(work, [ItemFactory(), ItemFactory(family="cable")],
               offers={each.key: each for each in offers}, boxes={box.key: box})
        listing = round_trip(work, tmp_path, out)
        assert list(listing.offers.values()) == offers
        assert listing.boxes == {box.key: box}
        # On 2 November 11.00 for one is in force, and half a unit at 7.00 is not yet.
        own = listing.items["00000"].offer
        assert own is not None
        assert (own.price, own.pack, own.lead_days) == (Money(1100), D(1), 0)


def test_a_new_price_holds_from_its_day_and_the_old_one_is_left_as_it_was(engine: Engine) -> None:
    with session(engine) as work:
        stored(work, [ItemFactory()], offers={offer().key: offer()})
        dearer = ItemEntry(ItemFactory(code="00000"), offer(price=Money(1200), from_date=None))
        dearer = replace(dearer, item=load_items(work)[0])
        plan = record(work, Listing(items={"00000": dearer}), replace(
            ENTERED, prices_from=date(2026, 12, 1), source="new list"))
        assert plan.changed == ["00000"]
        assert [(o.price.minor, o.from_date, o.to_date) for o in load_offers(work)] == [
            (1000, date(2026, 9, 1), None), (1200, date(2026, 12, 1), None)]
        for day, minor in ((date(2026, 11, 30), 1000), (date(2026, 12, 1), 1200)):
            assert [o.price.minor for o in load_offers(work, day)] == [minor]
        row = work.execute(select(OFFER).where(OFFER.c.price_minor == 1200)).one()
        assert (row.entered_by, row.entered_from) == ("buyer", "new list")


def test_a_price_put_right_on_its_first_day_keeps_the_wrong_one_as_withdrawn(
    engine: Engine,
) -> None:
    with session(engine) as work:
        stored(work, [ItemFactory()], offers={offer().key: offer()})
        right = offer(price=Money(1010), from_date=None)
        listing = Listing(items={"00000": ItemEntry(load_items(work)[0], right)})
        record(work, listing, replace(ENTERED, prices_from=date(2026, 9, 1)))
        assert [o.price.minor for o in load_offers(work)] == [1010]
        rows = work.execute(select(OFFER).order_by(OFFER.c.id)).all()
        assert [(row.price_minor, row.withdrawn_at) for row in rows] == [
            (1000, ENTERED.at), (1010, None)]


def test_an_item_without_a_price_in_its_row_keeps_the_price_it_has(engine: Engine) -> None:
    with session(engine) as work:
        stored(work, [ItemFactory()], offers={offer().key: offer()})
        renamed = replace(load_items(work)[0], name="Another name", roles=("spare panel", "panel"))
        plan = record(work, Listing(items={"00000": ItemEntry(renamed)}), ENTERED)
        assert plan.changed == ["00000"]
        assert load_items(work) == [renamed]
        assert [o.price.minor for o in load_offers(work)] == [1000]


def test_families_are_sheets_and_every_header_says_its_unit(
    starter_url: str, tmp_path: Path
) -> None:
    with session(open_database(starter_url)) as work:
        path = written(work, tmp_path, "items.xlsx")
    book = openpyxl.load_workbook(path)
    assert set(FAMILIES) <= set(book.sheetnames)
    header = [cell.value for cell in book["panel"][1]]
    assert {"code", "mass_kg [kg]", "voc_v [V]", "voc_pct_per_k [%/K]"} <= set(header)
    assert book["panel"].freeze_panes == "B2"
