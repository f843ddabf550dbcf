"""A PostgreSQL server for the tests alone: its own folder, one socket in it, gone at the end.

The server refuses to run as root, so a root's tests run it as the user that its package makes.
"""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

OWNERS = ("postgres", "nobody")
SETTINGS = ("listen_addresses=", "fsync=off", "synchronous_commit=off", "full_page_writes=off")


def missing() -> str:
    """Return what a server needs and is not there, in words; "" if all is."""
    if programs() is None:
        return "PostgreSQL is not installed"
    try:
        import psycopg  # noqa: F401
    except ImportError:
        return "psycopg is not installed"
    return ""


def programs() -> Path | None:
    """Return the folder of the newest server's programs; None without one."""
    folders = sorted(Path("/usr/lib/postgresql").glob("*/bin"), key=lambda path: [
        int(part) if part.isdigit() else 0 for part in path.parent.name.split(".")])
    found = shutil.which("initdb")
    every = [*folders, *([Path(found).parent] if found else [])]
    whole = [each for each in every if (each / "initdb").exists() and (each / "postgres").exists()]
    return whole[-1] if whole else None


@contextmanager
def server() -> Iterator[str]:
    """Run a server and give the address of its first database."""
    bin_ = programs()
    assert bin_ is not None
    owner = next((name for name in OWNERS if _is_there(name)), None) if os.geteuid() == 0 else None
    folder = Path(tempfile.mkdtemp(prefix="pg-"))  # short: the name of a socket has 107 bytes
    try:
        if owner is not None:
            shutil.chown(folder, owner)
        _run([str(bin_ / "initdb"), "--pgdata", str(folder / "data"), "--username", "tests",
              "--auth", "trust", "--encoding", "UTF8", "--no-locale", "--no-sync"], owner)
        options = " ".join(f"-c {each}" for each in (
            *SETTINGS, f"unix_socket_directories={folder}"))
        control = [str(bin_ / "pg_ctl"), "--pgdata", str(folder / "data"), "--wait", "--silent",
                   "--log", str(folder / "log")]
        _run([*control, "--options", options, "start"], owner)
        try:
            yield f"postgresql+psycopg://tests@/postgres?host={folder}"
        finally:
            _run([*control, "--mode", "immediate", "stop"], owner)
    finally:
        shutil.rmtree(folder)


def _is_there(name: str) -> bool:
    try:
        pwd.getpwnam(name)
    except KeyError:
        return False
    return True


def _run(command: list[str], owner: str | None) -> None:
    """Run a command as its owner, with no place or language of ours."""
    account = pwd.getpwnam(owner) if owner is not None else None
    subprocess.run(
        command, check=True, cwd="/", stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
        env={"PATH": os.environ.get("PATH", ""), "LC_ALL": "C.UTF-8"},
        **({} if account is None else {
            "user": account.pw_uid, "group": account.pw_gid, "extra_groups": []}))
