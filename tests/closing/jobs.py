"""Designs with plain figures; a test changes what it is about."""

from __future__ import annotations

from datetime import date
from decimal import Decimal as D
from typing import Any

from estimator.closing.design import CircuitOf, Design, PanelData, StringOf
from estimator.closing.due import Due, DueFrom, due_readings
from estimator.closing.entries import all_entries
from estimator.closing.expected import Verdict
from estimator.closing.judging import Key, Said, judged
from estimator.closing.limits import Limits
from estimator.practice.pack import country_folder, read_practice

GB = read_practice([country_folder("gb")])
ON = date(2026, 11, 28)
LIMITS = Limits(GB, ON)
# 40 V and 10 A a panel, -0.25 %/K: round figures to reckon with by hand.
PANEL = PanelData(D(40), D(10), D("-0.25"))
ALIKE = (StringOf("rear, string 1", 10, "rear"), StringOf("rear, string 2", 10, "rear"))


def design(**more: Any) -> Design:
    given: dict[str, Any] = {
        "circumstances": frozenset(("panels", "storage", "converter", "metering", "told after")),
        "strings": ALIKE, "circuits": (CircuitOf("converter circuit", D("0.2"), D("2.1")),),
        "panel": PANEL, "earthing": "TN-C-S", "figures": {"storage.modules": D(3)},
    }
    return Design(**{**given, **more})


def due_of(of: Design, last_days: dict[str, date] | None = None) -> dict[Key, Due]:
    found = due_readings(DueFrom(all_entries(), of, LIMITS, last_days or {}))
    return {each.key: each for each in found}


def verdicts(said: dict[Key, str], of: Design | None = None,
             last_days: dict[str, date] | None = None) -> dict[Key, Verdict]:
    due = due_of(of or design(), last_days)
    return judged(tuple(due.values()), {key: Said(value) for key, value in said.items()})


def verdict(code: str, value: str, of: Design | None = None, subject: str = "job") -> Verdict:
    return verdicts({(code, subject): value}, of)[code, subject]
