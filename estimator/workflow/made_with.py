"""What an estimate was made with, as texts that are kept with its revision, each stored once.

A quote writes them, `estimator diff` reads them back. The survey, the discount, the stops let pass
and the substitutes stand in the revision itself; prices are never overwritten, so a day's are found
again.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping

from sqlalchemy import Connection, insert, select

from catalogue.item_text import item_text
from catalogue.items import Item
from catalogue.tables import KEPT_TEXT, REVISION_BASIS
from catalogue.toml_source import TomlSource, as_text, parse_toml
from estimator import VERSION
from estimator.estimate import Basis, Estimate
from estimator.workflow.basis import ReadFrom
from estimator.workflow.firm import FirmFiles

SETTINGS, PRACTICE, NORMS, RULES, ITEMS, PROGRAM = KINDS = (
    "settings", "practice", "norms", "rules", "items", "program")


def texts_made_with(
    estimate: Estimate, basis: Basis, read: ReadFrom, files: FirmFiles
) -> Mapping[str, str]:
    """Return what an estimate was made with as texts, by kind.

    Rules, norms and practice values are the texts of all files in force, by name; settings are the
    figures themselves, defaults among them; items are those of the bill, those that they stand in
    for and what is in their boxes.
    """
    return {
        SETTINGS: basis.settings.model_dump_json(),
        PRACTICE: _texts(read.practice, files),
        NORMS: _texts(read.norms, files),
        RULES: _texts(read.rules, files),
        ITEMS: item_text(items_of(estimate, basis)),
        PROGRAM: VERSION,
    }


def _texts(sources: Iterable[TomlSource], files: FirmFiles) -> str:
    """Return name -> text as JSON, in the order in which the files count."""
    own = "" if files.folder is None else as_text(files.folder).rstrip("/") + "/"
    named = {source.file.removeprefix(own): source.text for source in sources}
    return json.dumps(named, ensure_ascii=False, separators=(",", ":"))


def items_of(estimate: Estimate, basis: Basis) -> Iterable[Item]:
    """Return the items of bill and design, what they stand in for, and what is in the boxes."""
    known = basis.prices.items
    found = {line.item.code: line.item for line in estimate.bill.lines}
    chosen = (item for item in estimate.design.kit.items.values() if item is not None)
    found |= {item.code: item for item in chosen}
    found |= {each.original.code: each.original for each in estimate.stand_ins}
    parts = {part.item for item in found.values() for part in item.contents}
    return (found | {code: known[code] for code in parts if code in known}).values()


def keep_texts(work: Connection, job: str, number: int, texts: Mapping[str, str]) -> None:
    """Keep what a revision was made with; a text that is there already is not written again."""
    by_kind = {kind: _digest(text) for kind, text in texts.items()}
    wanted = {by_kind[kind]: text for kind, text in texts.items()}
    there = set(work.scalars(
        select(KEPT_TEXT.c.digest).where(KEPT_TEXT.c.digest.in_(sorted(wanted)))))
    fresh = [{"digest": digest, "text": text} for digest, text in wanted.items()
             if digest not in there]
    if fresh:
        work.execute(insert(KEPT_TEXT), fresh)
    work.execute(insert(REVISION_BASIS), [
        {"job_id": job, "number": number, "kind": kind, "digest": digest}
        for kind, digest in by_kind.items()])


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def kept_texts(work: Connection, job: str, number: int) -> dict[str, str]:
    """Return the texts that a revision was made with, by kind; empty where none were kept."""
    rows = work.execute(
        select(REVISION_BASIS.c.kind, KEPT_TEXT.c.text)
        .join(KEPT_TEXT, KEPT_TEXT.c.digest == REVISION_BASIS.c.digest)
        .where(REVISION_BASIS.c.job_id == job, REVISION_BASIS.c.number == number))
    return {row.kind: row.text for row in rows}


def kept_sources(text: str) -> list[TomlSource]:
    """Return the files that a kept text of rules, norms or practice values is made of."""
    named: dict[str, str] = json.loads(text)
    return [parse_toml(each, name) for name, each in named.items()]
