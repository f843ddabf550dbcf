"""The customer's quote as one web page: no network, no script, prints on A4, reads on a phone."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from estimator.papers.contract import EstimateJson
from estimator.papers.quote_view import quote_view
from estimator.settings import Settings

if TYPE_CHECKING:
    from jinja2 import Template

TEMPLATES = Path(__file__).with_name("templates")


def quote_page(estimate: EstimateJson, settings: Settings) -> str:
    """Return the quote as HTML; a budget estimate prints as a budget range, not as an offer.

    Everything that a person typed is escaped.
    """
    return _template().render(quote=quote_view(estimate, settings))


@cache
def _template() -> Template:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    environment = Environment(
        loader=FileSystemLoader(TEMPLATES), autoescape=True, undefined=StrictUndefined,
        trim_blocks=True, lstrip_blocks=True, keep_trailing_newline=True,
    )
    return environment.get_template("quote.html")
