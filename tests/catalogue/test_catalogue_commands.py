"""The catalogue and database commands: what a person sees, what a machine gets, what is changed."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click
import pytest
from click.testing import CliRunner, Result

from catalogue import db as database_door
from catalogue.db import CHANGING_TABLES, SCHEMA, engine_for, file_of
from catalogue.schema import migrate
from estimator.cli.catalogue import catalogue
from estimator.cli.db import db

NEW = """\
family = "cable"
code = "00042"
name = "Earth cable 25 mm², by the metre"
roles = ["earth cable", "tails cable"]
unit = "m"
kind = "earth"
size_mm2 = 25
cores = 1
outdoor = true
supplier = "Counter North"
pack = 1
price = 4.35
"""


def run(url: str, *args: str, group: click.Group = catalogue, expect: int = 0) -> Result:
    result = CliRunner().invoke(group, [*args, "--db", url])
    assert result.exit_code == expect, result.output
    return result


def data(url: str, *args: str, **more: Any) -> Any:
    return json.loads(run(url, *args, "--json", **more).stdout)


def content(url: str) -> bytes:
    """Return every row of the database, so that two states can be compared."""
    path = file_of(url)
    engine = database_door.engine_for(url)
    with engine.connect() as connection:
        driver: Any = connection.connection.driver_connection
        dump = "\n".join(driver.iterdump())
    assert path is not None
    return dump.encode()


@pytest.fixture
def new_item(tmp_path: Path) -> Path:
    path = tmp_path / "cable.toml"
    path.write_text(NEW, encoding="utf-8")
    return path


def commands() -> Iterator[tuple[str, click.Command]]:
    for group in (catalogue, db):
        for name, command in group.commands.items():
            yield f"{group.name} {name}", command


@pytest.mark.parametrize(("name", "command"), list(commands()), ids=str)
def test_every_command_has_help_with_an_example_and_speaks_json(
    name: str, command: click.Command
) -> None:
    assert f"estimator {name}" in str(command.help)
    assert "as_json" in [parameter.name for parameter in command.params]


def test_find_lists_what_holds_all_words(starter_url: str) -> None:
    output = run(starter_url, "find", "MESH", "roll").stdout
    assert "02901-BM" in output
    assert output.rstrip().endswith("1 item")
    assert "No item found" in run(starter_url, "find", "no such thing").stdout


def test_find_by_family_and_role(starter_url: str) -> None:
    found = data(starter_url, "find", "--family", "lead", "--role", "converter power lead")
    assert {each["family"] for each in found} == {"lead"}
    assert all("converter power lead" in each["roles"] for each in found)
    assert len(found) > 1


def test_an_unknown_family_or_role_gets_the_nearest_one(starter_url: str) -> None:
    assert "did you mean 'cable'?" in run(
        starter_url, "find", "--family", "cabl", expect=1).stderr
    assert "did you mean 'rail joiner'?" in run(
        starter_url, "find", "--role", "rail joinder", expect=1).stderr


def test_show_gives_data_sheet_box_and_offers(starter_url: str) -> None:
    output = run(starter_url, "show", "01505-WF", "--on", "2026-11-02").stdout
    for part in ("usable_kwh", "kWh", "In its box", "02010-WB", "in force", "Storage Depot"):
        assert part in output
    inside = data(starter_url, "show", "02010-WB", "--on", "2026-11-02")
    assert {"code": "01505-WF", "quantity": 1} in inside["in_boxes_of"]


def test_an_offer_is_to_come_before_its_first_day(starter_url: str) -> None:
    offers = data(starter_url, "show", "01505-WF", "--on", "2026-08-31")["offers"]
    # about.toml: prices hold from 1 September 2026
    assert {offer["state"] for offer in offers} == {"to come"}


def test_an_unknown_code_gets_the_nearest_one(starter_url: str) -> None:
    assert "did you mean '01505-WF'?" in run(starter_url, "show", "1505-WF", expect=1).stderr


def test_add_writes_one_item_with_its_price(starter_url: str, new_item: Path) -> None:
    run(starter_url, "add", str(new_item), "--from", "2026-12-01")
    shown = data(starter_url, "show", "00042", "--on", "2026-12-01")
    assert shown["roles"] == ["earth cable", "tails cable"]
    assert shown["spec"]["size_mm2"] == "25"
    assert shown["offers"][0]["price"] == {"minor": 435, "currency": "GBP"}
    assert shown["offers"][0]["from_date"] == "2026-12-01"


def test_add_takes_what_lies_in_the_box(starter_url: str, new_item: Path) -> None:
    with new_item.open("a", encoding="utf-8") as file:
        file.write('\n[[box]]\nitem = "09010"\nquantity = 4\nfrom = 2026-11-02\n')
    run(starter_url, "add", str(new_item))
    contents = data(starter_url, "show", "00042")["contents"]
    assert [(part["item"], part["quantity"]) for part in contents] == [("09010", 4)]


@pytest.mark.parametrize(
    ("old", "new", "line", "says"),
    [
        ('code = "00042"', "code = 42", 2, "code: 42 is a number here"),
        ('code = "00042"', 'code = "01505-WF"', 2, "code: 01505-WF is in the catalogue already"),
        ("cores = 1", "cors = 1", 8, "there is no column 'cors' here"),
        ('kind = "earth"', 'kind = "erth"', 6, "kind: 'erth' is not a word known here"),
        ("outdoor = true", 'outdoor = "maybe"', 9, "outdoor: 'maybe' is neither yes nor no"),
        ("price = 4.35", "price = true", 12, "price: a number is needed, not true"),
        ('family = "cable"', 'family = "cabel"', 1, "family: 'cabel' is no family of items"),
        ('unit = "m"', 'unit = ["m", {}]', 5, "unit: one value or a list of words is needed"),
        ('supplier = "Counter North"', 'supplier = "Nobody"', 10, "supplier: 'Nobody'"),
    ],
)
def test_a_mistake_in_an_item_file_is_told_with_its_line(
    starter_url: str, new_item: Path, old: str, new: str, line: int, says: str
) -> None:
    before = content(starter_url)
    new_item.write_text(NEW.replace(old, new), encoding="utf-8")
    told = run(starter_url, "add", str(new_item), expect=1).stderr
    assert f"cable.toml:{line}: error" in told
    assert says in told
    assert content(starter_url) == before


def csv_file(folder: Path, *rows: str) -> Path:
    path = folder / "hire.csv"
    path.write_text("code,name,roles,unit,supplier,pack,price\n" + "".join(
        f"{row}\n" for row in rows), encoding="utf-8")
    return path


GOOD = "00161,Trench digger,trench digging,day,Hire Yard,1,95.00"
BAD = "00162,Trench roller,trench digging,fortnight,Hire Yard,1,80.00"


def test_import_is_a_dry_run_until_told_to_write(starter_url: str, tmp_path: Path) -> None:
    before = content(starter_url)
    output = run(starter_url, "import", str(csv_file(tmp_path, GOOD))).stdout
    assert "1 new, 0 changed, 0 unchanged, 0 refused" in output
    assert "Add --write to write the changes." in output
    assert content(starter_url) == before
    assert "Written." in run(
        starter_url, "import", str(csv_file(tmp_path, GOOD)), "--write").stdout
    again = run(starter_url, "import", str(csv_file(tmp_path, GOOD)), "--write").stdout
    assert "0 new, 0 changed, 1 unchanged, 0 refused" in again
    assert data(starter_url, "find", "trench digger")[0]["code"] == "00161"


def test_a_person_may_agree_after_the_dry_run(
    starter_url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("estimator.cli.catalogue.agreed", lambda: True)
    output = run(starter_url, "import", str(csv_file(tmp_path, GOOD))).stdout
    assert output.index("1 new") < output.index("Written.")
    assert data(starter_url, "find", "trench digger")[0]["code"] == "00161"


def test_a_refused_row_stops_the_import_and_is_told(starter_url: str, tmp_path: Path) -> None:
    before = content(starter_url)
    result = run(starter_url, "import", str(csv_file(tmp_path, GOOD, BAD)), "--write", expect=1)
    assert "hire.csv:3: error L101: unit: 'fortnight' is not a word known here" in result.stdout
    assert "1 new, 0 changed, 0 unchanged, 1 refused" in result.stdout
    assert content(starter_url) == before


def test_refused_rows_may_be_skipped(starter_url: str, tmp_path: Path) -> None:
    done = data(starter_url, "import", str(csv_file(tmp_path, GOOD, BAD)), "--write",
                "--skip-refused")
    assert (done["new"], done["refused"], done["written"]) == (["00161"], 1, True)
    assert run(starter_url, "show", "00161").exit_code == 0
    run(starter_url, "show", "00162", expect=1)


def test_a_changed_price_keeps_the_old_one_in_the_history(
    starter_url: str, tmp_path: Path
) -> None:
    run(starter_url, "import", str(csv_file(tmp_path, GOOD)), "--from", "2026-11-02", "--write")
    dearer = GOOD.replace("95.00", "99.00")
    run(starter_url, "import", str(csv_file(tmp_path, dearer)), "--from", "2027-01-01", "--write")
    offers = data(starter_url, "show", "00161", "--on", "2027-01-01")["offers"]
    assert [(o["state"], o["price"]["minor"], o["to_date"]) for o in offers] == [
        ("in force", 9900, None), ("past", 9500, "2026-12-31")]
    assert offers[0]["entered_from"] == "import of hire.csv"


def test_an_import_of_an_unknown_kind_is_told(starter_url: str, tmp_path: Path) -> None:
    other = tmp_path / "list.csv"
    other.write_text("code\n", encoding="utf-8")
    assert "--family" in run(starter_url, "import", str(other), expect=1).stderr
    assert "only .xlsx and .csv" in run(
        starter_url, "import", str(tmp_path / "list.ods"), expect=1).stderr
    assert "no such file" in run(
        starter_url, "import", str(tmp_path / "none.xlsx"), expect=1).stderr


KILLED = """
import os, sys
from datetime import date
from pathlib import Path
from catalogue import recording
from estimator.workflow.catalogue import import_file
write = recording._write_items
recording._write_items = lambda *args: (write(*args), os._exit(9))
import_file(sys.argv[1], Path(sys.argv[2]), date(2026, 11, 2), write=True)
"""


def test_an_import_that_is_killed_leaves_the_catalogue_as_it_was(
    starter_url: str, tmp_path: Path
) -> None:
    before = content(starter_url)
    file = csv_file(tmp_path, GOOD)
    done = subprocess.run([sys.executable, "-c", KILLED, starter_url, str(file)], check=False,
                          cwd=Path(database_door.__file__).parent.parent)
    assert done.returncode == 9
    assert content(starter_url) == before
    run(starter_url, "import", str(file), "--write")  # nothing is locked either


def test_export_and_form_write_over_nothing_unasked(starter_url: str, tmp_path: Path) -> None:
    for args in (["export", str(tmp_path / "a.xlsx")], ["form", "panel", str(tmp_path / "b.xlsx")],
                 ["export", str(tmp_path / "csv")]):
        run(starter_url, *args)
        assert "is there already" in run(starter_url, *args, expect=1).stderr
        run(starter_url, *args, "--overwrite")


def test_an_export_does_not_mix_with_other_csv_files(starter_url: str, tmp_path: Path) -> None:
    folder = tmp_path / "csv"
    run(starter_url, "export", str(folder))
    told = run(starter_url, "export", str(folder), "--family", "panel", "--overwrite", expect=1)
    assert "cable.csv: error L134: another CSV file is in this folder" in told.stderr


def test_usage_mistakes_leave_with_status_2(starter_url: str) -> None:
    run(starter_url, "show", expect=2)
    run(starter_url, "find", "--on", "tomorrow", expect=2)


def test_db_where_tells_without_making_anything(tmp_path: Path) -> None:
    path = tmp_path / "estimator.db"
    assert "not made yet" in run(str(path), "where", group=db).stdout
    assert list(tmp_path.iterdir()) == []
    made = data(str(path), "upgrade", group=db)
    assert (made["before"], made["after"]) == (None, database_door.SCHEMA)
    found = data(str(path), "where", group=db)
    assert (found["version"], found["jobs"]) == (database_door.SCHEMA, 0)
    assert found["items"] > 300
    assert "nothing to do" in run(str(path), "upgrade", group=db).stdout


def test_db_where_says_what_is_no_database(tmp_path: Path) -> None:
    path = tmp_path / "notes.txt"
    path.write_text("milk\n" * 1000, encoding="utf-8")
    assert "error D002" in run(str(path), "where", group=db, expect=1).stderr


def test_an_older_database_names_the_upgrade_and_the_upgrade_mends_it(starter_url: str) -> None:
    older = engine_for(starter_url, CHANGING_TABLES)
    with older.begin() as connection:
        migrate(connection, "0001")
    older.dispose()
    told = run(starter_url, "find", "mesh", expect=1).stderr
    assert "this database is of version 0001" in told
    assert "estimator db upgrade" in told
    assert f"0001 -> {SCHEMA}" in run(starter_url, "upgrade", group=db).stdout
    assert "02902-MC" in run(starter_url, "find", "mesh").stdout


def test_an_older_catalogue_is_completed_with_the_starter_items_that_rules_ask_for(
    starter_url: str,
) -> None:
    engine = engine_for(starter_url, CHANGING_TABLES)
    with engine.begin() as connection:  # joint boxes were not in the first starter catalogues
        connection.exec_driver_sql("DELETE FROM offer WHERE item_code IN ('07811-JX', '07813-JX')")
        connection.exec_driver_sql("DELETE FROM item WHERE code IN ('07811-JX', '07813-JX')")
        connection.exec_driver_sql("DELETE FROM item_role WHERE role = 'joint box'")
    engine.dispose()
    run(starter_url, "find", "--role", "joint box", expect=1)

    shown = run(starter_url, "complete").stdout
    assert "2 new, 0 changed, 0 unchanged, 0 refused" in shown
    assert "Nothing is written yet" in shown
    run(starter_url, "find", "--role", "joint box", expect=1)

    run(starter_url, "complete", "--write")
    assert all(found["price"] for found in data(starter_url, "find", "--role", "joint box"))
    assert "0 new, 0 changed" in run(starter_url, "complete").stdout


def test_completing_leaves_an_item_whose_code_is_taken_and_says_so(starter_url: str) -> None:
    engine = engine_for(starter_url, CHANGING_TABLES)
    with engine.begin() as connection:
        connection.exec_driver_sql("UPDATE item_role SET role = 'box of our own' "
                                   "WHERE role = 'joint box'")
    engine.dispose()
    told = run(starter_url, "complete", "--write", expect=1).stdout
    assert "error L133" in told
    assert "add an item of your own that serves as: joint box" in told
    run(starter_url, "find", "--role", "joint box", expect=1)
