"""Feed-in device, conductor and busbar by the rules of the United States pack.

Another country's way of sizing, in the same form: the authority having jurisdiction decides.
"""

from __future__ import annotations

from fractions import Fraction

from estimator.design.check import Check
from estimator.design.electrical.comparing import at_most
from estimator.design.electrical.figures import Figures
from estimator.design.limits import Figure, Number


def source_conductor_a(figures: Figures, isc_a: Number, strings: int = 1) -> Figure:
    """Return the least current [A] of a source conductor: Isc x 1.25 x 1.25 (156 %)."""
    light, lasting = figures.number("source_current_factor"), figures.number("continuous_factor")
    return Figure(Fraction(isc_a) * strings * light.value * lasting.value, "A", light.source,
                  light.decides)


def feed_in_a(figures: Figures, ac_w: Number, volts: Number) -> Fraction:
    """Return the least rating [A] of a converter's device: output current x 1.25."""
    return Fraction(ac_w) / Fraction(volts) * figures.number("continuous_factor").value


def conductor_check(figures: Figures, rating_a: Number, awg: int) -> Check:
    """Return whether a copper conductor goes with a device; a lower gauge is thicker."""
    thinnest = figures.cell("device_ratings", rating_a, "smallest_awg")
    limit = Figure(thinnest.value, "AWG", thinnest.source, thinnest.decides)
    return at_most("feed-in-conductor", "feed-in", "gauge of the conductor", Fraction(awg), limit)


def feed_in_most_a(figures: Figures, busbar_a: Number, main_a: Number) -> Fraction:
    """Return the largest feed-in device [A]: 1.2 x busbar - main device; nought if none fits."""
    share = figures.number("busbar_share").value
    return max(Fraction(0), share * Fraction(busbar_a) - Fraction(main_a))
