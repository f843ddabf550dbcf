"""The spreadsheet program as a fixture, for the tests that have formulas calculated again."""

import os
import shutil
import subprocess
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

# Files that carry cached values are not calculated again on load unless the profile says so.
ALWAYS_RECALCULATE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode"
 oor:op="fuse"><value>0</value></prop></item>
</oor:items>
"""
LONGEST_S = 120


@pytest.fixture(scope="session")
def saved_as(
    tmp_path_factory: pytest.TempPathFactory,
) -> Callable[[Mapping[str, bytes], str], dict[str, Path]]:
    """Return a function that has the spreadsheet program save workbooks, by name, as a kind."""
    program = shutil.which("soffice")
    if program is None:
        if os.environ.get("OFFICE_REQUIRED") == "1":
            pytest.fail("LibreOffice is not installed, and OFFICE_REQUIRED asks for it")
        pytest.skip("LibreOffice is not installed; the formulas are not calculated again here")
    profile = tmp_path_factory.mktemp("profile")
    (profile / "user").mkdir()
    (profile / "user" / "registrymodifications.xcu").write_text(ALWAYS_RECALCULATE)

    def save(books: Mapping[str, bytes], ending: str) -> dict[str, Path]:
        folder = tmp_path_factory.mktemp("book")
        (folder / "out").mkdir()
        for name, book in books.items():
            (folder / f"{name}.xlsx").write_bytes(book)
        subprocess.run(
            [program, f"-env:UserInstallation=file://{profile}", "--headless", "--convert-to",
             ending, "--outdir", str(folder / "out"),
             *(str(folder / f"{name}.xlsx") for name in books)],
            check=True, capture_output=True, timeout=LONGEST_S,
        )
        return {name: folder / "out" / f"{name}.{ending}" for name in books}

    return save


@pytest.fixture(scope="session")
def recalculated(
    saved_as: Callable[[Mapping[str, bytes], str], dict[str, Path]],
) -> Callable[[bytes], bytes]:
    """Return a function that has the spreadsheet program calculate a workbook again."""
    return lambda book: saved_as({"in": book}, "xlsx")["in"].read_bytes()
