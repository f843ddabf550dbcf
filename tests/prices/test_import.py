"""What a price list changes: counts by hand on small lists, history kept, no change by a dry run.

A list of one day is held against prices entered by hand; every figure was worked out on paper.
"""

from __future__ import annotations

import csv
import sqlite3
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from catalogue.price_lists import reading
from catalogue.price_lists.reading import read_price_list
from estimator.workflow import prices as importing
from tests.prices.conftest import COLUMNS, DAY, HEADER, NEXT, OTHER, SUPPLIER, Desk

LIST = HEADER + (
    "A1,Gland,1,11.00\n"  # held at 10.00: changed, 10 % dearer
    "A2,Clip,1,20.00\n"  # held at 20.00: unchanged
    "A3,Cable,50,30.00\n"  # linked, never offered: new, 30.00 for 50 m
    "A5,Box,1,4.00\n"  # known by its earlier price of 5.00: changed, 20 % cheaper
    "A9,Strange thing,1,1.00\n"  # nobody's part number
    "A4,Inner part,1,2.00\n"  # an item that is never sold apart
    "A2,Clip,1,ask\n"  # no price
)
HELD = [("I1", 1000, 1000), ("I2", 1000, 2000), ("I5", 1000, 500)]


def prices(desk: Desk, supplier: str = SUPPLIER) -> list[tuple[object, ...]]:
    """Return item, pack and price of what is in use, with its first day, in the order entered."""
    return [(item, pack, price, start) for item, pack, _, price, start, _, withdrawn, _, _, seller
            in desk.rows() if not withdrawn and seller == supplier]


def test_a_list_is_counted_by_new_changed_unchanged_unknown_and_refused(desk: Desk) -> None:
    done = desk.read_in(LIST, expect=1)
    assert {name: done[name] for name in (
        "new", "changed", "dearer", "cheaper", "unchanged", "unknown", "refused", "written",
    )} == {"new": 1, "changed": 2, "dearer": 1, "cheaper": 1, "unchanged": 1, "unknown": 1,
           "refused": 2, "written": False}
    assert [(move["item"], move["before"]["price_minor"], move["now"]["price_minor"],
             move["change_ppm"]) for move in done["moves"]] == [
        ("I5", 500, 400, -200_000), ("I1", 1000, 1100, 100_000)]
    assert {problem["code"] for problem in done["problems"]} == {"A203", "A112"}


def test_a_dry_run_changes_nothing(desk: Desk) -> None:
    before = desk.everything()
    desk.read_in(LIST, expect=1)
    assert desk.everything() == before


def test_sound_rows_are_written_with_the_list_they_came_from(desk: Desk) -> None:
    done = desk.read_in(LIST, "--write")
    assert done["written"] is True
    assert prices(desk) == [(*held, "2026-09-01") for held in HELD] + [
        ("I3", 50_000, 3000, DAY), ("I1", 1000, 1100, DAY), ("I5", 1000, 400, DAY)]
    ((*counts, file),) = desk.rows(
        "SELECT new, changed, unchanged, unknown, refused, file_name FROM price_list")
    assert counts == [1, 2, 1, 1, 2]
    assert file == "list.csv"
    assert desk.rows("SELECT count(*) FROM offer WHERE price_list_id = 1") == [(3,)]


@pytest.mark.parametrize(("most_bytes", "writes"), [(0, True), (10_000_000, False)])
def test_other_desks_need_not_wait_until_a_large_file_is_read(
    desk: Desk, monkeypatch: pytest.MonkeyPatch, most_bytes: int, writes: bool
) -> None:
    monkeypatch.setattr(importing, "MOST_BYTES_BESIDE", most_bytes)
    came_through: list[bool] = []

    def while_reading(*given: Any) -> Any:
        other = sqlite3.connect(desk.database, timeout=0)
        try:
            other.execute("INSERT INTO supplier VALUES ('Somebody new', 1, '')")
            other.commit()
            came_through.append(True)
        except sqlite3.OperationalError:
            came_through.append(False)
        finally:
            other.close()
        return read_price_list(*given)

    monkeypatch.setattr(reading, "read_price_list", while_reading)
    assert desk.read_in(LIST, "--write")["written"] is True
    assert came_through == [writes]


