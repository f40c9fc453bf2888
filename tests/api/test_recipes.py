"""The recipes of api/README.md, as they stand there."""

from __future__ import annotations

import csv
import json
import re
import subprocess
import sys
import zipfile
from pathlib import Path

import openpyxl
import pytest

import rigfeed

README = (Path(__file__).parents[2] / "api" / "README.md").read_text(encoding="utf-8")
SHELL = re.findall(r"```sh\n(.*?)```", README, re.S)
PYTHON = re.findall(r"```python\n(.*?)```", README, re.S)


def pasted(text: str, url: str, *, into: list[str], folder: Path) -> str:
    """Run a recipe against a server that has another port than the usual one."""
    here = text.replace("http://127.0.0.1:8477", url)
    done = subprocess.run([*into, here], check=False, capture_output=True, text=True, cwd=folder, timeout=120)
    assert done.returncode == 0, (here, done.stdout, done.stderr)
    return done.stdout


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "van.toml").write_text(rigfeed.example("larch").read_text())
    return tmp_path


@pytest.fixture
def shell(tool, server, folder):
    bash = ["bash", "-euo", "pipefail", "-c"]
    tool("curl")
    return lambda number: pasted(SHELL[number], server.url, into=bash, folder=folder)


def test_there_are_eight_and_one():
    assert (len(SHELL), len(PYTHON)) == (8, 1)


def test_assess(shell, folder):
    shell(0)
    found = json.loads((folder / "findings.json").read_text())
    assert found["practice"]["name"] == "road"
    assert found["findings"]


def test_one_paper(shell, folder):
    shell(1)
    with (folder / "cut-list.csv").open(newline="") as lines:
        rows = list(csv.DictReader(lines))
    assert {"W1", "W2"} <= {row["id"] for row in rows}


def test_the_archive(shell, folder):
    shell(2)
    with zipfile.ZipFile(folder / "papers.zip") as archive:
        assert "papers.xlsx" in archive.namelist()


def test_store_and_change(shell, folder, http):
    shell(3)
    stored, changed = (json.loads((folder / name).read_text()) for name in ("stored.json", "changed.json"))
    assert (stored["revision"], changed["revision"]) == (1, 2)
    assert http.get(f"/v1/designs/{stored['id']}").json()["job"]["customer"] == "Depot 3"


def test_many_vehicles(shell, folder):
    shell(4)
    book = openpyxl.load_workbook(folder / "batch.xlsx")
    assert "Cut list" in book.sheetnames


def test_a_list(shell, folder):
    (folder / "depot.csv").write_text("Code;Text;Size;OD;Ohm/km\nA1;red;2,5 mm2;2,9;7,6\n")
    shell(5)
    assert json.loads((folder / "reading.json").read_text())["counts"]["taken"] == 1


def test_a_reading(shell, folder):
    shell(6)
    assert json.loads((folder / "measured.json").read_text())["resistance_mohm"] == pytest.approx(0.13 / 11.2 * 1000)


def test_two_designs(shell, folder):
    (folder / "other.toml").write_text(rigfeed.example("larch").read_text().replace('thinwall-16"', 'thinwall-10"', 1))
    shell(7)
    compared = json.loads((folder / "compared.json").read_text())
    assert not compared["same"]
    assert [difference["first"] for difference in compared["differences"]] == ["cable:thinwall-16"]


def test_from_python(server, folder):
    script = PYTHON[0].replace("http://127.0.0.1:8477", server.url)
    done = subprocess.run(
        [sys.executable, "-c", script, "van.toml"], check=False, capture_output=True, text=True, cwd=folder, timeout=120
    )
    assert done.returncode == 0, (script, done.stderr)
    lines = [line.split("\t") for line in done.stdout.splitlines()]
    findings = rigfeed.assess(rigfeed.load(folder / "van.toml")).findings
    assert [line[2] for line in lines] == [str(finding.subject) for finding in findings]
    code = [line for line in PYTHON[0].splitlines() if line.strip() and not line.startswith("import")]
    assert len(code) <= 10
