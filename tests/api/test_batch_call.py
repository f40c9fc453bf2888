"""A batch over HTTP: both forms of the body, all forms of the answer, and where errors point."""

from __future__ import annotations

import io
import json
import zipfile
from dataclasses import replace

import openpyxl
import pytest

import rigfeed
from rigfeed.design.schema import to_plain
from rigfeed.trials.batch import assess_batch
from rigfeed.trials.batch_json import batch_json
from rigfeed_api.app import create_app
from rigfeed_api.settings import Limits, Settings

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
NO_SUCH_PART = {"edit": "add", "path": "nodes.F1", "value": {"part": "fuse:x"}}
LONGER = {"edit": "set", "path": "runs.cabin.length", "value": "4.6 m"}


@pytest.fixture
def larch() -> dict:
    return to_plain(rigfeed.load(rigfeed.example("larch")))


def test_one_kit_in_forty_vans(client, larch):
    vehicles = {f"van {n}": [] for n in range(1, 41)} | {"van 7": [LONGER]}
    answer = client.post("/v1/batch", json={"design": larch, "vehicles": vehicles})
    assert answer.status_code == 200, answer.text
    data = answer.json
    assert list(data["vehicles"]) == list(vehicles)
    cuts = {(row["id"], row["cut"]): (row["pieces"], row["vehicles"]) for row in data["cut_list"]["rows"]}
    (_, short), (_, long) = sorted(key for key in cuts if key[0] == "W2")
    assert long == pytest.approx(short + 0.6)
    assert cuts["W2", short] == (39, "all but van 7")
    assert cuts["W2", long] == (1, "van 7")
    line = next(line for line in data["findings"] if line["check"] == "breaking-capacity-low")
    assert list(line["in"]) == list(vehicles)


def test_different_designs_are_what_the_kit_makes_of_them(client):
    texts = {name: rigfeed.example(name).read_text() for name in ("hazel", "alder", "larch")}
    designs = {name: rigfeed.load(rigfeed.example(name)) for name in texts}
    body = {"designs": {**texts, "hazel": to_plain(designs["hazel"])}}  # TOML as a text beside data
    answer = client.post("/v1/batch?units=us&practice=amateur", json=body)
    assert answer.json == batch_json(assess_batch(designs, practice="amateur"), "us")


def test_the_answer_comes_as_workbook_or_as_archive(client, larch):
    body = {"title": "Depot 3", "design": larch, "vehicles": {"a": [], "b": [LONGER]}}
    as_book = client.post("/v1/batch", json=body, headers={"Accept": XLSX})
    assert as_book.content_type == XLSX
    book = openpyxl.load_workbook(io.BytesIO(as_book.data))
    assert book["Title block"]["A1"].value == "Depot 3"
    assert "Bill of materials" in book.sheetnames
    as_zip = client.post("/v1/batch", json=body, headers={"Accept": "application/zip"})
    with zipfile.ZipFile(io.BytesIO(as_zip.data)) as archive:
        assert archive.read("batch.xlsx") == as_book.data
        assert json.loads(archive.read("batch.json")) == client.post("/v1/batch", json=body).json
    assert client.post("/v1/batch", json=body, headers={"Accept": "text/html"}).status_code == 406


WRONG = {
    "no object": ([], ""),
    "nothing": ({}, "/design"),
    "vehicles alone": ({"vehicles": {"a": []}}, "/design"),
    "design alone": ({"design": {"format": 1}}, "/vehicles"),
    "both": ({"designs": {"a": {"format": 1}}, "design": {"format": 1}}, "/design"),
    "unknown key": ({"designs": {"a": {"format": 1}}, "colour": 1}, "/colour"),
    "no vehicles": ({"designs": {}}, "/designs"),
    "a list": ({"designs": [{"format": 1}]}, "/designs"),
    "a design that is none": ({"designs": {"van 2": {"format": 1, "nodes": 3}}}, "/designs/van 2/nodes"),
    "TOML that is none": ({"designs": {"a": "format = "}}, "/designs/a"),
    "a number": ({"designs": {"a": 3}}, "/designs/a"),
    "edits that are none": ({"design": {"format": 1}, "vehicles": {"a/b": [{"edit": "set"}]}}, "/vehicles/a~1b/0/path"),
    "edits that cannot be done": (
        {"design": {"format": 1}, "vehicles": {"a": [], "b": [{"edit": "remove", "path": "nodes.F1"}]}},
        "/vehicles/b/0/path",
    ),
    "a part that does not exist": (
        {"design": {"format": 1}, "vehicles": {"a": [NO_SUCH_PART]}},
        "/vehicles/a/nodes/F1/part",
    ),
    "long name": ({"designs": {"x" * 61: {"format": 1}}}, "/designs/" + "x" * 61),
    "name of control characters": ({"designs": {"\x1b[2J": {"format": 1}}}, "/designs/\x1b[2J"),
    "empty name": ({"designs": {"": {"format": 1}}}, "/designs/"),
    "title": ({"title": 3, "designs": {"a": {"format": 1}}}, "/title"),
    "long title": ({"title": "x" * 61, "designs": {"a": {"format": 1}}}, "/title"),
}


