"""Reading TOML: exact decimals, lines of keys, and mistakes in plain words.

Expected lines are counted by hand in the small texts below; values come from the TOML 1.0.0
specification (toml.io) where a section is named.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.problems import Place, ProblemsFound
from catalogue.toml_lines import header_lines, lines_of
from catalogue.toml_source import parse_toml, read_toml


def problems_of(text: str) -> list[str]:
    with pytest.raises(ProblemsFound) as caught:
        parse_toml(text, "firm.toml")
    return [str(problem) for problem in caught.value.problems]


def test_a_decimal_is_read_exactly_as_written() -> None:
    data = parse_toml("length_m = 8.20\n", "s.toml").data
    assert data == {"length_m": Decimal("8.20")}
    assert str(data["length_m"]) == "8.20"


def test_a_key_knows_its_line_and_an_unknown_key_gives_the_table_round_it() -> None:
    source = parse_toml("# survey\n\n[storage]\nmodules = 3\n", "s.toml")
    assert source.place(("storage", "modules")) == Place("s.toml", 4)
    assert source.place(("storage", "mount")) == Place("s.toml", 3)
    assert source.place(("nothing",)) == Place("s.toml")


def test_tables_of_an_array_are_told_apart() -> None:
    text = (
        "[[planes]]\n"                 # 1
        "name = 'rear'\n"              # 2
        "[[planes.obstructions]]\n"    # 3
        "x_m = 1\n"                    # 4
        "[[planes.obstructions]]\n"    # 5
        "x_m = 2\n"                    # 6
        "[[planes]]\n"                 # 7
        "name = 'front'\n"             # 8
        "[planes.extra]\n"             # 9
        "x = 1\n"                      # 10
    )
    lines = lines_of(text)
    assert lines[("planes",)] == 1
    assert lines[("planes", 0, "name")] == 2
    assert lines[("planes", 0, "obstructions", 1)] == 5
    assert lines[("planes", 0, "obstructions", 1, "x_m")] == 6
    assert lines[("planes", 1)] == 7
    assert lines[("planes", 1, "name")] == 8
    assert lines[("planes", 1, "extra", "x")] == 10


def test_lines_of_dotted_quoted_and_inline_keys() -> None:
    text = (
        'a.b . "c.d" = 1\n'                          # 1
        "'e]' = { x = 1, y = [ 1,\n"                 # 2
        "  2 ] }\n"                                  # 3
        '["t".\'u.v\']  # a remark with = in it\n'   # 4
        '"q\\"" = """\n'                             # 5
        "k = 1\n"                                    # 6: text, not a key
        '[not.a.table]"""\n'                         # 7: text
        "last = 1\n"                                 # 8
    )
    lines = lines_of(text)
    assert lines[("a", "b", "c.d")] == 1
    assert lines[("e]", "y", 0)] == 2
    assert lines[("e]", "y", 1)] == 3
    assert lines[("t", "u.v")] == 4
    assert lines[("t", "u.v", 'q"')] == 5
    assert lines[("t", "u.v", "last")] == 8
    assert not any("k" in path or "not" in path for path in lines)


def test_entries_of_a_list_of_inline_tables_stand_on_their_own_lines() -> None:
    text = "obstructions = [\n  { x_m = 1 },\n  # a flue\n  { x_m = 2 },\n]\nnext = 1\n"
    lines = lines_of(text)
    assert lines[("obstructions", 0, "x_m")] == 2
    assert lines[("obstructions", 1, "x_m")] == 4
    assert lines[("next",)] == 6


def test_carriage_returns_and_a_byte_order_mark_change_no_line(tmp_path: Path) -> None:
    path = tmp_path / "s.toml"
    lines = (b"\xef\xbb\xbf[job]", b"id = 'x'", b"words = '''", b"a = 1", b"'''", b"last = 1", b"")
    path.write_bytes(b"\r\n".join(lines))
    source = read_toml(path)
    assert source.data["job"]["id"] == "x"
    assert source.lines[("job", "id")] == 2
    assert source.lines[("job", "last")] == 6


def test_a_table_implied_by_an_earlier_header_stands_at_its_own_header() -> None:
    lines = lines_of("[a.b]\nx = 1\n[a]\ny = 1\n")
    assert lines[("a",)] == 3
    assert lines[("a", "b")] == 1


# --- any document -----------------------------------------------------------------------------

DECOYS = ("d = 1", "[decoy]", "[[decoy]]", "# d = 1", "{ d = 1 }", "it's", 'say \\"d = 1\\"')


