"""Loading rule files: folders, overrides, order of computed facts, places of rules."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from catalogue.money import Money
from catalogue.problems import Place, ProblemsFound
from catalogue.toml_source import TomlSource, parse_toml
from estimator.rules.check import check_rules, readers
from estimator.rules.dictionary import fact_dictionary
from estimator.rules.load import STANDARD_RULES, load_rule_book, read_rule_files
from estimator.rules.model import RuleBook

FACTS = fact_dictionary({})

BRACKET = """
[[rule]]
id = "bracket"
for = "storage"
when = "storage.mount == 'wall'"
item = { family = "mounting", role = "storage wall bracket" }
exactly = { holes = "kit.storage.bracket_holes" }
quantity = "storage.modules"
because = "each module hangs on its own bracket"
"""
LATER = """
[[task]]
id = "hang"
for = "storage"
each = ""
when = "true"
norm = "hang-module"
units = "storage.rows"
because = "modules are hung row by row"
"""


def source(text: str, file: str = "rules/a.toml") -> TomlSource:
    return parse_toml(text, file)


def book(*texts: str) -> RuleBook:
    return load_rule_book(
        [source(text, f"rules/{n}.toml") for n, text in enumerate(texts)], FACTS)


def test_a_rule_knows_what_it_asks_for_and_where_it_is_written() -> None:
    rule = book(BRACKET).materials[0]
    assert rule.where == Place("rules/0.toml", 2)
    assert (rule.selector.family, rule.selector.role) == ("mounting", "storage wall bracket")
    assert [(field, each.text) for field, each in rule.selector.exactly] == [
        ("holes", "kit.storage.bracket_holes")]
    assert rule.quantity.type == "whole"
    assert not rule.option


def test_a_later_folder_overrides_by_id_and_keeps_the_place_in_the_order() -> None:
    own = BRACKET.replace("storage.modules\"", "storage.modules + 1\"")
    other = BRACKET.replace('"bracket"', '"second"')
    found = load_rule_book(
        [source(BRACKET + other, "standard/a.toml"), source(own, "own/z.toml")], FACTS)
    assert [rule.id for rule in found.materials] == ["bracket", "second"]
    assert found.materials[0].quantity.text == "storage.modules + 1"
    assert found.materials[0].where.file == "own/z.toml"


def test_an_override_may_be_of_another_kind() -> None:
    task = LATER.replace('"hang"', '"bracket"').replace("storage.rows", "storage.modules")
    found = load_rule_book(
        [source(BRACKET, "standard/a.toml"), source(task, "own/a.toml")], FACTS)
    assert found.materials == ()
    assert [each.id for each in found.tasks] == ["bracket"]


def test_people_of_a_task_are_a_whole_number() -> None:
    text = LATER.replace("storage.rows", "storage.modules")
    assert book(text).tasks[0].people is None
    told = book(text + 'people = "max(2, storage.modules)"\n').tasks[0].people
    assert told is not None
    assert told.type == "whole"
    with pytest.raises(ProblemsFound) as caught:
        book(text + 'people = "storage.modules / 2"\n')
    (problem,) = caught.value.problems
    assert (problem.code, problem.where.line) == ("R109", 10)


def test_the_runs_of_a_quantity_are_a_whole_number() -> None:
    assert book(BRACKET).materials[0].runs is None
    assert book(BRACKET + 'runs = "storage.modules"\n').materials[0].runs is not None
    with pytest.raises(ProblemsFound) as caught:
        book(BRACKET + 'runs = "storage.modules / 2"\n')
    assert [problem.code for problem in caught.value.problems] == ["R109"]


def test_the_same_id_in_two_files_of_one_folder_is_a_mistake() -> None:
    with pytest.raises(ProblemsFound) as caught:
        book(BRACKET, BRACKET)
    found = [(problem.code, problem.where) for problem in caught.value.problems]
    assert found == [("R008", Place("rules/1.toml", 3))]


def test_computed_facts_come_after_those_they_read() -> None:
    facts = """
[[fact]]
name = "storage.rows"
type = "whole"
meaning = "rows"
value = "ceil(storage.stacks / 2)"

[[fact]]
name = "storage.stacks"
type = "whole"
meaning = "stacks"
value = "ceil(storage.modules / kit.storage.max_per_stack)"

[[fact]]
name = "plane.steep"
type = "flag"
each = "plane"
meaning = "steep"
value = "plane.pitch_deg > 45"

[[fact]]
name = "roof.steep_planes"
type = "whole"
meaning = "steep planes"
value = "count(plane.steep)"
"""
    found = book(facts + LATER)
    assert [each.fact.path for each in found.computed] == [
        "storage.stacks", "storage.rows", "plane.steep", "roof.steep_planes"]
    assert found.facts["plane.steep"].scope == "plane"


def test_the_words_a_computed_text_can_be_are_known_to_later_formulas() -> None:
    facts = """
[[fact]]
name = "storage.label"
type = "text"
meaning = "words on the label"
value = "'up' if storage.way == 'hung' else 'down'"

