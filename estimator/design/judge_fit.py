"""Do the panels that are wanted fit their planes, inside the clear edge and off obstructions?"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from estimator.design.case import Case, Outcome
from estimator.design.check import Check, Unanswered
from estimator.design.kit import plane_panels
from estimator.design.sheet import Environment, Unknown

EDGE = "MIS 3012, issue in force from 18 June 2026, as summarised in the trade press"
SIZES = "sizes of plane and panel, as surveyed and as the data sheet states"


def judge_fit(case: Case) -> Outcome:
    """Return for each plane whether the panels wanted fit it; what does not fit is no firm price.

    A narrower clear edge may be designed for: then the survey says so (`plane.edge_zone_m`), and
    the panels are held against that edge.
    """
    scopes = zip(case.sheet.scopes["plane"], case.sheet.names["plane"], strict=True)
    return Outcome(tuple(told for env, name in scopes for told in _fit(env, name)))


def _fit(env: Environment, name: str) -> Iterator[Check | Unanswered]:
    fits, most, placed = env["plane.fits"], env["plane.panels_that_fit"], env["plane.panels_placed"]
    kind = env["plane.kind"]
    on_roof = isinstance(kind, Unknown) or kind in ("pitched", "in-roof")
    source = EDGE if on_roof else SIZES
    decides = "customer, or structural engineer" if on_roof else "customer"
    if isinstance(fits, Unknown):
        worst = Check(
            "array-fit", "stop", name, "it is not known whether the panels wanted fit the plane",
            source, decides)
        yield Unanswered("array-fit", tuple(sorted(fits.facts)), "How large is the plane?", worst)
        return
    asked = plane_panels(env)
    wanted = max(1, placed) if isinstance(asked, Unknown) else asked
    if fits and placed >= wanted:
        yield Check("array-fit", "fine", name, "the panels fit inside the clear edge", source,
                    decides, Fraction(wanted), Fraction(most), "panels")
    elif wanted > most:
        yield Check(
            "array-fit", "stop", name,
            "the panels wanted do not fit inside the clear edge and off obstructions: drop panels, "
            "or have a narrower edge designed for uplift", source, decides, Fraction(wanted),
            Fraction(most), "panels")
    else:
        block = f"{env['plane.rows']} x {env['plane.columns']}"
        yield Check(
            "array-fit", "stop", name,
            f"the block of {block} panels does not fit inside the clear edge and off obstructions, "
            f"though {most} panels do in other rows: lay them out anew, or have a narrower "
            "edge designed for uplift", source, decides)
