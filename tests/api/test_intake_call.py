"""Suppliers' lists over HTTP: a dry run keeps nothing; what is kept is on the shelf; who may, how much, how often."""

from __future__ import annotations

import base64
import io
import json
import zipfile
from dataclasses import replace

import openpyxl
import pytest

from rigfeed.intake.keeping import user_folder
from rigfeed_api.app import create_app
from rigfeed_api.settings import Limits, Settings
from rigfeed_api.tokens import Tokens

LIST = "Code;Text;Size;OD;Ohm/km;Price EUR/m\nA1;red;2,5 mm2;2,9;7,6;0,45\nA2;red;4 mm2;3,6;nonsense;0,80\n"
BETTER = LIST.replace("nonsense", "4,7")


@pytest.fixture(autouse=True)
def own(tmp_path, monkeypatch):
    """The folder of the catalogs of whoever runs the server."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "own"))
    return user_folder()


@pytest.fixture(scope="module")
def looking(tmp_path_factory):
    """A client that only looks."""
    made = create_app(Settings(tmp_path_factory.mktemp("looking")))
    yield made.test_client()
    made.extensions["rigfeed-database"].close()


@pytest.fixture
def taking(tmp_path):
    """An app that was started to change catalogs."""
    made = create_app(Settings(tmp_path / "taking", change_catalogs=True))
    yield made
    made.extensions["rigfeed-database"].close()


@pytest.fixture
def changing(taking):
    return taking.test_client()


def test_a_dry_run_tells_what_becomes_of_each_row_and_keeps_nothing(looking, own):
    answer = looking.post("/v1/intake", json={"catalog": "depot", "file": "spring.csv", "text": LIST})
    assert answer.status_code == 200, answer.text
    data = answer.json
    assert data["counts"] == {"taken": 1, "taken with a mark": 0, "refused": 1}
    assert {"header": "Size", "meaning": "size"} in data["columns"]
    first, second = data["rows"]
    assert (first["id"], first["cells"]["area_mm2"], first["cells"]["price"]) == ("A1", "2.5", "0.45 EUR")
    assert (second["state"], second["given"][4]) == ("refused", "nonsense")
    assert any("nonsense" in note["says"] for note in second["notes"] if note["level"] == "refused")
    assert (data["is_new"], data["tag"], data["file"]) == (True, None, "spring.csv")
    assert not own.exists()


def test_a_workbook_is_sent_as_base64(looking):
    book = openpyxl.Workbook()
    for row in (["Code", "Text", "Size", "OD", "Ohm/km"], ["A1", "red", "2.5 mm2", 2.9, 7.6]):
        book.active.append(row)
    packed = io.BytesIO()
    book.save(packed)
    body = {"catalog": "depot", "base64": base64.b64encode(packed.getvalue()).decode()}
    data = looking.post("/v1/intake", json=body).json
    assert data["how"].startswith("workbook")
    assert data["counts"]["taken"] == 1


def test_a_mapping_says_what_the_list_does_not(looking):
    body = {"catalog": "depot", "text": "Nummer,Sort,Size,OD\nB1,black,10,5.4\n"}
    assert "of what kind" in looking.post("/v1/intake", json=body).json["detail"]
    body["mapping"] = {"kind": "cable", "treat": {"size": "awg"}, "columns": {"Nummer": "code"}}
    data = looking.post("/v1/intake", json=body).json
    assert data["rows"][0]["cells"]["gauge"] == "10"
    assert data["rows"][0]["id"] == "B1"


def test_a_list_that_is_kept_is_on_the_shelf_and_is_replaced_by_who_has_seen_it(changing):
    first = changing.put("/v1/catalogs/depot", json={"text": LIST})
    assert first.status_code == 201
    assert first.headers["Location"] == "/v1/catalogs/depot"
    part = changing.get("/v1/parts/cable:depot/A1").json
    assert part["figures"]["area_mm2"] == 2.5
    assert "row 2, sha256 " in part["source"]
    assert changing.get("/v1/parts/cable:depot/A2").status_code == 404
    assert changing.put("/v1/catalogs/depot", json={"text": BETTER}).status_code == 428
    told = changing.post("/v1/intake", json={"catalog": "depot", "text": BETTER}).json
    assert [change["what"] for change in told["changes"]] == ["added"]
    seen = {"If-Match": f'"{told["tag"]}"'}
    again = changing.put("/v1/catalogs/depot", json={"text": BETTER}, headers=seen)
    assert again.status_code == 200
    assert changing.get("/v1/parts/cable:depot/A2").status_code == 200
    assert changing.put("/v1/catalogs/depot", json={"text": LIST}, headers=seen).status_code == 412
    assert changing.put("/v1/catalogs/other", json={"text": LIST}, headers=seen).status_code == 412


def test_a_catalog_is_removed_by_who_has_seen_it(changing, own):
    tag = changing.put("/v1/catalogs/depot", json={"text": LIST}).headers["ETag"]
    (listed,) = [c for c in changing.get("/v1/catalogs").json["catalogs"] if c["origin"] == "own"]
    assert f'"{listed["tag"]}"' == tag
    assert changing.delete("/v1/catalogs/depot").status_code == 428
    assert changing.delete("/v1/catalogs/depot", headers={"If-Match": '"x"'}).status_code == 412
    assert changing.delete("/v1/catalogs/depot", headers={"If-Match": tag}).status_code == 204
    assert changing.delete("/v1/catalogs/depot", headers={"If-Match": tag}).status_code == 404
    assert changing.get("/v1/catalogs/depot").status_code == 404
    assert list(own.iterdir()) == []


def test_catalogs_stay_as_they_are_unless_the_server_was_started_to_change_them(looking, own):
    assert looking.put("/v1/catalogs/depot", json={"text": LIST}).status_code == 403
    assert looking.delete("/v1/catalogs/depot").status_code == 403
    assert not own.exists()


def test_a_token_to_read_reads_lists_and_one_to_write_keeps_them(taking, changing):
    tokens = Tokens(taking.extensions["rigfeed-database"])
    read, write = ({"Authorization": f"Bearer {tokens.add(right, right)}"} for right in ("read", "write"))
    assert changing.post("/v1/intake", json={"catalog": "depot", "text": LIST}, headers=read).status_code == 200
    assert changing.put("/v1/catalogs/depot", json={"text": LIST}, headers=read).status_code == 403
    assert changing.put("/v1/catalogs/depot", json={"text": LIST}, headers=write).status_code == 201
    assert changing.delete("/v1/catalogs/depot", headers={**read, "If-Match": "*"}).status_code == 403


WRONG = {
    "no object": ([], ""),
    "no name": ({"text": LIST}, "/catalog"),
    "no such name": ({"catalog": "../x", "text": LIST}, "/catalog"),
    "no list": ({"catalog": "a"}, ""),
    "two lists": ({"catalog": "a", "text": LIST, "base64": ""}, ""),
    "a number": ({"catalog": "a", "text": 3}, "/text"),
    "no base64": ({"catalog": "a", "base64": "%%%"}, "/base64"),
    "unknown key": ({"catalog": "a", "text": LIST, "colour": "red"}, "/colour"),
    "mapping that is none": ({"catalog": "a", "text": LIST, "mapping": []}, "/mapping"),
    "unknown key of a mapping": ({"catalog": "a", "text": LIST, "mapping": {"sort": "x"}}, "/mapping/sort"),
    "number in a mapping": ({"catalog": "a", "text": LIST, "mapping": {"treat": {"size": 3}}}, "/mapping/treat/size"),
}


@pytest.mark.parametrize(("body", "pointer"), WRONG.values(), ids=WRONG)
def test_what_is_wrong_is_pointed_at_in_the_body(looking, body, pointer):
    answer = looking.post("/v1/intake", json=body)
    assert answer.status_code == 422, answer.text
    assert any(error.get("pointer", "").startswith(pointer) for error in answer.json["errors"]), answer.json


@pytest.mark.parametrize("body", [
    {"catalog": "demo-cables", "text": LIST},
    {"catalog": "a", "text": "\0"},
    {"catalog": "a", "text": "just a line"},
    {"catalog": "a", "text": LIST, "mapping": {"kind": "nonsense"}},
    {"catalog": "a", "base64": base64.b64encode(b"PK\x03\x04 and no more").decode()},
])
def test_what_is_no_list_is_refused(looking, body):
    assert looking.post("/v1/intake", json=body).status_code == 422


def test_a_list_of_which_no_row_can_be_taken_is_not_kept(changing, own):
    assert changing.put("/v1/catalogs/a", json={"text": LIST.replace("2,5", "nonsense")}).status_code == 422
    assert not own.exists()


def test_no_more_catalogs_are_kept_than_there_is_room_for(tmp_path):
    limits = replace(Limits(), catalogs=1)
    app = create_app(Settings(tmp_path, limits=limits, change_catalogs=True))
    client = app.test_client()
    assert client.put("/v1/catalogs/a", json={"text": LIST}).status_code == 201
    assert client.put("/v1/catalogs/b", json={"text": LIST}).status_code == 507
    assert client.put("/v1/catalogs/a", json={"text": BETTER}, headers={"If-Match": "*"}).status_code == 200
    app.extensions["rigfeed-database"].close()


def _bomb() -> str:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("content.xml", b" " * 2**25)
    return base64.b64encode(packed.getvalue()).decode()


@pytest.mark.parametrize(("limits", "body", "says"), [
    ({"list_bytes": 20}, {"text": LIST}, "at most 20 are read"),
    ({"list_rows": 1}, {"text": LIST}, "has 2 rows; this server reads at most 1"),
    ({"seconds": 0.0}, {"text": LIST}, "longer than the 0 s"),
    ({}, {"base64": _bomb()}, "unpacks to 33554432 bytes"),
])
def test_work_is_bounded(tmp_path, limits, body, says):
    app = create_app(Settings(tmp_path, limits=replace(Limits(), **limits)))
    answer = app.test_client().post("/v1/intake", json={"catalog": "a", **body})
    app.extensions["rigfeed-database"].close()
    assert answer.status_code == 422
    assert says in answer.text


def test_the_answer_is_what_the_command_line_prints(looking, tmp_path):
    from click.testing import CliRunner

    from rigfeed.cli import rigfeed

    file = tmp_path / "depot.csv"
    file.write_text(LIST)
    printed = json.loads(CliRunner().invoke(rigfeed, ["catalog", "add", str(file), "--dry-run", "--json"]).output)
    told = looking.post("/v1/intake", json={"catalog": "depot", "file": "depot.csv", "text": LIST}).json
    assert told == {**printed, "tag": None}