@pytest.mark.parametrize(("body", "pointer"), WRONG.values(), ids=WRONG)
def test_what_is_wrong_is_pointed_at_in_the_body(client, body, pointer):
    answer = client.post("/v1/batch", json=body)
    assert answer.status_code == 422
    assert pointer in [error.get("pointer", "") for error in answer.json["errors"]]


def test_the_errors_of_all_vehicles_are_told_together(client, larch):
    wrong = [{"edit": "set", "path": "nodes.hf.part", "value": "radio:hf-1000"}]
    answer = client.post("/v1/batch", json={"design": larch, "vehicles": {"a": wrong, "b": [], "c": wrong}})
    assert [error["pointer"] for error in answer.json["errors"]] == [
        "/vehicles/a/nodes/hf/part", "/vehicles/c/nodes/hf/part",
    ]


def test_a_practice_that_does_not_exist_is_told_once(client, larch):
    answer = client.post("/v1/batch?practice=nowhere", json={"design": larch, "vehicles": {"a": [], "b": []}})
    assert answer.status_code == 422
    assert len(answer.json["errors"]) == 1


@pytest.mark.parametrize(("limits", "says"), [
    ({"batch": 2}, "3 vehicles; at most 2"),
    ({"batch_things": 100}, "in all vehicles together"),
    ({"nodes": 5}, "nodes; this server takes at most 5"),
    ({"batch_seconds": 0.0}, "longer than the 0 s"),
    ({"edits": 0}, "1 edits; at most 0"),
])
def test_work_is_bounded(tmp_path, larch, limits, says):
    app = create_app(Settings(tmp_path, limits=replace(Limits(), **limits)))
    body = {"design": larch, "vehicles": {"a": [LONGER], "b": [], "c": []}}
    answer = app.test_client().post("/v1/batch", json=body)
    app.extensions["rigfeed-database"].close()
    assert answer.status_code == 422
    assert says in answer.text


def test_a_body_that_is_too_large_is_not_read(client):
    answer = client.post("/v1/batch", data=b" " * (5 * 2**20), content_type="application/json")
    assert answer.status_code == 413


def test_nothing_is_stored(client, larch):
    client.post("/v1/batch", json={"design": larch, "vehicles": {"a": []}})
    assert client.get("/v1/designs").json["designs"] == []


@pytest.mark.parametrize("begin", ["", "\ufeff"])
def test_a_key_of_very_many_parts_in_a_text_of_a_vehicle_is_refused_at_once(client, begin):
    answer = client.post("/v1/batch", json={"designs": {"a": f"{begin}{'a.' * 500_000}a = 1"}})
    assert answer.status_code == 422
    (error,) = answer.json["errors"]
    assert (error["pointer"], error["what"]) == ("/designs/a", "a key has more than 32 parts")


def test_a_text_of_a_vehicle_is_as_long_as_a_design_may_be(client):
    answer = client.post("/v1/batch", json={"designs": {"a": "#" * (2**20 + 1)}})
    assert answer.status_code == 422
    (error,) = answer.json["errors"]
    assert error["what"] == "is 1048577 characters long; at most 1048576 are read"


def test_after_a_thousand_errors_no_further_vehicle_is_read(client):
    wrong = "".join(f"[a{number}]\n" for number in range(400))  # and no format: 401 errors
    answer = client.post("/v1/batch", json={"designs": {f"van {number}": wrong for number in range(50)}})
    assert answer.status_code == 422
    assert answer.json["detail"].startswith("1203 things are wrong")


def test_the_stock_of_the_server_is_cut_for_all_vehicles_and_looked_at_anew(client, larch, tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "own"))
    body = {"design": larch, "vehicles": {"a": [], "b": [LONGER]}}
    assert "cutting_plan" not in client.post("/v1/batch", json=body).json
    stock = tmp_path / "own" / "rigfeed" / "stock.csv"
    stock.parent.mkdir(parents=True)
    stock.write_text("part,length,label\ncable:thinwall-6,500 m,spool 1\n")
    data = client.post("/v1/batch", json=body).json
    of_it = [row for row in data["cutting_plan"]["rows"] if row["piece"] == "spool 1"]
    assert {row["id"].split(":")[0] for row in of_it} == {"a", "b"}
    assert "cable:thinwall-6" in {row["part"] for row in data["bill_of_materials"]["rows"]}
    assert "cable:thinwall-6" not in {row["part"] for row in data["buying_list"]["rows"]}
