"""Stored designs over HTTP: revisions, tags, and what is answered to whoever is late, wrong or asks twice."""

from __future__ import annotations

import io
import re
import zipfile
from dataclasses import replace

import openpyxl
import pytest

import rigfeed
from rigfeed.json_report import assessment_json
from rigfeed_api.settings import Room

JSON, TOML = "application/json", "application/toml"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@pytest.fixture
def larch() -> str:
    return rigfeed.example("larch").read_text()


@pytest.fixture
def stored(client, larch):
    """Where a new design is, and its tag."""
    made = client.post("/v1/designs", data=larch, content_type=TOML)
    assert made.status_code == 201, made.text
    return made.headers["Location"], made.headers["ETag"]


def put(client, where, body, tag=None, content_type=TOML):
    headers = {} if tag is None else {"If-Match": tag}
    return client.put(where, data=body, content_type=content_type, headers=headers)


def edit(client, where, tag, *edits):
    headers = {} if tag is None else {"If-Match": tag}
    return client.post(f"{where}/edits", json={"edits": list(edits)}, headers=headers)


def count(client, where) -> int:
    return client.get(f"{where}/revisions").json["revision"]


LONGER = {"edit": "set", "path": "runs.cabin.length", "value": "4.6 m"}


def test_what_is_stored_is_read_to_the_letter(client, stored, larch):
    where, tag = stored
    read = client.get(where, headers={"Accept": TOML})
    assert (read.status_code, read.text, read.headers["ETag"]) == (200, larch, tag)
    assert read.content_type == "application/toml; charset=utf-8"


def test_the_same_data_is_read_as_json_and_sent_as_json(client, stored, larch):
    where, _ = stored
    data = client.get(where, headers={"Accept": JSON}).json
    again = client.post("/v1/designs", json=data)
    assert again.status_code == 201
    assert client.get(again.headers["Location"]).json == data
    as_toml = client.get(again.headers["Location"], headers={"Accept": TOML}).text
    assert rigfeed.assess(rigfeed.design.file.parse(as_toml)).findings == rigfeed.assess(
        rigfeed.design.file.parse(larch)
    ).findings


def test_forms_have_tags_of_their_own_and_either_will_do(client, stored):
    where, toml_tag = stored
    json_tag = client.get(where, headers={"Accept": JSON}).headers["ETag"]
    assert json_tag != toml_tag
    assert edit(client, where, json_tag, LONGER).status_code == 200


def test_a_caller_who_has_it_is_told_so(client, stored):
    where, tag = stored
    assert client.get(where, headers={"Accept": TOML, "If-None-Match": tag}).status_code == 304
    assert client.get(where, headers={"Accept": JSON, "If-None-Match": tag}).status_code == 200
    assert client.get(f"{where}/revisions/1", headers={"Accept": TOML, "If-None-Match": tag}).status_code == 304


def test_a_design_that_is_none_is_not_stored(client):
    refused = client.post("/v1/designs", data="format = 1\n[nodes.F1]\npart = 3", content_type=TOML)
    assert refused.status_code == 422
    assert refused.json["errors"][0]["line"] == 3
    assert client.get("/v1/designs").json["designs"] == []


def test_a_design_that_is_no_good_is_stored(client):
    made = client.post("/v1/designs", data='format = 1\n[nodes.F1]\npart = "fuse:no-such"', content_type=TOML)
    assert made.status_code == 201
    assessed = client.get(f"{made.headers['Location']}/revisions/latest/assessment")
    assert assessed.status_code == 422
    assert assessed.json["errors"][0] | {"remedy": ""} == {
        "what": "there is no fuse 'no-such'", "pointer": "/nodes/F1/part", "path": "nodes.F1.part", "line": 3,
        "remedy": "",
    }


# changing

def test_a_change_without_a_tag_is_refused(client, stored, larch):
    where, _ = stored
    for asked in (put(client, where, larch + "\n"), edit(client, where, None, LONGER), client.delete(where)):
        assert asked.status_code == 428
        assert "If-Match" in asked.json["detail"]
    assert count(client, where) == 1


@pytest.mark.parametrize("tag", ['"1.0000"', '""', "nonsense", 'W/"1"', '"', ",", '"a", "b"'])
def test_a_change_of_another_revision_is_refused_and_told_the_latest(client, stored, larch, tag):
    where, right = stored
    for asked in (
        put(client, where, larch + "\n", tag), edit(client, where, tag, LONGER),
        client.delete(where, headers={"If-Match": tag}),
    ):
        assert asked.status_code == 412
        assert asked.headers["ETag"] == right
    assert count(client, where) == 1


def test_a_weak_tag_does_not_do(client, stored, larch):
    where, tag = stored
    assert put(client, where, larch + "\n", f"W/{tag}").status_code == 412


