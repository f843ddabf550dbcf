"""What each kind of statement says: equipment, places, walls, supply, board, building."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal

from estimator.survey.fact import Evidence
from estimator.survey.notes.claims import Value
from estimator.survey.notes.parsing import Part, Statement
from estimator.survey.notes.roofs import ROOFS
from estimator.survey.notes.saying import (
    Context,
    Meant,
    gear_of,
    metres,
    readings,
    unit_written,
)
from estimator.survey.notes.vocabulary import Entry

Meaning = Callable[[Statement, Context, Meant], None]
_ASSUMED = str(Evidence.ASSUMED)
_LEAST_BOND_MM2 = Decimal(10)  # main bonds up to a neutral of 35 mm² under PME: BS 7671 table 54.8
_BARS_GOOD = 3
_THICKNESS = Entry("MEASURE", unit="mm", bare=("mm", "in"), least="70", most="1500")


def meant_by(statement: Statement, context: Context) -> Meant:
    """Return what a statement says and asks."""
    meant = Meant()
    MEANINGS[statement.rule](statement, context, meant)
    return meant


def _gear(here: Statement, context: Context, meant: Meant) -> None:
    meant.gear = gear_of(here, context)
    _phases(here, meant)
    _modules(here, context, meant)
    where = here.within("where")
    mount = next((each for each in where if each.kind == "MOUNT"), None)
    if mount is not None and "storage" in meant.gear:
        meant.say("storage.mount", mount.entry.value)
    place = next((each for each in where if each.kind == "PLACE"), None)
    side = next((each for each in where if each.kind == "SIDE"), None)
    _put(meant, context, place, side)


def _modules(here: Statement, context: Context, meant: Meant) -> None:
    named = here.of("MOD", "BATTERY", "STACK", "KWH")
    numbers = here.of("NUM")
    if not named or not numbers:
        if named and "storage" not in meant.gear:
            meant.ask("Does 'module' mean a solar panel or a storage module?")
        return
    number = numbers[0]
    if here.of("KWH"):
        if not here.of("X"):
            meant.ask(f"{number.text} kWh: in all, or each of several modules? How many?")
            return
        if _before(here, numbers[0], "KWH"):
            number = numbers[-1]
    if "storage" in meant.gear:
        meant.say("storage.modules", number.number)
    elif context.speaks_of_storage() is False:
        meant.say("plane.panels", number.number)
    else:
        meant.ask(f"{number.text} modules: solar panels, or storage modules?")


def _before(here: Statement, part: Part, kind: str) -> bool:
    """Return whether the part stands directly before one of a class."""
    at = here.parts.index(part)
    return at + 1 < len(here.parts) and here.parts[at + 1].kind == kind


def _put(meant: Meant, context: Context, place: Part | None, side: Part | None) -> None:
    """Say where the equipment goes."""
    entry = place.entry if place else None
    where = side.entry.value if side else ""
    grade = entry.grade if entry else ""
    if where == "?":
        where, grade = "outside", _ASSUMED
    if entry is not None:
        meant.ask(entry.ask)
    if side is not None:
        meant.ask(side.entry.ask)
    room = entry.value if entry else ""
    if "storage" in meant.gear:
        if room:
            meant.say("storage.place", room, grade)
        elif where == "outside":
            meant.say("storage.place", "outside wall", grade)
    if "converter" in meant.gear and {"EXIST", "retrofit"} <= context.note:
        meant.ask("The inverter: is that the one that is there already, or the new one?")
    elif "converter" in meant.gear and (where or room):
        outdoors = where == "outside" or room == "outside wall"
        meant.say("converter.place", "outside" if outdoors else "inside",
                  "" if where and where != "?" and side and side.entry.value != "?" else grade)


def _place(here: Statement, context: Context, meant: Meant) -> None:
    (place,) = here.of("PLACE")
    if here.of("NOT") or not place.entry.value:
        return
    before = [each for each in context.statements if each.first < here.first]
    if not before or before[-1].rule != "meter":
        meant.ask(f"{place.text}: what is to go there, or is there now?")


def _wanted(here: Statement, context: Context, meant: Meant) -> None:
    (place,) = here.of("PLACE")
    if "panels" in context.note or not context.note & {"storage", "MOD"}:
        meant.ask(f"{place.text}: what is wanted there?")
        return
    meant.gear = ("storage",)
    meant.ask(place.entry.ask)
    if place.entry.value:
        meant.say("storage.place", place.entry.value, place.entry.grade)
    if here.of("NUM"):
        meant.ask(f"{here.of('NUM')[0].text} m to the {place.text}: by the cable's route, or as "
                  "the crow flies, and from where?")


def _meter(here: Statement, context: Context, meant: Meant) -> None:
    if not here.of("NUM"):
        return
    existing = here.of("METER")[0].entry.value == "existing"
    length = metres(here.within("length"))
    meant.say("metering.existing_route_m" if existing else "metering.route_m", length)
    if here.of("REMARK", "ROUTE"):
        meant.ask("Is the length from the meter by the cable's route, not as the crow flies?")


def _walled(here: Statement, context: Context, meant: Meant) -> None:
    (wall,) = here.of("WALL")
    meant.ask(wall.entry.ask)
    gear = context.gear(here)
    if wall.entry.value != "?":
        if not gear:
            meant.ask("Is that the wall behind the storage and the converter?")
        for each in gear or ("storage", "converter"):
            meant.say(f"{each}.wall", wall.entry.value, "" if gear else _ASSUMED)
    numbers = here.of("NUM")
    if numbers and context.note & {"core", "outside"}:
        unit = unit_written(here.within("length"))
        found = ([metres(here.within("length")) * 1000] if unit
                 else readings(numbers[0].number, "", _THICKNESS))
        if len(found) == 1:
            meant.say("converter.wall_thickness_mm", found[0])
        else:
            meant.ask(f"{numbers[0].text}: how thick is the wall, in mm?")


def _bond(here: Statement, context: Context, meant: Meant) -> None:
    (bond,) = here.of("BOND")
    if here.of("NOT") or here.of("NUM")[0].number < _LEAST_BOND_MM2:
        meant.bonds = (bond.text.lower(),)
        meant.ask("Which main bonds are missing or thinner than 10 mm², and can their clamps be "
                  "reached?")


def _phases(here: Statement, meant: Meant) -> None:
    for part in here.of("PHASED"):
        meant.ask(part.entry.ask)
        if part.entry.value != "?":
            meant.say("supply.phases", int(part.entry.value))


def _phase(here: Statement, context: Context, meant: Meant) -> None:
    _phases(here, meant)
    numbers = here.of("NUM")
    if len(numbers) == 2:
        _fuses(here, context, meant)


def _fuses(here: Statement, context: Context, meant: Meant) -> None:
    count, amps = here.of("NUM")
    if count.number not in (1, 3):
        meant.ask(f"{count.text} fuses of {amps.text} A: which of them feed this house?")
        return
    if not here.of("PHASED"):
        meant.say("supply.phases", count.number)
    elif {str(count.number)} != {each.entry.value for each in here.of("PHASED")}:
        meant.ask("Does the number of main fuses fit the number of phases?")
    meant.say("supply.fuse_a", amps.number)


def _amps(here: Statement, context: Context, meant: Meant) -> None:
    number = here.of("NUM")[0]
    if context.tags & {"supply", "PHASED", "METER"}:
        meant.say("supply.fuse_a", number.number)
    else:
        meant.ask(f"{number.text} A: is that the main fuse?")


def _generation(here: Statement, context: Context, meant: Meant) -> None:
    if here.of("NOT"):
        meant.say("supply.existing_generation_w", 0)
    elif not here.of("NUM"):
        meant.ask("How large is the solar or storage that is there already?")
    elif here.of("EXIST"):
        meant.say("supply.existing_generation_w", here.of("NUM")[0].number * 1000)
    else:
        meant.ask(f"{here.of('NUM')[0].text} kW of solar: there already, or to be fitted?")


def _building(here: Statement, context: Context, meant: Meant) -> None:
    for part in here.of("BUILDING"):
        meant.ask(part.entry.ask)
        if part.entry.value != "?":
            meant.say("site.building", part.entry.value)


def _built(here: Statement, context: Context, meant: Meant) -> None:
    _building(here, context, meant)
    (year,) = here.of("YEAR", "DECADE")
    if len(here.parts) == 1:
        meant.ask(f"{year.text}: is that when the house was built?")
        return
    meant.say("site.build_year", year.number, _ASSUMED if year.kind == "DECADE" else "")


def _storeys(here: Statement, context: Context, meant: Meant) -> None:
    number = here.of("NUM")[0]
    if number.number == number.number.to_integral_value():
        meant.say("site.storeys", number.number)
    else:
        meant.ask(f"{number.text} storeys: how many whole storeys from the ground to the eaves?")


def _bars(here: Statement, context: Context, meant: Meant) -> None:
    numbers = here.of("NUM")
    if here.of("MOBILE"):
        meant.ask("Mobile signal: would a data card or a wired link do at the converter?")
    elif here.of("NOT"):
        meant.say("converter.signal", "none")
    elif numbers:
        bars = numbers[0].number
        signal = "good" if bars >= _BARS_GOOD else "weak" if bars else "none"
        meant.say("converter.signal", signal, "" if "converter" in context.tags else _ASSUMED)
    else:
        meant.ask("Wi-Fi: how many bars does a phone show at the converter?")


def _count(here: Statement, context: Context, meant: Meant) -> None:
    (count,) = here.of("COUNT")
    numbers = here.of("NUM")
    if count.entry.path:
        meant.say(count.entry.path, numbers[0].number if numbers else 0)
    meant.ask(count.entry.ask)


def _measure(here: Statement, context: Context, meant: Meant) -> None:
    (measure,) = here.of("MEASURE")
    entry = measure.entry
    inside = here.within("quantity")
    unit = unit_written(inside)
    if len([each for each in inside if each.kind == "NUM"]) == 2 or unit in ("ft", "in"):
        found = readings(metres(inside), "m", entry)
    else:
        found = readings(here.of("NUM")[0].number, unit, entry)
    meant.ask(entry.ask)
    if len(found) == 1:
        meant.say(entry.path, found[0], entry.grade)
        return
    number = here.of("NUM")[0].text
    ways = " or ".join(f"{each.normalize():f} {entry.unit}" for each in found)
    meant.ask(f"{measure.text} {number}: {ways}?" if found else
              f"{measure.text} {number}: in which unit? It is beyond what is plausible")


def _fact(here: Statement, context: Context, meant: Meant) -> None:
    negated = bool(here.of("NOT", "NIL"))
    for mount in here.of("MOUNT"):
        if context.gear(here) and "storage" in context.gear(here) and not negated:
            meant.say("storage.mount", mount.entry.value)
        return
    (fact,) = here.of("FACT")
    entry = fact.entry
    if entry.only_with and not context.tags & set(entry.only_with):
        meant.ask(entry.else_ask or entry.ask)
        return
    says: Mapping[str, Value] | None = entry.no if negated else entry.says
    if says is None:
        meant.lost = True
        return
    if not (negated and says):
        meant.ask(entry.ask)
    for path, value in says.items():
        meant.say(path, value, entry.grade)
        if path == "plane.kind" and value in ("flat", "ground") and "DIR" not in context.tags:
            meant.planes = (str(value),)


def _nothing(here: Statement, context: Context, meant: Meant) -> None:
    """Understood, and the survey has no fact for it."""
    for part in here.parts:
        if not here.of("NOT"):
            meant.ask(part.entry.ask)


def _person(here: Statement, context: Context, meant: Meant) -> None:
    """Who the customer is concerns no customer's paper."""
    meant.private = len(here.parts) > 1
    if meant.private:
        meant.ask("Who helps the customer at the handover, and does anything need care?")


def _power(here: Statement, context: Context, meant: Meant) -> None:
    return


def _energy(here: Statement, context: Context, meant: Meant) -> None:
    meant.ask(f"{here.of('NUM')[0].text} kWh: storage in all, each module, or yearly use?")


MEANINGS: Mapping[str, Meaning] = {
    "gear": _gear, "place": _place, "wanted": _wanted, "meter": _meter, "walled": _walled,
    "bond": _bond, "phase": _phase, "fuses": _fuses, "amps": _amps, "generation": _generation,
    "building": _building, "built": _built, "storeys": _storeys, "bars": _bars, "count": _count,
    "measure": _measure, "fact": _fact, "remark": _nothing, "aspect": _nothing, "power": _power,
    "board_age": _nothing, "person": _person, "energy": _energy, **ROOFS,
}
