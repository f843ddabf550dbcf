"""Accept proposed norms: a dated file in the firm's folder, by a named person.

Nothing that was quoted changes: a revision keeps the texts of the norms that it was made with, and
norms hold from their day on.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from pathlib import Path

from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from catalogue.toml_source import TomlSource, as_text, read_toml
from estimator.labour.norms import Norm, read_norms
from estimator.papers.digits import plain
from estimator.workflow.basis import norm_files
from estimator.workflow.files import write_all
from estimator.workflow.firm import FirmFiles, firm_files

FOLDER = "norms"
_LEARNED, _WAS = "learned", "was"


@dataclass(frozen=True)
class AcceptRequest:
    """Which proposal, who accepts it, from which day on its norms hold, and today."""

    proposal: Path
    by: str
    starts: date
    today: date


@dataclass(frozen=True)
class Accepted:
    """The file that was written, and its norms with what they were."""

    file: Path
    starts: date
    norms: tuple[Norm, ...]
    was: Mapping[str, Norm]


def accept_norms(request: AcceptRequest) -> Accepted:
    """Write the norms of a proposal into the firm's folder.

    Raises:
        ProblemsFound: T001 to T004 for a file that cannot be read; N001 to N008 for norms in it
            that are wrong; Z513 if it is no proposal; Z514 without a name; Z515 without a firm's
            folder; Z516 for a norm that was not learned; Z517 for one that is another by now; Z518
            for a day on or before which the firm's own version began; Z519 if norms were accepted
            for that day already. Nothing is written then.
    """
    from estimator.papers.norms_file import accepted_text

    files = firm_files()
    source = read_toml(request.proposal)
    learned = _learned(source)
    if files.folder is None or not request.by.strip():
        raise ProblemsFound(_wants(files, request))
    out = files.folder / FOLDER / f"learned-{request.starts}.toml"
    norms = tuple(read_norms([_as_norms(source, request.starts)]).values())
    held = _held(files, request.starts)
    problems = [*_not_learned(source, norms, learned), *_changed(source, norms, learned, held),
                *_too_early(source, norms, files, request.starts)]
    if out.exists():
        problems.append(Problem(
            "Z519", Place(as_text(out)), f"norms that hold from {request.starts} were accepted "
            "already", "choose another day, or look through that file"))
    if problems:
        raise ProblemsFound(problems)
    heading = (
        f"Norms learned from {learned['jobs']} finished jobs, against the norms of "
        f"{learned['on']}.",
        f"Accepted by {request.by.strip()} on {request.today}; they hold from {request.starts} on.")
    write_all({out: accepted_text(norms, heading, request.starts).encode()})
    return Accepted(out, request.starts, norms, {each.id: held[each.id] for each in norms})


def _wants(files: FirmFiles, request: AcceptRequest) -> Iterator[Problem]:
    if not request.by.strip():
        yield Problem("Z514", Place(as_text(request.proposal)), "nobody has put a name to it",
                      "say who accepts the norms")
    if files.folder is None:
        yield Problem("Z515", Place(as_text(Path())), "there is no firm's folder here or above",
                      "go to the firm's folder, or lay one: estimator start FOLDER")


def _learned(source: TomlSource) -> Mapping[str, object]:
    """Return the table that says what the norms were learned from."""
    table = source.data.get(_LEARNED)
    was = table.get(_WAS) if isinstance(table, dict) else None
    if (not isinstance(table, dict) or type(table.get("on")) is not date
            or type(table.get("jobs")) is not int or not isinstance(was, dict)
            or not all(_are_points(each) for each in was.values())):
        raise ProblemsFound([Problem(
            "Z513", source.place((_LEARNED,)), "the file is no proposal of norms",
            "name a file that `estimator norms learn --out FILE.toml` has written")])
    return table


def _are_points(each: object) -> bool:
    return isinstance(each, list) and len(each) == 3 and all(
        isinstance(minutes, int | Decimal) and not isinstance(minutes, bool) for minutes in each)


def _as_norms(source: TomlSource, starts: date) -> TomlSource:
    """Return the proposal as a file of norms that begin on a day."""
    data = {key: value for key, value in source.data.items() if key != _LEARNED}
    return replace(source, data={**data, "from": starts})


def _held(files: FirmFiles, starts: date) -> Mapping[str, Norm]:
    return read_norms(norm_files(files), starts)


def _not_learned(
    source: TomlSource, norms: tuple[Norm, ...], learned: Mapping[str, object]
) -> Iterator[Problem]:
    was = _was(learned)
    for at, norm in enumerate(norms):
        if norm.id not in was:
            yield Problem(
                "Z516", source.place(("norm", at, "id")),
                f"'{norm.id}' is no norm that was learned",
                suggestion(norm.id, was) or "write it in a file of the firm's norms folder")


def _changed(
    source: TomlSource, norms: tuple[Norm, ...], learned: Mapping[str, object],
    held: Mapping[str, Norm],
) -> Iterator[Problem]:
    proposed = {norm.id for norm in norms}
    for name, points in _was(learned).items():
        if name not in proposed:
            continue  # whoever looked through the file took it out
        norm = held.get(name)
        now = [] if norm is None else [norm.low, norm.likely, norm.high]
        if [Decimal(each) for each in points] != now:
            then, by_then = (" / ".join(plain(Decimal(each)) for each in each_of)
                             for each_of in (points, now))
            yield Problem(
                "Z517", source.place((_LEARNED, _WAS, name)),
                f"'{name}' was {then} when this was learned and is "
                f"{by_then or 'no norm'} on the day it is to hold",
                "learn again from the norms as they are: estimator norms learn")


def _too_early(
    source: TomlSource, norms: tuple[Norm, ...], files: FirmFiles, starts: date
) -> Iterator[Problem]:
    own = [each for file in norm_files(files)[1:] for each in read_norms([file]).values()]
    for at, norm in enumerate(norms):
        began = max((each.from_date for each in own if each.id == norm.id), default=None)
        if began is not None and began >= starts:
            yield Problem(
                "Z518", source.place(("norm", at, "id")),
                f"'{norm.id}' of the firm's own holds from {began}, and this is to hold from "
                f"{starts}", "choose a later day: of two versions the one that began last holds")


def _was(learned: Mapping[str, object]) -> dict[str, list[int | Decimal]]:
    was = learned[_WAS]
    return was if isinstance(was, dict) else {}
