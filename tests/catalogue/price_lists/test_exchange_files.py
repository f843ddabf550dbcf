"""Catalogues of UBL and BMEcat, written by hand. Expected values by hand.

`catalogue-ubl.xml`: OASIS UBL 2.1 (4 November 2013), schema UBL-Catalogue-2.1; what the quantities
of a line count follows the guide to transaction T19 of EHF and Peppol Catalogue. `catalogue-
bmecat.xml`: BMEcat 2005, its elements as public guides to the format name them; VALID_START_DATE
and DELIVERY_TIME from memory. The text of that specification was not at hand.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from catalogue.price_lists.column_map import ColumnMap
from catalogue.price_lists.listed import ListedPrice
from catalogue.price_lists.reading import read_price_list
from catalogue.problems import ProblemsFound

HERE = Path(__file__).parent
MAP = ColumnMap(currency="GBP")
DAYS = (date(2026, 11, 1), date(2027, 1, 31))


def test_lines_of_a_ubl_catalogue_come_in_with_their_quantities() -> None:
    read = read_price_list(HERE / "catalogue-ubl.xml", MAP, "list.xml")
    assert read.form == "UBL catalogue"
    assert (read.from_date, read.to_date) == DAYS
    assert read.rows == [
        # a drum of 100 m at 84.00 a drum; the buyer's own number is the firm's code
        ListedPrice(1, "0042", "03010", "Armoured cable 4 mm²", "m", 100_000, None, 0, 8_400, None,
                    "", 3, None, None),
        # by tens, twenty at least; 0.0345 each is 345 pennies for a hundred
        ListedPrice(2, "TIE-200", "", "Cable tie 200 mm", "each", 10_000, 100_000, 20_000, 345,
                    None, "", None, None, None),
        # any length, 91.50 for 100 m, from December on
        ListedPrice(3, "0042-M", "", "Armoured cable 4 mm², by the metre", "m", 1_000, 100_000, 0,
                    9_150, None, "", None, date(2026, 12, 1), None),
        # boxes of 200 at 12.50 a hundred, from five boxes on 11.00
        ListedPrice(4, "SAD-20", "", "Saddle 20 mm", "each", 200_000, 100_000, 0, 1_250, None, "",
                    None, None, None),
        ListedPrice(4, "SAD-20", "", "Saddle 20 mm", "each", 200_000, 100_000, 1_000_000, 1_100,
                    None, "", None, None, None),
    ]
    assert read.skipped == {"not orderable": 1, "withdrawn": 1}


def test_what_is_wrong_in_a_ubl_catalogue_is_named_by_line() -> None:
    read = read_price_list(HERE / "catalogue-ubl.xml", MAP, "list.xml")
    text = (HERE / "catalogue-ubl.xml").read_text(encoding="utf-8").split("\n")
    told = [(problem.code, text[(problem.where.line or 0) - 1].strip()[:26], problem.says)
            for problem in read.refused]
    assert told == [
        ("A115", "<cac:Price><cbc:PriceAmoun", "the price is in 'EUR', the list in GBP"),
        ("A110", "<cac:CatalogueLine>", "the part number is missing"),
        ("A119", "<cbc:LeadTimeMeasure unitC", "'5' is no whole number of days or weeks"),
        ("A113", "<cbc:PriceAmount currencyI", "'1,50' is not a decimal number"),
        ("A117", "<cbc:BaseQuantity unitCode", "the quantity is in 'KGM', which is neither what is "
         "ordered ('C62') nor what is in it ('C62')"),
    ]
    assert read.refused_rows == 2


def test_products_of_a_bmecat_catalogue_come_in_with_their_net_prices() -> None:
    read = read_price_list(HERE / "catalogue-bmecat.xml", MAP, "list.xml")
    assert read.form == "BMEcat"
    assert read.rows == [
        # a drum of 100 m at 84.00; the recommended retail price is no price of ours
        ListedPrice(1, "0042", "03010", "Armoured cable 4 mm²", "m", 100_000, None, 0, 8_400, None,
                    "", 3, *DAYS),
        # by tens, twenty at least; 4.00 x 0.8 = 3.20 a hundred, from 500 on 4.00 x 0.75 = 3.00
        ListedPrice(2, "TIE-200", "", "Cable tie 200 mm", "each", 10_000, 100_000, 20_000, 320,
                    None, "", None, None, None),
        ListedPrice(2, "TIE-200", "", "Cable tie 200 mm", "each", 10_000, 100_000, 500_000, 300,
                    None, "", None, None, None),
    ]
    assert [(problem.code, problem.says) for problem in read.refused] == [
        ("A115", "the price is in 'EUR', the list in GBP"),
        ("A112", "the price is asked for each day, or worked out by a formula"),
    ]
    assert read.skipped == {"withdrawn": 1}


def test_a_kind_of_price_can_be_named() -> None:
    named = replace(MAP, price_type="nrp")
    read = read_price_list(HERE / "catalogue-bmecat.xml", named, "list.xml")
    assert [(row.supplier_code, row.price_minor) for row in read.rows] == [("0042", 12_900)]


def test_several_kinds_of_net_price_are_a_question(tmp_path: Path) -> None:
    text = (HERE / "catalogue-bmecat.xml").read_text(encoding="utf-8")
    path = tmp_path / "list.xml"
    path.write_text(text.replace('price_type="nrp"', 'price_type="net_customer"'), "utf-8")
    with pytest.raises(ProblemsFound) as caught:
        read_price_list(path, MAP, "list.xml")
    assert str(caught.value).split("\n")[0] == (
        "list.xml: error A108: the catalogue holds prices of the kinds 'net_customer' (1), "
        "'net_list' (3), and it is not said which to take")


def test_an_older_catalogue_calls_its_products_articles(tmp_path: Path) -> None:
    text = (HERE / "catalogue-bmecat.xml").read_text(encoding="utf-8")
    for new, old in (('encoding="UTF-8"', 'encoding="UTF-16"'), ("PRODUCT", "ARTICLE"),
                     ("SUPPLIER_PID", "SUPPLIER_AID"),
                     ("BUYER_PID", "BUYER_AID"), ('xmlns="http://www.bmecat.org/bmecat/2005"', ""),
                     ("<VALID_START_DATE>2026-11-01</VALID_START_DATE>",
                      '<DATETIME type="valid_start_date"><DATE>2026-11-01</DATE></DATETIME>'),
                     ("<VALID_END_DATE>2027-01-31</VALID_END_DATE>",
                      '<DATETIME type="valid_end_date"><DATE>2027-01-31</DATE></DATETIME>')):
        text = text.replace(new, old)
    path = tmp_path / "list.xml"
    path.write_text(text, "utf-16")
    assert read_price_list(path, MAP).rows == read_price_list(
        HERE / "catalogue-bmecat.xml", MAP).rows


@pytest.mark.parametrize(("text", "told"), [
    ('<?xml version="1.0"?>\n<!DOCTYPE l [<!ENTITY a "x"><!ENTITY b "&a;&a;">]>\n<Catalogue/>',
     "list.xml:2: error A107: the file declares a document type"),
    ("<Invoice><CatalogueLine/></Invoice>",
     "list.xml:1: error A107: the outermost element is 'Invoice', which is no "
     "catalogue of UBL or BMEcat"),
    ("<Catalogue>\n<CatalogueLine>\n</Catalogue>",
     "list.xml:3: error A107: this is no sound XML: mismatched tag"),
    ("<Catalogue><CatalogueLine>" + "<a>" * 100 + "</a>" * 100 + "</CatalogueLine></Catalogue>",
     "list.xml:1: error A107: a line of this catalogue has more in it than any catalogue needs"),
])
def test_a_file_that_is_no_sound_catalogue_is_refused_whole(
    text: str, told: str, tmp_path: Path
) -> None:
    path = tmp_path / "list.xml"
    path.write_text(text, "utf-8")
    with pytest.raises(ProblemsFound) as caught:
        read_price_list(path, MAP, "list.xml")
    assert str(caught.value).split("\n")[0] == told
