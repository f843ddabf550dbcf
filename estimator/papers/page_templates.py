"""The templates of the pages: compiled beforehand, escaped, strict about names."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from jinja2 import BaseLoader, Environment, Template

TEMPLATES = Path(__file__).with_name("templates")
COMPILED = Path(__file__).with_name("compiled")


@cache
def page_template(name: str) -> Template:
    """Return a compiled template by the name of its file."""
    from jinja2 import ModuleLoader

    # Compiling takes thirty times as long as setting a quote, so it is done beforehand.
    return _environment(ModuleLoader(COMPILED)).get_template(name)


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