def test_a_file_that_is_not_there_is_told_also_where_the_columns_are_kept(desk: Desk) -> None:
    desk.read_in(LIST, "--write")
    (desk.folder / "list.csv").unlink()
    told = desk.run("import", str(desk.folder / "list.csv"), "--supplier", SUPPLIER, "--write",
                    expect=1)
    assert "error A101: there is no such file" in told.stderr


def test_the_same_file_is_not_read_in_twice(desk: Desk) -> None:
    desk.read_in(LIST, "--write")
    before = desk.everything()
    again = desk.read_in(LIST, "--write")
    assert again["read_in_already"]["from_date"] == DAY
    assert desk.everything() == before
    told = desk.run("import", str(desk.folder / "list.csv"), "--supplier", SUPPLIER, "--from", DAY,
                    "--write").stdout
    assert "This file was read in already on" in told
    assert "Nothing was changed." in told


def test_the_same_list_on_another_day_finds_all_unchanged(desk: Desk) -> None:
    desk.read_in(LIST, "--write")
    held = prices(desk)
    done = desk.read_in(LIST, "--write", "--from", NEXT)
    assert (done["new"], done["changed"], done["unchanged"]) == (0, 0, 4)
    assert prices(desk) == held


def test_a_correction_of_the_same_day_withdraws_and_adds(desk: Desk) -> None:
    desk.read_in(HEADER + "A1,Gland,1,11.00\n", "--write")
    done = desk.read_in(HEADER + "A1,Gland,1,10.50\n", "--write", name="corrected.csv")
    assert done["changed"] == 1
    of_item = [row for row in desk.rows() if row[0] == "I1"]
    # price, first day, withdrawn: the wrong price stays to be seen, the older one is not touched
    assert [(row[3], row[4], row[6]) for row in of_item] == [
        (1000, "2026-09-01", 0), (1100, DAY, 1), (1050, DAY, 0)]


def test_no_row_of_the_history_is_changed_by_a_later_list(desk: Desk) -> None:
    desk.read_in(LIST, "--write")
    before = desk.rows("SELECT * FROM offer ORDER BY id")
    desk.read_in(LIST.replace("11.00", "12.00").replace("30.00", "31.00"), "--write",
                 "--from", NEXT, name="next.csv")
    after = desk.rows("SELECT * FROM offer ORDER BY id")
    assert after[:len(before)] == before
    assert len(after) == len(before) + 2


def test_lists_of_two_suppliers_do_not_touch_each_other(desk: Desk) -> None:
    desk.read_in(LIST, "--write")
    held = prices(desk)
    desk.change("INSERT INTO supplier_item VALUES (?, ?, ?)", [(OTHER, "A1", "I2")])
    desk.data("import", desk.file("other.csv", HEADER + "A1,Clip,10,150.00\n"), "--supplier", OTHER,
              "--from", DAY, *COLUMNS, "--write")
    assert prices(desk) == held
    assert prices(desk, OTHER) == [("I2", 10_000, 15_000, DAY)]


def test_the_list_s_own_item_goes_before_link_and_earlier_price(desk: Desk) -> None:
    text = "Part no,Net,Our code\nB7,7.00,I2\nA1,8.00,\nB8,9.00,I77\n"
    done = desk.data(
        "import", desk.file("own.csv", text), "--supplier", SUPPLIER, "--from", DAY, "--columns",
        "code=Part no", "--columns", "price=Net", "--columns", "item=Our code", "--write")
    assert (done["changed"], done["unknown"]) == (2, 1)
    assert prices(desk)[3:] == [("I2", 1000, 700, DAY), ("I1", 1000, 800, DAY)]