[[fact]]
name = "storage.way"
type = "text"
meaning = "way"
value = "'hung' if storage.mount == 'wall' else 'stood'"
"""
    found = book(facts)
    assert found.facts["storage.way"].values == ("hung", "stood")
    assert found.facts["storage.label"].values == ("up", "down")
    with pytest.raises(ProblemsFound, match=r"'storage\.way' is never 'hanged'"):
        book(facts.replace("storage.way == 'hung'", "storage.way == 'hanged'"))


def test_a_counted_item_needs_a_whole_quantity_and_a_measured_one_does_not() -> None:
    half = BRACKET.replace('quantity = "storage.modules"', 'quantity = "storage.modules / 2"')
    role = ("mounting", "storage wall bracket")
    load_rule_book([source(half)], FACTS, units={role: ["m"]})
    with pytest.raises(ProblemsFound, match="R109"):
        load_rule_book([source(half)], FACTS, units={role: ["each"]})


def test_problems_of_all_files_come_together_by_file_and_line() -> None:
    bad = BRACKET.replace("storage.mount", "storage.mont")
    with pytest.raises(ProblemsFound) as caught:
        load_rule_book([
            source(bad, "b/b.toml"), source(bad.replace('"bracket"', '"b2"'), "a/a.toml"),
            source("[[fct]]\n", "a/b.toml"),
        ], FACTS)
    assert [(p.where.file, p.where.line) for p in caught.value.problems] == [
        ("a/a.toml", 5), ("a/b.toml", 1), ("b/b.toml", 5)]


def test_a_mistake_in_a_text_over_several_lines_has_its_true_line() -> None:
    text = BRACKET.replace('"storage.mount == \'wall\'"',
                           '"""storage.mount == \'wall\' \\\n    and storage.modul > 2"""')
    with pytest.raises(ProblemsFound) as caught:
        book(text)
    # "    and " are eight characters.
    assert caught.value.problems[0].where == Place("rules/0.toml", 6, 9)


def test_a_mistake_behind_escaped_quotes_has_its_true_column() -> None:
    text = BRACKET.replace('"storage.mount == \'wall\'"',
                           '"board.family == \\"x\\" and storage.modul > 2"')
    with pytest.raises(ProblemsFound) as caught:
        book(text)
    # when = "board.family == \"x\" and : eight, sixteen, five and five characters come before.
    assert caught.value.problems[0].where == Place("rules/0.toml", 5, 35)


def test_chance_cost_and_level_are_read_as_what_they_are() -> None:
    found = book("""
[[risk]]
id = "no-isolator"
for = "job"
when = "not known(supply.isolator_present)"
chance = "0.25"
cost = "140.00"
because = "a visit"
closed_by = "supply.isolator_present"

[[check]]
id = "frost"
for = "storage"
when = "storage.frost"
level = "stop"
says = "it freezes"
source = "maker's manual"
decides = "designer"
""")
    assert found.risks[0].chance == Decimal("0.25")
    assert found.risks[0].cost == Money(14000, "GBP")
    assert found.checks[0].level == "stop"


def test_an_assumption_may_not_rest_on_computed_facts() -> None:
    with pytest.raises(ProblemsFound, match="computed after assumptions are made"):
        book("""
[[fact]]
name = "storage.pairs"
type = "whole"
meaning = "pairs"
value = "storage.modules // 2"

[[assume]]
id = "assume-crossings"
for = "storage"
fact = "storage.rated_crossings"
value = "storage.pairs"
because = "usually"
""")


def test_rule_files_are_read_by_name_and_folders_in_order(tmp_path: Path) -> None:
    for name in ("second/a.toml", "first/b.toml", "first/a.toml"):
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_text("", encoding="utf-8")
    found = read_rule_files([tmp_path / "first", tmp_path / "second"])
    assert [Path(each.file).relative_to(tmp_path).as_posix() for each in found] == [
        "first/a.toml", "first/b.toml", "second/a.toml"]


def test_files_that_cannot_be_read_are_all_told(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text("a = ", encoding="utf-8")
    (tmp_path / "b.toml").write_bytes(b"\xff")
    with pytest.raises(ProblemsFound) as caught:
        read_rule_files([tmp_path, tmp_path / "none"])
    assert [problem.code for problem in caught.value.problems] == ["T003", "T002", "T001"]


def test_the_program_s_own_files_are_shown_alike_on_every_machine() -> None:
    files = [each.file for each in read_rule_files([STANDARD_RULES])]
    assert files
    assert all(file.startswith("estimator/rules/data/") for file in files)


def test_a_check_counts_the_rules_and_names_roles_nobody_asks_for() -> None:
    roles = frozenset({("mounting", "storage wall bracket"), ("hire", "core drill")})
    found = check_rules([source(BRACKET)], FACTS, roles)
    assert found.problems == ()
    assert found.counts["material rules"] == 1
    assert found.unasked == (("hire", "core drill"),)
    broken = check_rules([source(BRACKET.replace("storage.mount", "mount"))], FACTS, roles)
    assert [problem.code for problem in broken.problems] == ["R104"]
    assert broken.counts == {}


def test_each_fact_knows_who_reads_it() -> None:
    found = readers(book(BRACKET))
    assert found["storage.modules"] == ("bracket",)
    assert found["kit.storage.bracket_holes"] == ("bracket",)
    assert found["storage.wall"] == ()
