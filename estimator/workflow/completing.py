"""Brings starter items into a catalogue that lacks what newer rules ask for."""

from __future__ import annotations

from catalogue.entering import Entered
from catalogue.starter import missing_from
from estimator.workflow.catalogue import Import, taken_in
from estimator.workflow.database import at_work


def complete(database: str | None, *, write: bool = False) -> Import:
    """Show, and if asked add, what the starter catalogue has for roles that nothing serves yet."""
    with at_work(database, write=write) as work:
        about, listing = missing_from(work)
        source = f"starter catalogue {about.version}"
        return taken_in(work, listing, Entered(about.prices_from, source), write)
