"""Free-text notes against what a person reads in them.

The twelve notes and what they should give are a worked example, invented figures; which short form
means what is common practice, no source. An inch is 25.4 mm and a foot 304.8 mm (international yard
and pound agreement, 1959).
"""

from __future__ import annotations

from collections import Counter
from decimal import Decimal as D
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.cli import main
from estimator.survey.notes.claims import NotesRead
from estimator.survey.notes.facts import fitted
from estimator.survey.notes.reader import fact_of, read_notes
from estimator.survey.notes.survey_text import survey_toml
from estimator.survey.notes.tokens import tokens
from estimator.survey.notes.vocabulary import load_vocabulary
from estimator.survey.toml import read_survey
from tests.survey.notes_by_hand import BY_HAND, TWELVE

VOCABULARY = load_vocabulary()
IRRELEVANT = ("Kettle on at eleven.", "Radio playing loudly.", "Blue curtains upstairs!",
              "Cat sleeps everywhere.")


def read(text: str) -> NotesRead:
    return read_notes(text, "note.txt", VOCABULARY)


def values(found: NotesRead) -> dict[str, set[Any]]:
    held: dict[str, set[Any]] = {}
    for claim in found.claims:
        held.setdefault(claim.path, set()).add(claim.value)
    return held


def judged(note: str, facts: dict[str, Any], asks: list[str]) -> Counter[str]:
    """Count each expected fact or question as found, asked, missed or wrong."""
    found = read(note)
    held = values(found)
    questions = " | ".join(ask.question.lower() for ask in found.asks)
    count: Counter[str] = Counter()
    for path, value in facts.items():
        if path in held:
            count["found" if held[path] == {value} else "wrong"] += 1
        else:
            count["missed"] += 1
    for ask in asks:
        count["asked" if ask in questions else "missed"] += 1
    count["wrong"] += len(set(held) - set(facts))  # a fact that nobody reads in the note
    return count


@pytest.mark.parametrize(("note", "facts", "asks"), TWELVE)
def test_no_fact_of_the_twelve_notes_is_read_wrongly(
        note: str, facts: dict[str, Any], asks: list[str]) -> None:
    assert judged(note, facts, asks)["wrong"] == 0


def test_nearly_every_fact_of_the_twelve_notes_is_found_or_asked_back() -> None:
    total: Counter[str] = Counter()
    for note in TWELVE:
        total += judged(*note)
    assert total["found"] >= 60
    assert (total["found"] + total["asked"]) >= D("0.95") * total.total()


@pytest.mark.parametrize(("note", "facts"), BY_HAND)
def test_a_note_says_what_a_person_reads_in_it_and_nothing_more(
        note: str, facts: dict[str, Any]) -> None:
    assert values(read(note)) == {path: {value} for path, value in facts.items()}


def evidence(note: str, path: str) -> str:
    return next(str(each.evidence) for each in read(note).claims if each.path == path)


@pytest.mark.parametrize(("note", "grade"), [
    ("fuse 60?", "assumed"), ("prob 60A fuse", "assumed"), ("cust says 60A fuse", "customer said"),
    ("fuse 60A", "seen"), ("fuse 60A, photo", "seen"),
    ("fuse 60A wombat", "assumed"), ("fuse 60A photo", "photographed"),
])
def test_a_hedge_lowers_how_a_fact_is_known(note: str, grade: str) -> None:
    assert evidence(note, "supply.fuse_a") == grade


@pytest.mark.parametrize("note", [
    "PME or TT", "2-3 mods in util rm", "not PME", "next door PME", "was TT", "3 mods",
    "ctrs 8,2", "mod", "SP", "E roof", "mtr 3/4 spare", "fuse 100mA", "det", "slate roof",
    "10kWh bat", "iso needed", "need iso", "2 panels missing", "wants 10 panels or 12",
    "max 8 panels",
    "no, it is not PME", "want 2 mods not 3", "roof not good", "exist 8 pnl",
    "fuse upgrade to 100A", "gas meter 2m from conv", "2 x 60A", "removed 6 pnl",
])
def test_what_can_be_read_in_two_ways_gives_no_fact(note: str) -> None:
    found = read(note)
    assert not set(values(found)) - {"storage.place"}
    assert found.asks or found.not_understood


def test_a_fact_said_in_two_ways_is_kept_as_two_claims_and_asked_first() -> None:
    found = read("PME 100A. cut-out 60A.")
    assert [each.path for each in found.conflicts] == ["supply.fuse_a"]
    assert {each.value for each in found.conflicts[0].claims} == {D(100), D(60)}
    assert "supply.fuse_a" in found.asks[0].question
    assert 'fuse_a = { value = "?"' in survey_toml(found, "N1", ["storage"])


def test_a_private_remark_gives_no_fact_and_stays_private(tmp_path: Path) -> None:
    found = read("3 spare. Private: haggles, 100A fuse in shed.")
    assert set(values(found)) == {"board.spare_ways"}
    assert [each.words for each in found.private] == ["Private: haggles, 100A fuse in shed."]
    at = tmp_path / "survey.toml"
    at.write_text(survey_toml(found, "N1", ["storage"]), encoding="utf-8")
    job = read_survey(at).job
    assert job.remarks == ()
    assert "Private: haggles, 100A fuse in shed." in job.private_remarks


def test_a_line_that_begins_like_a_formula_is_kept_as_text() -> None:
    found = read("=2+3 spare\n@SUM(A1)\n3 spare")
    assert values(found) == {"board.spare_ways": {3}}
    assert [each.words for each in found.not_understood] == ["=2+3 spare", "@SUM(A1)"]


