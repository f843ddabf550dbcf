"""Which fields a table of bills has, one row a line, and what their columns may be called."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from catalogue.price_lists.column_map import ColumnMap, FieldSet


def _lacks(columns: ColumnMap) -> Iterator[str]:
    for field_ in ("supplier", "number", "day", "net"):
        if field_ not in columns.columns:
            yield f"which column holds the {MEANINGS[field_]} ({field_})"


MEANINGS: Mapping[str, str] = {
    "supplier": "supplier", "number": "number of the bill", "document": "invoice or credit note",
    "day": "day of the bill", "due": "day on which it is due", "order": "number of our order",
    "order_line": "line of our order", "item": "our code of the item",
    "supplier_code": "supplier's part number", "job": "job", "kind": "kind of the line",
    "head": "cost head", "name": "description", "quantity": "quantity in units of the item",
    "net": "net amount of the line", "tax": "tax of the line", "currency": "currency",
    "net_total": "net amount of the whole bill", "tax_total": "tax of the whole bill",
    "total": "total to be paid",
}
BILLS = FieldSet(MEANINGS, {
    "supplier": ("supplier", "supplier name", "vendor", "from", "seller"),
    "number": ("invoice number", "invoice no", "invoice", "number", "document number",
               "document no", "bill number", "bill no", "inv no"),
    "document": ("document", "document type", "type", "invoice or credit note"),
    "day": ("invoice date", "date", "day", "document date", "bill date"),
    "due": ("due date", "due", "due on", "payment due"),
    "order_line": ("order line", "po line", "our order line", "line of order"),
    "order": ("order number", "order no", "order", "our order", "po number", "po no", "po",
              "your order"),
    "item": ("item code", "item", "our code", "our item", "your code"),
    "supplier_code": ("supplier code", "part no", "part number", "product code", "article no"),
    "job": ("job", "job no", "job number", "job id", "job ref", "project"),
    "kind": ("kind", "kind of line", "line kind", "category"),
    "head": ("cost head", "head"),
    "name": ("description", "name", "details", "product"),
    "quantity": ("quantity", "qty", "qty invoiced"),
    "net_total": ("invoice net", "net total", "total net"),
    "tax_total": ("invoice tax", "tax total", "total tax", "total vat", "vat total"),
    "total": ("invoice total", "total", "gross total", "total to pay"),
    "net": ("net", "net amount", "line net", "amount", "line amount", "net value"),
    "tax": ("tax", "vat", "tax amount", "vat amount", "line tax"),
    "currency": ("currency", "ccy", "curr"),
}, _lacks, 'say which field each column holds: --columns supplier="{first}" --columns number="..." '
    '--columns day="..." --columns net="..."', ("number", "net"))
