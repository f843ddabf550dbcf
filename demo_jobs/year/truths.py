"""What is planted in the demo year, read from `truths.toml`."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from demo_jobs.year.houses import FOLDER

FILE = FOLDER / "truths.toml"


@dataclass(frozen=True, slots=True)
class Truth:
    """One thing that is planted.

    Attributes:
        code: what it is called; what: in words.
        size: how large it is, as the words count it.
        about: what else the file says of it: a wall, a crew, days, heads.
    """

    code: str
    what: str
    size: float
    about: Mapping[str, Any]

    def __getitem__(self, key: str) -> Any:
        return self.about[key]


def read_truths() -> dict[str, Truth]:
    """Return what is planted, by its code."""
    rows = tomllib.loads(FILE.read_text(encoding="utf-8"))["truth"]
    plain = {"code", "what", "size"}
    return {
        row["code"]: Truth(row["code"], row["what"], row["size"], {
            key: value for key, value in row.items() if key not in plain})
        for row in rows}
