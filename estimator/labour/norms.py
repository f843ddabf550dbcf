"""Labour norms: minutes per task, as dated and sourced data.

The norms that come with the program stand in `norms.toml` beside this file. They are invented; a
firm writes its own files in the same form, and a norm there takes the place of the one with the
same id here, from the day on that it says. Of a firm's own versions of a norm the one that began
last holds.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from catalogue.problems import Problem, ProblemsFound, suggestion
from catalogue.toml_source import TomlSource, read_toml

GROUPS = ("roof", "electrical", "storage", "site", "travel", "waiting", "office")
STANDARD_NORMS = Path(__file__).with_name("norms.toml")

_KEYS = frozenset({
    "id", "name", "per", "low", "likely", "high", "crew", "group", "on_site", "each_trip",
    "source", "from", "note",
})


@dataclass(frozen=True, slots=True)
class Norm:
    """Minutes of one person for one unit of a task: three points, crew and source.

    Attributes:
        low, likely, high: person-minutes per unit.
        crew: people who do it together.
        group: "roof", "electrical", "storage", "site" (joint), "travel", "waiting" or "office".
        on_site: whether the time is spent at the house (office and travel time is not).
        from_date: a firm's own norm holds from this day on.
        each_trip: whether the task comes again on every further day on site.
    """

    id: str
    name: str
    per: str
    low: Decimal
    likely: Decimal
    high: Decimal
    crew: int
    group: str
    on_site: bool
    source: str
    from_date: date
    note: str = ""
    each_trip: bool = False


def standard_norms(own: Iterable[Path] = ()) -> Mapping[str, Norm]:
    """Read the norms that come with the program, then the firm's own files over them.

    Raises:
        ProblemsFound: T001 to T003 for a file that cannot be read, else as `read_norms`.
    """
    return read_norms(norm_sources(own))


def norm_sources(own: Iterable[Path] = ()) -> list[TomlSource]:
    """Read the file of norms that comes with the program, then the firm's own, as they are.

    Raises:
        ProblemsFound: T001 to T003 for every file that cannot be read.
    """
    sources: list[TomlSource] = []
    problems: list[Problem] = []
    for path in (STANDARD_NORMS, *own):
        try:
            shown = path.name if path == STANDARD_NORMS else None
            sources.append(read_toml(path, shown))
        except ProblemsFound as found:
            problems.extend(found.problems)
    if problems:
        raise ProblemsFound(problems)
    return sources


def read_norms(sources: Sequence[TomlSource], on: date | None = None) -> Mapping[str, Norm]:
    """Return the norms that hold on a day, by id.

    Each source holds `[[norm]]` tables; `source` and `from` may stand once at the top of the file
    for every norm in it. A firm's own norm holds from its day on, instead of the program's; of
    several that have begun, the one that began last, and of these the one of the later source. The
    norms that come with the program hold on any day: they are invented.

    Args:
        sources: in the order in which they count.
        on: the day; None as if all had begun.

    Raises:
        ProblemsFound: every mistake of every source at once. N001 a key that no norm has; N002 a
            value missing; N003 a value of the wrong kind; N004 the points out of order; N005 an
            unknown group; N006 an id twice in one file; N007 a task of each trip that is on site;
            N008 a file without norms.
    """
    norms: dict[str, Norm] = {}
    begun: dict[str, date] = {}  # the firm's own that hold so far, and since when
    problems: list[Problem] = []
    for source in sources:
        reader, own = _Reader(source), is_own(source)
        for norm in reader.read().values():
            starts = norm.from_date if own else date.min
            if (on is None or starts <= on) and starts >= begun.get(norm.id, date.min):
                norms[norm.id], begun[norm.id] = norm, starts
        problems.extend(reader.problems)
    if problems:
        raise ProblemsFound(problems)
    return norms


def is_own(source: TomlSource) -> bool:
    """Return whether a source is a firm's own, and not the file that comes with the program."""
    return source.file != STANDARD_NORMS.name


