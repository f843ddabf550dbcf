"""Measures formulas against the same rules as plain Python functions.

A hundred rules (condition and quantity) over a thousand jobs, facts prepared. The formulas check
for unknown facts and reckon exactly, the plain functions do neither. Prints the ratio (median of
seven rounds, both in each round) and leaves with status 1 if it is above six; also says how long
the whole rule book takes to load.
"""

from __future__ import annotations

import gc
import math
import statistics
import sys
import time
from collections.abc import Callable, Sequence
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))

from catalogue.problems import Place
from estimator.practice.pack import country_folder, read_practice
from estimator.rules.dictionary import fact_dictionary, practice_definitions
from estimator.rules.facts import FactDef
from estimator.rules.formula import compile_formula
from estimator.rules.load import STANDARD_RULES, load_rule_book, read_rule_files

LIMIT = 6.0
ROUNDS = 7
RULES = 100
JOBS = 1000
Function = Callable[[dict[str, Any]], Any]

# condition, quantity; the same as formulas and as Python over a dictionary of facts
PAIRS: list[tuple[str, str, Function, Function]] = [
    ("storage.mount == 'wall'", "storage.modules",
     lambda e: e["storage.mount"] == "wall", lambda e: e["storage.modules"]),
    ("storage.modules > 1 and storage.mount == 'floor'", "storage.modules * 4",
     lambda e: e["storage.modules"] > 1 and e["storage.mount"] == "floor",
     lambda e: e["storage.modules"] * 4),
    ("storage.wall in ('stone', 'light block', 'perforated brick')", "storage.modules * 4 + 2",
     lambda e: e["storage.wall"] in ("stone", "light block", "perforated brick"),
     lambda e: e["storage.modules"] * 4 + 2),
    ("not storage.frost and storage.modules >= 2", "max(storage.modules, 3)",
     lambda e: not e["storage.frost"] and e["storage.modules"] >= 2,
     lambda e: max(e["storage.modules"], 3)),
    ("metering.route_m > 4.5", "metering.route_m * 1.1 + 0.5",
     lambda e: e["metering.route_m"] > Decimal("4.5"),
     lambda e: e["metering.route_m"] * Decimal("1.1") + Decimal("0.5")),
    ("storage.frost or storage.mount == 'wall' or storage.modules > 5", "1",
     lambda e: e["storage.frost"] or e["storage.mount"] == "wall" or e["storage.modules"] > 5,
     lambda e: 1),
    ("storage.wall != 'stud'", "2 if storage.mount == 'wall' else 1",
     lambda e: e["storage.wall"] != "stud", lambda e: 2 if e["storage.mount"] == "wall" else 1),
    ("metering.route_m >= 2 and storage.modules > 0", "ceil(metering.route_m / 2.5)",
     lambda e: e["metering.route_m"] >= 2 and e["storage.modules"] > 0,
     lambda e: math.ceil(e["metering.route_m"] / Decimal("2.5"))),
    ("storage.modules <= 12 and not storage.frost and storage.mount == 'wall'",
     "(storage.modules + 3) // 4",
     lambda e: e["storage.modules"] <= 12 and not e["storage.frost"]
     and e["storage.mount"] == "wall",
     lambda e: (e["storage.modules"] + 3) // 4),
    ("storage.modules * 2 > 5", "metering.route_m",
     lambda e: e["storage.modules"] * 2 > 5, lambda e: e["metering.route_m"]),
]


def jobs() -> list[dict[str, Any]]:
    walls = ("concrete", "dense brick", "stone", "stud", "light block")
    return [
        {"storage.mount": ("wall", "floor")[i % 2], "storage.modules": i % 9,
         "storage.wall": walls[i % 5], "storage.frost": i % 3 == 0,
         "metering.route_m": Decimal(i % 40) / 4}
        for i in range(JOBS)
    ]


def formulas() -> list[tuple[Function, Function]]:
    types = {"storage.mount": "text", "storage.modules": "whole", "storage.wall": "text",
             "storage.frost": "flag", "metering.route_m": "number"}
    facts = {path: FactDef(path, kind, "", "") for path, kind in types.items()}  # type: ignore[arg-type]
    place = Place("bench")
    return [
        (compile_formula(when, facts, place).run, compile_formula(amount, facts, place).run)
        for when, amount, _, _ in PAIRS
    ] * (RULES // len(PAIRS))


def plain() -> list[tuple[Function, Function]]:
    return [(when, amount) for _, _, when, amount in PAIRS] * (RULES // len(PAIRS))


def seconds(rules: Sequence[tuple[Function, Function]], facts: list[dict[str, Any]]) -> float:
    start = time.perf_counter()
    for env in facts:
        for when, amount in rules:
            if when(env):
                amount(env)
    return time.perf_counter() - start


def load_seconds() -> tuple[float, int]:
    practice = read_practice([country_folder("gb")])
    start = time.perf_counter()
    facts = fact_dictionary(practice_definitions(practice, date(2026, 7, 1)))
    book = load_rule_book(read_rule_files([STANDARD_RULES]), facts)
    return time.perf_counter() - start, len(book.rules) + len(book.computed)


def main() -> int:
    cold, count = load_seconds()
    ours, python, facts = formulas(), plain(), jobs()
    for (when, amount), (plain_when, plain_amount) in zip(ours, python, strict=True):
        for env in facts:
            assert bool(when(env)) == bool(plain_when(env))
            assert amount(env) == plain_amount(env)
    gc.disable()
    rounds = [(seconds(ours, facts), seconds(python, facts)) for _ in range(ROUNDS)]
    ratio = statistics.median(a / b for a, b in rounds)
    print(f"formulas   {min(a for a, _ in rounds) * 1000:7.1f} ms for {RULES} rules x {JOBS} jobs")
    print(f"plain      {min(b for _, b in rounds) * 1000:7.1f} ms")
    print(f"ratio      {ratio:7.2f} (limit {LIMIT:g})")
    print(f"rule book  {cold * 1000:7.1f} ms for {count} entries and the dictionary, first load")
    return 1 if ratio > LIMIT else 0


if __name__ == "__main__":
    sys.exit(main())
