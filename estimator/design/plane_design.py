"""One roof plane designed: panels laid out, rails and fixings counted.

Each result that hangs on an unknown fact is unknown and names it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any, cast

from catalogue.items import Item
from catalogue.price_book import PriceBook
from catalogue.specs import MountingSpec, PanelSpec
from estimator.design import rails, roof
from estimator.design.kit import Kit, plane_panels
from estimator.design.sheet import Environment, Unknown


@dataclass(frozen=True)
class PlaneDesign:
    """A plane's layout (None while it hangs on an unknown fact), its facts and its rails."""

    layout: roof.Layout | None
    facts: Mapping[str, Any]
    rails: rails.Rails | None = None


def design_plane(env: Environment, kit: Kit, prices: PriceBook) -> PlaneDesign:
    """Return the design of one plane.

    Args:
        env: facts of the plane and of the job, practice values among them.
        kit: the chosen panel and rail.
        prices: the price book, for the roof fixing that suits the covering.
    """
    layout = _layout(env, kit)
    facts = {**_layout_facts(env, layout), **_fit_facts(env, kit, layout)}
    held = _rails(env, kit, layout)
    facts.update(_rail_facts(held))
    facts.update(_fixing_facts(env, prices))
    solid = layout if isinstance(layout, roof.Layout) else None
    return PlaneDesign(
        solid, {f"plane.{name}": value for name, value in facts.items()},
        held if isinstance(held, rails.Rails) else None,
    )


def _missing(env: Environment, *paths: str) -> Unknown | None:
    found = [env[p] for p in paths if isinstance(env[p], Unknown)]
    return Unknown(*(f for unknown in found for f in unknown.facts)) if found else None


def _kind(env: Environment) -> str:
    """Return how the plane carries its panels; blank where nobody has said."""
    kind = env["plane.kind"]
    return "" if isinstance(kind, Unknown) else str(kind)


def field_of(env: Environment) -> roof.Field | Unknown:
    """Return what a plane offers and asks, or the sizes that are missing."""
    missing = _missing(env, "plane.eaves_length_m", "plane.slope_length_m")
    if missing is not None:
        return missing
    edge = env["plane.edge_zone_m"]
    if isinstance(edge, Unknown):
        # The edge zone is for wind over a roof's edge; open ground has none.
        edge = 0 if _kind(env) == "ground" else env["practice.edge_zone_m"]
    obstructions = tuple(
        roof.Box(Fraction(o.x_m), Fraction(o.y_m), Fraction(o.width_m), Fraction(o.height_m))
        for o in env.get("@obstructions", ())
    )
    return roof.Field(
        eaves_m=Fraction(env["plane.eaves_length_m"]),
        slope_m=Fraction(env["plane.slope_length_m"]),
        edge_m=Fraction(edge),
        gap_m=Fraction(env["practice.panel_gap_m"]),
        obstructions=obstructions,
    )


def _sizes(env: Environment, panel: Item) -> list[tuple[Fraction, Fraction, bool]]:
    """Return (along the eaves, up the slope, portrait) for each way round that is wanted."""
    spec = cast(PanelSpec, panel.spec)
    short, long = Fraction(spec.width_mm) / 1000, Fraction(spec.height_mm) / 1000
    ways = {"portrait": (short, long, True), "landscape": (long, short, False)}
    wanted = env["plane.layout"]
    return [ways[wanted]] if wanted in ways else list(ways.values())


def _layout(env: Environment, kit: Kit) -> roof.Layout | Unknown:
    panel = kit.items["panel"]
    if panel is None:
        return Unknown(*kit.waits_for.get("panel", ("wishes.panel",)))
    if isinstance(env["plane.layout"], Unknown):
        env = {**env, "plane.layout": "best"}
    wanted, field = plane_panels(env), field_of(env)
    rows, columns = env["plane.rows"], env["plane.columns"]
    if isinstance(rows, int) and isinstance(columns, int):
        return _block(env, panel, rows, columns, field)
    if isinstance(field, Unknown):
        return field if isinstance(wanted, Unknown) else _one_row(env, panel, wanted)
    fullest = roof.best_layout([roof.fill(field, *size) for size in _sizes(env, panel)])
    return fullest if isinstance(wanted, Unknown) else roof.thin(fullest, wanted)


def _open_field(env: Environment) -> roof.Field:
    """Return a field of no known size, to set a wanted block out on."""
    gap = Fraction(env["practice.panel_gap_m"])
    return roof.Field(Fraction(0), Fraction(0), Fraction(0), gap)


def _block(
    env: Environment, panel: Item, rows: int, columns: int, field: roof.Field | Unknown
) -> roof.Layout:
    """Return rows by columns as asked; whether they fit is a fact of its own."""
    base = _open_field(env) if isinstance(field, Unknown) else field
    blocks = [roof.block(rows, columns, (w, h), p, base) for w, h, p in _sizes(env, panel)]
    fitting = [b for b in blocks if not isinstance(field, Unknown) and roof.fits(b, field)]
    return (fitting or blocks)[0]


