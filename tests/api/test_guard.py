"""Who may do what: tokens, the names that a server without tokens answers to, the headers of every answer."""

from __future__ import annotations

import pytest

from rigfeed_api.tokens import Tokens

TOML = {"content_type": "application/toml"}


@pytest.fixture
def secrets(app):
    """The secrets of a token that may read and of one that may write."""
    tokens = Tokens(app.extensions["rigfeed-database"])
    return {right: tokens.add(f"{right}er", right) for right in ("read", "write")}


def bearing(secret: str) -> dict[str, str]:
    return {"Authorization": f"Bearer {secret}"}


def test_without_a_token_nothing_but_health_and_the_papers_of_the_house_is_open(client, secrets, hazel):
    assert client.get("/v1/health").status_code == 200
    assert client.get("/").status_code == 200
    assert client.get("/openapi.json").status_code == 200
    answer = client.post("/v1/assess", data=hazel, **TOML)
    assert answer.status_code == 401
    assert answer.headers["WWW-Authenticate"] == 'Bearer realm="rigfeed"'


NEARLY = ["", "Bearer", "Bearer ", "Bearer nope", "Basic {}", "{}", "Bearer {}x", "Bearer x{}"]


@pytest.mark.parametrize("header", NEARLY)
def test_what_is_nearly_a_token_opens_nothing(client, secrets, header):
    headers = {"Authorization": header.format(secrets["write"])}
    assert client.get("/v1/checks", headers=headers).status_code == 401


def test_a_token_to_read_reads_and_assesses_and_one_to_write_keeps(client, secrets, hazel):
    read, write = bearing(secrets["read"]), bearing(secrets["write"])
    assert client.get("/v1/designs", headers=read).status_code == 200
    assert client.post("/v1/assess", data=hazel, headers=read, **TOML).status_code == 200
    refused = client.post("/v1/designs", data=hazel, headers=read, **TOML)
    assert refused.status_code == 403
    assert "may read only" in refused.json["detail"]
    assert client.post("/v1/designs", data=hazel, headers=write, **TOML).status_code == 201


def test_a_revoked_token_opens_nothing_and_leaves_the_door_shut(app, client, secrets):
    tokens = Tokens(app.extensions["rigfeed-database"])
    for right in ("read", "write"):
        tokens.revoke(f"{right}er")
    assert client.get("/v1/checks", headers=bearing(secrets["write"])).status_code == 401
    assert client.get("/v1/checks").status_code == 401


@pytest.mark.parametrize(("host", "status"), [
    ("localhost", 200), ("127.0.0.1:8477", 200), ("[::1]:8477", 200), ("LOCALHOST:1", 200),
    ("evil.example", 403), ("127.0.0.1.evil.example:8477", 403), ("localhost.evil.example", 403),
])
def test_without_tokens_a_page_of_somebody_else_reaches_nothing_by_another_name(client, host, status):
    assert client.get("/v1/checks", headers={"Host": host}).status_code == status


def test_with_tokens_any_name_will_do(client, secrets):
    headers = {**bearing(secrets["read"]), "Host": "designs.example"}
    assert client.get("/v1/checks", headers=headers).status_code == 200


@pytest.mark.parametrize("path", ["/", "/v1/health", "/v1/nothing", "/openapi.json"])
def test_every_answer_carries_the_headers_and_an_id(client, path):
    headers = client.get(path).headers
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Content-Security-Policy"].startswith("default-src 'none'")
    assert headers["Cache-Control"] == "no-store"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert len(headers["X-Request-Id"]) == 16
    assert "Access-Control-Allow-Origin" not in headers


@pytest.mark.parametrize(("given", "kept"), [("job-17.a", True), ("a" * 65, False), ("a b", False), ("<i>", False)])
def test_a_caller_may_name_its_request(client, given, kept):
    assert (client.get("/v1/health", headers={"X-Request-Id": given}).headers["X-Request-Id"] == given) is kept
