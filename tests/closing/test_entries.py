"""The list of readings is whole: every entry can be asked for, and says where it comes from."""

from __future__ import annotations

from datetime import date

from estimator.closing.design import CIRCUMSTANCES
from estimator.closing.due import RULES
from estimator.closing.entries import PACK, PAPERS, all_entries
from estimator.practice.pack import country_folder, read_practice

ENTRIES = all_entries()
GB = read_practice([country_folder("gb")])
ON = date(2026, 11, 28)


def test_every_reading_has_a_code_of_its_own_a_source_and_a_standing() -> None:
    codes = [each.code for each in ENTRIES]
    assert len(set(codes)) == len(codes)
    for each in ENTRIES:
        assert each.source
        assert each.standing in ("published", "common practice", "from memory")
        assert ("from memory" in each.source) == (each.standing == "from memory"), each.code
        assert each.group.who


def test_every_rule_and_every_circumstance_is_known() -> None:
    assert {each.expect for each in ENTRIES} == set(RULES)
    assert {word for each in ENTRIES for word in each.when} == CIRCUMSTANCES


def test_every_limit_stands_in_the_practice_pack() -> None:
    named = {name for each in ENTRIES for name in each.limits} - {"closeout_insulation"}
    assert [name for name in sorted(named) if GB.at(name, ON) is None] == []
    assert GB.table("closeout_insulation", ON).rows


def test_what_is_chosen_from_words_has_words_and_a_paper_has_its_days() -> None:
    for each in ENTRIES:
        assert (each.box == "word") <= bool(each.words), each.code
        assert (each.expect == "by") == (each.box == "day") == (each.group.name == PAPERS)
    assert [each.code for each in ENTRIES if each.group.name == PACK]


def test_a_reading_holds_from_its_first_day() -> None:
    assert not any(each.in_force(date(2015, 12, 31)) for each in ENTRIES)
    assert all(each.in_force(date(2016, 1, 1)) for each in ENTRIES)
