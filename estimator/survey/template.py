"""A blank survey: every fact with meaning, unit, range and vocabulary, made from the model.

Because it is made from the model it cannot go stale: a new fact is in it at once.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from catalogue.answers import Asked
from catalogue.table_reader import asked_of, extra_of
from estimator.survey.group import Obstruction
from estimator.survey.model import Header, Survey
from estimator.survey.toml import HEADER_WRITTEN, REPEATED, answer_of, group_model

_INTRODUCTION = """\
# A survey. Lines with a # in front are remarks; what stands after = is the answer.
#
# "?" means: not known yet. Leave it, or leave the whole line out. Unknown is never taken for no
# or for nought: it is asked back. Text stands in quotes, yes is true, no is false, decimals have
# a point.
#
# How a fact is known is `evidence` in [job]. For a fact known in another way, or to keep the
# words and the photo with it:
#   spare_ways = { value = 3, evidence = "photographed", words = "3 spare", photo = "p7" }
"""

# What the header of a survey holds: example, and meaning.
_HEADER: dict[str, tuple[str, str]] = {
    "id": ('"J0001"', "number of the job: " + HEADER_WRITTEN["id"]),
    "title": ('""', "the job in one line"),
    "customer": ('""', "name as it is to stand on the quote"),
    "address": ('""', "where the work is"),
    "surveyor": ('""', "who was there"),
    "estimator": ('""', "who prices it"),
    "surveyed_on": ("2026-01-31", "day of the survey"),
    "supply_date": ("2026-03-31", "day the work will be done, for the tax"),
    "evidence": ('"seen"', "how most facts are known"),
    "parts": ('["storage", "converter"]', "what is asked for"),
    "remarks": ('["side gate is locked"]', "remarks, which may be printed for the customer"),
    "private_remarks": ('[]', "remarks that are never printed for the customer"),
}
HEADER_MEANING = {name: meaning for name, (_, meaning) in _HEADER.items()}
_OPTIONAL_HEADER = ("surveyed_on", "supply_date", "remarks", "private_remarks")

_OBSTRUCTION = {
    "name": ('"rooflight"', "what it is"),
    "x_m": ("2.0", "from the left edge of the plane to its left edge, in m"),
    "y_m": ("1.0", "from the eaves to its lower edge, up the slope, in m"),
    "width_m": ("0.8", "along the eaves, in m"),
    "height_m": ("1.2", "up the slope, in m"),
}
_ON_WALL = {
    "name": ('"socket"', "what it is"),
    "x_m": ("2.0", "from the left end of the wall to its left edge, in m"),
    "y_m": ("0.3", "from the floor to its lower edge, in m"),
    "width_m": ("0.15", "along the wall, in m"),
    "height_m": ("0.1", "in m"),
}


def survey_template() -> str:
    """Return the text of a blank survey file, which is itself a survey that can be read.

    Parts that repeat (roof planes, cable legs) are given once, switched off with a # directly
    before each line.
    """
    lines = [*_INTRODUCTION.splitlines(), "", *_header()]
    for group in Survey.model_fields:
        if group != "job":
            lines += ["", "", *_group(group)]
    return "\n".join(lines) + "\n"


def _header() -> Iterator[str]:
    yield "[job]"
    for name in Header.model_fields:
        example, meaning = _HEADER[name]
        asked = asked_of(Header, name)
        words = f"{asked}" if asked.kind == "word" else ""
        yield from _remark(meaning, words)
        off = "#" if name in _OPTIONAL_HEADER else ""
        yield f"{off}{name} = {example}"


def _group(group: str) -> Iterator[str]:
    model = group_model(group)
    repeated = group in REPEATED
    off = "#" if repeated else ""
    yield from _remark((model.__doc__ or "").strip().rstrip("."))
    if repeated:
        yield "# Take away the # before each line, and repeat it all for each further one."
    yield f"{off}[[{group}]]" if repeated else f"[{group}]"
    for name in model.model_fields:
        asked = answer_of(model, name)
        if asked is not None:
            yield from _remark(model.model_fields[name].description or "",
                               _question(asked, extra_of(model, name).get("ask", "")),
                               _wanted(asked))
            yield f'{off}{name} = "?"'
        elif name == "obstructions":
            yield from _obstruction(group)
        else:
            yield from _remark("name, as the papers are to say it")
            yield f'{off}{name} = ""'


def _obstruction(group: str) -> Iterator[str]:
    """Yield an entry of the list, which is the last of its group: keys below would be its own."""
    where = "plane that panels" if group == "planes" else "wall that the equipment"
    yield f"# For each thing on the {where} must keep clear of:"
    yield f"#[[{group}.obstructions]]"
    for name in Obstruction.model_fields:
        example, meaning = (_OBSTRUCTION if group == "planes" else _ON_WALL)[name]
        yield f"#{name} = {example}  # {meaning}"


def _wanted(asked: Asked) -> str:
    return "true (yes) or false (no)" if asked.kind == "yes or no" else str(asked)


def _question(asked: Asked, ask: str) -> str:
    """Return the question, save of a yes or no: there the meaning says which answer is which."""
    return "" if asked.kind == "yes or no" else ask


def _remark(*sentences: str) -> Iterator[str]:
    """Yield a remark above a key, folded to the width of a page."""
    text = " ".join(
        each[:1].upper() + each[1:] + ("" if each.endswith("?") else ".")
        for each in sentences if each
    )
    yield from textwrap.wrap(text, 96, initial_indent="# ", subsequent_indent="#   ",
                             break_long_words=False, break_on_hyphens=False)
