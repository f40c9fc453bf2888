"""What needs no store: a design in, findings, studies, papers and drawings out, the same as without HTTP."""

from __future__ import annotations

import csv
import io
import json
import zipfile

import openpyxl
import pytest

import rigfeed
from rigfeed.json_report import assessment_json
from rigfeed.papers.csv import csv_text
from rigfeed.registry import installed_registry

TOML = {"content_type": "application/toml"}
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
EXAMPLES = ("hazel", "larch", "alder")


def text(name: str) -> str:
    return rigfeed.example(name).read_text()


@pytest.fixture(scope="module")
def larch():
    return rigfeed.assess(rigfeed.load(rigfeed.example("larch")))


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_assessment_is_that_of_the_kit(client, name):
    answer = client.post("/v1/assess", data=text(name), **TOML)
    assert answer.status_code == 200
    assert answer.json == json.loads(json.dumps(assessment_json(rigfeed.assess(rigfeed.load(rigfeed.example(name))))))


def test_json_and_toml_are_the_same_design(client, hazel, hazel_plain):
    assert client.post("/v1/assess", json=hazel_plain).data == client.post("/v1/assess", data=hazel, **TOML).data


def test_practice_and_units_are_the_callers(client):
    larch = text("larch")
    marine = client.post("/v1/assess?practice=marine&units=us", data=larch, **TOML).json
    assert marine["practice"]["name"] == "marine"
    assert marine != client.post("/v1/assess?practice=marine", data=larch, **TOML).json


@pytest.mark.parametrize("name", sorted(installed_registry().studies))
def test_every_study_runs_alone_and_its_figures_are_plain(client, name):
    answer = client.post(f"/v1/studies/{name}", data=text("larch"), **TOML)
    assert answer.status_code == 200
    assert answer.json["study"] == name
    assert (answer.json["result"] is None) == bool(answer.json["why"])  # nobody is left with a null and no reason
    assert "0x" not in answer.text  # no object that nothing here knows how to write


def test_a_study_has_the_figures_of_the_kit(client, larch):
    highest = client.post("/v1/studies/prospective", data=text("larch"), **TOML).json["result"]["highest"]
    found = {device: short["current_a"] for device, short in highest.items()}
    studies = installed_registry().studies
    expected = {device: short.current_a for device, short in larch[studies["prospective"]].highest.items()}
    assert found == pytest.approx(expected, rel=1e-8)
    assert len(found) > 2


@pytest.mark.parametrize("name", sorted(installed_registry().papers))
def test_every_paper_comes_in_every_form(client, larch, name):
    def wanted(media_type):
        return client.post(f"/v1/papers/{name}", data=text("larch"), headers={"Accept": media_type}, **TOML)

    table = larch.paper(name)
    data = wanted("application/json").json
    assert [list(row) for row in data["rows"]] == [[column.key for column in table.columns]] * len(table.rows)
    assert data["cautions"]
    rows = list(csv.reader(io.StringIO(wanted("text/csv").text)))
    assert rows == list(csv.reader(io.StringIO(csv_text(table))))
    book = openpyxl.load_workbook(io.BytesIO(wanted(XLSX).data))
    assert len(book.sheetnames) == 1


def test_what_nobody_serves_is_406_and_the_best_liked_form_wins(client, hazel):
    def paper(accept):
        return client.post("/v1/papers/cut-list", data=hazel, headers={"Accept": accept}, **TOML)

    assert paper("image/png").status_code == 406
    assert paper("application/json;q=0.3, text/csv;q=0.8").mimetype == "text/csv"
    assert paper("*/*").mimetype == "application/json"
    assert client.post("/v1/assess", data=hazel, headers={"Accept": "text/html"}, **TOML).status_code == 406