class _Reader:
    """Reads one source, gathering its problems."""

    def __init__(self, source: TomlSource) -> None:
        self.source = source
        self.problems: list[Problem] = []

    def read(self) -> dict[str, Norm]:
        for key in self.source.data:
            if key not in ("norm", "source", "from"):
                self.refuse("N001", (key,), f"'{key}' is not known in a file of norms",
                            suggestion(key, ("norm", "source", "from")))
        if not self.source.data:
            return {}  # all of it is switched off, as in the example of a new firm's folder
        tables = self.source.data.get("norm")
        if not isinstance(tables, list) or not all(isinstance(each, dict) for each in tables):
            self.refuse("N008", ("norm",), "the file has no [[norm]] tables",
                        "write each norm as a table headed [[norm]]")
            return {}
        found: dict[str, Norm] = {}
        for at, table in enumerate(tables):
            norm = self.norm(at, table)
            if norm is not None and norm.id in found:
                self.refuse("N006", ("norm", at, "id"), f"the norm '{norm.id}' stands twice",
                            "keep one of the two")
            elif norm is not None:
                found[norm.id] = norm
        return found

    def norm(self, at: int, table: Mapping[str, Any]) -> Norm | None:
        """Return the norm of one table, or None if anything in it is wrong."""
        before = len(self.problems)
        for key in table:
            if key not in _KEYS:
                self.refuse("N001", ("norm", at, key), f"'{key}' is not known in a norm",
                            suggestion(key, _KEYS))
        norm = Norm(
            id=self.text(at, table, "id"), name=self.text(at, table, "name"),
            per=self.text(at, table, "per"),
            low=self.minutes(at, table, "low"), likely=self.minutes(at, table, "likely"),
            high=self.minutes(at, table, "high"), crew=self.crew(at, table),
            group=self.text(at, table, "group"), on_site=self.flag(at, table, "on_site"),
            source=self.text(at, table, "source"), from_date=self.day(at, table),
            note=self.text(at, table, "note", default=""),
            each_trip=self.flag(at, table, "each_trip", default=False),
        )
        if len(self.problems) == before:
            self.check(at, norm)
        return norm if len(self.problems) == before else None

    def check(self, at: int, norm: Norm) -> None:
        if not norm.low <= norm.likely <= norm.high:
            self.refuse(
                "N004", ("norm", at, "low"),
                f"'{norm.id}': low {norm.low}, likely {norm.likely} and high {norm.high} are out "
                "of order", "low is at most likely, and likely at most high")
        if norm.group not in GROUPS:
            self.refuse("N005", ("norm", at, "group"),
                        f"'{norm.id}': '{norm.group}' is not a group of tasks",
                        suggestion(norm.group, GROUPS))
        if norm.each_trip and norm.on_site:
            self.refuse(
                "N007", ("norm", at, "each_trip"),
                f"'{norm.id}' is on site and comes again on each trip",
                "time on site decides the number of trips, so it may not depend on it; set "
                "on_site or each_trip to false")

    def value(self, at: int, table: Mapping[str, Any], key: str) -> Any:
        """Return a value of the table, or the file's own for `source` and `from`."""
        found = table.get(key)
        if found is None and key in ("source", "from"):
            found = self.source.data.get(key)
        if found is None:
            self.refuse("N002", ("norm", at), f"the norm {_named(table)}has no '{key}'",
                        f"add a line {key} = ...")
        return found

    def text(
        self, at: int, table: Mapping[str, Any], key: str, default: str | None = None
    ) -> str:
        if default is not None and key not in table:
            return default
        found = self.value(at, table, key)
        if isinstance(found, str) and (found.strip() or default is not None):
            return found
        if found is not None:
            self.wrong(at, key, found, "words in quotes")
        return ""

    def minutes(self, at: int, table: Mapping[str, Any], key: str) -> Decimal:
        found = self.value(at, table, key)
        if isinstance(found, int | Decimal) and not isinstance(found, bool):
            minutes = Decimal(found)
            if minutes.is_finite() and minutes >= 0:
                return minutes
        if found is not None:
            self.wrong(at, key, found, "a number of person-minutes, zero or more")
        return Decimal(0)

    def crew(self, at: int, table: Mapping[str, Any]) -> int:
        found = self.value(at, table, "crew")
        if isinstance(found, int) and not isinstance(found, bool) and found >= 1:
            return found
        if found is not None:
            self.wrong(at, "crew", found, "a whole number of people, one or more")
        return 1

    def flag(
        self, at: int, table: Mapping[str, Any], key: str, default: bool | None = None
    ) -> bool:
        if default is not None and key not in table:
            return default
        found = self.value(at, table, key)
        if isinstance(found, bool):
            return found
        if found is not None:
            self.wrong(at, key, found, "true or false")
        return False

    def day(self, at: int, table: Mapping[str, Any]) -> date:
        found = self.value(at, table, "from")
        if type(found) is date:
            return found
        if found is not None:
            self.wrong(at, "from", found, "a date such as 2026-01-31, without quotes")
        return date.min

    def wrong(self, at: int, key: str, found: Any, wanted: str) -> None:
        self.refuse("N003", ("norm", at, key), f"'{key}' is {found!r}", f"write {wanted}")

    def refuse(self, code: str, path: tuple[str | int, ...], says: str, mend: str) -> None:
        self.problems.append(Problem(code, self.source.place(path), says, mend))


def _named(table: Mapping[str, Any]) -> str:
    return f"'{table['id']}' " if isinstance(table.get("id"), str) else ""
