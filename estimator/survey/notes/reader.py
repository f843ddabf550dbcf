"""Reads a note: what it says, with which certainty, of which plane, and what is left over."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.toml_source import as_text
from estimator.survey.fact import Evidence
from estimator.survey.notes.asking import asks_of
from estimator.survey.notes.claims import Ask, Claim, Conflict, Kept, NotesRead, Value
from estimator.survey.notes.doubt import Doubt, doubt_of, worse
from estimator.survey.notes.facts import fitted, question_at
from estimator.survey.notes.meaning import meant_by
from estimator.survey.notes.parsing import Statement, Term, statements
from estimator.survey.notes.planes import Mention, ordered, planes_of
from estimator.survey.notes.saying import Context, Meant, Say
from estimator.survey.notes.terms import Cut, cut
from estimator.survey.notes.tokens import Token, sentences
from estimator.survey.notes.vocabulary import Vocabulary, load_vocabulary

FORMULA_SIGNS = ("=", "@")
_SMALL = frozenset({"SMALL", "PLUS", "SLASH", "DASH", "X", "GOOD", "MAX", "OR", "NOT", "NIL",
                    "EXIST", "ELSEWHERE"})


def read_notes_file(path: Path, vocabulary: Vocabulary | None = None) -> NotesRead:
    """Read a file of notes.

    Raises:
        ProblemsFound: G001 if the file cannot be read or is not text.
    """
    shown = as_text(path)
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise ProblemsFound([Problem(
            "G001", Place(shown), f"the note cannot be read: {error.strerror or error}",
            "name a text file")]) from error
    except ValueError as error:
        raise ProblemsFound([Problem(
            "G001", Place(shown), "the note is not UTF-8 text",
            "save it as UTF-8 in the text editor")]) from error
    return read_notes(text, shown, vocabulary)


def read_notes(text: str, file: str = "", vocabulary: Vocabulary | None = None) -> NotesRead:
    """Read the text of a note; the same text gives the same result.

    Args:
        text: the note, any text at all.
        file: the name to use for it in places.
        vocabulary: a firm's own, from `load_vocabulary`; else the standard one.
    """
    return _NoteReader(text, file, vocabulary or load_vocabulary()).read()


@dataclass(frozen=True)
class _Found:
    """A fact as said, before its plane is known."""

    say: Say
    evidence: Evidence
    words: str
    place: Place
    sentence: int
    clause: int
    at: int


@dataclass
class _NoteReader:
    """One note being read."""

    text: str
    file: str
    vocabulary: Vocabulary
    found: list[_Found] = field(default_factory=list)
    mentions: list[Mention] = field(default_factory=list)
    asks: list[Ask] = field(default_factory=list)
    bonds: dict[str, tuple[str, Place]] = field(default_factory=dict)
    lost: list[Kept] = field(default_factory=list)
    private: list[Kept] = field(default_factory=list)
    remarks: list[Kept] = field(default_factory=list)

    def read(self) -> NotesRead:
        cuts: list[Cut] = []
        for sentence in sentences(self.text, self.vocabulary.stops):
            if sentence[0].text in FORMULA_SIGNS:
                self.lost.append(self.kept(sentence, "begins like a formula of a spreadsheet: "
                                                     "kept as text"))
                continue
            each = cut(sentence, self.vocabulary)
            if "PRIVATE" in each.tags:
                self.private.append(self.kept(sentence, "private"))
            else:
                cuts.append(each)
        tags = frozenset(tag for each in cuts for tag in each.tags)
        for number, each in enumerate(cuts):
            self.sentence(number, each, tags)
        return self.result(tags)

    def kept(self, words: Sequence[Token], why: str) -> Kept:
        return Kept(self.words(words), self.place(words), why)

    def words(self, words: Sequence[Token]) -> str:
        return self.text[words[0].start:words[-1].end]

    def place(self, words: Sequence[Token]) -> Place:
        return Place(self.file, words[0].line, words[0].column)

    def sentence(self, number: int, sentence: Cut, tags: frozenset[str]) -> None:
        found = [*statements(sentence.terms)]
        taken = {at for each in found for at in range(each.first, each.last)}
        loose = [term for at, term in enumerate(sentence.terms) if at not in taken]
        context = Context(found, sentence.tags, tags)
        for each in found:
            self.statement(number, each, sentence, meant_by(each, context),
                           doubt_of(each, sentence, loose))
        self.left_over(sentence, loose)

    def statement(self, number: int, statement: Statement, sentence: Cut, meant: Meant,
                  doubt: Doubt) -> None:
        first, last = sentence.terms[statement.first], sentence.terms[statement.last - 1]
        tokens = sentence.tokens[first.first:last.last]
        words, place = self.words(tokens), self.place(tokens)
        if meant.lost:
            self.lost.append(Kept(words, place, "known words, but no fact could be joined"))
            return
        if meant.private:
            self.private.append(Kept(words, place, "about the customer"))
        if doubt.bars:
            self.ask(f"{words}: {doubt.bars}", words, place)
            return
        if meant.planes:
            self.mentions.append(Mention(number, first.clause, statement.first, meant.planes))
        for service in meant.bonds:
            self.bonds.setdefault(service, (words, place))
        for say in meant.says:
            evidence = Evidence(say.grade) if say.grade else doubt.evidence or Evidence.SEEN
            if say.grade and doubt.evidence:
                evidence = worse(evidence, doubt.evidence)
            self.found.append(_Found(say, evidence, words, place, number, first.clause,
                                     statement.first))
        questions = [*meant.asks] or (
            [f"{words}: is it so?"] if doubt.queried and not meant.says else [])
        for question in questions:
            self.ask(question, words, place)
        if not meant.says and not meant.bonds and not questions and not meant.private:
            self.remarks.append(Kept(words, place, "understood; the survey has no fact for it"))

    def ask(self, question: str, words: str, place: Place) -> None:
        self.asks.append(Ask(question, words, place, rank=3))

    def left_over(self, sentence: Cut, loose: Sequence[Term]) -> None:
        """List every word that no statement took up."""
        for term in loose:
            tokens = sentence.tokens[term.first:term.last]
            if _SMALL.intersection(term.kinds):
                self.remarks.append(self.kept(tokens, "small word"))
            elif "?" in term.kinds:
                self.lost.append(self.kept(tokens, "not known"))
            else:
                self.lost.append(self.kept(tokens, "known, but no fact could be joined"))
        for mark in sentence.hedges:
            if mark.kind == "hedge":
                self.remarks.append(self.kept(sentence.tokens[mark.at:mark.at + 1], "hedge"))

    def result(self, tags: frozenset[str]) -> NotesRead:
        named = {name for each in self.mentions for name in each.planes}
        about_roof = any(each.say.path.startswith("plane.") for each in self.found)
        planes = ordered(named) or (("roof",) if about_roof else ())
        claims = sorted({*self.claims(planes), *self.bond_claim()}, key=_order)
        conflicts = tuple(_conflicts(claims))
        parts, more = asks_of(claims, tags, planes)
        asks = _without_twins([
            *(Ask(f"{each.path}: " + " or ".join(shown(c.value) for c in each.claims) + "?",
                  each.claims[0].words, each.claims[0].place, rank=1) for each in conflicts),
            *self.asks, *self.weak(claims), *more])
        return NotesRead(tuple(claims), tuple(self.lost), conflicts, asks, tuple(self.private),
                         tuple(self.remarks), parts, planes)

    def claims(self, planes: tuple[str, ...]) -> Iterator[Claim]:
        for each in self.found:
            path = each.say.path
            if not path.startswith("plane."):
                yield from self.claim(path, path, each)
                continue
            of = each.say.planes or planes_of(path, each.sentence, each.clause, each.at,
                                              self.mentions, planes)
            if of is None:
                self.ask(f"{each.words}: of which plane, and in all or each?", each.words,
                         each.place)
            for name in of or ():
                yield from self.claim(
                    path, path.replace("plane.", f"plane[{planes.index(name)}].", 1), each)

    def claim(self, fact: str, path: str, each: _Found) -> Iterator[Claim]:
        value = fitted(fact, each.say.value)
        if value is None:
            self.ask(f"{each.words}: {shown(each.say.value)} does not fit; {question_at(fact)}",
                     each.words, each.place)
            return
        yield Claim(path, value, each.evidence, each.words, each.place)

    def bond_claim(self) -> Iterator[Claim]:
        """Yield how many services lack a proper bond, if any is known to."""
        if self.bonds:
            words = "; ".join(words for words, _ in self.bonds.values())
            yield Claim("supply.bonds_undersize", len(self.bonds), Evidence.ASSUMED, words,
                        next(iter(self.bonds.values()))[1])

    def weak(self, claims: Iterable[Claim]) -> Iterator[Ask]:
        """Yield a question for each fact that is only said or assumed."""
        asked = {each.words for each in self.asks}
        for claim in claims:
            if claim.evidence.is_weak and claim.words not in asked:
                yield Ask(question_at(fact_of(claim.path)), claim.words, claim.place, rank=3)


def fact_of(path: str) -> str:
    """Return a path without the number of its plane: "plane[0].covering" -> "plane.covering"."""
    group, _, name = path.partition(".")
    return f"{group.partition('[')[0]}.{name}"


def shown(value: Value) -> str:
    """Return a value as words."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value if isinstance(value, str) else f"{value:f}" if not isinstance(
        value, int) else str(value)


def _order(claim: Claim) -> tuple[str, int, int, str]:
    return claim.path, claim.place.line or 0, claim.place.column or 0, shown(claim.value)


def _conflicts(claims: Sequence[Claim]) -> Iterator[Conflict]:
    for path in dict.fromkeys(claim.path for claim in claims):
        same = tuple(claim for claim in claims if claim.path == path)
        if len({claim.value for claim in same}) > 1:
            yield Conflict(path, same)


def _without_twins(asks: Iterable[Ask]) -> tuple[Ask, ...]:
    """Return each question once for each place that raises it, what moves the price most first.

    A question that no words raise is left out where words raise the same.
    """
    seen: dict[tuple[str, Place], Ask] = {}
    raised: set[str] = set()
    for ask in asks:
        if ask.words or ask.question not in raised:
            seen.setdefault((ask.question, ask.place), ask)
            raised.add(ask.question)
    return tuple(sorted(seen.values(), key=lambda ask: ask.rank))