def test_the_archive_has_everything_and_is_the_same_each_time(client, larch):
    first = client.post("/v1/papers", data=text("larch"), **TOML)
    assert first.mimetype == "application/zip"
    with zipfile.ZipFile(io.BytesIO(first.data)) as archive:
        names = set(archive.namelist())
        assert archive.testzip() is None
        assert json.loads(archive.read("assessment.json"))["title"] == larch.installation.title
    assert {f"csv/{name}.csv" for name in larch.papers} <= names
    assert {f"json/{name}.json" for name in larch.papers} <= names
    assert {f"drawings/{name}.svg" for name in larch.drawings} <= names
    figures = ("fault-energy", *(f"time-current-{load}" for load in ("dcdc", "hf", "vhf")))
    assert {f"figures/{figure}.{form}" for figure in figures for form in ("svg", "json")} <= names
    assert client.post("/v1/papers", data=text("larch"), **TOML).data == first.data
    book = client.post("/v1/papers", data=text("larch"), headers={"Accept": XLSX}, **TOML)
    assert len(openpyxl.load_workbook(io.BytesIO(book.data)).sheetnames) == len(larch.papers) + 1


@pytest.mark.parametrize("name", sorted(installed_registry().drawings))
def test_every_drawing_is_svg(client, larch, name):
    from lxml import etree

    state = next(iter(larch.installation.states))
    answer = client.post(f"/v1/drawings/{name}?page=A3&state={state}", data=text("larch"), **TOML)
    assert answer.mimetype == "image/svg+xml"
    assert etree.fromstring(answer.data).tag == "{http://www.w3.org/2000/svg}svg"
    wrong = client.post(f"/v1/drawings/{name}?state=nope", data=text("larch"), **TOML)
    assert wrong.status_code == 422
    assert "there is no state 'nope'" in wrong.json["detail"]


@pytest.mark.parametrize("name", sorted(installed_registry().figures))
def test_every_figure_comes_as_numbers_and_as_pictures(client, larch, name):
    from rigfeed.figures.figure import figure_json

    known = client.post(f"/v1/figures/{name}/subjects", data=text("larch"), **TOML).json["subjects"]
    assert [(item["id"], item["usual"]) for item in known] == [(a.id, a.usual) for a in larch.subjects(name)]
    subject = known[1]["id"] if known else None
    asked = f"/v1/figures/{name}" + (f"?subject={subject}" if subject else "")

    def wanted(media_type):
        return client.post(asked, data=text("larch"), headers={"Accept": media_type}, **TOML)

    data = wanted("application/json").json
    assert data["cautions"]
    expected = figure_json(larch.figure(name, subject))
    assert {key: data[key] for key in expected} == expected
    assert wanted("image/png").data.startswith(b"\x89PNG")
    assert b"<svg" in wanted("image/svg+xml").data
    assert wanted("text/csv").status_code == 406


def test_what_a_figure_cannot_be_about_is_told(client, hazel):
    def told(path, design=hazel):
        answer = client.post(f"/v1/figures/{path}", data=design, **TOML)
        return answer.status_code, answer.json["detail"]

    several = "the figure 'time-current' is about one thing, and none is named"
    assert told("time-current", text("larch")) == (422, several)
    assert told("time-current?subject=hf") == (422, "there is no feed or conductor 'hf'")
    assert told("portrait")[0] == 404
    status, detail = told("fault-energy", b"format = 1\n")
    assert (status, "nothing to show" in detail) == (422, True)


def test_a_server_that_cannot_draw_gives_the_numbers(client, hazel, monkeypatch):
    monkeypatch.setattr("rigfeed.figures.write.can_draw", lambda: False)
    assert client.post("/v1/figures/time-current", data=hazel, **TOML).json["name"] == "time-current"
    wanted = {"Accept": "image/png"}
    assert client.post("/v1/figures/time-current", data=hazel, headers=wanted, **TOML).status_code == 406


def test_a_calculator_takes_texts_with_units_and_numbers(client):
    known = client.get("/v1/calculators").json["calculators"]
    assert [item["name"] for item in known] == sorted(installed_registry().calculators)
    about = client.get("/v1/calculators/voltage-drop").json
    assert about["source"]
    assert all(field["unit"] for field in about["inputs"] if field["sort"] == "quantity")
    given = {"current": "20 A", "loop": "14 ft", "area": "6 mm2"}
    answer = client.post("/v1/calculators/voltage-drop", json=given)
    assert answer.status_code == 200, answer.text
    found = {name: output["value"] for name, output in answer.json["outputs"].items()}
    expected = installed_registry().calculators["voltage-drop"].run(given)
    assert found == pytest.approx({name: measure.value for name, _, measure in expected.outputs}, rel=1e-8)
    numbers = {"current": 20, "loop": 14 * 0.3048, "area": 6.0}
    assert client.post("/v1/calculators/voltage-drop", json=numbers).json["outputs"] == answer.json["outputs"]