def test_one_of_several_tags_does_and_so_does_a_star(client, stored, larch):
    where, tag = stored
    second = put(client, where, larch + "# two\n", f'"x", {tag}')
    third = put(client, where, larch + "# three\n", "*")
    assert [second.json["revision"], third.json["revision"]] == [2, 3]
    assert client.get(where, headers={"Accept": TOML}).text == larch + "# three\n"


def test_what_is_replaced_by_the_same_makes_no_revision(client, stored, larch):
    where, tag = stored
    for body, content_type in ((larch, TOML), (client.get(where).text, JSON)):
        same = put(client, where, body, tag, content_type)
        assert (same.status_code, same.json["revision"], same.headers["ETag"]) == (200, 1, tag)
    assert count(client, where) == 1


def test_a_replacement_sent_twice_is_answered_twice_and_made_once(client, stored, larch):
    where, tag = stored
    first, again = (put(client, where, larch + "# new\n", tag) for _ in range(2))
    assert first.json == again.json
    assert first.headers["ETag"] == again.headers["ETag"]
    as_json = client.get(where).json | {"job": {"title": "Other"}}
    headers = {"If-Match": first.headers["ETag"]}
    first, again = (client.put(where, json=as_json, headers=headers) for _ in range(2))
    assert (first.status_code, first.json) == (200, again.json)
    assert count(client, where) == 3


def test_an_old_replacement_is_no_repetition_when_another_came_after(client, stored, larch):
    where, tag = stored
    mine = put(client, where, larch + "# mine\n", tag)
    put(client, where, larch + "# theirs\n", mine.headers["ETag"])
    assert put(client, where, larch + "# mine\n", tag).status_code == 412
    assert put(client, where, larch + "# theirs\n", tag).status_code == 412


def test_json_is_worked_into_the_text_and_its_remarks_stay(client, stored, larch):
    where, tag = stored
    data = client.get(where).json
    data["runs"]["cabin"]["length"] = "4.6 m"
    changed = client.put(where, json=data, headers={"If-Match": tag})
    assert changed.json["how"] == "replaced"
    text = client.get(where, headers={"Accept": TOML}).text
    assert text == larch.replace('to = "rear", length = "4.0 m"', 'to = "rear", length = "4.6 m"')
    assert text != larch


def test_edits_make_one_revision_all_or_none(client, stored, larch):
    where, tag = stored
    edits = [
        LONGER,
        {"edit": "rename", "path": "nodes.F1", "new": "F11"},
        {"edit": "remove", "path": "conductors.W16"},
        {"edit": "add", "path": "nodes.horn", "value": {"at": "roof", "facts": {"sealed": True}}},
    ]
    done = edit(client, where, tag, *edits)
    assert (done.status_code, done.json["revision"], done.json["how"]) == (200, 2, "edited")
    data = client.get(where).json
    assert data["conductors"]["W1"]["to"] == "F11.a"
    assert data["runs"]["cabin"]["length"] == "4.6 m"
    assert "W16" not in data["conductors"]
    assert data["nodes"]["horn"] == {"at": "roof", "facts": {"sealed": True}}
    text = client.get(where, headers={"Accept": TOML}).text
    assert "# charger input: 16 mm2, so that the 40 A fuse protects it at 90 degC" in text
    wrong = edit(client, where, done.headers["ETag"], LONGER | {"value": "9 m"}, {"edit": "remove", "path": "nodes.F1"})
    assert wrong.status_code == 422
    assert client.get(where).json == data


def test_edits_without_effect_make_no_revision(client, stored):
    where, tag = stored
    back = [LONGER, LONGER | {"value": "4.0 m"}]
    assert edit(client, where, tag, *back).headers["ETag"] == tag
    assert edit(client, where, tag).json["revision"] == 1


def test_a_deleted_design_is_gone_and_its_revisions_can_be_read(client, stored, larch):
    where, tag = stored
    second = put(client, where, larch + "# two\n", tag).headers["ETag"]
    gone = client.delete(where, headers={"If-Match": second})
    assert (gone.status_code, gone.data) == (204, b"")
    for asked in (
        client.get(where), client.delete(where, headers={"If-Match": second}), put(client, where, larch, second),
        edit(client, where, "*", LONGER), client.get(f"{where}/revisions/latest"),
        client.get(f"{where}/revisions/latest/assessment"),
    ):
        assert asked.status_code == 410
        assert "was deleted" in asked.json["detail"]
    assert client.get(f"{where}/revisions/1", headers={"Accept": TOML}).text == larch
    assert client.get(f"{where}/revisions/2/papers/cut-list", headers={"Accept": "text/csv"}).status_code == 200
    about = client.get(f"{where}/revisions").json
    assert about["deleted"]
    assert [revision["revision"] for revision in about["revisions"]] == [1, 2]
    assert client.get("/v1/designs").json["designs"] == []
    assert len(client.get("/v1/designs?deleted=yes").json["designs"]) == 1