def test_a_part_number_that_earlier_prices_give_to_two_items_is_unknown(desk: Desk) -> None:
    desk.change("UPDATE offer SET supplier_code = ? WHERE item_code = ?", [("A5", "I2")])
    done = desk.read_in(HEADER + "A5,Box,1,4.00\n")
    assert (done["changed"], done["unknown"]) == (0, 1)


def test_two_part_numbers_of_one_item_at_two_prices_are_refused(desk: Desk) -> None:
    desk.change("INSERT INTO supplier_item VALUES (?, ?, ?)", [(SUPPLIER, "B1", "I1")])
    done = desk.read_in(HEADER + "A1,Gland,1,11.00\nA2,Clip,1,21.00\nB1,Gland,1,9.00\n",
                        "--write")
    assert [problem["code"] for problem in done["problems"]] == ["A204", "A204"]
    assert (done["refused"], done["changed"]) == (2, 1)
    assert done["no_longer_listed"] == 1  # I5: I1 is spoken of, though nothing is taken from it


def test_what_the_list_is_silent_about_stays_as_it_holds(desk: Desk) -> None:
    desk.change("UPDATE offer SET cut_charge_minor = ?, carriage_class = ? WHERE item_code = ?",
                [(250, "long", "I1")])
    desk.read_in(HEADER + "A1,Gland,1,11.00\n", "--write")
    new = "SELECT cut_charge_minor, carriage_class, lead_days FROM offer WHERE price_minor = 1100"
    assert desk.rows(new) == [(250, "long", 5)]


def test_what_is_no_longer_listed_stays_unless_it_is_to_be_ended(desk: Desk) -> None:
    text = HEADER + "A1,Gland,1,11.00\n"
    assert desk.read_in(text, "--write")["no_longer_listed"] == 2
    assert ("I2", 1000, 2000, "2026-09-01") in prices(desk)
    desk.read_in(text + "A3,Cable,50,30.00\n", "--write", "--expire-missing", name="next.csv")
    ended = [(row[0], row[3], row[5], row[6]) for row in desk.rows() if row[0] in ("I2", "I5")]
    # item, price, last day, withdrawn: the day before the list, the open price withdrawn
    assert ended == [("I2", 2000, None, 1), ("I5", 500, None, 1), ("I2", 2000, "2026-11-01", 0),
                     ("I5", 500, "2026-11-01", 0)]


def test_the_column_map_is_kept_and_used_the_next_time(desk: Desk) -> None:
    desk.read_in(LIST, "--write")
    done = desk.data("import", desk.file("next.csv", LIST.replace("11.00", "12.00")), "--supplier",
                     SUPPLIER, "--from", NEXT, expect=1)
    assert done["columns_from"] == "kept"
    assert 'price = "Net"' in done["columns"]
    assert done["changed"] == 1


def test_a_guessed_map_is_shown_to_be_looked_at(desk: Desk) -> None:
    file = desk.file("plain.csv", "Part no,Description,Net price\nA1,Gland,11.00\n")
    told = desk.run("import", file, "--supplier", SUPPLIER, "--from", DAY).stdout
    assert "Columns guessed from the header: look whether they are right" in told
    assert "--write takes the columns over as guessed" in told
    assert 'price = "Net price"' in told
    assert desk.rows("SELECT * FROM price_columns") == []


def test_a_new_supplier_is_added_with_lead_days(desk: Desk) -> None:
    file = desk.file("new.csv", "Part no,Net,Our code\nX1,7.00,I2\n")
    how = ("import", file, "--supplier", "Storage Depot", "--from", DAY, "--columns",
           "code=Part no", "--columns", "price=Net", "--columns", "item=Our code", "--write")
    assert desk.data(*how, expect=1)["problems"][0]["code"] == "A212"
    assert desk.data(*how, "--new-supplier", "4")["new"] == 1
    assert desk.rows("SELECT lead_days FROM supplier WHERE name = 'Storage Depot'") == [(4,)]


