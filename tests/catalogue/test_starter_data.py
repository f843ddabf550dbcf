"""The starter catalogue is whole, serves every role, and its figures hang together."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from collections.abc import Iterator
from decimal import Decimal as D

import pytest

from catalogue.items import COUNTED_UNITS, UNITS, Item
from catalogue.specs import HEADS
from estimator.rules.load import STANDARD_RULES
from tests.catalogue.starter_reading import ITEMS, LISTING, OFFERS, SUPPLIERS

# What an estimator looks for in each family; common practice, no source.
FEWEST = {
    "panel": 6, "converter": 7, "storage": 4, "mounting": 40, "guard": 5, "cable": 15, "lead": 12,
    "device": 30, "isolator": 12, "surge": 3, "meter": 2, "clamp": 3, "enclosure": 12,
    "containment": 12, "fixing": 12, "sealing": 4, "sheet": 2, "alarm": 3, "label": 13,
    "comms": 4, "earthing": 6, "electronics": 1, "consumable": 12, "hire": 3, "service": 9,
    "fee": 8,
}
# The roles a home solar and storage job asks for; common practice, no source.
ROLES = {
    "panel": "panel", "converter": "converter", "storage": "storage module",
    "mounting": "storage wall bracket; storage floor base; anti-tip bracket; storage floor stand; "
    "plinth slab; roof fixing; rail; rail joiner; middle clamp; end clamp; rail end cap; "
    "rail earth lug; fixing flashing; replacement tile; fixing screw; roof entry; in-roof tray; "
    "in-roof top flashing; in-roof bottom flashing; in-roof side flashing; in-roof corner; "
    "roof membrane; batten; flat roof frame; ballast block; protection mat; ground frame; "
    "ground post",
    "guard": "bird mesh; mesh clip; bollard; converter hood; trench tape",
    "cable": "circuit cable; armoured cable; panel cable; tails cable; earth cable; data cable; "
    "network cable",
    "lead": "storage power link; storage data link; stack power link; converter power lead; "
    "converter data lead; panel connector pair",
    "device": "circuit device; backup device; meter device",
    "isolator": "a.c. isolator; d.c. isolator; origin isolator",
    "surge": "a.c. surge set; d.c. surge set", "meter": "data meter", "clamp": "current clamp",
    "enclosure": "sub-board; meter enclosure; new board; backup board; service block; "
    "changeover switch; d.c. junction box",
    "containment": "trunking; conduit; lead cover; cable clip; metal fire clip; saddle; "
    "armoured gland; armoured cleat; cable duct; sealed gland",
    "fixing": "wall fixing; anti-tip fixing; light wall fixing; board fixing",
    "sealing": "wall sleeve; outside wall seal; fire seal", "sheet": "fire board; backing board",
    "alarm": "heat alarm; smoke alarm",
    "label": "dual supply label; isolation point label; panels sign; storage sign; "
    "d.c. isolator label; do not unplug label; d.c. route label; earth label; "
    "backup circuits label; test button label; inspection due label; circuit diagram; "
    "shut-down steps",
    "comms": "storage terminator; network outlet; signal booster; mobile link; export limit set",
    "earthing": "bonding clamp; earth electrode; electrode pit; earth bar; cable lug",
    "electronics": "panel electronics",
    "consumable": "weather sealant; fire sealant; injection resin; cable tie; ferrule; crimp lug; "
    "board blank; grommet; drill wear; dust sheet; waste bag; post concrete",
    "hire": "lifting aid; core drill; roof ladder; pull tester",
    "service": "scaffold side; scaffold extra lift; scaffold bridge; scaffold design; "
    "pavement licence; structural engineer; asbestos sample; origin isolation visit; "
    "trench digging; post hole; tile disposal",
    "fee": "network notice; network application; scheme certificate; building control notice; "
    "parking day; survey visit; waste disposal; insurance-backed cover",
}
# Letters that stay large in plain trade words: units, sizes ("M10") and plug families ("A").
LARGE = re.compile(r"^(M\d+|[A-Z]|kW|kWh|kV|°C)$")
BY_CODE = {item.code: item for item in ITEMS}


def of_role(family: str, role: str) -> list[Item]:
    return [item for item in ITEMS if item.family == family and role in item.roles]


def test_the_files_read_without_a_mistake() -> None:
    assert LISTING.problems == []
    assert LISTING.refused == 0


def test_every_family_holds_enough_items_to_choose_from() -> None:
    held = Counter(item.family for item in ITEMS)
    assert {family: held[family] for family in FEWEST if held[family] < FEWEST[family]} == {}
    assert set(held) == set(HEADS)
    assert len(ITEMS) >= 220


@pytest.mark.parametrize("family", ROLES)
def test_every_role_is_served_by_something_that_can_be_bought(family: str) -> None:
    sold = {role for item in ITEMS if item.family == family and item.sold_apart
            for role in item.roles}
    assert set(ROLES[family].split("; ")) - sold == set()


def test_every_role_that_a_standard_rule_asks_for_can_be_bought() -> None:
    asked = {
        (rule["item"]["family"], rule["item"]["role"])
        for file in sorted(STANDARD_RULES.glob("*.toml"))
        for rule in tomllib.loads(file.read_text(encoding="utf-8")).get("rule", [])
        if "item" in rule
    }
    sold = {(item.family, role) for item in ITEMS if item.sold_apart for role in item.roles}
    assert len(asked) > 80
    assert asked - sold == set()


def test_no_code_stands_twice_and_codes_keep_their_leading_zero() -> None:
    assert [code for code, n in Counter(item.code for item in ITEMS).items() if n > 1] == []
    assert sum(code.startswith("0") for code in BY_CODE) > 100
    assert "09010" in BY_CODE
    assert "00420-BK" in BY_CODE


def test_every_item_has_a_known_unit_and_cost_head_and_counts_or_measures() -> None:
    heads = set(HEADS.values()) | {"scaffold", "preliminaries"}
    assert [item.code for item in ITEMS if item.unit not in UNITS or item.head not in heads] == []
    assert {item.unit for item in ITEMS if item.family == "cable"} == {"m"}


def test_every_sold_item_has_an_offer_with_a_price_and_every_other_lies_in_a_box() -> None:
    offered = Counter(offer.item for offer in OFFERS)
    boxed = {part.item for item in ITEMS for part in item.contents}
    assert [i.code for i in ITEMS if i.sold_apart and not offered[i.code]] == []
    assert [i.code for i in ITEMS if not i.sold_apart and i.code not in boxed] == []
    assert [o.item for o in OFFERS if o.price.minor <= 0 or o.pack <= 0 or o.lead_days < 0] == []
    assert [o.item for o in OFFERS if o.item not in BY_CODE or o.supplier not in SUPPLIERS] == []


def test_every_box_part_is_a_counted_item_with_sane_dates_and_no_box_holds_itself() -> None:
    bad = [
        (item.code, part.item) for item in ITEMS for part in item.contents
        if part.item not in BY_CODE or part.item == item.code or part.quantity < 1
        or BY_CODE[part.item].unit not in COUNTED_UNITS or item.unit not in COUNTED_UNITS
        or (part.to_date is not None and part.to_date < part.from_date)
    ]
    assert bad == []
    assert any(part.to_date for item in ITEMS for part in item.contents)


def test_labels_carry_their_words_and_their_place() -> None:
    labels = [item.spec for item in ITEMS if item.family == "label"]
    assert [s for s in labels if not s.text.strip() or not s.goes_on.strip()] == []
    assert len({s.text for s in labels}) == len(labels)


def sentences(item: Item) -> Iterator[str]:
    for text in (item.name, item.note, getattr(item.spec, "text", "")):
        yield from re.split(r"(?<=[.:]) (?=[A-Z])|; ", text)


def test_names_are_plain_trade_words_and_no_maker_s() -> None:
    # A maker's or product's name has a large letter inside a sentence, or a trade mark sign.
    odd = {
        word for item in ITEMS for text in sentences(item)
        for word in re.findall(r"[\w°]+", text)[1:]
        if any(c.isupper() for c in word) and not LARGE.match(word)
    }
    assert odd == set()
    assert [item.code for item in ITEMS if set("®™©") & set(item.name + item.note)] == []


def test_suppliers_are_named_by_what_they_are() -> None:
    # Invented: every name is made of these plain words, so that no firm's name slips in.
    words = {"Counter", "North", "South", "Roof", "Merchant", "Storage", "Depot", "Fixings",
             "Sign", "Workshop", "Hire", "Yard", "Bought-in", "Trades", "Offices", "and",
             "Schemes", "General", "Wholesale"}
    assert {word for name in SUPPLIERS for word in name.split()} - words == set()


def test_waste_is_five_percent_on_drum_cable_three_on_tiles_and_none_on_panels() -> None:
    # Common practice, no source: drum 5 %, tiles 3 %, panels 0 %.
    assert {item.waste for item in ITEMS if item.family == "cable"} == {D("0.05")}
    assert {item.waste for item in of_role("mounting", "replacement tile")} == {D("0.03")}
    assert {item.waste for item in ITEMS if item.family == "panel"} == {D(0)}


def test_panels_converters_storage_and_meters_are_bought_for_the_job_or_carry_a_serial() -> None:
    main = [i for i in ITEMS if i.family in ("panel", "converter", "storage")]
    assert {(item.held, item.serialised) for item in main} == {("job", True)}
    assert {item.serialised for item in ITEMS if item.family == "meter"} == {True}
    # Two-person lift check needs every such mass.
    assert [item.code for item in main if item.mass_kg is None] == []
