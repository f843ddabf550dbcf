"""What the statements about a roof say: planes and their directions, panels, pitch, covering."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal

from estimator.survey.fact import Evidence
from estimator.survey.notes.parsing import Statement
from estimator.survey.notes.saying import Context, Meant, metres, unit_written

COMPASS = {
    "0": "N", "22.5": "NNE", "45": "NE", "67.5": "ENE", "90": "E", "112.5": "ESE", "135": "SE",
    "157.5": "SSE", "180": "S", "202.5": "SSW", "225": "SW", "247.5": "WSW", "270": "W",
    "292.5": "WNW", "315": "NW", "337.5": "NNW",
}
AZIMUTH = {name: Decimal(degrees) for degrees, name in COMPASS.items()}
_STEEPEST = 75  # above it a number of degrees may be a direction as well
_LARGEST_INCHES = 12
_LEAST_MM = 19
# Sawn timber is named by whole inches and sold at 25 mm to the inch (common practice, no source).
_MM_TO_AN_INCH_OF_TIMBER = 25
_ASSUMED = str(Evidence.ASSUMED)


def _directions(here: Statement) -> tuple[str, ...]:
    return tuple(dict.fromkeys(COMPASS[each.entry.value] for each in here.of("DIR")))


def _planes(here: Statement, context: Context, meant: Meant) -> None:
    named = _directions(here)
    degrees = here.of("DEG")
    lone = len(here.of("DIR")) == 1 and len(here.of("DIR")[0].text) == 1
    if lone and not degrees and (named == ("E",) or not here.of("ROOF")):
        what = "east, or existing" if named == ("E",) else "the way a roof plane faces"
        meant.ask(f"{here.of('DIR')[0].text}: does it mean {what}?")
        return
    meant.planes = named
    for name in named:
        meant.say("plane.azimuth_deg", AZIMUTH[name], planes=(name,))
    if degrees:
        _pitch(here, meant, named or None)


def _pitch(here: Statement, meant: Meant, planes: tuple[str, ...] | None = None,
           grade: str = "") -> None:
    number = here.of("NUM")[0].number
    if number <= _STEEPEST:
        meant.say("plane.pitch_deg", number, grade, planes)
    else:
        meant.ask(f"{number} degrees: is that the pitch, or the way the plane faces?")


def _angle(here: Statement, context: Context, meant: Meant) -> None:
    measure = here.of("MEASURE")
    if measure and measure[0].entry.path != "plane.slope_length_m":
        meant.lost = True
        return
    _pitch(here, meant, grade=_ASSUMED if here.of("PLUS") else "")


def _split(here: Statement, context: Context, meant: Meant) -> None:
    """"18 pnl E/W 9/9": the total in front, a share for each plane behind."""
    named = _directions(here)
    meant.planes = named
    for name in named:
        meant.say("plane.azimuth_deg", AZIMUTH[name], planes=(name,))
    numbers = [each.number for each in here.of("NUM")]
    has_total = here.parts[0].kind == "NUM"
    total, shares = (numbers[0], numbers[1:]) if has_total else (None, numbers)
    if not shares and total is not None and len(named) == 1:
        shares = [total]
    if len(shares) != len(named):
        meant.ask("How many panels go on each of the planes " + ", ".join(named) + "?")
        return
    if total is not None and sum(shares) != total:
        meant.ask(f"The planes take {sum(shares)} panels together, and the total says {total}: "
                  "which is right?")
        return
    for name, share in zip(named, shares, strict=True):
        meant.say("plane.panels", share, planes=(name,))


def _shares(here: Statement, context: Context, meant: Meant) -> None:
    """"9E/9W panels": only where panels are spoken of."""
    named = _directions(here)
    numbers = here.of("NUM")
    if len(named) != len(numbers) or not context.tags & {"panels"}:
        meant.ask("What is counted by direction?")
        return
    meant.planes = named
    for name, number in zip(named, numbers, strict=True):
        meant.say("plane.azimuth_deg", AZIMUTH[name], planes=(name,))
        meant.say("plane.panels", number.number, planes=(name,))


def _panels(here: Statement, context: Context, meant: Meant) -> None:
    meant.say("plane.panels", here.of("NUM")[0].number)


def _rows(here: Statement, context: Context, meant: Meant) -> None:
    first, second = (each.number for each in here.of("NUM"))
    meant.say("plane.panels", first * second)
    meant.ask(f"{first} x {second} panels: {first} rows of {second}, or {second} rows of {first}?")


def _bounded(here: Statement, context: Context, meant: Meant) -> None:
    """"8 max prob 6": the first is the most there is room for, the second what is meant."""
    numbers = here.of("NUM")
    roof = context.tags & {"roof", "panels", "COVERING", "obstructions"}
    if len(numbers) == 2 and roof:
        meant.say("plane.panels", numbers[1].number, _ASSUMED)
    meant.ask("How many panels are wanted, and what is there room for?" if roof
              else f"{numbers[0].text} at most: of what?")


def _covering(here: Statement, context: Context, meant: Meant) -> None:
    entry = here.of("COVERING")[0].entry
    fits = not entry.only_with or bool(context.tags & set(entry.only_with))
    if fits and entry.value != "?":
        meant.say("plane.covering", entry.value, entry.grade)
    if not fits or entry.value == "?" or entry.grade:
        meant.ask(entry.ask)


def _roof_size(here: Statement, context: Context, meant: Meant) -> None:
    first, second = (each.number for each in here.of("NUM"))
    unit = unit_written(here.within("pair"))
    if unit not in ("", "m"):
        meant.ask("How long is the plane along the eaves, and how long is the slope?")
        return
    meant.say("plane.eaves_length_m", first, _ASSUMED)
    meant.say("plane.slope_length_m", second, _ASSUMED)
    meant.ask(f"{first} x {second}: is the first along the eaves, and the second up the slope, "
              "both in metres?")


def _timber(here: Statement, context: Context, meant: Meant) -> None:
    """"4x2": the rafter is as wide as the smaller side."""
    small = min(each.number for each in here.of("NUM"))
    large = max(each.number for each in here.of("NUM"))
    if unit_written(here.within("pair")) == "mm" or small >= _LEAST_MM:
        meant.say("plane.rafter_width_mm", small)
    elif large <= _LARGEST_INCHES:
        meant.say("plane.rafter_width_mm", small * _MM_TO_AN_INCH_OF_TIMBER)
    else:
        meant.ask("How wide are the rafters, in mm?")


def _trench(here: Statement, context: Context, meant: Meant) -> None:
    surface = here.of("TRENCH")[0].entry.value
    meant.say("plane.trench_m", metres(here.within("length")))
    if surface:
        meant.say("plane.trench_surface", surface)


def _sound(here: Statement, context: Context, meant: Meant) -> None:
    meant.say("plane.roof_sound", True, _ASSUMED)
    meant.ask("Roof good: covering, timbers and felt, seen from the loft too?")


def _roof(here: Statement, context: Context, meant: Meant) -> None:
    return


ROOFS: Mapping[str, Callable[[Statement, Context, Meant], None]] = {
    "planes": _planes, "angle": _angle, "split": _split, "shares": _shares, "panels": _panels,
    "rows": _rows, "bounded": _bounded, "gauge": _covering, "roof_size": _roof_size,
    "timber": _timber, "trench": _trench, "sound": _sound, "roof": _roof,
}
