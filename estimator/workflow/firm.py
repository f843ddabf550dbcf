"""A firm's own files: settings, database, rules, practice values and norms."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.toml_source import as_text
from estimator.workflow.folder import DATABASE, SETTINGS, find_firm_folder

if TYPE_CHECKING:
    from estimator.settings import Settings


@dataclass(frozen=True)
class FirmFiles:
    """Where a firm keeps its own files; None without a firm's folder."""

    folder: Path | None

    def own(self, name: str) -> list[Path]:
        """Return the firm's own sub-folder in a list, if it is there and holds any TOML file.

        Raises:
            ProblemsFound: F004 if it is there and cannot be looked into; to go on without what is
                in it would price the job wrongly.
        """
        if self.folder is None:
            return []
        found = self.folder / name
        try:
            names = [entry.name for entry in found.iterdir()]
        except FileNotFoundError:
            return []
        except OSError as error:
            raise ProblemsFound([Problem(
                "F004", Place(as_text(found)),
                f"the folder cannot be looked into: {error.strerror or error}",
                "make it a folder that you may read, or delete it")]) from error
        return [found] if any(each.endswith(".toml") for each in names) else []


def firm_files(survey: Path | None = None) -> FirmFiles:
    """Return the firm's files: those round the survey, else those round the current folder."""
    found = find_firm_folder(survey) if survey is not None else None
    return FirmFiles(found or find_firm_folder(Path()))


def firm_settings(files: FirmFiles) -> Settings:
    """Return the firm's settings, or the defaults without a firm's folder."""
    from estimator.settings import Settings
    from estimator.settings_file import read_settings

    if files.folder is None:
        return Settings()
    return read_settings(files.folder / SETTINGS)


def database_of(database: str | None, files: FirmFiles) -> str | None:
    """Return the database named, else the firm's own, else None (estimator.db right here)."""
    if database or files.folder is None:
        return database
    return str(files.folder / DATABASE)


def here(database: str | None) -> str | None:
    """Return the database named, else that of the firm's folder round the current folder."""
    return database_of(database, firm_files())
