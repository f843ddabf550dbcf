"""The customer's quote as one web page: no network, no script, prints on A4, reads on a phone."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from estimator.papers.contract import EstimateJson
from estimator.papers.quote_view import quote_view
from estimator.settings import Settings

if TYPE_CHECKING:
    from jinja2 import BaseLoader, Environment, Template

TEMPLATES = Path(__file__).with_name("templates")
COMPILED = Path(__file__).with_name("compiled")


def quote_page(estimate: EstimateJson, settings: Settings) -> str:
    """Return the quote as HTML; a budget estimate prints as a budget range, not as an offer.

    Everything that a person typed is escaped.
    """
    return _template().render(quote=quote_view(estimate, settings))


@cache
def _template() -> Template:
    from jinja2 import ModuleLoader

    # Compiling takes thirty times as long as setting a quote, so it is done beforehand.
    return _environment(ModuleLoader(COMPILED)).get_template("quote.html")


def compile_templates(folder: Path) -> None:
    """Write the templates into a folder as Python modules; `make templates` does it."""
    from jinja2 import FileSystemLoader

    folder.mkdir(exist_ok=True)
    _environment(FileSystemLoader(TEMPLATES)).compile_templates(
        folder, zip=None, ignore_errors=False)


def _environment(loader: BaseLoader) -> Environment:
    from jinja2 import Environment, StrictUndefined

    return Environment(
        loader=loader, autoescape=True, undefined=StrictUndefined, trim_blocks=True,
        lstrip_blocks=True, keep_trailing_newline=True,
    )
