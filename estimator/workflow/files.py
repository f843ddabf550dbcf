"""Files appear whole or not at all: written beside their place, then renamed into it."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from tempfile import mkstemp

from catalogue.problems import Place, Problem, ProblemsFound


def write_all(files: Mapping[Path, bytes]) -> None:
    """Write files so that none of them is ever half there.

    All are written under temporary names first; only when every one is on the disk are they
    renamed.

    Raises:
        ProblemsFound: F003 if a folder or file cannot be written.
    """
    staged: list[tuple[Path, Path]] = []
    at = Path()
    try:
        for at, content in files.items():
            at.parent.mkdir(parents=True, exist_ok=True)
            handle, name = mkstemp(dir=at.parent, prefix=f".{at.name}.")
            staged.append((Path(name), at))
            with os.fdopen(handle, "wb") as out:
                out.write(content)
            Path(name).chmod(0o644)
        for at_name, at in staged:
            at_name.replace(at)
    except OSError as error:
        raise ProblemsFound([Problem(
            "F003", Place(at.as_posix()), f"the file cannot be written: {error.strerror or error}",
            "close it if it is open in another program, or choose another folder with --out",
        )]) from error
    finally:
        for name_left, _ in staged:
            name_left.unlink(missing_ok=True)