def _one_row(env: Environment, panel: Item, wanted: int) -> roof.Layout:
    """Return the panels in one row: the layout of a plane whose size nobody knows yet."""
    width, height, portrait = _sizes(env, panel)[0]
    return roof.block(1, wanted, (width, height), portrait, _open_field(env))


def _layout_facts(env: Environment, layout: roof.Layout | Unknown) -> dict[str, Any]:
    names = ("panels_placed", "block_rows", "block_columns", "portrait", "block_width_m",
             "block_height_m", "array_area_m2", "array_perimeter_m")
    if isinstance(layout, Unknown):
        return dict.fromkeys(names, layout)
    width, height, perimeter = rails.outline_m(layout)
    values = (
        layout.panels, len(layout.segments),
        max((s.panels for s in layout.segments), default=0), layout.portrait,
        metres(width), metres(height), metres(rails.area_m2(layout)), metres(perimeter),
    )
    return dict(zip(names, values, strict=True))


def metres(value: Fraction) -> Decimal:
    """Return an exact decimal of a length or area (sizes are whole millimetres)."""
    return Decimal(value.numerator) / Decimal(value.denominator)


def _fit_facts(env: Environment, kit: Kit, layout: roof.Layout | Unknown) -> dict[str, Any]:
    """Return whether the layout fits the plane, and the most panels that would."""
    panel, field = kit.items["panel"], field_of(env)
    if isinstance(layout, Unknown) or panel is None:
        return {"panels_that_fit": layout, "fits": layout}
    if isinstance(field, Unknown):
        return {"panels_that_fit": field, "fits": field}
    most = max(roof.fill(field, *size).panels for size in _sizes(env, panel))
    wanted = plane_panels(env)
    enough = isinstance(wanted, Unknown) or layout.panels >= wanted
    return {"panels_that_fit": most, "fits": enough and roof.fits(layout, field)}


def _without_rails(env: Environment) -> bool:
    """Return whether the kind of plane is known to need neither rails nor roof fixings."""
    return _kind(env) in ("in-roof", "flat", "ground")


def _rails(
    env: Environment, kit: Kit, layout: roof.Layout | Unknown
) -> rails.Rails | Unknown | None:
    """Return the rails of a plane; None where it is known to have none."""
    if _without_rails(env):
        return None
    missing = _missing(env, "plane.kind", "plane.rafter_spacing_m")
    rail = kit.items["rail"]
    if rail is None:
        return Unknown("kit.rail.code")
    if isinstance(layout, Unknown):
        return layout.join(missing)
    if missing is not None:
        return missing
    return rails.rails_of(layout, rail_rule(env, cast(MountingSpec, rail.spec)))


def _rail_facts(held: rails.Rails | Unknown | None) -> dict[str, Any]:
    """Return the facts of the rails; how many sticks they are cut from is a matter of the job."""
    names = ("rail_lines", "rail_line_m", "fixings", "fixing_step_m")
    if held is None or isinstance(held, Unknown):
        return dict.fromkeys(names, 0 if held is None else held)
    values = (held.lines, metres(held.longest_line_m), held.fixings, metres(held.step_m))
    return dict(zip(names, values, strict=True))


def rail_rule(env: Environment, rail: MountingSpec) -> rails.RailRule:
    """Return what rail and rafters ask of the fixings of a plane whose rafters are known."""
    return rails.RailRule(
        rafter_spacing_m=Fraction(env["plane.rafter_spacing_m"]),
        max_span_m=Fraction(rail.max_span_m or 0),
        max_overhang_m=Fraction(rail.max_overhang_m or 0),
        rail_end_m=Fraction(env["practice.rail_end_m"]),
    )


def _fixing_facts(env: Environment, prices: PriceBook) -> dict[str, Any]:
    """Return the roof fixing for the covering; how many the wind asks for is checked later."""
    if _without_rails(env):
        return {"fixing_item": "", "fixing_screws": 0}
    missing = _missing(env, "plane.kind", "plane.covering")
    if missing is not None:
        return {"fixing_item": missing, "fixing_screws": missing}
    item = _roof_fixing(env, prices)
    if item is None:
        blank = Unknown("plane.covering")
        return {"fixing_item": blank, "fixing_screws": blank}
    spec = cast(MountingSpec, item.spec)
    return {"fixing_item": item.code, "fixing_screws": spec.screws_per_fixing}


def _roof_fixing(env: Environment, prices: PriceBook) -> Item | None:
    """Return the cheapest roof fixing on offer for the covering; ties go to the lower code.

    Near the sea only those of marine grade are taken, if the catalogue has any.
    """
    covering, coast = env["plane.covering"], env["site.coast_distance_km"]
    found = [
        (offer.unit_price_minor, item.code, item)
        for item in prices.with_role("mounting", "roof fixing")
        if covering in cast(MountingSpec, item.spec).coverings
        and (offer := prices.offer(item.code)) is not None
    ]
    if not isinstance(coast, Unknown) and coast < env["practice.coast_km"]:
        marine = [each for each in found if cast(MountingSpec, each[2].spec).marine_grade]
        found = marine or found
    return min(found, key=lambda each: each[:2])[2] if found else None
