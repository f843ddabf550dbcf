"""Puts the sheets of the workbook together, in the order in which they are looked for."""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import datetime, time

from estimator.papers import words
from estimator.papers.contract import EstimateJson
from estimator.papers.workbook import (
    bill_sheet,
    checks_sheet,
    cut_sheet,
    labour_sheet,
    points_sheet,
    price_sheet,
    site_sheets,
    wall_sheet,
    why_sheet,
)
from estimator.papers.workbook.pen import Column, Inks, Page


def bill_workbook(estimate: EstimateJson, firm_name: str = "") -> bytes:
    """Return the workbook of an estimate as the bytes of an .xlsx file.

    Args:
        estimate: what to write; nothing is computed again.
        firm_name: stands as the author of the file.
    """
    import xlsxwriter

    from estimator.papers.workbook.ruled_sheet import RuledSheet

    held = io.BytesIO()
    book = xlsxwriter.Workbook(held, {"in_memory": True})
    book.worksheet_class = RuledSheet
    book.set_properties({
        "title": f"Job {estimate.job.id}, revision {estimate.revision}",
        "author": firm_name, "comments": words.DEFERRAL,
        "created": datetime.combine(estimate.on, time()),
    })
    inks = Inks(book, estimate.currency)

    def page(
        name: str, columns: Sequence[Column], *, office: bool = True, upright: bool = False
    ) -> Page:
        return Page(book, inks, name, columns, estimate, office=office, upright=upright)

    bill = page(bill_sheet.NAME, bill_sheet.COLUMNS)
    take = page("Take to site", site_sheets.TAKE, office=False)
    back = page("Comes back", site_sheets.BACK, office=False)
    cautions = page("Cautions", site_sheets.CAUTIONS, office=False, upright=True)
    wall = page(wall_sheet.NAME, wall_sheet.COLUMNS, office=False) if estimate.walls else None
    cuts = page(cut_sheet.NAME, cut_sheet.COLUMNS, office=False) if (
        estimate.cuts or estimate.cables) else None
    labour = page("Labour", labour_sheet.COLUMNS)
    price = page("Price build-up", price_sheet.COLUMNS, upright=True)
    points = page(points_sheet.NAME, points_sheet.COLUMNS)
    worked = sign = None
    if estimate.worked:
        worked = page(checks_sheet.WORKED_NAME, checks_sheet.WORKED)
    if checks_sheet.to_sign(estimate):
        sign = page(checks_sheet.SIGN_NAME, checks_sheet.SIGN, office=False)
    why = page("Why", why_sheet.COLUMNS)

    cells = bill_sheet.write_bill(bill, estimate)
    site_sheets.write_take(take, estimate)
    site_sheets.write_back(back, estimate)
    site_sheets.write_cautions(cautions, estimate)
    if wall is not None:
        wall_sheet.write_walls(wall, estimate)
    if cuts is not None:
        cut_sheet.write_cuts(cuts, estimate)
    labour_sheet.write_labour(labour, estimate)
    risks = points_sheet.write_points(points, estimate)
    price_sheet.write_price(price, estimate, cells, risks)
    if worked is not None:
        checks_sheet.write_worked(worked, estimate)
    if sign is not None:
        checks_sheet.write_sign(sign, estimate)
    why_sheet.write_why(why, estimate)
    for each in (bill, take, back, cautions, wall, cuts, labour, price, points, worked, sign, why):
        if each is not None:
            each.done()
    book.close()
    return held.getvalue()
