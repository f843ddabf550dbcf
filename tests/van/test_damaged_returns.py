"""A sheet of what comes back that was damaged is refused, its cell is named, and nothing is moved.

What people write on a sheet: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from estimator.workflow.returned import read_returned
from tests.van.desk import (
    CLIP,
    CONVERTER,
    NOON,
    TWIN,
    all_used,
    books,
    fill,
    key_of,
    problems_of,
    where,
)
from tests.van.desks import Desk

BACK: dict[str, tuple[str, str, Any, str, str]] = {
    # item, heading, what is written, code, message
    "more back than was out": (
        CLIP, "Back, good", 52, "Y224", "52 08410-CC are said to be back, and 51 were out"),
    "offcuts longer than the length": (
        TWIN, "Offcuts in m", "9; 6", "Y224",
        "15 03040-TE are said to be back, and 14.9 were out"),
    "an offcut that is no length": (
        TWIN, "Offcuts in m", "3,2", "Y227", "'3,2' is not a length in metres"),
    "an offcut below nothing": (
        TWIN, "Offcuts in m", "-1", "Y227", "'-1' is not a length in metres"),
    "nothing said of a row": (
        CLIP, "Back, good", None, "Y217",
        "nothing is said of 08410-CC, Cable clip for flat cable to 6 mm²"),
    "nothing said of a serial number": (
        CONVERTER, "Fitted, back or damaged", None, "Y217",
        "nothing is said of 01136-OU, Hybrid converter 3.6 kW, one phase, weatherproof"),
    "nothing said of a length": (
        TWIN, "Offcuts in m", None, "Y217",
        "nothing is said of 03040-TE, Flat twin and earth 4 mm², grey, drum 100 m"),
    "another word": (
        CONVERTER, "Fitted, back or damaged", "lost", "Y216",
        "Fitted, back or damaged: 'lost' is none of the words"),
    "half a clip": (
        CLIP, "Back, good", 0.5, "Y227", "0.5 of 08410-CC: it is counted in whole pieces"),
    "what was out was changed": (
        CLIP, "Out", 60, "Y210", "this cell said '51' and now says 60"),
}


@pytest.mark.parametrize("name", BACK)
def test_a_damaged_sheet_of_what_comes_back_is_refused(name: str, on_site: Desk) -> None:
    item, title, value, code, says = BACK[name]
    key, before = key_of(on_site.made, item), books()
    marks = all_used(on_site.made) | {(key, title): value}
    Path("back.xlsx").write_bytes(fill(on_site.book, {"Comes back": marks}))
    (told,) = problems_of(
        lambda: read_returned("estimator.db", Path("back.xlsx"), NOON, write=True))
    assert (told.code, told.where.cell, told.says) == (
        code, where(on_site.book, key, title, "Comes back"), says)
    assert books() == before


BOUGHT: dict[str, tuple[Mapping[str, Any], tuple[str, str, str]]] = {
    "half a purchase": ({"Item": "12060", "How many": 1}, (
        "Y222", "Paid in all, without tax",
        "'Paid in all, without tax' is blank in a row of what was bought")),
    "an unknown item": ({"Item": "12O60", "How many": 1, "Paid in all, without tax": 2}, (
        "Y222", "Item", "there is no item '12O60' in the catalogue")),
    "finer than a penny": ({"Item": "12060", "How many": 1, "Paid in all, without tax": 1.155}, (
        "Y227", "Paid in all, without tax", "1.155 is no amount of money")),
}


@pytest.mark.parametrize("name", BOUGHT)
def test_a_purchase_that_cannot_be_booked_is_told(name: str, on_site: Desk) -> None:
    written, (code, title, says) = BOUGHT[name]
    Path("back.xlsx").write_bytes(fill(on_site.book, {
        "Comes back": all_used(on_site.made),
        "Bought": {("+1", each): value for each, value in written.items()}}))
    (told,) = problems_of(lambda: read_returned("estimator.db", Path("back.xlsx"), NOON))
    assert (told.code, told.where.cell, told.says) == (
        code, where(on_site.book, "+1", title, "Bought"), says)
