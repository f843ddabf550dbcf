"""Lays a firm's folder: settings, places for its own rules, norms and practice, and jobs."""

from __future__ import annotations

import shutil
from pathlib import Path
from tempfile import mkdtemp

from catalogue.problems import Place, Problem, ProblemsFound
from estimator.settings_template import settings_template
from estimator.survey.template import survey_template
from estimator.workflow.folder import SETTINGS
from estimator.workflow.start_texts import (
    NORMS_EXAMPLE,
    PRACTICE_EXAMPLE,
    README,
    RULES_EXAMPLE,
)

_NAMED = 10  # how many files in the way a message names


def firm_files() -> dict[str, str]:
    """Return the files of a new firm's folder: path in it -> text."""
    return {
        "README.txt": README,
        SETTINGS: settings_template(),
        "rules/example.toml": RULES_EXAMPLE,
        "norms/example.toml": NORMS_EXAMPLE,
        "practice/example.toml": PRACTICE_EXAMPLE,
        "jobs/blank-survey.toml": survey_template(),
    }


def start_firm(folder: Path) -> tuple[Path, ...]:
    """Lay a firm's folder, whole or not at all; nothing that is there is touched.

    The files are written into a folder with a temporary name beside it, which is then renamed.

    Returns: the files laid, in order.

    Raises:
        ProblemsFound: F001 if something is in the way, F002 if the folder cannot be written.
    """
    place = folder.resolve()
    _refuse_if_in_the_way(folder, place)
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        made = Path(mkdtemp(dir=place.parent, prefix=f".{place.name}."))
        try:
            made.chmod(0o755)
            for name, text in firm_files().items():
                path = made / name
                path.parent.mkdir(exist_ok=True)
                path.write_bytes(text.encode())
            _put(made, place)
        finally:
            shutil.rmtree(made, ignore_errors=True)
    except OSError as error:
        raise ProblemsFound([Problem(
            "F002", Place(str(folder)),
            f"the folder cannot be written: {error.strerror or error}",
            "choose a place where you may write")]) from error
    return tuple(folder / name for name in firm_files())


def _put(made: Path, place: Path) -> None:
    """Rename the finished folder into place, or its parts into an empty folder that is there."""
    if not place.exists():
        made.rename(place)
        return
    moved: list[Path] = []
    try:
        for part in sorted(made.iterdir()):
            moved.append(part.rename(place / part.name))
    except OSError:
        for part in moved:
            shutil.rmtree(part) if part.is_dir() else part.unlink()
        raise


def _refuse_if_in_the_way(folder: Path, place: Path) -> None:
    shown = Place(str(folder))
    try:
        if not place.exists():
            return
        if not place.is_dir():
            raise ProblemsFound([Problem("F001", shown, "there is a file of this name already",
                                         "name a new folder")])
        there = sorted(entry.name for entry in place.iterdir())
    except OSError as error:
        raise ProblemsFound([Problem(
            "F002", shown, f"the folder cannot be looked into: {error.strerror or error}",
            "choose a place where you may write")]) from error
    if there:
        more = f" and {len(there) - _NAMED} more" if len(there) > _NAMED else ""
        raise ProblemsFound([Problem(
            "F001", shown, f"the folder is not empty: {', '.join(there[:_NAMED])}{more}",
            "name a new or an empty folder; nothing was changed in this one")])
