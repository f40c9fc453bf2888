"""One design beside another, and a reading entered, over HTTP: the same as without it."""

from __future__ import annotations

import json

import pytest

import rigfeed
from rigfeed import Path, Set, apply
from rigfeed.design.schema import to_plain
from rigfeed.trials.compare import compare
from rigfeed.trials.compare_json import comparison_json

READING = {"node": "start", "idle": "12.62 V", "loaded": "12.49 V", "current": "11.2 A", "temperature": "15 C"}


@pytest.fixture(scope="module")
def designs():
    """Hazel, and the same with a thicker wire and a fuse that is too large."""
    hazel = rigfeed.load(rigfeed.example("hazel"))
    changes = {"conductors.W2.cable": "cable:thinwall-4", "nodes.F1.part": "fuse:blade-15"}
    return hazel, apply(hazel, [Set(Path.parse(path), value) for path, value in changes.items()])


def test_a_comparison_is_that_of_the_kit_and_of_the_command_line(client, designs, hazel):
    one, two = designs
    answer = client.post("/v1/compare", json={"first": hazel, "second": to_plain(two)})
    assert answer.status_code == 200
    assert answer.json == json.loads(json.dumps(comparison_json(compare(one, two))))
    assert {item["path"] for item in answer.json["differences"]} == {"conductors.W2.cable", "nodes.F1.part"}
    assert "fuse-above-equipment-limit" in {finding["check"] for finding in answer.json["gained"]}
    assert not answer.json["same"]
    assert answer.json["cautions"]


def test_a_design_beside_itself(client, hazel):
    answer = client.post("/v1/compare?practice=marine&units=us", json={"first": hazel, "second": hazel}).json
    assert answer["same"]
    assert answer["first"]["practice"] == "marine"


@pytest.mark.parametrize(("body", "pointer"), [
    ({"first": "format = 1"}, "/second"),
    ({"first": "format = 1", "second": "format = 1", "third": ""}, "/third"),
    ({"first": "format = 1", "second": {"nodes": {"a": {"part": 7}}}}, "/second/nodes/a/part"),
    ({"first": "format = 1", "second": "format = 1\n[nodes.a]\npart = 'radio:nothing'"}, "/second/nodes/a/part"),
])
def test_what_is_wrong_points_into_the_body(client, body, pointer):
    answer = client.post("/v1/compare", json=body)
    assert answer.status_code == 422
    assert pointer in {error["pointer"] for error in answer.json["errors"]}


def test_a_reading_gives_edits_that_a_stored_design_takes(client, hazel):
    answer = client.post("/v1/measured", json={"design": hazel, "reading": READING})
    assert answer.status_code == 200
    assert answer.json["resistance_mohm"] == pytest.approx(130 / 11.2)
    assert answer.json["assumed_mohm"] == 12
    stored = client.post("/v1/designs", data=hazel, content_type="application/toml")
    edits = {"edits": answer.json["edits"]}
    changed = client.post(f"{stored.headers['Location']}/edits", json=edits, headers={"If-Match": "*"})
    assert changed.status_code == 200
    settings = client.get(stored.headers["Location"]).json["nodes"]["start"]["settings"]
    assert (settings["resistance"], settings["resistance_at"]) == ("11.61 mohm", "15 C")


@pytest.mark.parametrize(("change", "says"), [
    ({"idle": "12.62"}, "no unit"), ({"current": "0 A"}, "above 0"), ({"loaded": 12.4}, "/reading/loaded"),
    ({"node": None}, "/reading/node"), ({"node": "vhf"}, "/design/nodes/vhf"), ({"node": "nobody"}, "nobody"),
    ({"air": "12 C"}, "unknown"), ({"loaded": "12.7 V"}, "do not fall"), ({"to": None}, "/reading/to"),
    ({"loaded": "0.2 V", "current": "1 mA"}, "out of range"), ({"temperature": "400 C"}, "from -40 to 80 degC"),
])
def test_a_reading_that_cannot_be(client, hazel, change, says):
    answer = client.post("/v1/measured", json={"design": hazel, "reading": {**READING, **change}})
    assert answer.status_code == 422
    assert says in json.dumps(answer.json)