@pytest.mark.parametrize(("given", "pointer"), [
    ({"current": "20 V", "loop": "1 m", "area": "6 mm2"}, "/current"),
    ({"current": True, "loop": "1 m", "area": "6 mm2"}, "/current"),
    ({"current": "20 A", "area": "6 mm2"}, "/loop"),
])
def test_a_calculator_says_which_input_is_wrong(client, given, pointer):
    answer = client.post("/v1/calculators/voltage-drop", json=given)
    assert answer.status_code == 422
    assert answer.json["errors"][0]["pointer"] == pointer


def test_parts_are_found_by_figures_and_read_by_key(client):
    query = "kind=cable&by=area_mm2&where=area_mm2>=6&where=insulation_c>=105&limit=3"
    found = client.get(f"/v1/parts?{query}").json["parts"]
    areas = [part["figures"]["area_mm2"] for part in found if "area_mm2" in part["figures"]]
    assert len(found) == 3
    assert areas == sorted(areas)
    assert all(part["source"] for part in found)
    assert client.get(f"/v1/parts/{found[0]['key']}").json == found[0]
    assert client.get("/v1/parts/cable:no-such").status_code == 404
    assert client.get("/v1/parts?kind=cable&by=area_mm2&where=area_mm2>=big").status_code == 422
    assert client.get("/v1/parts?kind=nothing&by=area_mm2").status_code == 422


def test_catalogs_come_in_pieces(client):
    catalogs = client.get("/v1/catalogs").json["catalogs"]
    name = max(catalogs, key=lambda item: sum(item["rows"].values()))["name"]
    first = client.get(f"/v1/catalogs/{name}?limit=2").json
    second = client.get(f"/v1/catalogs/{name}?limit=2&offset=1").json
    assert first["total"] > 2
    assert first["parts"][1] == second["parts"][0]
    assert client.get(f"/v1/catalogs/{name}?limit=0").status_code == 422
    assert client.get(f"/v1/catalogs/{name}?limit=2&colour=red").status_code == 422


def test_the_lists_are_those_of_the_registries(client):
    registry = installed_registry()
    for path, key, known in (
        ("studies", "studies", registry.studies), ("papers", "papers", registry.papers),
        ("drawings", "drawings", registry.drawings), ("figures", "figures", registry.figures),
        ("checks", "checks", registry.checks),
        ("kinds", "kinds", registry.kinds),
    ):
        assert [item["name"] for item in client.get(f"/v1/{path}").json[key]] == sorted(known)
    practices = client.get("/v1/practices").json
    assert [item["name"] for item in practices["practices"]] == list(registry.practices.names())
    road = client.get("/v1/practices/road").json
    assert all(setting["authority"] for setting in road["thresholds"].values())
    assert all("/" not in setting["where"] for setting in road["thresholds"].values())


def test_a_call_without_a_store_leaves_nothing_behind(app, client, hazel, tmp_path):
    client.post("/v1/assess", data=hazel, **TOML)
    client.post("/v1/papers", data=hazel, **TOML)
    assert {path.name.split("-")[0] for path in tmp_path.rglob("*") if path.is_file()} == {"designs.sqlite"}
    assert client.get("/v1/designs").json["designs"] == []


def test_no_file_beside_the_server_is_read(client, hazel, tmp_path, monkeypatch):
    """Catalogs that lie beside the folder in which the server was started are nobody's business."""
    folder = tmp_path / "catalogs"
    folder.mkdir()
    row = "part,title,source,confidence\ncable:planted,planted,nobody,invented\n"
    (folder / "planted.csv").write_text(row)
    monkeypatch.chdir(tmp_path)
    assert client.get("/v1/parts/cable:planted").status_code == 404