KEY_FORMS = ("{}", '"{}"', "'{}'", '"{}.x"', "'{}]'", '"{}\\"#"', '"\\u00e9{}"')
PLAIN = ("1", "-2.50", "true", "2026-03-31", "1979-05-27T07:32:00Z")


class Writer:
    """Writes one document by drawing each choice."""

    def __init__(self, draw: st.DrawFn) -> None:
        self.draw = draw
        self.words = 0
        self.out: list[str] = []

    def one_of(self, *choices: str) -> str:
        return self.draw(st.sampled_from(choices))

    def times(self, most: int, least: int = 0) -> range:
        return range(self.draw(st.integers(least, most)))

    def key(self) -> str:
        self.words += 1
        return self.one_of(*KEY_FORMS).format(f"q{self.words}q")

    def dotted(self) -> str:
        return self.one_of(".", " . ").join(self.key() for _ in self.times(3, least=1))

    def value(self, depth: int = 0) -> str:
        kind = self.one_of("plain", "text", "long", "literal", "list", "inline")
        decoy = self.one_of(*DECOYS)
        if kind == "text":
            return f'"{decoy}"'
        if kind == "long":
            return f'"""\n{decoy}\n{decoy} ""\\\n  {decoy}"""'
        if kind == "literal":
            return f"'''\n{decoy}\n'''"
        if kind == "list" and depth < 3:
            parts = [self.value(depth + 1) for _ in self.times(3)]
            return "[\n# ] remark\n" + "".join(f"  {part}, # {decoy}\n" for part in parts) + "]"
        if kind == "inline" and depth < 3:
            parts = [f"{self.dotted()} = {self.value(depth + 1)}" for _ in self.times(3)]
            return "{" + ", ".join(parts) + "}"
        return self.one_of(*PLAIN)

    def statements(self) -> None:
        for _ in self.times(3):
            remark = self.one_of("", "  # remark = [ {", " #")
            equals = self.one_of("=", " = ")
            self.out.append(
                f"{self.one_of('', '  ')}{self.dotted()}{equals}{self.value()}{remark}")
            self.out.extend([""] * len(self.times(1)))

    def array(self, name: str) -> None:
        inner = self.key()
        for _ in self.times(2, least=1):
            self.out.append(f"[[{name}]]")
            self.statements()
            for _ in self.times(2):
                self.out.append(f"[[ {name}.{inner} ]]")
                self.statements()


@st.composite
def documents(draw: st.DrawFn) -> str:
    """A TOML text in which every key holds a word of its own (`q7q`), found on no other line."""
    writer = Writer(draw)
    writer.statements()
    for _ in writer.times(3):
        name = writer.dotted()
        if writer.one_of("table", "array") == "table":
            writer.out.append(f"[ {name} ] # d = 1")
            writer.statements()
        else:
            writer.array(name)
    return writer.one_of("\n", "\r\n").join(writer.out)


def walk(value: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    found = [path] if path else []
    entries: list[tuple[str | int, Any]] = []
    if isinstance(value, dict):
        entries = list(value.items())
    elif isinstance(value, list):
        entries = list(enumerate(value))
    for name, inner in entries:
        found += walk(inner, (*path, name))
    return found


@given(documents())
def test_every_key_of_any_document_is_recorded_on_the_line_that_holds_it(text: str) -> None:
    source = parse_toml(text, "any.toml")
    lines = text.replace("\r\n", "\n").split("\n")
    paths = walk(source.data)
    assert set(source.lines) == set(paths)
    for path in paths:
        name = path[-1]
        if isinstance(name, str):
            own = "q" + name.split("q")[1] + "q"
            assert own in lines[source.lines[path] - 1]
        else:
            assert source.lines[path] >= source.lines[path[:-1]]


@given(documents())
def test_the_quick_search_for_headers_finds_every_table_on_its_true_line(text: str) -> None:
    lines, headers = lines_of(text), header_lines(text)
    assert headers.items() <= lines.items()
    # By the TOML specification a header is alone on its line and begins with a bracket.
    under_headers = {
        path for path in lines
        if text.replace("\r\n", "\n").split("\n")[lines[path] - 1].startswith("[")
    }
    assert under_headers <= headers.keys()


MARKS = ("[", "]", "{", "}", "=", ".", ",", '"', "'", "#", "\\", " ", "\n", "a", "1", '"""', "'''")


@given(st.text() | st.lists(st.sampled_from(MARKS)).map("".join))
def test_any_text_is_either_read_or_told_as_a_problem(text: str) -> None:
    try:
        source = parse_toml(text, "any.toml")
    except ProblemsFound as found:
        assert all(problem.code in ("T003", "T004") for problem in found.problems)  # noqa: PT017
    else:
        assert set(source.lines) == set(walk(source.data))


# --- mistakes ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "place", "says"),
    [
        ("a = 12 m\n", "1:8", "the value is followed by something else: m"),
        ("a = 3,5\n", "1:6", "the value is followed by something else: ,5"),
        ("\na = yes\n", "2:5", "no value can be read here: yes"),
        ("a = 1\nb = 2\na = 3", "3", "this key or table is given twice"),
        ("[a.b]\n[a.b]\n", "2:5", "the table [a.b] is given twice"),
        ("spare ways = 3\n", "1:7", "an equals sign is missing after the key"),
        ("a = 01632 960001\n", "1:6", "a number begins with 0"),
        ("a = 0 1\n", "1:7", "the value is followed by something else: 1"),
        ("a = 1\n?\n", "2:1", "no key can be read here: ?"),
        ('a = "x\nb = 1\n', "1:7", "a text is not closed on its line"),
        ("a = 'x\nb = 1\n", "1", "a text is opened and never closed"),
        ("z = 1\na = '''x\nb = 1\n", "2", "a text is opened and never closed"),
        ('z = 1\na = """x\nb = 1\n', "2", "a text is opened and never closed"),
        ("a = [1,\n2\n\n", "2", "a list is opened and never closed"),
    ],
)
def test_a_text_that_is_not_toml_is_told_in_plain_words(text: str, place: str, says: str) -> None:
    first = problems_of(text)[0].split("\n")[0]
    assert first == f"firm.toml:{place}: error T003: this is not TOML: {says}"


