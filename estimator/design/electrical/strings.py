"""How many panels a string may hold on a tracker: voltage window and current limits.

Three published methods give the open-circuit voltage in the cold, and they differ; the answer
keeps the method beside it. The designer and the converter's manual have the last word.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from catalogue.specs import ConverterSpec, PanelSpec
from estimator.design.check import Check, Level
from estimator.design.electrical.comparing import at_least, at_most
from estimator.design.electrical.figures import Figures
from estimator.design.limits import Figure, Number

Method = Literal["coefficient", "factor", "table"]
STC_C = 25  # cell temperature of a data sheet's standard test conditions (IEC 61215)
SHEET = "converter's data sheet"
COLD = ("string-cold-voltage", "string-system-voltage")
REACHES = ("string-working-low", "string-start")
SHORT = ("tracker-short-circuit", "tracker-short-circuit-bright")


@dataclass(frozen=True, slots=True)
class Temperatures:
    """Cell temperatures of the site [degrees C]: coldest in light, hottest in sun."""

    coldest_c: Number
    hottest_c: Number


@dataclass(frozen=True, slots=True)
class PanelVolts:
    """Voltages of one panel at the ends of its temperatures.

    Attributes:
        voc_cold_v: open circuit in the cold by `method`, whose source is beside it.
        vmp_cold_v, vmp_hot_v: at the maximum-power point, by the data sheet's coefficient.
    """

    voc_cold_v: Fraction
    vmp_cold_v: Fraction
    vmp_hot_v: Fraction
    method: Method
    source: str


@dataclass(frozen=True, slots=True)
class Window:
    """How many panels in series a tracker takes.

    Attributes:
        least: ceil(lowest working or start voltage / hot Vmp).
        most: floor(highest input or system voltage / cold Voc); below `least` nothing fits.
        most_working: floor(top of the tracker's range / cold Vmp); beyond it power is lost.
    """

    least: int
    most: int
    most_working: int
    volts: PanelVolts

    def __str__(self) -> str:
        if self.most < self.least:
            return "no string of this panel suits the converter"
        return f"a string takes {self.least} to {self.most} panels"


def voltage_at(at_stc_v: Number, pct_per_k: Number, cell_c: Number) -> Fraction:
    """Return a voltage [V] at a cell temperature: V (1 + b (T - 25)), b in % for each kelvin.

    Source: IEC 62548, for Voc; the same law serves Vmp with its own coefficient.
    """
    return Fraction(at_stc_v) * (1 + Fraction(pct_per_k) / 100 * (Fraction(cell_c) - STC_C))


def hot_cell_c(figures: Figures, air_c: Number) -> tuple[Fraction, Fraction]:
    """Return the least and the most a roof panel's cells reach in hot air [degrees C]."""
    return (Fraction(air_c) + figures.number("hot_cell_rise_least_k").value,
            Fraction(air_c) + figures.number("hot_cell_rise_most_k").value)


def method_for(figures: Figures, panel: PanelSpec) -> Method:
    """Return how a panel's cold voltage is told: by its data sheet's coefficient if it has one.

    Without one, by the table of the country if its pack has one, else by the pack's factor.
    """
    if panel.voc_pct_per_k is not None:
        return "coefficient"
    return "table" if "string_cold_factor" in figures.practice.tables else "factor"


def cold_voc(
    figures: Figures, panel: PanelSpec, coldest_c: Number, method: Method
) -> Figure:
    """Return a panel's open-circuit voltage [V] in the cold, by one of three methods.

    "coefficient": the data sheet's coefficient down to `coldest_c`. "factor": the pack's
    `dc_voltage_factor` (1.15). "table": the pack's table of factors by lowest temperature; only
    the pack of a country that has one serves it.

    Raises:
        OutsideTableError: colder than the table goes.
        ProblemsFound: P020 if the pack lacks the factor or the table.
        ValueError: for a coefficient that the data sheet does not give.
    """
    if method == "coefficient":
        if panel.voc_pct_per_k is None:
            raise ValueError("the panel's data sheet gives no coefficient of its voltage")
        return Figure(voltage_at(panel.voc_v, panel.voc_pct_per_k, coldest_c), "V",
                      "panel's data sheet; IEC 62548, Voc (1 + b (T - 25))", "designer")
    factor = (
        figures.number("dc_voltage_factor") if method == "factor"
        else figures.step_down("string_cold_factor", coldest_c, "factor")
    )
    return Figure(Fraction(panel.voc_v) * factor.value, "V", factor.source, factor.decides)


def panel_volts(
    figures: Figures, panel: PanelSpec, temperatures: Temperatures, method: Method
) -> PanelVolts:
    """Return the voltages of one panel at the site's temperatures."""
    cold = cold_voc(figures, panel, temperatures.coldest_c, method)
    return PanelVolts(
        cold.value,
        voltage_at(panel.vmp_v, panel.vmp_pct_per_k, temperatures.coldest_c),
        voltage_at(panel.vmp_v, panel.vmp_pct_per_k, temperatures.hottest_c),
        method, cold.source,
    )


def window(panel: PanelSpec, converter: ConverterSpec, volts: PanelVolts) -> Window:
    """Return how many panels in series a tracker takes.

    Raises:
        ValueError: if the converter has no panel input, or its data sheet leaves the highest
            input voltage or the tracker's range blank.
    """
    highest, low, high = converter.dc_max_v, converter.mppt_low_v, converter.mppt_high_v
    if highest is None or low is None or high is None:
        raise ValueError("the data sheet gives no input voltage or tracker range")
    lowest = max(low, converter.start_v or low)
    return Window(
        least=-int(-Fraction(lowest) // volts.vmp_hot_v),
        most=int(Fraction(min(highest, panel.max_system_v)) // volts.voc_cold_v),
        most_working=int(Fraction(high) // volts.vmp_cold_v),
        volts=volts,
    )


def string_checks(
    panel: PanelSpec, converter: ConverterSpec, volts: PanelVolts, panels: int, subject: str
) -> tuple[Check, ...]:
    """Return the voltage checks of a string of so many panels; blank data-sheet limits are out."""
    voc, cold, hot = (
        panels * each for each in (volts.voc_cold_v, volts.vmp_cold_v, volts.vmp_hot_v))
    name = f"string of {panels}"
    in_cold = f"{name}, open circuit in the cold, by {volts.method}"
    sheet = f"{SHEET}; {volts.source}"
    limits: tuple[tuple[str, str, Fraction, Decimal | None, str, Level], ...] = (
        ("string-cold-voltage", f"{in_cold}: over the limit it destroys the converter", voc,
         converter.dc_max_v, sheet, "stop"),
        ("string-system-voltage", f"{in_cold}, against the panel's system voltage", voc,
         panel.max_system_v, volts.source, "stop"),
        ("string-working-high", f"{name}, working voltage in the cold: over the tracker's range "
         "power is lost", cold, converter.mppt_high_v, SHEET, "caution"),
        ("string-working-low", f"{name}, working voltage in the heat: under the tracker's range "
         "it drops out", hot, converter.mppt_low_v, SHEET, "stop"),
        ("string-start", f"{name}, working voltage in the heat: under the start voltage it does "
         "not start", hot, converter.start_v, SHEET, "stop"),
    )
    return tuple(
        (at_least if code in REACHES else at_most)(
            code, subject, says, value,
            Figure(Fraction(limit), "V", source, "designer"), level)
        for code, says, value, limit, source, level in limits if limit is not None
    )


def current_checks(
    figures: Figures, panel: PanelSpec, converter: ConverterSpec, strings: int, subject: str
) -> tuple[Check, ...]:
    """Return the current checks of so many strings in parallel on one tracker.

    Working current beyond the tracker's only loses power (caution). Short-circuit current must
    keep within the tracker's limit (stop), and with the factor for bright light (caution).
    """
    checks = []
    name = "one string" if strings == 1 else f"{strings} strings in parallel"
    if converter.tracker_a is not None:
        checks.append(at_most(
            "tracker-current", subject,
            f"{name} on a tracker, working current: over the limit power is lost",
            strings * Fraction(panel.imp_a),
            Figure(Fraction(converter.tracker_a), "A", SHEET, "designer"), "caution"))
    if converter.tracker_isc_a is not None:
        limit = Figure(Fraction(converter.tracker_isc_a), "A", SHEET, "designer")
        short = strings * Fraction(panel.isc_a)
        checks.append(at_most("tracker-short-circuit", subject,
                              f"{name} on a tracker, short-circuit current", short, limit))
        factor = figures.number("dc_current_factor")
        checks.append(at_most(
            "tracker-short-circuit-bright", subject,
            f"{name} on a tracker, short-circuit current x {float(factor.value):g} for bright "
            "light",
            short * factor.value, limit, "caution"))
    return tuple(checks)


def part_v(figures: Figures, panel: PanelSpec, panels: int) -> Figure:
    """Return the least rated voltage [V] of d.c. parts: Voc x N x 1.15."""
    factor = figures.number("dc_voltage_factor")
    return Figure(Fraction(panel.voc_v) * panels * factor.value, "V", factor.source,
                  factor.decides)


def part_a(figures: Figures, panel: PanelSpec, strings: int) -> Figure:
    """Return the least rated current [A] of d.c. parts: Isc x M x 1.25."""
    factor = figures.number("dc_current_factor")
    return Figure(Fraction(panel.isc_a) * strings * factor.value, "A", factor.source,
                  factor.decides)


def string_fuse_a(
    figures: Figures, panel: PanelSpec, strings: int
) -> tuple[Fraction, Fraction] | None:
    """Return the range of string fuses [A], or None where no fuse is needed.

    A fuse is needed where the other strings in parallel can drive more through one string than
    its panels stand: (M - 1) Isc over their highest fuse, which takes three strings as a rule
    (IEC 62548, from memory). A low end above the high end means that no fuse serves.
    """
    if (strings - 1) * Fraction(panel.isc_a) <= Fraction(panel.max_fuse_a):
        return None
    isc = Fraction(panel.isc_a)
    return (isc * figures.number("string_fuse_least").value,
            min(isc * figures.number("string_fuse_most").value, Fraction(panel.max_fuse_a)))


def power_ratio(
    figures: Figures, array_w: Number, ac_w: Number, storage: bool = False
) -> Check:
    """Return the check of array power over converter output; out of the usual band a caution.

    Args:
        storage: whether the converter serves storage too, which may ask more of it than the
            array does; then no array is too small for it.

    Raises:
        ValueError: for a converter without output.
    """
    if ac_w <= 0:
        raise ValueError("the converter has no output")
    ratio, says = Fraction(array_w) / Fraction(ac_w), "array power over converter output"
    least, most = figures.number("dc_ac_ratio_least"), figures.number("dc_ac_ratio_most")
    if ratio < least.value and not storage:
        return at_least("power-ratio", "array", f"{says}: the converter is large for the array",
                        ratio, least, "caution")
    return at_most(
        "power-ratio", "array",
        f"{says}: over the limit the best hours are cut off, and the maker may bar it", ratio,
        most, "caution")
