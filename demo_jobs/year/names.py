"""The people and places of the demo year, read from `names.toml`."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from random import Random

from demo_jobs.year.houses import FOLDER


@dataclass(frozen=True, slots=True)
class Crew:
    """Two who work on the roof and an electrician."""

    name: str
    roof: tuple[str, ...]
    electrician: str


@dataclass(frozen=True, slots=True)
class Town:
    """A place with the first part of its postcode, and how often somebody asks from there."""

    name: str
    area: str
    weight: int


@dataclass(frozen=True, slots=True)
class Names:
    """Who and where."""

    surnames: tuple[str, ...]
    initials: tuple[str, ...]
    streets: tuple[str, ...]
    estimators: tuple[str, ...]
    surveyors: tuple[str, ...]
    towns: tuple[Town, ...]
    crews: tuple[Crew, ...]

    def customer(self, rng: Random) -> str:
        """Return somebody."""
        return f"{rng.choice(self.initials)}. {rng.choice(self.surnames)}"

    def town(self, rng: Random) -> Town:
        """Return a place; more ask from a near one."""
        return rng.choices(self.towns, [town.weight for town in self.towns])[0]

    def address(self, rng: Random, town: Town) -> str:
        """Return a house there."""
        street, inner = rng.choice(self.streets), rng.randint(1, 9)
        return f"{rng.randint(1, 60)} {street}, {town.name} {town.area} {inner}ZZ"


def read_names() -> Names:
    """Return the names in the order of their file."""
    read = tomllib.loads((FOLDER / "names.toml").read_text(encoding="utf-8"))
    lists = {key: tuple(value) for key, value in read.items() if key not in ("town", "crew")}
    return Names(
        **lists, towns=tuple(Town(**row) for row in read["town"]),
        crews=tuple(Crew(row["name"], tuple(row["roof"]), row["electrician"])
                    for row in read["crew"]))