@pytest.mark.parametrize(
    ("value", "says"),
    [
        ("9" * 5000, "a number in it is too long"),
        ("[" * 900 + "]" * 900, "tables or lists are nested too deep"),
    ],
)
def test_values_beyond_what_the_reader_can_hold_are_told(value: str, says: str) -> None:
    first = problems_of(f"a = {value}")[0].split("\n")[0]
    assert first == f"firm.toml: error T003: this is not TOML: {says}"


@pytest.mark.parametrize(
    ("text", "place", "key"),
    [
        ("a = 1\nb = inf\n", "2", "b"),
        ("a = [1,\n{ b = 1e99999999999999999999 }]\n", "2", "a.2.b"),
    ],
)
def test_a_number_that_measures_nothing_is_told(text: str, place: str, key: str) -> None:
    first = problems_of(text)[0].split("\n")[0]
    assert first == f"firm.toml:{place}: error T004: {key}: this number measures nothing"


def test_all_numbers_that_measure_nothing_are_told_at_once() -> None:
    told = problems_of("a = nan\nb = 1e16\nc = -1e16\nd = 1e-16\n")
    assert [says.split(":")[1] for says in told] == ["1", "2", "3", "4"]


def test_numbers_of_fifteen_digits_and_dates_are_read() -> None:
    data = parse_toml("a = 999999999999999\nb = 0.000000000000001\nc = 2026-03-31\n", "x").data
    assert data == {"a": 999999999999999, "b": Decimal("1e-15"), "c": date(2026, 3, 31)}


def test_a_folder_a_missing_file_and_a_forbidden_file_are_told_apart(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def told(path: Path) -> str:
        with pytest.raises(ProblemsFound) as caught:
            read_toml(path, "shown")
        return str(caught.value)

    (tmp_path / "survey.toml").write_text("a = 1\n")
    assert told(tmp_path) == (
        "shown: error T001: this is a folder, not a file\n    name a file in it")
    assert told(tmp_path / "survy.toml") == (
        "shown: error T001: there is no such file\n    did you mean 'survey.toml'?")
    assert told(tmp_path / "none" / "x.toml") == (
        "shown: error T001: there is no such file\n    check the path")
    assert told(tmp_path / "survey.toml" / "x.toml") == (
        "shown: error T001: there is no such file\n    check the path")
    assert "T001: the file cannot be read: its name is not valid" in told(tmp_path / "a\0b")

    def refuse(self: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", refuse)
    assert told(tmp_path / "survey.toml").startswith(
        "shown: error T001: you are not allowed to read this file\n")


def test_a_file_that_is_not_utf8_names_the_line(tmp_path: Path) -> None:
    path = tmp_path / "s.toml"
    path.write_bytes("a = 1\nb = '5 m²'\n".encode("latin-1"))
    with pytest.raises(ProblemsFound) as caught:
        read_toml(path, "s.toml")
    assert str(caught.value) == (
        "s.toml:2: error T002: the file is not UTF-8 text\n"
        "    save it as UTF-8 in the text editor")
