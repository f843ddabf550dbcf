"""The spreadsheet program as a fixture, for the tests that have formulas calculated again."""

import os
import shutil
import subprocess
from collections.abc import Callable
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
def recalculated(tmp_path_factory: pytest.TempPathFactory) -> Callable[[bytes], bytes]:
    """Return a function that has the spreadsheet program calculate a workbook again."""
    program = shutil.which("soffice")
    if program is None:
        if os.environ.get("OFFICE_REQUIRED") == "1":
            pytest.fail("LibreOffice is not installed, and OFFICE_REQUIRED asks for it")
        pytest.skip("LibreOffice is not installed; the formulas are not calculated again here")
    profile = tmp_path_factory.mktemp("profile")
    (profile / "user").mkdir()
    (profile / "user" / "registrymodifications.xcu").write_text(ALWAYS_RECALCULATE)

    def again(book: bytes) -> bytes:
        folder = tmp_path_factory.mktemp("book")
        (folder / "in.xlsx").write_bytes(book)
        (folder / "out").mkdir()
        subprocess.run(
            [program, f"-env:UserInstallation=file://{profile}", "--headless", "--convert-to",
             "xlsx", "--outdir", str(folder / "out"), str(folder / "in.xlsx")],
            check=True, capture_output=True, timeout=LONGEST_S,
        )
        return Path(folder / "out" / "in.xlsx").read_bytes()

    return again