@pytest.mark.parametrize("place", [
    "aaaaaaaaaaaaaaaa", "..", "%2e%2e%2f%2e%2e%2fetc%2fpasswd", "a'%20OR%20'1'='1", "x" * 3000, "%00", "é", "%ff",
])
def test_what_was_never_stored_is_not_found(client, place):
    for path in (place, f"{place}/revisions", f"{place}/revisions/1", f"{place}/revisions/latest/assessment"):
        asked = client.get(f"/v1/designs/{path}")
        assert asked.status_code in (404, 405), path
        assert asked.content_type == "application/problem+json"
    assert put(client, f"/v1/designs/{place}", "format = 1", "*").status_code in (404, 405)


@pytest.mark.parametrize("number", ["0", "2", "-1", "1.0", "01", "9" * 9, "9" * 30, "Latest", "first", "%31%30"])
def test_revisions_that_are_none_are_not_found(client, stored, number):
    assert client.get(f"{stored[0]}/revisions/{number}").status_code == 404


# lists

def test_lists_are_walked_through_page_by_page(client):
    made = [
        client.post("/v1/designs", json={"format": 1, "job": {"title": f"van {n}"}}).json["id"] for n in range(5)
    ]
    seen, where = [], "/v1/designs?limit=2&contains=VAN"
    while where:
        page = client.get(where).json
        seen += [record["id"] for record in page["designs"]]
        where = page["next"]
    assert seen == made
    assert client.get("/v1/designs?contains=van%203").json["designs"][0]["title"] == "van 3"
    assert client.get(f"/v1/designs?after={'a' * 16}").status_code == 404


@pytest.mark.parametrize("query", [
    "limit=0", "limit=501", "limit=x", "limit=1e2", "after=../x", "deleted=perhaps", "sort=title", "practice=A%20B",
])
def test_a_list_that_cannot_be_is_refused(client, query):
    refused = client.get(f"/v1/designs?{query}")
    assert refused.status_code == 422
    assert refused.json["errors"][0]["pointer"] == "/" + query.split("=")[0]


def test_revisions_are_walked_through_page_by_page(client, stored, larch):
    where, tag = stored
    for number in range(4):
        tag = put(client, where, f"{larch}# {number}\n", tag).headers["ETag"]
    seen, page = [], f"{where}/revisions?limit=2"
    while page:
        answer = client.get(page).json
        seen += [(r["revision"], r["how"], r["bytes"]) for r in answer["revisions"]]
        page = answer["next"]
    assert seen == [(1, "created", len(larch.encode()))] + [
        (n, "replaced", len(larch.encode()) + 4) for n in range(2, 6)
    ]


# what follows from a revision

def test_each_revision_is_assessed_as_it_was(client, stored):
    where, tag = stored
    thinner = {"edit": "set", "path": "conductors.W2.cable", "value": "cable:thinwall-10"}
    assert edit(client, where, tag, thinner).status_code == 200
    first, second, latest = (
        client.get(f"{where}/revisions/{n}/assessment").json for n in (1, 2, "latest")
    )
    assert first == assessment_json(rigfeed.assess_file(rigfeed.example("larch")))
    assert second == latest
    assert "fuse-above-ampacity" in {finding["check"] for finding in second["findings"]}
    assert "fuse-above-ampacity" not in {finding["check"] for finding in first["findings"]}
    marine = client.get(f"{where}/revisions/1/assessment?practice=marine").json
    assert marine["practice"]["name"] == "marine"


def test_papers_of_a_revision_come_in_every_form(client, stored):
    where, _ = stored
    place = f"{where}/revisions/1/papers"
    as_csv = client.get(f"{place}/cut-list?units=us", headers={"Accept": "text/csv"})
    assert as_csv.text.startswith("id,cable,colour,from,to,net length [in]")
    assert client.get(f"{place}/cut-list").json["name"] == "cut-list"
    book = openpyxl.load_workbook(io.BytesIO(client.get(f"{place}/cut-list", headers={"Accept": XLSX}).data))
    assert book.sheetnames == ["Cut list"]
    whole = openpyxl.load_workbook(io.BytesIO(client.get(place, headers={"Accept": XLSX}).data))
    assert whole.sheetnames[:2] == ["Title block", "Cut list"]
    with zipfile.ZipFile(io.BytesIO(client.get(place).data)) as archive:
        assert {"papers.xlsx", "csv/cut-list.csv", "json/cut-list.json"} <= set(archive.namelist())
    assert client.get(f"{place}/no-such").status_code == 404
    assert client.get(place, headers={"Accept": "image/png"}).status_code == 406


