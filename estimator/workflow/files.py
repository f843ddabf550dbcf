"""Files appear whole or not at all: written beside their place, then renamed into it."""

from __future__ import annotations

import hashlib
import os
import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from tempfile import mkstemp

from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.toml_source import as_text


@dataclass(frozen=True)
class _Staged:
    """A file written beside its place, and a copy of what stands there now, if anything does."""

    at: Path
    new: Path
    old: Path | None

    def put(self) -> None:
        self.new.replace(self.at)

    def take_back(self) -> None:
        with suppress(OSError):  # the first failure is the one to tell
            if self.old is None:
                self.at.unlink(missing_ok=True)
            else:
                self.old.replace(self.at)

    def sweep(self) -> None:
        for left in (self.new, self.old):
            if left is not None:
                with suppress(OSError):
                    left.unlink(missing_ok=True)


def write_all(files: Mapping[Path, bytes]) -> None:
    """Write files so that all of them are there, or all is as it was.

    Raises:
        ProblemsFound: F003 if a folder or file cannot be written.
    """
    with all_written(files):
        pass


def refuse_if_taken(out: Path, ending: str, *, replace: bool) -> None:
    """Refuse a file of another ending, and one that would be lost.

    Raises:
        ProblemsFound: F007 for another ending, F008 if the file is there and may not be replaced.
    """
    if out.suffix.lower() != ending:
        raise ProblemsFound([Problem(
            "F007", Place(as_text(out)), f"what is written ends in {ending}",
            f"name it {as_text(out.with_suffix(ending))}")])
    if out.exists() and not replace:
        raise ProblemsFound([Problem(
            "F008", Place(as_text(out)), "there is a file of this name already",
            "choose another name, or say --replace")])


@contextmanager
def all_written(files: Mapping[Path, bytes]) -> Iterator[None]:
    """Write files for a body that may still fail: then all is put back as it was.

    All are written under temporary names first, with a copy of what they replace; only when every
    one is on the disk are they renamed. A file that holds the same bytes already is left alone.

    Raises:
        ProblemsFound: F003 if a folder or file cannot be written.
    """
    staged: list[_Staged] = []
    put: list[_Staged] = []
    at = Path()
    try:
        try:
            for at, content in files.items():
                if not _holds(at, content):
                    staged.append(_stage(at, content))
            for each in staged:
                at = each.at
                each.put()
                put.append(each)
        except OSError as error:
            raise ProblemsFound([Problem(
                "F003", Place(at.as_posix()),
                f"the file cannot be written: {error.strerror or error}",
                "close it if it is open in another program, or choose another folder with --out",
            )]) from error
        yield
    except BaseException:
        for each in reversed(put):
            each.take_back()
        raise
    finally:
        for each in staged:
            each.sweep()


def _holds(at: Path, content: bytes) -> bool:
    return at.is_file() and at.stat().st_size == len(content) and at.read_bytes() == content


def _stage(at: Path, content: bytes) -> _Staged:
    """Write a file beside its place; leave nothing if that fails."""
    at.parent.mkdir(parents=True, exist_ok=True)
    handle, name = mkstemp(dir=at.parent, prefix=f".{at.name[:40]}.")
    new = Path(name)
    old = new.with_name(f"{new.name}.old") if at.is_file() else None
    staged = _Staged(at, new, old)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(content)
        new.chmod(0o644)
        if old is not None:
            shutil.copy2(at, old)
    except OSError:
        staged.sweep()
        raise
    return staged


def digest_of(file: Path) -> str:
    """Return the SHA-256 of a file in hexadecimal digits."""
    with file.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()
