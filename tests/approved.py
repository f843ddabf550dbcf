"""Approved texts: what a paper looked like when a person last read it and said yes.

A test compares a text with its file under tests/approved. After a wanted change look at the
difference, then write the files again with `APPROVE=1 pytest`.
"""

from __future__ import annotations

import difflib
import os
from pathlib import Path

FOLDER = Path(__file__).with_name("approved")
LONGEST_DIFFERENCE = 60


def check_approved(name: str, text: str) -> None:
    """Fail unless the text equals the approved file; with APPROVE=1 write the file instead."""
    file = FOLDER / name
    if os.environ.get("APPROVE") == "1":
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")
        return
    assert file.exists(), f"{name} was never approved; read it, then run with APPROVE=1"
    approved = file.read_text(encoding="utf-8")
    if text != approved:
        difference = list(difflib.unified_diff(
            approved.splitlines(), text.splitlines(), "approved", "now", lineterm="", n=1))
        shown = "\n".join(difference[:LONGEST_DIFFERENCE])
        raise AssertionError(f"{name} is not as approved (APPROVE=1 to approve):\n{shown}")
