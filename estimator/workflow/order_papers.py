"""Write what goes to the supplier: an order as workbook, as page and as XML."""

from __future__ import annotations

from pathlib import Path

from catalogue.toml_source import as_text
from estimator.papers.order_page import order_page
from estimator.papers.order_ubl import order_ubl
from estimator.papers.workbook.order_sheet import order_workbook
from estimator.workflow.files import write_all
from estimator.workflow.firm import database_of, firm_files, firm_settings
from estimator.workflow.order_records import stored_order


def write_order_papers(database: str | None, number: int, out: Path) -> list[str]:
    """Write the three papers of an order into a folder, all or none, and return their names.

    Raises:
        ProblemsFound: Y301 if there is no such order, F003 if a file cannot be written.
    """
    files = firm_files()
    firm = firm_settings(files).firm
    order = stored_order(database_of(database, files), number).order
    papers = {
        out / f"order-{number}.xlsx": order_workbook(order, firm),
        out / f"order-{number}.html": order_page(order, firm).encode(),
        out / f"order-{number}.xml": order_ubl(order, firm),
    }
    write_all(papers)
    return [as_text(path) for path in papers]
