"""Surveys made from numbers: any fact of the model, known or not, usual or at the end of its range.

The same number gives the same survey. Usual values keep most houses believable, so that the checks
are reached; every tenth value lies at an end of the range that the survey allows.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from random import Random
from typing import Any, Literal, get_args, get_origin

from catalogue.price_book import PriceBook
from estimator.survey.fact import Fact
from estimator.survey.group import Group
from estimator.survey.model import Leg, Survey
from estimator.survey.planes import Plane
from estimator.survey.words import Part

PARTS: tuple[str, ...] = get_args(Part)
KNOWN_SHARES = (0.15, 0.6, 0.95, 1.0)
AT_AN_END = 0.1
ONE_OF = {"panels": "rows", "flammables_m": "flammables_within_2m",
          "opening_m": "opening_within_1m"}
# Usual ranges by the end of a fact's name; what is not named here is drawn from 0 to 10.
USUAL: tuple[tuple[str, float, float], ...] = (
    ("floor_area_m2", 40, 250), ("build_year", 1900, 2026), ("eaves_length_m", 3, 15),
    ("slope_length_m", 2, 9), ("pitch_deg", 5, 60), ("azimuth_deg", 0, 360),
    ("rafter_spacing_m", 0.3, 0.7), ("rafter_width_mm", 30, 60), ("uplift_kpa", 0.4, 3),
    ("edge_zone_m", 0.2, 0.6), ("wall_width_m", 1, 8), ("wall_height_m", 2, 4),
    ("wall_thickness_mm", 100, 600), ("_kwh", 0, 90), ("_min", 0, 90), ("fuse_a", 40, 100),
    ("opening_m", 0, 3), ("flammables_m", 0, 4), ("boundary_m", 0, 6), ("front_m", 0, 3),
    ("bottom_m", 0, 2), ("tails_mm2", 10, 35), ("_w", 0, 12_000), ("_kg", 0, 900),
    ("length_m", 1, 40), ("distance_m", 0, 60), ("_m", 0, 40),
)


def survey_toml(number: int, prices: PriceBook) -> str:
    """Return the text of a survey file.

    Args:
        number: which survey; each number has its own.
        prices: items that wishes may name.
    """
    rng = Random(number)
    known = rng.choice(KNOWN_SHARES)
    parts = sorted(rng.sample(PARTS, rng.randint(1, len(PARTS))))
    lines = [f'[job]\nid = "G-{number}"\nevidence = "seen"',
             f"parts = [{', '.join(repr(part) for part in parts)}]"]
    for name, field in Survey.model_fields.items():
        if isinstance(field.annotation, type) and name not in ("job", "wishes"):
            lines += [f"[{name}]", *_facts(field.annotation, rng, known)]
    lines += ["[wishes]", *_wishes(rng, prices)]
    planes = rng.randint(1, 3) if "panels" in parts else 0
    for at in range(planes):
        lines += ["[[planes]]", f'name = "plane {at}"', *_facts(Plane, rng, known)]
    for at in range(rng.randint(0, 4)):
        lines += ["[[legs]]", f'name = "leg {at}"', *_facts(Leg, rng, known)]
    return "\n".join(lines) + "\n"


def _facts(group: type[Group], rng: Random, known: float) -> Iterator[str]:
    taken: set[str] = set()
    for name, field in group.model_fields.items():
        annotation = field.annotation
        if not isinstance(annotation, type) or not issubclass(annotation, Fact):
            continue
        # Rows times columns must be the panels asked for: either both are drawn, or the panels.
        # A distance is measured, or it is said whether it is within a step: not both.
        if rng.random() >= known or ONE_OF.get(name, "") in taken:
            continue
        if name == "columns" and "rows" not in taken:
            continue
        taken.add(name)
        inner = annotation.__pydantic_generic_metadata__["args"][0]
        yield f"{name} = {_value(name, inner, rng)}"


def _value(name: str, annotation: Any, rng: Random) -> str:
    least, most = None, None
    if get_origin(annotation) is Literal:
        return repr(rng.choice(get_args(annotation)))
    if args := get_args(annotation):
        annotation = args[0]
        for each in getattr(args[1], "metadata", ()):
            least = getattr(each, "ge", least)
            least = each.gt + Decimal("0.01") if hasattr(each, "gt") else least
            most = getattr(each, "le", most)
    if annotation is bool:
        return rng.choice(("true", "false"))
    if annotation is str:
        return '"as seen"'
    whole = annotation is int
    return _number(name, whole, least, most, rng)


def _number(
    name: str, whole: bool, least: Any, most: Any, rng: Random
) -> str:
    low, high = next(
        ((low, high) for end, low, high in USUAL if name.endswith(end)), (0, 6 if whole else 10))
    if rng.random() < AT_AN_END and least is not None and most is not None:
        low = high = rng.choice((float(least), float(most)))
    if least is not None:
        low, high = max(low, float(least)), max(high, float(least))
    if most is not None:
        low, high = min(low, float(most)), min(high, float(most))
    if whole:
        if name == "phases":
            return rng.choice(("1", "1", "3"))
        return str(rng.randint(round(low), round(high)))
    drawn = Decimal(str(round(rng.uniform(low, high), 2)))
    return str(max(drawn, Decimal("0.01")) if low > 0 else drawn)


def _wishes(rng: Random, prices: PriceBook) -> Iterator[str]:
    for name, role in (("panel", "panel"), ("converter", "converter"),
                       ("storage", "storage module")):
        if rng.random() < 0.5:
            items = sorted(item.code for item in prices.with_role(name, role))
            yield f'{name} = "{rng.choice(items)}"'
    for name in ("mesh", "lead_cover", "panel_electronics"):
        yield f"{name} = {rng.choice(('true', 'false'))}"
