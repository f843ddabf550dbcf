"""The customer's quote as one web page: no network, no script, prints on A4, reads on a phone."""

from __future__ import annotations

from estimator.papers.contract import EstimateJson
from estimator.papers.page_templates import page_template
from estimator.papers.quote_view import quote_view
from estimator.settings import Settings


def quote_page(estimate: EstimateJson, settings: Settings) -> str:
    """Return the quote as HTML; a budget estimate prints as a budget range, not as an offer.

    Everything that a person typed is escaped.
    """
    return page_template("quote.html").render(quote=quote_view(estimate, settings))
