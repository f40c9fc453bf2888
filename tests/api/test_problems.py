"""Whatever goes wrong is a problem document with a pointer; nothing of the inside shows."""

from __future__ import annotations

import logging

import pytest

from rigfeed_api.app import create_app
from rigfeed_api.settings import Limits, Settings

TOML = {"content_type": "application/toml"}


def test_an_error_of_a_design_points_at_key_and_line(client):
    body = 'format = 1\n[nodes.A]\npart = "fuse:no-such"\n[runs.r]\nfrom = "p"\nto = "q"\nlenght = "1 m"\n'
    answer = client.post("/v1/assess", data=body, **TOML)
    assert answer.status_code == 422
    assert answer.content_type == "application/problem+json"
    assert answer.json["title"] == "Unprocessable Entity"
    found = {error["pointer"]: error for error in answer.json["errors"]}
    assert found["/runs/r/lenght"]["line"] == 7
    assert found["/runs/r/lenght"]["remedy"] == "did you mean 'length'?"
    assert found["/runs/r/from"]["path"] == "runs.r.from"


def test_an_error_that_shows_when_assessing_points_at_the_line_too(client):
    answer = client.post("/v1/assess", data='format = 1\n\n[nodes.A]\npart = "fuse:no-such"\n', **TOML)
    (error,) = answer.json["errors"]
    assert (error["pointer"], error["line"]) == ("/nodes/A/part", 4)
    assert answer.json["detail"] == "nodes.A.part: there is no fuse 'no-such'"


def test_an_error_of_json_points_at_line_and_column(client):
    answer = client.post("/v1/assess", data='{\n "format": 1,\n}', content_type="application/json")
    assert answer.status_code == 400
    (error,) = answer.json["errors"]
    assert (error["line"], error["column"]) == (3, 1)


def test_two_halves_of_a_pair_are_a_character_and_one_is_none(client):
    whole = client.post("/v1/calculators/voltage-drop", data=b'{"\\ud83d\\ude00": 1}', content_type="application/json")
    assert whole.status_code == 422
    half = client.post("/v1/calculators/voltage-drop", data=b'{"\\ud83d": 1}', content_type="application/json")
    assert half.status_code == 400
    assert "half of a surrogate pair" in half.json["detail"]


def test_a_method_that_a_path_has_not_is_told_with_those_that_it_has(client):
    answer = client.put("/v1/assess")
    assert answer.status_code == 405
    assert answer.headers["Allow"] == "OPTIONS, POST"
    assert answer.content_type == "application/problem+json"


def test_a_body_of_another_type_is_told_which_are_read(client):
    answer = client.post("/v1/assess", data="x", content_type="text/plain")
    assert answer.status_code == 415
    assert answer.headers["Accept"] == "application/json, application/toml"


def test_an_unknown_option_is_refused(client, hazel):
    answer = client.post("/v1/assess?unit=us", data=hazel, **TOML)
    assert answer.status_code == 422
    assert answer.json["detail"] == "unit: unknown key"


def test_a_fault_of_ours_is_told_without_its_inside_and_logged_with_it(app, client, caplog):
    def broken(*arguments, **named):
        raise ZeroDivisionError("a secret of the inside")

    app.extensions["rigfeed"].assess = broken
    with caplog.at_level(logging.ERROR, "rigfeed.api"):
        answer = client.post("/v1/assess", data="format = 1", **TOML)
    assert answer.status_code == 500
    assert answer.content_type == "application/problem+json"
    assert "secret" not in answer.text
    assert answer.headers["X-Request-Id"] == answer.json["request_id"]
    assert "a secret of the inside" in caplog.text


COUNTS = {
    "nodes": '[nodes.A]\n[nodes.B]\n',
    "conductors": "[conductors.A]\n[conductors.B]\n",
    "states": "[states.a]\n[states.b]\n",
    "deviations": '[[deviations]]\ncheck="a"\nsubject="x"\nreason="r"\nby="b"\n' * 2,
    "text": f'[job]\ntitle = "{"a" * 150}"\n',
    "texts": f'[job]\ntitle = "{"a" * 150}"\nnote = "{"b" * 150}"\n',
}


@pytest.mark.parametrize("count", COUNTS)
def test_a_design_above_a_bound_is_refused_and_one_at_it_is_not(tmp_path, count):
    bound = {"text": 150, "texts": 300}.get(count, 2)
    most, less = {count: bound}, {count: bound - 1}
    body = f"format = 1\n{COUNTS[count]}"
    for number, (limits, status) in enumerate(((Limits(**most), 200), (Limits(**less), 422))):
        app = create_app(Settings(tmp_path / str(number), limits))
        answer = app.test_client().post("/v1/assess", data=body, **TOML)
        app.extensions["rigfeed-database"].close()
        assert answer.status_code == status, answer.text
        if status == 422:
            assert "this server takes at most" in answer.json["detail"]


def test_an_assessment_that_takes_too_long_is_stopped(tmp_path, hazel):
    app = create_app(Settings(tmp_path, Limits(seconds=0.0)))
    answer = app.test_client().post("/v1/assess", data=hazel, **TOML)
    app.extensions["rigfeed-database"].close()
    assert answer.status_code == 422
    assert "takes longer than the 0 s" in answer.json["detail"]


def test_a_caller_that_asks_too_often_is_told_how_long_to_wait(tmp_path):
    app = create_app(Settings(tmp_path, per_minute=3))
    client = app.test_client()
    statuses = [client.get("/v1/health").status_code for _ in range(5)]
    late = client.get("/v1/health")
    app.extensions["rigfeed-database"].close()
    assert statuses == [200, 200, 200, 429, 429]
    assert 1 <= int(late.headers["Retry-After"]) <= 20


def test_the_pace_comes_back_with_time_and_is_each_callers_own():
    from rigfeed_api.limits import Pace

    now = [0.0]
    pace = Pace(60, clock=lambda: now[0])
    assert [pace.wait_s("a") for _ in range(60)] == [0.0] * 60
    assert pace.wait_s("a") == pytest.approx(1.0)
    assert pace.wait_s("b") == 0.0
    now[0] = 0.5
    assert pace.wait_s("a") == pytest.approx(0.5)
    now[0] = 1.6
    assert pace.wait_s("a") == 0.0
