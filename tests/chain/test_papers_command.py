"""`estimator papers`: one folder with quote and drawings, the same bytes for the same revision."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from tests.chain.desk import run
from tests.chain.roofs import DEMO


@pytest.fixture
def quoted(desk: Path) -> Path:
    survey = (DEMO / "panels-and-storage" / "survey.toml").read_text()
    (desk / "house.toml").write_text(survey.replace(
        'title = "', "title = \"<script>alert('x')</script> "))
    assert run("quote", "house.toml", "--on", "2026-11-02", "--no-papers").exit_code in (0, 3)
    return desk


def held(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}


def test_papers_are_the_same_twice_and_lead_from_one_page(quoted: Path) -> None:
    done = run("papers", "D-102", "--out", "papers", "--json")
    assert done.exit_code == 0, done.output
    names = [Path(name).name for name in json.loads(done.stdout)["written"]]
    assert names == ["index.html", "quote.html", "wall-storage.svg", "roof-1.svg", "cuts.svg"]
    first = held(quoted / "papers")
    assert sorted(first) == sorted(names)
    assert run("papers", "D-102", "--out", "again").exit_code == 0
    assert held(quoted / "again") == first
    page = first["index.html"].decode()
    assert all(f'"{name}"' in page for name in names[1:])
    assert "<script" not in "".join(each.decode() for each in first.values())
    for name in names[2:]:
        ET.fromstring(first[name].decode())


def test_only_the_drawings_are_written_if_asked_for(quoted: Path) -> None:
    assert run("papers", "D-102", "--only", "drawings", "--out", "papers").exit_code == 0
    assert "quote.html" not in held(quoted / "papers")


def test_a_job_that_is_not_there_leaves_no_folder(quoted: Path) -> None:
    told = run("papers", "D-999", "--out", "papers")
    assert told.exit_code == 1
    assert "J001" in told.output
    assert not (quoted / "papers").exists()