def test_drawings_of_a_revision(client, stored, app):
    where, _ = stored
    for name in app.extensions["rigfeed"].registry.drawings:
        drawn = client.get(f"{where}/revisions/1/drawings/{name}")
        assert drawn.status_code == 200
        assert drawn.content_type.startswith("image/svg+xml")
        assert re.search(r"<svg\b", drawn.text)
    assert client.get(f"{where}/revisions/1/drawings/no-such").status_code == 404


def test_figures_of_a_revision(client, stored, app):
    where, _ = stored
    place = f"{where}/revisions/1/figures"
    for name in app.extensions["rigfeed"].registry.figures:
        subjects = client.get(f"{place}/{name}/subjects").json["subjects"]
        asked = f"{place}/{name}" + (f"?subject={subjects[0]['id']}" if subjects else "")
        assert client.get(asked).json["name"] == name
        assert client.get(asked, headers={"Accept": "image/png"}).data.startswith(b"\x89PNG")
    assert client.get(f"{place}/no-such").status_code == 404


# forms that nobody takes, and a store that cannot be used

def test_nothing_is_kept_for_a_caller_who_takes_no_answer(client, larch, stored):
    where, tag = stored
    headers = {"Accept": "text/html", "If-Match": tag}
    assert client.post("/v1/designs", data=larch, content_type=TOML, headers=headers).status_code == 406
    assert client.put(where, data=larch + "#\n", content_type=TOML, headers=headers).status_code == 406
    assert client.post(f"{where}/edits", json={"edits": [LONGER]}, headers=headers).status_code == 406
    assert len(client.get("/v1/designs").json["designs"]) == count(client, where) == 1


def test_a_store_that_cannot_be_used_says_try_again_and_no_more(client, app, stored, larch, monkeypatch, caplog):
    where, tag = stored
    monkeypatch.setattr("rigfeed_api.store.database.PATIENCE_S", 0.01)
    turn = app.extensions["rigfeed-database"]._turn
    with turn:
        asked = put(client, where, larch + "#\n", tag)
    assert (asked.status_code, asked.headers["Retry-After"]) == (503, "2")
    assert "sqlite" not in asked.text
    assert "too many write at once" in caplog.text
    assert put(client, where, larch + "#\n", tag).status_code == 200


def test_a_text_that_grows_beyond_what_can_be_read_is_refused(client):
    title = "x" * 90
    data = {"format": 1, "zones": {f"z{n}": {"title": title} for n in range(8800)}}
    made = client.post("/v1/designs", json=data)
    assert made.status_code == 201
    where, tag = made.headers["Location"], made.headers["ETag"]
    more = [{"edit": "add", "path": f"zones.y{n}", "value": {"title": title}} for n in range(400)]
    refused = edit(client, where, tag, *more)
    assert refused.status_code == 422
    assert "larger than 1 MiB" in refused.json["detail"]
    assert count(client, where) == 1


def test_who_made_a_revision_is_known_where_tokens_are_asked_for(client, app, larch):
    from rigfeed_api.tokens import Tokens

    tokens = Tokens(app.extensions["rigfeed-database"])
    write, read = ({"Authorization": f"Bearer {tokens.add(n, r)}"} for n, r in (("shop", "write"), ("screen", "read")))
    made = client.post("/v1/designs", data=larch, content_type=TOML, headers=write)
    assert (made.status_code, made.json["by"]) == (201, "shop")
    where = made.headers["Location"]
    for asked in (
        client.post("/v1/designs", data=larch, content_type=TOML, headers=read),
        client.put(where, data=larch, content_type=TOML, headers=read | {"If-Match": "*"}),
        client.delete(where, headers=read | {"If-Match": "*"}),
        client.post(f"{where}/edits", json={"edits": [LONGER]}, headers=read | {"If-Match": "*"}),
    ):
        assert asked.status_code == 403
    assert client.get(where, headers=read).status_code == 200
    assert client.get(where).status_code == 401


@pytest.mark.parametrize("room", [Room(designs=1, revisions=1), Room(bytes=1)])
def test_a_full_store_says_so_and_goes_on_reading(app, client, stored, larch, room):
    where, tag = stored
    engine = app.extensions["rigfeed"]
    engine.settings = replace(engine.settings, room=room)
    for answer in (
        client.post("/v1/designs", data=larch, content_type=TOML), put(client, where, larch + "\n", tag),
        edit(client, where, tag, LONGER),
    ):
        assert (answer.status_code, answer.content_type) == (507, "application/problem+json")
        assert "nothing was changed" in answer.json["detail"]
        assert "room" in answer.json["detail"]
    assert put(client, where, larch, tag).status_code == 200
    assert client.get(where, headers={"Accept": TOML}).text == larch
    assert count(client, where) == 1
