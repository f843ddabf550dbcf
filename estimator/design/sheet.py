"""All facts of one job on one sheet, ready for the formulas.

A fact has a path (`storage.modules`). Facts of a roof plane or a cable leg repeat, so the sheet
holds one environment for the job and one for each plane and leg. An environment is a plain
mapping from path to value; the key `@plane` or `@leg` leads to the environments of that scope.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any, Literal

LENGTHS = "@lengths"  # key of an environment: path of a count -> the lengths that it counts
Scope = Literal["", "plane", "leg"]
SCOPES: tuple[Scope, ...] = ("plane", "leg")
Origin = Literal["survey", "data sheet", "practice", "computed", "assumed"]


class Unknown:
    """The value of a fact nobody knows yet; carries the paths of the facts that are missing.

    Arithmetic and comparison with it give it back, so a formula is unknown exactly when its
    answer hangs on the missing fact. It refuses to be used as yes or no.
    """

    __slots__ = ("facts",)

    def __init__(self, *facts: str) -> None:
        self.facts: frozenset[str] = frozenset(facts)

    def join(self, other: object) -> Unknown:
        """Return the unknown that misses the facts of both."""
        if isinstance(other, Unknown) and not other.facts <= self.facts:
            return Unknown(*self.facts, *other.facts)
        return self

    __add__ = __radd__ = __sub__ = __rsub__ = __mul__ = __rmul__ = join
    __truediv__ = __rtruediv__ = __floordiv__ = __rfloordiv__ = __mod__ = __rmod__ = join
    __lt__ = __le__ = __gt__ = __ge__ = join

    def __neg__(self) -> Unknown:
        return self

    def __eq__(self, other: object) -> Unknown:  # type: ignore[override]
        return self.join(other)

    def __ne__(self, other: object) -> Unknown:  # type: ignore[override]
        return self.join(other)

    def __hash__(self) -> int:
        return hash(self.facts)

    def __bool__(self) -> bool:
        raise TypeError(f"an unknown fact is neither yes nor no: {', '.join(sorted(self.facts))}")

    def __repr__(self) -> str:
        return f"Unknown({', '.join(sorted(self.facts))})"


Number = int | Decimal | Fraction
Value = Number | str | bool | tuple[Any, ...] | Unknown
Environment = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Detail:
    """Where a value on the sheet comes from, for "why"."""

    origin: Origin
    evidence: str = ""
    source: str = ""
    place: str = ""
    words: str = ""


@dataclass(frozen=True)
class FactSheet:
    """The environments of one job and, for each path, where the value comes from.

    Attributes:
        parts: parts of the job that are asked for ("storage", "panels", ...).
        job: path -> value for facts that exist once.
        scopes: scope -> one environment per plane or leg; each also holds the job's facts.
        names: scope -> the name of each plane or leg, for the reader.
        details: path -> detail; for a scope's fact the key is "plane[0].covering".
    """

    parts: frozenset[str]
    job: Environment
    scopes: Mapping[Scope, tuple[Environment, ...]]
    names: Mapping[Scope, tuple[str, ...]]
    details: Mapping[str, Detail]

    def environments(self, scope: Scope) -> tuple[tuple[str, str, Environment], ...]:
        """Return (key prefix, name, environment) for each place a rule of a scope runs."""
        if not scope:
            return (("", "", self.job),)
        return tuple(
            (f"{scope}[{i}]", name, env)
            for i, (name, env) in enumerate(zip(self.names[scope], self.scopes[scope], strict=True))
        )

    def name_of(self, path: str) -> str:
        """Return the name of the plane or leg of a path such as plane[0].covering, or ""."""
        scope, bracket, rest = path.partition("[")
        for known, names in self.names.items():
            if bracket and known == scope:
                return names[int(rest.partition("]")[0])]
        return ""

    def detail(self, path: str, prefix: str = "") -> Detail:
        """Return where the value of a path comes from, within a plane or leg if one is given."""
        if prefix and path.startswith(prefix.split("[", maxsplit=1)[0] + "."):
            path = prefix + path[path.index("."):]
        return self.details.get(path, Detail("computed"))
