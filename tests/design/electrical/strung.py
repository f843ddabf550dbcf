"""A job with panels on planes that a test describes, judged for its strings.

Sizes, prices and data sheets are invented; a test names only what it is about.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from catalogue.price_book import PriceBook
from catalogue.toml_source import parse_toml
from estimator.design.case import Case, Outcome
from estimator.design.check import Check, Unanswered, Worked
from estimator.design.design import design_job
from estimator.design.electrical.judge_strings import judge_strings
from estimator.design.facts import survey_sheet
from estimator.practice.pack import Practice
from estimator.survey.toml import survey_from
from tests.design.electrical.packs import GB
from tests.factories import ON, ItemFactory, PriceBookFactory, spec_of

PLANE = {
    "kind": "pitched", "eaves_length_m": 60, "slope_length_m": 12, "pitch_deg": 35,
    "azimuth_deg": 180, "covering": "concrete interlocking", "rafter_spacing_m": 0.6,
    "layout": "portrait", "dc_loft_m": 9, "dc_outside_m": 0,
}
# At -10 and 70 degrees: Voc 43.5 V, Vmp 37.57 V cold and 29.41 V hot (by hand), so 600 V take 13
# panels and a start at 120 V takes 5.
PANEL = {"voc_v": 40, "vmp_v": 34, "voc_pct_per_k": "-0.25", "vmp_pct_per_k": "-0.30",
         "isc_a": 14, "imp_a": 13, "power_w": 420}
CONVERTER = {"dc_max_v": 600, "mppt_low_v": 90, "mppt_high_v": 550, "start_v": 120, "trackers": 2,
             "strings_per_tracker": 1, "tracker_a": 16, "tracker_isc_a": 20, "ac_w": 5000}


@dataclass(frozen=True)
class Job:
    """What is asked for: planes as the survey states them, and what is on offer."""

    planes: tuple[Mapping[str, Any], ...]
    panel: Mapping[str, Any]
    converters: tuple[Mapping[str, Any], ...]
    practice: Mapping[str, str]
    sizes_mm2: tuple[str, ...]
    parts: tuple[str, ...]
    electronics: bool | None


def job(
    *planes: Mapping[str, Any], panel: Mapping[str, Any] | None = None,
    converters: Iterable[Mapping[str, Any]] = ({},), practice: Mapping[str, str] | None = None,
    sizes_mm2: Iterable[str] = ("4", "6", "10"), parts: Iterable[str] = ("panels", "converter"),
    electronics: bool | None = None,
) -> Job:
    """Return a job; each plane, the panel and each converter name what differs from the usual.

    The first converter is the one that is wished for.
    """
    return Job(planes, panel or {}, tuple(converters), practice or {}, tuple(sizes_mm2),
               tuple(parts), electronics)


def judged(asked: Job) -> Outcome:
    """Return what the checks of the strings find."""
    practice, prices = _practice(asked.practice), _prices(asked)
    text = f'[job]\nid = "S1"\nparts = {list(asked.parts)}\nevidence = "measured"\n'
    text += '[supply]\nphases = 1\n[converter]\nplace = "inside"\n'
    text += '[wishes]\npanel = "P"\n' + ('converter = "C0"\n' if asked.converters else "")
    if asked.electronics is not None:
        text += f"panel_electronics = {_toml(asked.electronics)}\n"
    for i, plane in enumerate(asked.planes):
        facts = {**PLANE, "name": f"plane {i + 1}", **plane}
        text += "[[planes]]\n" + "".join(
            f"{name} = {_toml(value)}\n" for name, value in facts.items() if value is not None)
    survey = survey_from(parse_toml(text, "s.toml"))
    values = {name: each.value for name, each in practice.on(ON).items()}
    design, sheet = design_job(survey_sheet(survey, values, {}), prices)
    return judge_strings(Case(survey, sheet, design.kit, design.planes, prices, practice, ON))


def _toml(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    return f'"{value}"' if isinstance(value, str) else str(value)


def _practice(changed: Mapping[str, str]) -> Practice:
    values = dict(GB.practice.values)
    for name, value in changed.items():
        (stated,) = values[name]
        values[name] = (replace(stated, value=Decimal(value)),)
    return replace(GB.practice, values=values)


def _prices(asked: Job) -> PriceBook:
    items = [
        ItemFactory(code="P", family="panel", spec=spec_of("panel", **{**PANEL, **asked.panel})),
        *(ItemFactory(code=f"C{i}", family="converter",
                      spec=spec_of("converter", **{**CONVERTER, **fields}))
          for i, fields in enumerate(asked.converters)),
        *(ItemFactory(code=f"D{size}", family="cable", roles=("panel cable",),
                      spec=spec_of("cable", kind="pv d.c.", size_mm2=size, cores=1))
          for size in asked.sizes_mm2),
        ItemFactory(code="R", family="mounting", roles=("rail",), spec=spec_of(
            "mounting", max_span_m="1.2", max_overhang_m="0.3", stick_m="3.3")),
    ]
    book: PriceBook = PriceBookFactory(items=items)
    return book


def check(outcome: Outcome, code: str, subject: str = "") -> Check:
    """Return the one outcome of a code, of a plane if one is named."""
    (found,) = (each for each in outcome.told if isinstance(each, Check) and each.code == code
                and subject in ("", each.subject))
    return found


def question(outcome: Outcome, code: str) -> Unanswered:
    """Return the one check of a code that lacks a fact."""
    (found,) = (each for each in outcome.told
                if isinstance(each, Unanswered) and each.code == code)
    return found


def stops(outcome: Outcome) -> set[str]:
    """Return the codes of what stops the job."""
    return {each.code for each in outcome.told if isinstance(each, Check)
            and each.level == "stop"}


def answer(outcome: Outcome, code: str, subject: str = "") -> Worked:
    """Return the one worked answer of a code, of a plane if one is named."""
    (found,) = (each for each in outcome.worked
                if each.code == code and subject in ("", each.subject))
    return found


def sums(worked: Worked) -> dict[str, Any]:
    """Return the figures of an answer by name."""
    return {each.name: each.value for each in worked.sums}
