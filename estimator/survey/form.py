"""Turns the cells of a filled-in survey form into a survey; every mistake names its cell.

A row of headers with `Path` in it begins a block. A line below is known by its path, so lines may
be moved, columns too, and sheets may be called otherwise. Each block of a plane or of a leg is one
more plane or leg. What is blank is unknown.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from catalogue.answers import Asked
from catalogue.cells import CellError, Formula, is_blank, read_cell
from catalogue.columns import Column
from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from catalogue.toml_lines import KeyPath
from catalogue.validation import shown
from estimator.survey.form_cells import Block, CellSource, FormSheet, cell_name, title_of
from estimator.survey.form_lines import (
    EVIDENCE,
    FACT_HEADERS,
    LISTED,
    PATH,
    SHEETS,
    THING_HEADERS,
    THINGS,
    WORDS_SHEET,
    Line,
    all_lines,
    lines_of,
    scope_of,
    things_asked,
    things_paths,
)
from estimator.survey.model import Survey
from estimator.survey.toml import REPEATED, UNKNOWN_WORDS, survey_from

_BLANK_FORM = "take it from a blank form, which `estimator survey form` writes"


def survey_of_form(file: str, sheets: Sequence[FormSheet], told: Iterable[Problem] = ()) -> Survey:
    """Return the survey that the sheets of a form hold.

    Args:
        file: how messages name the file.
        told: what is amiss with the file already.

    Raises:
        ProblemsFound: with every mistake: X006 to X014 for the form, and the S codes of
            `estimator.survey.toml.survey_from` for what it says.
    """
    gathered = _Form(file)
    gathered.problems.extend(told)
    for sheet in sheets:
        if sheet.name != WORDS_SHEET and not all(map(is_blank, sheet.cells.values())):
            gathered.sheet(sheet)
    gathered.look_for_missing()
    source = CellSource(file, gathered.survey_data(), places=gathered.places)
    try:
        survey = survey_from(source)
    except ProblemsFound as found:
        # A cell that cannot be read is told once, not again as missing.
        known = {problem.where for problem in gathered.problems}
        more = [problem for problem in found.problems
                if problem.where not in known and not gathered.lacks(problem)]
        raise ProblemsFound([*gathered.problems, *more] or found.problems) from found
    if gathered.problems:
        raise ProblemsFound(gathered.problems)
    return survey


class _Form:
    """Gathers what the sheets say, and every mistake."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.data: dict[str, Any] = {
            group: [] if group in REPEATED else {} for group in Survey.model_fields}
        self.places: dict[KeyPath, str] = {}
        self.problems: list[Problem] = []
        self.seen: set[str] = set()

    def tell(self, code: str, cell: str, says: str, mend: str) -> None:
        self.problems.append(Problem(code, Place(self.file, cell=cell), says, mend))

    def sheet(self, sheet: FormSheet) -> None:
        rows: dict[int, dict[int, Any]] = {}
        for (row, column), value in sorted(sheet.cells.items()):
            if not is_blank(value):
                rows.setdefault(row, {})[column] = value
        block: Block | None = None
        with_path: set[int] = set()
        above: list[str] = []
        for row, cells in rows.items():
            titles = {title_of(value): column for column, value in reversed(cells.items())}
            if title_of(PATH) in titles:
                block = self.block(sheet.name, row, titles, block)
            elif block is not None:
                if block.columns[PATH] in cells:
                    with_path.add(row)
                self.line(block, row, cells)
            else:
                above += [cell_name(sheet.name, (row, column)) for column, value in cells.items()
                          if str(value).strip() in all_lines()]
        if block is None:
            self.tell("X006", sheet.name,
                      f"the sheet has no row of headers: no cell says '{PATH}'",
                      f"{_BLANK_FORM}; delete the sheet if it is none of the form's")
            self.seen.update(g for g, name in SHEETS.items() if sheet.name == name)
        for cell in above if block else ():
            self.tell("X012", cell, "this row stands above the row of headers", "move it below")
        self.merged(sheet, with_path)

    def block(self, sheet: str, row: int, titles: Mapping[str, int],
              before: Block | None) -> Block:
        """Return the block that a row of headers begins; things belong to the block before."""
        is_things = title_of(THING_HEADERS[0]) in titles
        headers = THING_HEADERS if is_things else FACT_HEADERS
        beyond = max(titles.values()) + 1
        columns: dict[str, int] = {}
        for header in headers:
            if title_of(header) in titles:
                columns[header] = titles[title_of(header)]
            else:
                columns[header] = beyond
                if header not in ("Fact", "Guidance"):
                    self.tell("X006", cell_name(sheet, (row, 1)),
                              f"the row of headers lacks the column '{header}'", _BLANK_FORM)
        same = before if is_things else None
        return Block(sheet, columns, is_things, same.entry if same else {},
                      same.groups if same else {})

    def merged(self, sheet: FormSheet, with_path: set[int]) -> None:
        for (first, left), (last, _) in sheet.merged:
            if with_path.intersection(range(first, min(last, max(with_path, default=0)) + 1)):
                self.tell("X011", cell_name(sheet.name, (first, left)),
                          "cells are merged here, so it is not clear which of them is answered",
                          "part the cells again and write each answer in its own row")

    def line(self, block: Block, row: int, cells: Mapping[int, Any]) -> None:
        """Read one row below the headers."""
        answers = {h: cells[c] for h, c in block.columns.items()
                   if c in cells and h not in ("Fact", "Guidance", PATH)}
        path = cells.get(block.columns[PATH])
        used = set(block.columns.values())
        for column in cells.keys() - used:
            self.tell("X013", cell_name(block.sheet, (row, column)),
                      f"{shown(cells[column])} stands under no header",
                      "move it under 'Words as noted', or clear it")
        if path is None:
            if answers:
                at = block.cell(row, next(iter(answers)))
                self.tell("X012", at, f"{shown(next(iter(answers.values())))} stands in a row "
                          "without a path, so it is not known what it answers",
                          "copy the path from a blank form, or clear the row")
            return
        name = str(path).strip()
        if name in things_paths():
            self.thing(block, row, cells, things_paths()[name])
        elif name in all_lines() and not block.is_things:
            self.fact(block, row, answers, all_lines()[name])
        else:
            known = things_paths() if block.is_things else all_lines()
            self.tell("X008", block.cell(row, PATH), f"{shown(name)} is no path of this form",
                      suggestion(name, known) or _BLANK_FORM)

    def entry(self, block: Block, row: int, group: str) -> KeyPath:
        """Return where the lines of a part go; for a plane or leg, the block's own."""
        self.seen.add(group)
        if group in REPEATED and group not in block.entry:
            block.entry[group] = len(self.data[group])
            self.data[group].append({})
        first = next(iter(block.groups), group)
        if group not in block.groups and block.groups and (group in REPEATED or first in REPEATED):
            self.tell("X014", block.cell(row, PATH),
                      f"a row of '{scope_of(group)}' stands among rows of '{scope_of(first)}'",
                      "put each plane and each leg under a row of headers of its own")
        block.groups.setdefault(group, block.sheet)
        return (group, block.entry[group]) if group in REPEATED else (group,)

    def table(self, path: KeyPath) -> dict[str, Any]:
        held: Any = self.data
        for part in path:
            held = held[part]
        table: dict[str, Any] = held
        return table

    def fact(self, block: Block, row: int, answers: Mapping[str, Any], line: Line) -> None:
        """Read the line of a fact, of a name, or of the head of the survey."""
        where = self.entry(block, row, line.group)
        key = (*where, line.field)
        at = block.cell(row, "Answer")
        if line.field in LISTED:
            self.listed(line, key, answers, at)
            return
        if key in self.places:
            self.tell("X009", at, f"{line.path} stands twice; the first is {self.places[key]}",
                      "keep one row of the two; a further plane or leg has its own headers")
            return
        self.places[key] = self.places[*key, "value"] = at
        found = {}
        for header, name, asked in (
            ("Answer", "value", line.asked), ("How it is known", "evidence", EVIDENCE),
            ("Words as noted", "words", Asked("text")), ("Photo", "photo", Asked("text")),
        ):
            if header == "Answer" or line.is_fact:
                self.places[*key, name] = block.cell(row, header)
                value = self.read(answers.get(header), asked, line.path, block.cell(row, header))
                if value is not None:
                    found[name] = value
            elif header in answers:
                self.tell("X012", block.cell(row, header),
                          f"{line.path}: only the answer is asked for here", "clear the cell")
        if not line.is_fact:
            if "value" in found:
                self.table(where)[line.field] = found["value"]
        elif found:
            self.table(where)[line.field] = found

    def listed(
        self, line: Line, key: KeyPath, answers: Mapping[str, Any], at: str
    ) -> None:
        self.places.setdefault(key, at)
        for header in answers:
            if header != "Answer":
                self.tell("X012", at, f"{line.path}: only the answer is asked for here",
                          f"clear '{header}'")
        value = self.read(answers.get("Answer"), line.asked, line.path, at)
        if value is not None:
            held = self.data["job"].setdefault(line.field, [])
            self.places[*key, len(held)] = at
            held.append(value)

    def thing(self, block: Block, row: int, cells: Mapping[int, Any], group: str) -> None:
        """Read the line of a thing in the way: name, place and size side by side."""
        where = self.entry(block, row, group)
        if not block.is_things:
            self.tell("X014", block.cell(row, PATH),
                      "a thing in the way stands among facts",
                      f"put it below the row of headers that begins '{THING_HEADERS[0]}'")
            return
        things: list[dict[str, Any]] = self.table(where).setdefault(THINGS, [])
        key = (*where, THINGS, len(things))
        found: dict[str, Any] = {}
        blank = True
        for header, (name, asked) in zip(THING_HEADERS, things_asked().items(), strict=False):
            cell = block.cell(row, header)
            self.places[*key, name] = cell
            content = cells.get(block.columns[header])
            blank = blank and content is None
            value = self.read(content, asked, f"{scope_of(group)}.{THINGS}.{name}", cell)
            if value is not None:
                found[name] = value
        if not blank:
            self.places[key] = block.cell(row, THING_HEADERS[0])
            things.append(found)

    def read(self, content: Any, asked: Asked, label: str, cell: str) -> Any:
        """Return the value of a cell; None where it is blank, unknown, or told as a mistake."""
        if content is None or (isinstance(content, str)
                               and content.strip().lower() in UNKNOWN_WORDS
                               and asked is not EVIDENCE and asked.kind != "text"):
            return None
        if asked.kind == "text" and isinstance(content, str) and not isinstance(content, Formula):
            return content.replace("\r\n", "\n").strip()
        try:
            return read_cell(content, Column(label, asked))
        except CellError as error:
            self.tell("X010", cell, f"{label}: {error.says}", error.mend)
            return None

    def look_for_missing(self) -> None:
        """Tell each part of the house of which the form has no row at all."""
        for group, sheet in SHEETS.items():
            if group not in self.seen and group not in REPEATED:
                self.tell("X007", sheet,
                          f"the sheet is missing: no row has a path such as "
                          f"{lines_of(group)[0].path}", _BLANK_FORM)

    def lacks(self, problem: Problem) -> bool:
        """Return whether something is amiss only since its sheet is missing, which is told."""
        return not problem.where.cell and "job" not in self.seen

    def survey_data(self) -> dict[str, Any]:
        """Return what is filled in; a plane or a leg of which all is blank is none."""
        self.data["job"].setdefault("parts", [])
        for group in REPEATED:
            kept = [n for n, entry in enumerate(self.data[group]) if any(entry.values())]
            moved = {old: new for new, old in enumerate(kept)}
            self.places = {
                (group, moved.get(int(key[1]), -1), *key[2:])
                if key[0] == group and len(key) > 1 else key: cell
                for key, cell in self.places.items()
            }
            self.data[group] = [self.data[group][n] for n in kept]
        return {group: held for group, held in self.data.items()
                if held or group == "job"}
