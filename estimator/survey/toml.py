"""Reads a survey file: every fact with its evidence and its line, every mistake at once.

A fact is a plain value (`modules = 3`; how it is known is `[job] evidence`), a table
(`modules = { value = 3, evidence = "measured", words = "3 mods" }`), or "unknown" or "?".
A fact that is left out is unknown.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, get_args

from pydantic import BaseModel, ValidationError

from catalogue.answers import MISSING, WRONG_WORD, Asked, asked_for
from catalogue.problems import ProblemsFound
from catalogue.table_reader import TableReader, asked_of, extra_of
from catalogue.toml_lines import KeyPath
from catalogue.toml_source import TomlSource, read_toml
from catalogue.validation import problems_from, shown
from estimator.survey.agreement import EVIDENCE_AMISS, check_agreement
from estimator.survey.fact import Evidence, Fact
from estimator.survey.group import Obstruction
from estimator.survey.model import Header, Survey

UNKNOWN_WORDS = ("unknown", "?")
REPEATED = {"planes": "plane", "legs": "leg"}
HEADER_WRITTEN = {
    "id": "letters, digits, dots, dashes and underscores, at most 40, a letter or digit first",
    "parts": 'a list such as ["storage", "converter"]',
}
# Short forms of the trade -> the word of a vocabulary (common practice, no source).
SHORT_FORMS = {
    "pme": "TN-C-S", "tncs": "TN-C-S", "tns": "TN-S", "semi-detached": "semi", "terr": "terrace",
    "terraced": "terrace", "det": "detached", "bung": "bungalow", "gge": "garage",
    "batteries": "storage", "battery": "storage", "inverter": "converter", "solar": "panels",
    "pv": "panels", "back-up": "backup", "slate": "natural slate", "int": "inside",
    "ext": "outside", "concrete slab": "slab", "timber": "suspended timber", "dc": "d.c.",
    "armoured": "armoured outside", "two way": "both ways", "bidirectional": "both ways",
}
NOT_KNOWN_YET = ("", "tbc", "tba", "n/k", "nk", "not known", "don't know", "not sure", "unsure")
_DETAILS = ("value", "evidence", "words", "photo")


def read_survey(path: Path, shown_as: str | None = None) -> Survey:
    """Read a survey file.

    Args:
        path: the file.
        shown_as: the name to use for it in messages and in each fact's place.

    Raises:
        ProblemsFound: with every mistake: T001 to T004 for a file that is not readable TOML, S001
            unknown key, S002 wrong kind of value, S003 word outside the vocabulary, S004 out of
            range or ill written, S005 wrong shape, S006 missing, S007 evidence amiss, S008 name
            given twice, S009 off the plane, S010 dates, S011 facts that contradict each other.
    """
    return survey_from(read_toml(path, shown_as))


def survey_from(source: TomlSource) -> Survey:
    """Return the survey that a TOML file holds; see `read_survey`."""
    reader = _SurveyReader(source, "S", SHORT_FORMS)
    data = reader.survey()
    check_agreement(data, reader.tell)
    if reader.problems:
        raise ProblemsFound(reader.in_file_order())
    try:
        return Survey.model_validate(data)
    except ValidationError as error:
        raise ProblemsFound(problems_from(error, source, "S099", Survey)) from error


def answer_of(model: type[BaseModel], name: str) -> Asked | None:
    """Return what a fact of a group asks for; None for a field that is not a fact."""
    annotation = model.model_fields[name].annotation
    if not isinstance(annotation, type) or not issubclass(annotation, Fact):
        return None
    inner = annotation.__pydantic_generic_metadata__["args"][0]
    asked = asked_for(inner, (), extra_of(model, name).get("unit", ""))
    return replace(asked, with_words=not asked.unit)


def group_model(name: str) -> type[BaseModel]:
    """Return the model of a part of the survey; for a list, that of its entries."""
    annotation: Any = Survey.model_fields[name].annotation
    found: type[BaseModel] = get_args(annotation)[0] if name in REPEATED else annotation
    return found


def _owners() -> dict[str, str]:
    """Return for each fact's name the table it belongs to, if there is only one."""
    owners: dict[str, list[str]] = {}
    for group in Survey.model_fields:
        header = f"[[{group}]]" if group in REPEATED else f"[{group}]"
        for name in group_model(group).model_fields:
            owners.setdefault(name, []).append(header)
    return {name: tables[0] for name, tables in owners.items() if len(tables) == 1}


