"""Finds a firm's folder: the one that holds firm.toml, here or above."""

from __future__ import annotations

import os
from pathlib import Path

SETTINGS = "firm.toml"
DATABASE = "estimator.db"


def find_firm_folder(start: Path) -> Path | None:
    """Return the nearest folder at or above a path that holds firm.toml, or None.

    Args:
        start: a folder, or a file such as a survey; it need not exist.
    """
    here = start.resolve()
    for folder in (here, *here.parents):
        if os.path.isfile(folder / SETTINGS):  # not the path's own, which fails on a closed folder
            return folder
    return None