def test_a_fact_keeps_its_words_and_their_place() -> None:
    (claim,) = read("patio\n  tails 16").claims
    assert (claim.words, claim.place.line, claim.place.column) == ("tails 16", 2, 3)


ALL = [*(note for note, _, _ in TWELVE), *(note for note, _ in BY_HAND)]


@pytest.mark.parametrize("note", ALL)
def test_every_fact_fits_the_survey_and_the_survey_can_be_read(note: str, tmp_path: Path) -> None:
    found = read(note)
    for claim in found.claims:
        assert fitted(fact_of(claim.path), claim.value) == claim.value
    at = tmp_path / "survey.toml"
    at.write_text(survey_toml(found, "N1", found.parts or ["storage"]), encoding="utf-8")
    assert read_survey(at).job.id == "N1"


def left_out(note: str) -> list[str]:
    """Return the words of a note that neither a fact nor a list holds."""
    found = read(note)
    spoken = [(each.words, each.place) for each in (
        *found.claims, *found.not_understood, *found.private, *found.remarks, *found.asks)]
    lines = note.splitlines(keepends=True)
    starts = [sum(map(len, lines[:at])) for at in range(len(lines))]
    covered = set()
    for words, place in spoken:
        if place.line is not None and place.column is not None:
            first = starts[place.line - 1] + place.column - 1
            covered |= set(range(first, first + len(words)))
    return [token.text for token in tokens(note)
            if not token.is_punctuation and token.kind != "query" and token.start not in covered]


@pytest.mark.parametrize("note", ALL)
def test_every_word_is_used_or_listed(note: str) -> None:
    assert left_out(note) == []


WORDS = st.sampled_from(sorted({token.text for note in ALL for token in tokens(note)}))


@settings(max_examples=60, deadline=None)
@given(st.lists(WORDS, max_size=12).map(" ".join))
def test_words_in_any_order_are_each_used_or_listed_and_every_fact_fits(text: str) -> None:
    found = read(text)
    assert left_out(text) == []
    for claim in found.claims:
        assert fitted(fact_of(claim.path), claim.value) == claim.value


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=80))
def test_no_text_breaks_the_reader(text: str) -> None:
    assert read(text) == read(text)


@pytest.mark.parametrize("piece", ["E/", "9E", "2 x ", "9" * 50, "mtr to ", "\"", "2000 ", "a.b"])
def test_a_long_note_of_one_piece_is_read_to_its_end(piece: str) -> None:
    text = piece * 1500
    assert left_out(text) == []


@settings(max_examples=40, deadline=None)
@given(st.sampled_from([note for note, _ in BY_HAND]), st.sampled_from(IRRELEVANT), st.booleans())
def test_a_sentence_that_has_nothing_to_do_with_it_changes_no_fact(
        note: str, more: str, before: bool) -> None:
    assert values(read(f"{more} {note}" if before else f"{note}\n{more}")) == values(read(note))


@settings(max_examples=40, deadline=None)
@given(st.permutations([
    "Semi 1990s.", "Rear roof S 35deg, conc interl, 8.2 eaves x 4.6 slope.", "2st, patio clear.",
    "Conv + 2 mods int gge, solid 100 dense block.", "Mtr in gge 3m from spot.",
    "PME 100A, iso fitted.", "CU 2022, 3 spare.", "Wi-Fi 3 bars.", "W roof 30deg, 6 pnl."]))
def test_the_order_of_sentences_changes_no_fact(sentences: list[str]) -> None:
    assert values(read(" ".join(sentences))) == values(read(" ".join(sorted(sentences))))


def test_a_firm_adds_words_of_its_own(tmp_path: Path) -> None:
    own = tmp_path / "own.toml"
    own.write_text('[[fact]]\nwords = ["blue earth"]\nsays = { "supply.earthing" = "TT" }\n')
    assert values(read_notes("blue earth", "", load_vocabulary(own))) == {"supply.earthing": {"TT"}}


def test_the_command_prints_the_report_and_writes_the_survey(tmp_path: Path) -> None:
    note, out = tmp_path / "note.txt", tmp_path / "survey.toml"
    note.write_text("2 mods int gge. tails 16. purple wombat.", encoding="utf-8")
    done = CliRunner().invoke(main, ["survey", "notes", str(note), "--out", str(out)])
    assert done.exit_code == 0, done.output
    assert "storage.modules = 2 (seen) from '2 mods int gge' at 1:1" in done.output
    assert "'wombat' at 1:34: not known" in done.output
    assert read_survey(out).storage.modules.value == 2


@pytest.mark.parametrize(("content", "more", "code"), [
    (b"\xff\xfe\x00", [], "G001"), (b"kettle", ["--out", "x.toml"], "G003")])
def test_what_cannot_be_read_is_told(
        content: bytes, more: list[str], code: str, tmp_path: Path) -> None:
    note = tmp_path / "note.txt"
    note.write_bytes(content)
    done = CliRunner().invoke(main, ["survey", "notes", str(note), *more])
    assert done.exit_code == 1
    assert code in done.output


def test_a_vocabulary_that_does_not_fit_is_told(tmp_path: Path) -> None:
    note, own = tmp_path / "note.txt", tmp_path / "own.toml"
    note.write_text("x")
    own.write_text('[[fact]]\nwords = ["a"]\nsays = { "supply.colour" = "red" }\n')
    done = CliRunner().invoke(main, ["survey", "notes", str(note), "--vocabulary", str(own)])
    assert done.exit_code == 1
    assert "G002: the survey has no fact 'supply.colour'" in done.output
