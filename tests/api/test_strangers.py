"""What a stranger's plugin adds is served without a line in this package: its part kind, catalog, calculator, check,
practice and paper, and in the document."""

from __future__ import annotations

import importlib
import io
import zipfile
from pathlib import Path

import openpyxl
import pytest

from rigfeed.papers.paper import Drawing, Paper, Plot
from rigfeed.registry import make_registry
from rigfeed_api.app import create_app
from rigfeed_api.hand_out import XLSX
from rigfeed_api.settings import Settings

LAMPS = Path(__file__).parents[1] / "plugins" / "strangers" / "lamps"
TOML = {"content_type": "application/toml"}


@pytest.fixture
def client(tmp_path, monkeypatch):
    monkeypatch.syspath_prepend(str(LAMPS))
    plugins = {"lamps": importlib.import_module("stranger_lamps")}
    app = create_app(Settings(tmp_path), make_registry(plugins))
    yield app.test_client()
    app.extensions["rigfeed-database"].close()


def test_its_declarations_are_listed(client):
    (plugin,) = [plugin for plugin in client.get("/v1/plugins").json["plugins"] if plugin["name"] == "lamps"]
    assert plugin["on"]
    assert {"part_kinds", "catalogs", "calculators", "checks", "papers"} <= set(plugin["adds"])
    assert client.get("/v1/checks/lamps.beacon-low").json["thresholds"][0]["unit"] == "m"
    (kind,) = [kind for kind in client.get("/v1/kinds").json["kinds"] if kind["name"] == "beacon"]
    assert [field["name"] for field in kind["settings"]] == ["height"]
    assert client.get("/v1/catalogs/beacons").json["total"] >= 1
    part = client.get("/v1/parts?kind=beacon&by=watts&limit=1").json["parts"][0]
    assert part["figures"]["watts"] == 20.0
    assert "lamps.beacon-low.height" in client.get("/v1/practices/road").json["thresholds"]


def test_its_check_paper_and_calculator_run(client):
    van = (LAMPS / "van.toml").read_text()
    findings = client.post("/v1/assess", data=van, **TOML).json["findings"]
    assert any(finding["check"] == "lamps.beacon-low" for finding in findings)
    paper = client.post("/v1/papers/lamps-beacons", data=van, headers={"Accept": "text/csv"}, **TOML)
    assert paper.text.splitlines()[1] == "lamp,20"
    result = client.post("/v1/calculators/lamps-count", json={"current": "10 A", "watts": "20 W"})
    assert [output["value"] for output in result.json["outputs"].values()] == [6.0]


def test_its_names_stand_in_the_document_and_on_the_page(client):
    paths = client.get("/openapi.json").json["paths"]
    for path, name in (("/v1/papers/{paper}", "lamps-beacons"), ("/v1/calculators/{calculator}", "lamps-count"),
                       ("/v1/checks/{check}", "lamps.beacon-low")):
        (parameter,) = paths[path]["parameters"]
        assert name in parameter["schema"]["enum"]
    assert "lamps-beacons" in client.get("/").text


def test_its_designs_can_be_stored_and_are_assessed_with_it(client):
    van = (LAMPS / "van.toml").read_text()
    place = client.post("/v1/designs", data=van, **TOML).headers["Location"]
    answer = client.get(f"{place}/revisions/1/assessment")
    assert any(finding["check"] == "lamps.beacon-low" for finding in answer.json["findings"])


def raising(*_):
    raise KeyError("battery")


@pytest.fixture
def broken(tmp_path):
    """A server whose registry has a paper, a drawing and a figure that fail."""
    registry = make_registry()
    registry.papers["odd"] = Paper("odd", "odd", raising)
    registry.drawings["odd-picture"] = Drawing("odd-picture", "odd", raising)
    registry.figures["odd-figure"] = Plot("odd-figure", "odd", raising)
    app = create_app(Settings(tmp_path), registry)
    yield app.test_client()
    app.extensions["rigfeed-database"].close()


def test_a_paper_that_fails_is_named_in_the_archive_and_all_else_is_in_it(broken, hazel):
    answer = broken.post("/v1/papers", data=hazel, **TOML)
    assert answer.status_code == 200
    with zipfile.ZipFile(io.BytesIO(answer.data)) as archive:
        names = set(archive.namelist())
        told = archive.read("left-out.txt").decode().splitlines()
    assert told == [
        "the paper 'odd' failed: KeyError: 'battery'", "the drawing 'odd-picture' failed: KeyError: 'battery'",
        "the figure 'odd-figure' failed: KeyError: 'battery'",
    ]
    assert {"papers.xlsx", "csv/cut-list.csv", "json/cut-list.json", "drawings/circuit.svg"} <= names
    assert not any("odd" in name for name in names)


def test_a_workbook_says_on_its_first_sheet_what_failed(broken, hazel):
    answer = broken.post("/v1/papers", data=hazel, headers={"Accept": XLSX}, **TOML)
    assert answer.status_code == 200
    first = openpyxl.load_workbook(io.BytesIO(answer.data)).worksheets[0]
    assert any("the paper 'odd' failed" in str(place.value) for row in first.iter_rows() for place in row)


def test_without_a_failure_nothing_is_said_of_any(client, hazel):
    with zipfile.ZipFile(io.BytesIO(client.post("/v1/papers", data=hazel, **TOML).data)) as archive:
        assert "left-out.txt" not in archive.namelist()


def test_a_paper_that_fails_is_a_fault_where_it_is_all_that_was_wanted(broken, hazel):
    answer = broken.post("/v1/papers/odd", data=hazel, **TOML)
    assert answer.status_code == 500
    assert "battery" not in answer.text
