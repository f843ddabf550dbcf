"""What a model refuses is told in plain words, at its line, with the closest known word."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Annotated, Any, Literal

import pytest
from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from catalogue.problems import Place, Problem
from catalogue.toml_source import TomlSource, parse_toml
from catalogue.validation import choices_of, dotted, kind_of, problems_from


class Table(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Sureness(StrEnum):
    MEASURED = "measured"
    GUESSED = "guessed"


class Plane(Table):
    name: str
    pitch_deg: Annotated[Decimal, Field(ge=0, le=90)] | None = None
    covering: Literal["plain tile", "natural slate"] = "plain tile"
    rows: Annotated[int, Field(ge=1)] = 1
    sound: bool = True
    sureness: Sureness = Sureness.MEASURED


class House(Table):
    id: Annotated[str, Field(pattern="^[a-z]+$", max_length=8)]
    seen_on: date | None = None
    either: int | Decimal | None = None
    parts: tuple[Literal["panels", "storage"], ...] = Field(default=("panels",), min_length=1)
    planes: tuple[Plane, ...] = ()
    price: Annotated[Decimal, Field(gt=0, decimal_places=2)] = Decimal(1)
    rates: dict[str, int] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _panels_need_a_plane(self) -> House:
        if self.id == "bare" and not self.planes:
            raise ValueError("panels are asked for and no plane is given")
        return self


def told(text: str) -> list[str]:
    source = parse_toml(text, "house.toml")
    with pytest.raises(ValidationError) as caught:
        House.model_validate(source.data)
    return [str(each) for each in problems_from(caught.value, source, "X001", House)]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('id = "a"\nplane = 1', "house.toml:2: error X001: plane: there is no such key\n"
                                "    did you mean 'planes'?"),
        ('id = "a"\nzzz = 1', "house.toml:2: error X001: zzz: there is no such key\n"
         "    choose one of: either, id, parts, planes, price, rates, seen_on"),
        ("price = 2", "house.toml: error X001: id: this value is missing\n"
                      "    give a text in quotes"),
        ("id = 5", "house.toml:1: error X001: id: a text is needed, not 5\n"
                   "    put the value in quotes"),
        ('id = "abcdefghi"', "house.toml:1: error X001: id: 'abcdefghi' cannot be right: it may "
                             "have at most 8 characters"),
        ('id = "a"\nprice = "x"', "house.toml:2: error X001: price: a number is needed, not 'x'\n"
         "    write the number without quotes, unit or group separator"),
        ('id = "a"\nprice = 0', "house.toml:2: error X001: price: 0 cannot be right: it must be "
                                "more than 0\n    check the unit and the decimal point"),
        ('id = "a"\nprice = 1.005', "house.toml:2: error X001: price: 1.005 cannot be right: it "
         "may have at most 2 digits after the point\n    check the unit and the decimal point"),
        ('id = "a"\nseen_on = "soon"', "house.toml:2: error X001: seen_on: a date such as "
                                       "2026-06-30 is needed, not 'soon'"),
        ('id = "a"\nparts = ["panel"]', "house.toml:2: error X001: parts.1: 'panel' is not a word "
                                        "used here\n    did you mean 'panels'?"),
        ('id = "a"\nparts = []', "house.toml:2: error X001: parts: the list holds 0 entries\n"
                                 "    it must hold at least 1"),
        ('id = "a"\nparts = "panels"', "house.toml:2: error X001: parts: a list is needed, not "
                                       "'panels'"),
        ('id = "a"\n[[planes]]\nname = "S"\npitch_deg = 95',
         "house.toml:4: error X001: planes.1.pitch_deg: 95 cannot be right: it must be at most "
         "90\n    check the unit and the decimal point"),
        ('id = "a"\n[[planes]]\nname = "S"\n[[planes]]\nname = "N"\ncovering = "slate"',
         "house.toml:6: error X001: planes.2.covering: 'slate' is not a word used here\n"
         "    choose one of: natural slate, plain tile"),
        ('id = "a"\n[[planes]]\nname = "S"\nsureness = "measurd"',
         "house.toml:4: error X001: planes.1.sureness: 'measurd' is not a word used here\n"
         "    did you mean 'measured'?"),
        ('id = "a"\n[[planes]]\nrows = 1', "house.toml:2: error X001: planes.1.name: this value is "
                                           "missing\n    give a text in quotes"),
        ('id = "a"\n[[planes]]\nname = "S"\nsound = "maybe"',
         "house.toml:4: error X001: planes.1.sound: true or false is needed, not 'maybe'\n"
         "    write true or false, without quotes"),
        ('id = "a"\n[[planes]]\nname = "S"\nrows = 1.5',
         "house.toml:4: error X001: planes.1.rows: a whole number is needed, not 1.5"),
        ('id = "a"\nplanes = ["S"]', "house.toml:2: error X001: planes.1: a table is needed, not "
                                     "'S'"),
        ('id = "a"\n[rates]\nday = "x"', "house.toml:3: error X001: rates.day: a whole number is "
         "needed, not 'x'\n    write the number without quotes, unit or group separator"),
        ('id = "a"\neither = "x"', "house.toml:2: error X001: either: a whole number is needed, "
                                   "not 'x'"),
        ('id = "bare"', "house.toml: error X001: panels are asked for and no plane is given"),
    ],
)
def test_each_mistake_gets_these_words(text: str, message: str) -> None:
    assert told(text) == [message]


def test_all_mistakes_are_told_at_once_in_the_order_of_the_file() -> None:
    lines = [said.split(": ")[0] for said in told(
        'price = -1\nid = 5\n[[planes]]\nname = "S"\nrows = 0\nsuond = true\n')]
    assert lines == ["house.toml:1", "house.toml:2", "house.toml:5", "house.toml:6"]


def test_no_word_of_the_checking_library_reaches_the_person() -> None:
    text = ('id = 5\nprice = []\nseen_on = 3.5\nrates = 1\nparts = 1\neither = {}\n'
            '[[planes]]\nname = []\nsound = 3\nsureness = 1\nrows = []\n')
    said = "\n".join(told(text)).lower()
    assert len(said.splitlines()) > 10
    for jargon in ("input", "pydantic", "valid ", "instance", "type=", "dict", "tuple", "bool",
                   "enum", "literal", "str ", "none"):
        assert jargon not in said


def test_a_long_or_broken_value_is_shown_short_and_on_one_line() -> None:
    (message,) = told('id = "a"\nprice = """x\n' + "y" * 200 + '"""')
    assert "\ny" not in message
    assert len(message.splitlines()[0]) < 160


def test_places_may_come_from_a_function_and_paths_may_differ() -> None:
    with pytest.raises(ValidationError) as caught:
        House.model_validate({"id": "a", "planes": [{"name": "S", "rows": 0}]})

    def cell(path: tuple[Any, ...]) -> Place:
        return Place("house.xlsx", cell="/".join(map(str, path)))

    found = problems_from(caught.value, cell, "X002", House, at=lambda path: ("roof", *path[1:]))
    assert found == [Problem(
        "X002", Place("house.xlsx", cell="roof/0/rows"),
        "roof.1.rows: 0 cannot be right: it must be at least 1",
        "check the unit and the decimal point")]


def test_a_value_that_a_reader_wrapped_is_told_by_the_key_in_the_file() -> None:
    class Wrapped(Table):
        value: Literal["yes", "no"]

    class Outer(Table):
        answer: Wrapped

    source = TomlSource("a.toml", {"answer": "yess"}, 6 * "\n" + "answer = 'yess'\n")
    with pytest.raises(ValidationError) as caught:
        Outer.model_validate({"answer": {"value": "yess"}})
    assert str(problems_from(caught.value, source, "X001", Outer)[0]) == (
        "a.toml:7: error X001: answer: 'yess' is not a word used here\n    did you mean 'yes'?")


@pytest.mark.parametrize(
    ("annotation", "words", "kind"),
    [
        (Literal["a", "b"] | None, ("a", "b"), "one of: a, b"),
        (tuple[Literal["a"], ...], ("a",), "a list in square brackets"),
        (Sureness, ("measured", "guessed"), "one of: measured, guessed"),
        (Annotated[int, Field(ge=0)], (), "a whole number"),
        (bool, (), "true or false"),
        (Plane, (), "a table with its own keys"),
        (dict[str, int], (), "a table with its own keys"),
    ],
)
def test_a_field_says_what_it_holds(annotation: Any, words: tuple[str, ...], kind: str) -> None:
    assert choices_of(annotation) == words
    assert kind_of(annotation) == kind


def test_entries_of_a_list_count_from_one() -> None:
    assert dotted(("planes", 0, "pitch_deg")) == "planes.1.pitch_deg"
