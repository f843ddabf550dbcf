"""The commands in careless and hostile hands: no traceback, JSON all the same, nothing runs."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping
from datetime import date, timedelta
from pathlib import Path

import pytest
from openpyxl import load_workbook

from tests.chain.desk import DAY, ROOT, SURVEY, as_a_process, codes, papers, quote, run

PLANES = ROOT / "demo_jobs" / "panels-and-storage" / "survey.toml"
JOB = '[job]\nid = "H-1"\nparts = ["storage"]\n'


# --- survey files that are none ---------------------------------------------------------------

FILES: Mapping[str, tuple[bytes, str]] = {
    "empty": (b"", "S006"),
    "binary": (bytes(range(256)) * 500, "T002"),
    "sixteen bits a letter": (JOB.encode("utf-16"), "T002"),
    "a nought byte": (b'[job]\nid = "a\x00b"\n', "T003"),
    "lists nested without end": (b"a = " + b"[" * 100_000 + b"]" * 100_000, "T003"),
    "a key of a hundred thousand parts": (JOB.encode() + b"a" + b".a" * 100_000 + b" = 1", "T003"),
    "a number of a million digits": (JOB.encode() + b"[storage]\nmodules = " + b"9" * 1_000_000,
                                     "T003"),
    "an exponent without end": (JOB.encode() + b"[storage]\nmodules = 1e" + b"9" * 9_999, "T004"),
    "less than nothing": (JOB.encode() + b"[storage]\nmodules = -1\n", "S004"),
    "a job that climbs out of its folder": (
        b'[job]\nid = "../../x"\nparts = ["storage"]\n', "S004"),
    "a job with a line break": (b'[job]\nid = "a\\n"\nparts = ["storage"]\n', "S004"),
    "panels without a roof": (b'[job]\nid = "H-2"\nparts = ["panels"]\n', "S006"),
}


@pytest.mark.parametrize("name", FILES)
def test_a_file_that_is_no_survey_is_told_and_nothing_is_written(desk: Path, name: str) -> None:
    content, code = FILES[name]
    (desk / "bad.toml").write_bytes(content)
    before = (desk / "estimator.db").read_bytes()
    result = quote("--json", survey="bad.toml")
    assert result.exit_code == 1
    assert code in codes(result)
    assert "bad.toml" in result.stderr
    assert papers(desk) == []
    assert (desk / "estimator.db").read_bytes() == before


def test_a_folder_a_circle_of_links_and_a_missing_file_are_told(desk: Path) -> None:
    (desk / "folder.toml").mkdir()
    (desk / "circle.toml").symlink_to("circle.toml")
    for name in ("folder.toml", "circle.toml", "missing.toml"):
        result = quote("--json", survey=name)
        assert (result.exit_code, codes(result)) == (1, {"T001"}), name


def test_a_survey_of_a_million_lines_is_read(desk: Path) -> None:
    with (desk / "survey.toml").open("a", encoding="utf-8") as survey:
        survey.write("# a remark\n" * 1_000_000)
    assert quote("--json", "--no-papers").exit_code == 0


def test_a_thousand_mistakes_are_counted_and_only_the_first_of_them_shown(desk: Path) -> None:
    keys = "".join(f"key{n} = 1\n" for n in range(1000))
    (desk / "bad.toml").write_text(JOB + "[storage]\n" + keys, encoding="utf-8")
    result = quote("--json", survey="bad.toml")
    assert len(json.loads(result.stdout)["problems"]) == 1000
    assert result.stderr.count("error S001") == 200
    assert "... and 800 more" in result.stderr
    assert "1000 problems; nothing was changed." in result.stderr


def test_forty_planes_are_forty_times_the_panels_of_one(desk: Path) -> None:
    head, rest = PLANES.read_text(encoding="utf-8").split("[[planes]]", 1)
    plane, tail = rest.split("\n[storage]", 1)

    def panels(count: int) -> int:
        each = [plane.replace('name = "', f'name = "{n} ', 1) for n in range(count)]
        text = head + "".join(f"[[planes]]{one}\n" for one in each) + "\n[storage]" + tail
        (desk / "planes.toml").write_text(text, encoding="utf-8")
        lines = json.loads(quote("--json", "--no-papers", survey="planes.toml").stdout)["lines"]
        return sum(line["need"] for line in lines if line["family"] == "panel")

    assert panels(40) == 40 * panels(1) > 0


# --- text that would run, or move a cursor ----------------------------------------------------

SCRIPT = "<script>alert(1)</script><img src=x onerror=alert(2)>"
FORMULAS = ("=1+1", "+1+1", "-1+1", "@SUM(A1)", '=HYPERLINK("http://example.com")')


def filled_with(text: str) -> str:
    """Return the survey with a text in every field that takes any text."""
    typed = json.dumps(text)
    lines = SURVEY.read_text(encoding="utf-8").splitlines()
    names = ("title", "customer", "address", "surveyor", "estimator")
    for at, line in enumerate(lines):
        if line.startswith(tuple(f"{name} = " for name in names)):
            lines[at] = f"{line.split(' = ')[0]} = {typed}"
        elif line.startswith("remarks = "):
            lines[at] = f"remarks = [{typed}]"
        elif line.startswith("name = "):
            lines[at] = f"name = {typed}"
        elif "words = " in line:
            lines[at] = line.split("words = ")[0] + f"words = {typed}, photo = {typed} }}"
    return "\n".join(lines)


@pytest.mark.parametrize("text", FORMULAS)
def test_no_text_becomes_a_formula_of_the_workbook(desk: Path, text: str) -> None:
    (desk / "survey.toml").write_text(filled_with(text), encoding="utf-8")
    allows = ("--discount", "1", "--reason", text, "--name", text)
    assert quote(*allows).exit_code == 0
    book = load_workbook(desk / "out" / "D-101-r1-bill.xlsx")
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    holding = [cell for cell in cells if isinstance(cell.value, str) and text in cell.value]
    assert holding
    assert {cell.data_type for cell in holding} == {"s"}


def test_no_text_becomes_markup_of_the_quote(desk: Path) -> None:
    (desk / "survey.toml").write_text(filled_with(SCRIPT), encoding="utf-8")
    assert quote().exit_code == 0
    page = (desk / "out" / "D-101-r1-quote.html").read_text(encoding="utf-8")
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in page
    assert "<script" not in page
    assert "<img" not in page


# The control characters of ISO/IEC 6429, and those that turn the direction of reading (Unicode
# Standard Annex 9, section 2).
@pytest.mark.parametrize("sign", ["\x1b", "\x00", "\x07", "\x9b", "\x7f", "\u202e", "\u2066"])
def test_a_character_that_cannot_be_seen_is_refused_and_never_printed(
    desk: Path, sign: str
) -> None:
    text = filled_with(f"a{sign}[31mb").replace(sign, f"\\u{ord(sign):04x}")
    (desk / "survey.toml").write_text(text, encoding="utf-8")
    result = quote("--json")
    assert (result.exit_code, codes(result)) == (1, {"S004"})
    assert sign not in result.output
    if sign != "\x00":  # no argument of a command can hold it
        typed = quote("--discount", "1", "--reason", sign, "--name", "n", "--json")
        assert (typed.exit_code, codes(typed)) == (2, {"U001"})
        assert sign not in typed.output


def test_a_name_of_a_hundred_thousand_letters_is_cut_where_the_workbook_ends(desk: Path) -> None:
    (desk / "survey.toml").write_text(filled_with("x" * 100_000), encoding="utf-8")
    assert quote().exit_code == 0
    book = load_workbook(desk / "out" / "D-101-r1-bill.xlsx")
    longest = max(len(cell.value) for sheet in book for row in sheet.iter_rows() for cell in row
                  if isinstance(cell.value, str))
    assert longest == 32_767  # the most that a cell takes: XlsxWriter's manual, write_string()


# --- what is typed ----------------------------------------------------------------------------

AMOUNTS = ("Infinity%", "1e999999999%", "NaN", "5,5%", "1,5", "£5%", "\u0665%", "", " ", "1_0",
           "9" * 40, "0.001")


@pytest.mark.parametrize("amount", AMOUNTS)
def test_a_discount_that_can_be_misread_is_refused(desk: Path, amount: str) -> None:
    result = quote(f"--discount={amount}", "--reason", "r", "--name", "n", "--json")
    assert (result.exit_code, codes(result)) == (1, {"M005"})
    assert papers(desk) == []


def test_a_discount_may_part_its_thousands(desk: Path) -> None:
    result = quote("--discount", "£1,234.50", "--reason", "r", "--name", "n", "--json")
    assert json.loads(result.stdout)["price"]["discount"]["amount"] == 123_450


USAGES = (
    ("quote",), ("quote", "survey.toml", "--on", "2026-13-01"), ("nosuch",), ("--nosuch",),
    ("quote", "survey.toml", "--on", "9999-12-31"), ("quote", "survey.toml", "--on", "0001-01-01"),
    ("quote", "survey.toml", "--out", "survey.toml"), ("why", "D-101"), ("start",),
    ("why", "\udcff", "1"), ("catalogue", "find", "\x1b"), ("facts", "--rules", "nowhere"),
)


@pytest.mark.parametrize("typed", USAGES)
def test_a_command_line_that_cannot_be_read_is_told_as_json_too(
    desk: Path, typed: tuple[str, ...]
) -> None:
    result = run(*typed, "--json")
    assert (result.exit_code, codes(result)) == (2, {"U001"})
    plain = run(*typed)
    assert (plain.exit_code, plain.stdout) == (2, "")
    assert (desk / "survey.toml").read_bytes() == SURVEY.read_bytes()


def test_a_day_before_the_practice_values_is_one_problem_that_names_the_first_day(
    desk: Path,
) -> None:
    result = quote("--json", "--on", "1900-01-01")
    (problem,) = json.loads(result.stdout)["problems"]
    assert (result.exit_code, problem["code"]) == (1, "P015")
    first = problem["mend"].split()[1]
    assert quote("--no-papers", "--on", first).exit_code == 0
    day_before = (date.fromisoformat(first) - timedelta(days=1)).isoformat()
    assert codes(quote("--json", "--on", day_before)) == {"P015"}


def test_a_blank_survey_comes_as_json_where_that_is_asked_for() -> None:
    blank = run("start", "--blank-survey").stdout
    assert json.loads(run("start", "--blank-survey", "--json").stdout) == {"survey": blank}


@pytest.mark.parametrize("revision", ["0", "-1", "2", "9" * 30])
def test_a_revision_that_is_not_there_is_told(desk: Path, revision: str) -> None:
    quote("--no-papers")
    for typed in (("jobs", "show", "D-101"), ("why", "D-101", "1")):
        result = run(*typed, "--revision", revision, "--json")
        assert (result.exit_code, codes(result)) == (1, {"J002"})


def test_a_survey_may_come_through_a_pipe_and_is_kept_as_it_came(desk: Path) -> None:
    if not Path("/dev/stdin").exists():
        survey, told = "survey.toml", None
    else:
        survey, told = "/dev/stdin", SURVEY.read_bytes()
    done = as_a_process(desk, "quote", survey, "--on", DAY, "--db", "estimator.db", told=told)
    assert done.returncode == 0, done.stderr
    with sqlite3.connect(desk / "estimator.db") as kept:
        (text,) = kept.execute("SELECT survey_text FROM revision").fetchone()
    assert text == SURVEY.read_text(encoding="utf-8")


@pytest.mark.parametrize("alphabet", ["latin-1", "cp1252"])
def test_json_is_utf8_and_text_is_told_whatever_the_terminal_takes(
    desk: Path, alphabet: str
) -> None:
    text = SURVEY.read_text(encoding="utf-8").replace("M. Thistlewood", "Ł. Đ, 漢")
    (desk / "survey.toml").write_text(text, encoding="utf-8")
    typed = ("quote", "survey.toml", "--on", DAY, "--no-papers")
    as_json = as_a_process(desk, *typed, "--json", PYTHONIOENCODING=alphabet)
    assert json.loads(as_json.stdout.decode("utf-8"))["job"]["customer"] == "Ł. Đ, 漢"
    plain = as_a_process(desk, *typed, PYTHONIOENCODING=alphabet)
    assert (plain.returncode, b"Traceback" in plain.stderr) == (0, False)
    assert rb"\u0141. \u0110, \u6f22" in plain.stdout