class _SurveyReader(TableReader):
    """Turns the tables of a survey file into the data of a `Survey`."""

    def survey(self) -> dict[str, Any]:
        self.owners = _owners()
        data = self.source.data
        self.keys(data, (), Survey.model_fields, self.owners)
        read: dict[str, Any] = {"job": self.header(data)}
        self.evidence = Evidence(read["job"].get("evidence", Evidence.ASSUMED))
        for name in Survey.model_fields:
            if name == "job" or name not in data:
                continue
            if name in REPEATED:
                read[name] = self.repeated(data[name], name)
            else:
                read[name] = self.group(self.table(data[name], (name,)), (name,), name)
        return read

    def header(self, data: Mapping[str, Any]) -> dict[str, Any]:
        if "job" not in data:
            self.tell(MISSING, (), "the table [job] is missing",
                      "write [job] and below it at least id and parts")
            return {}
        table = self.table(data["job"], ("job",))
        if not isinstance(data["job"], Mapping):
            return {}
        self.keys(table, ("job",), Header.model_fields, self.owners)
        read = self.fields(Header, table, ("job",), mends=HEADER_WRITTEN)
        if read.get("evidence") == Evidence.UNKNOWN:
            self.tell(EVIDENCE_AMISS, ("job", "evidence"),
                      "the evidence of a whole survey cannot be 'unknown'",
                      "say how most facts are known; mark single facts as unknown")
            del read["evidence"]
        return read

    def repeated(self, value: Any, name: str) -> list[dict[str, Any]]:
        read = []
        for path, table in self.tables(value, (name,)):
            group = self.group(table, path, name)
            # Later stages name the plane or leg in every reason, so each has a name.
            group.setdefault("name", f"{REPEATED[name]} {int(path[-1]) + 1}")
            if not group["name"]:
                group["name"] = f"{REPEATED[name]} {int(path[-1]) + 1}"
            read.append(group)
        return read

    def group(self, table: Mapping[str, Any], path: KeyPath, name: str) -> dict[str, Any]:
        """Read one part of the house."""
        model = group_model(name)
        self.keys(table, path, model.model_fields, self.owners)
        read: dict[str, Any] = {}
        for field in model.model_fields:
            if field not in table:
                continue
            asked = answer_of(model, field)
            if asked is not None:
                fact = self.fact(table[field], asked, (*path, field))
                if fact is not None:
                    read[field] = fact
            elif field == "obstructions":
                read[field] = self.obstructions(table[field], (*path, field))
            elif self.value(table[field], asked_of(model, field), (*path, field)):
                read[field] = table[field]
        return read

    def obstructions(self, value: Any, path: KeyPath) -> list[dict[str, Any]]:
        read = []
        for at, table in self.tables(value, path):
            self.keys(table, at, Obstruction.model_fields)
            read.append(self.fields(Obstruction, table, at))
        return read

    def fact(self, value: Any, asked: Asked, path: KeyPath) -> dict[str, Any] | None:
        """Read one fact: a plain value, a word for unknown, or a table with its evidence.

        Returns None, with the mistake told, for a value that does not fit.
        """
        place = str(self.source.place(path))
        if not isinstance(value, Mapping):
            if value in UNKNOWN_WORDS:
                return {"place": place, "words": value if value == "?" else ""}
            if isinstance(value, str) and value.strip(" ?.!").lower() in NOT_KNOWN_YET:
                self.tell(WRONG_WORD, path, f"{shown(value)} is no value",
                          'write "?" or leave the key out while it is not known')
                return None
            fits = self.value(value, asked, path)
            known = {"value": value, "evidence": self.evidence, "place": place}
            return known if fits else None
        self.keys(value, path, _DETAILS)
        read: dict[str, Any] = {"place": place}
        for name in ("words", "photo"):
            if name in value and self.value(value[name], Asked("text"), (*path, name)):
                read[name] = value[name]
        evidence = self.evidence_of(value, path)
        if "value" in value and value["value"] not in UNKNOWN_WORDS:
            if not self.value(value["value"], asked, (*path, "value")):
                return None
            return self.known(value["value"], evidence, path, read)
        return self.not_known(evidence, path, read)

    def evidence_of(self, value: Mapping[str, Any], path: KeyPath) -> Evidence | None:
        """Return the evidence a fact names for itself, or None."""
        if "evidence" not in value:
            return None
        fits = self.value(value["evidence"], asked_of(Header, "evidence"), (*path, "evidence"))
        return Evidence(value["evidence"]) if fits else None

    def known(self, value: Any, evidence: Evidence | None, path: KeyPath,
              read: dict[str, Any]) -> dict[str, Any]:
        if evidence is Evidence.UNKNOWN:
            self.tell(EVIDENCE_AMISS, (*path, "evidence"),
                      f"the evidence is 'unknown', yet the value {shown(value)} is given",
                      "say how the value is known, or leave the value out")
        return {**read, "value": value, "evidence": evidence or self.evidence}

    def not_known(self, evidence: Evidence | None, path: KeyPath,
                  read: dict[str, Any]) -> dict[str, Any]:
        if evidence not in (None, Evidence.UNKNOWN):
            self.tell(EVIDENCE_AMISS, (*path, "evidence"),
                      f"the evidence is '{evidence}', yet there is no value",
                      "give the value, or leave the evidence out while it is unknown")
        return read