def test_unknown_and_refused_rows_are_written_and_nothing_in_them_runs(desk: Desk) -> None:
    unknown, refused = desk.folder / "unknown.csv", desk.folder / "refused.csv"
    text = HEADER + "=1+1,@SUM(A1),1,1.00\nA1,Gland,1,=2\n"
    desk.read_in(text, "--unknown", str(unknown), "--refused", str(refused), expect=1)
    (row,) = csv.DictReader(unknown.read_text(encoding="utf-8").splitlines())
    assert (row["supplier_code"], row["name"], row["item"]) == ("'=1+1", "'@SUM(A1)", "")
    for file in (unknown, refused):
        for cells in csv.reader(file.read_text(encoding="utf-8").splitlines()):
            assert not [cell for cell in cells if cell.startswith(("=", "+", "-", "@"))]
    (mistake,) = csv.DictReader(refused.read_text(encoding="utf-8").splitlines())
    assert mistake["place"].endswith("list.csv:3")


def test_links_make_unknown_rows_known(desk: Desk) -> None:
    unknown = desk.folder / "unknown.csv"
    text = HEADER + "-9,Strange thing,1,1.00\nA8,Stranger,1,2.00\n"
    assert desk.read_in(text, "--write", "--unknown", str(unknown))["unknown"] == 2
    filled = unknown.read_text(encoding="utf-8").replace("'-9,,", "'-9,I5,")
    unknown.write_text(filled, encoding="utf-8")
    linked = desk.data("link", str(unknown), "--supplier", SUPPLIER)
    assert linked == {"new": 1, "changed": 0, "unchanged": 0, "blank": 1}
    assert ("-9", "I5") in desk.rows("SELECT supplier_code, item_code FROM supplier_item")
    assert desk.read_in(text, "--write")["read_in_already"]["unknown"] == 2
    done = desk.read_in(text, "--write", "--again")
    assert (done["changed"], done["unknown"]) == (1, 1)
    assert desk.rows("SELECT changed, unknown FROM price_list") == [(1, 1)]


def test_a_file_that_is_there_is_not_written_over(desk: Desk) -> None:
    there = Path(desk.file("unknown.csv", "mine"))
    done = desk.read_in(LIST, "--unknown", str(there), "--write", expect=1)
    assert done["problems"][0]["code"] == "F008"
    assert there.read_text(encoding="utf-8") == "mine"
    desk.read_in(LIST, "--unknown", str(there), "--replace", expect=1)
    assert "A9" in there.read_text(encoding="utf-8")


@pytest.mark.parametrize("more", [(), ("--write",)])
def test_a_list_without_a_sound_row_is_not_read_in(desk: Desk, more: tuple[str, ...]) -> None:
    before = desk.everything()
    done = desk.read_in(HEADER + "A4,Inner part,1,2.00\n", *more, expect=1)
    assert (done["refused"], done["written"]) == (1, False)
    assert desk.everything() == before


def test_what_contradicts_the_catalogue_is_told_at_its_cell_of_a_workbook(desk: Desk) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Net list"
    for row in (["Autumn"], ["Part no", "Description", "Pack", "Unit", "Net"],
                ["A1", "Gland", 2.5, "each", 11], ["A3", "Cable", 1, "each", 30],
                ["A4", "Inner part", 1, "each", 2], ["A2", "Box", 1, "each", 5],
                ["B2", "Box", 1, "each", 6]):
        sheet.append(row)
    book.save(desk.folder / "list.xlsx")
    desk.change("INSERT INTO supplier_item VALUES (?, ?, ?)", [(SUPPLIER, "B2", "I2")])
    done = desk.data("import", str(desk.folder / "list.xlsx"), "--supplier", SUPPLIER, "--from",
                     DAY, *COLUMNS, "--columns", "unit=Unit", expect=1)
    # by hand: pack in column C, unit in D, part number in A, price in E
    assert {(each["code"], each["cell"]) for each in done["problems"]} == {
        ("A202", "Net list!C3"), ("A201", "Net list!D4"), ("A203", "Net list!A5"),
        ("A204", "Net list!E6"), ("A204", "Net list!E7")}
    assert not [each for each in done["problems"] if ": " in each["says"]]
