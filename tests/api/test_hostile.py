"""Bodies and paths that mean harm: each gets a clear refusal, quickly, the memory stays bounded, nothing is written."""

from __future__ import annotations

import hashlib
import json
import re
from pathlib import Path

import pytest
from tests.api.running import serving

J, T = "application/json", "application/toml"
MOST_S = 15.0  # of one refusal on a machine that does other things too
MOST_GROWN_KIB = 500 * 1024
FULL = 2**20 - 200


def toml(body: str) -> bytes:
    return f"format = 1\n{body}".encode()


def plain(**tables: object) -> bytes:
    return json.dumps({"format": 1, **tables}).encode()


def wrong(value: object) -> bytes:
    return plain(nodes={"A": {"part": value}})


MANY = range(20_000)
BODIES: dict[str, tuple[bytes, str]] = {
    "nothing": (b"", J),
    "nothing as toml": (b"", T),
    "not json": (b"{", J),
    "not toml": (b"[nodes", T),
    "json as toml": (b'{"format": 1}', T),
    "toml as json": (b"format = 1", J),
    "a form": (b"a=1", "application/x-www-form-urlencoded"),
    "a picture": (b"\x89PNG\r\n", "image/png"),
    "half a character": (b'{"format": 1, "job": {"title": "\xff"}}', J),
    "half a character in toml": (b'title = "\xff"', T),
    "utf-16": ('{"format": 1}'.encode("utf-16"), J),
    "null": (b"null", J),
    "a list": (b"[]", J),
    "a number": (b"1", J),
    "a text": (b'"format = 1"', J),
    "not a number": (b'{"format": NaN}', J),
    "infinity": (b'{"format": 1, "drawing": {"x": Infinity}}', J),
    "a number beyond all": (b'{"format": 1, "drawing": {"x": 1e999}}', J),
    "a number of many digits": (b'{"format": 1' + b"0" * 100_000 + b"}", J),
    "a number of many digits in toml": (b"format = 1" + b"0" * 100_000, T),
    "a key twice": (b'{"format": 1, "format": 1}', J),
    "a key twice in toml": (b"format = 1\nformat = 1", T),
    "deep lists": (b"[" * FULL, J),
    "deep objects": (b'{"a":' * (FULL // 5), J),
    "deep but whole": (b'{"format": 1, "drawing": ' + b'{"a":' * 60 + b"1" + b"}" * 61, J),
    "deep lists in toml": (b"a = " + b"[" * (FULL // 2), T),
    "deep tables in toml": (b"a = " + b"{b=" * (FULL // 4), T),
    "deep settings": (toml("[nodes.A]\nsettings = { x = " + "[" * 300 + "]" * 300 + " }"), T),
    "a key of many parts": (toml("a." * (FULL // 2) + "a = 1"), T),
    "a quoted key of many parts": (toml('"\\"".' * (FULL // 6) + "a = 1"), T),
    "a key of many parts behind a mark": (b"\xef\xbb\xbf" * 2 + b"a." * (FULL // 2 - 9) + b"a = 1", T),
    "a header of many parts": (toml("[" + "a . " * (FULL // 4 - 8) + "a]"), T),
    "ten megabytes": (b'{"format": 1, "job": {"note": "' + b"a" * 10 * 2**20 + b'"}}', J),
    "ten megabytes of toml": (b"#" * 10 * 2**20, T),
    "a long text": (toml('[job]\ntitle = "' + "A " * (FULL // 2 - 40) + '"'), T),
    "a long id": (plain(nodes={"A" * 100_000: {}}), J),
    "a long key": (plain(**{"k" * 100_000: 1}), J),
    "a long part": (wrong("cable:" + "a" * 100_000), J),
    "a part with a path": (wrong("cable:../../etc/passwd"), J),
    "a catalog with a path": (wrong("cable:..%2f..%2fetc/passwd"), J),
    "an id with a path": (plain(nodes={"../../etc/passwd": {}}), J),
    "an id with a null": (plain(nodes={"A\0": {}}), J),
    "a title with a null": (plain(job={"title": "\0"}), J),
    "a title that a terminal obeys": (plain(job={"title": "\x1b[2J"}), J),
    "half a surrogate": (b'{"format": 1, "job": {"title": "\\ud800"}}', J),
    "half a surrogate as a key": (b'{"format": 1, "\\udc00": 1}', J),
    "half a surrogate deep inside": (b'{"format": 1, "drawing": {"a": ["\\ud83d", "\\ude00"]}}', J),
    "a practice with a path": (plain(job={"practice": "../../etc/passwd"}), J),
    "a part that is a list": (wrong([["cable:a"]]), J),
    "a part that is a number": (wrong(1), J),
    "a part that is a table": (wrong({"a": {}}), J),
    "nodes that are a list": (plain(nodes=[{"part": "joint"}]), J),
    "conductors that are a text": (plain(conductors="W1"), J),
    "a job that is true": (plain(job=True), J),
    "states that are null": (plain(states=None), J),
    "a format that is a text": (json.dumps({"format": "1"}).encode(), J),
    "a format of the future": (json.dumps({"format": 2**63}).encode(), J),
    "a format below zero": (json.dumps({"format": -1}).encode(), J),
    "numbers for quantities": (plain(runs={"a": {"from": "x", "to": "y", "length": 1}}), J),
    "a quantity of many digits": (plain(runs={"a": {"from": "x", "to": "y", "length": "1" * 200_000 + " m"}}), J),
    "a mapping of methods": (plain(__class__={"__init__": {}}), J),
    "very many nodes": (plain(nodes={f"N{i}": {} for i in MANY}), J),
    "very many conductors": (plain(conductors={f"N{i}": {} for i in MANY}), J),
    "very many states": (plain(states={f"S{i}": {} for i in range(1000)}), J),
    "very many mistakes": (plain(nodes={f"N{i}": {"x": 1} for i in MANY}), J),
    "very many terminals": (plain(conductors={"A": {"from": ["a.b"] * 100_000}}), J),
    "very many old cables": (plain(
        points={"p": {}, "q": {}}, runs={"r": {"from": "p", "to": "q"}},
        passages={"H": {"run": "r", "diameter": "200 mm", "existing": [f"{2 + i / 100} mm" for i in range(500)]}},
    ), J),
    "very many deviations": (plain(
        deviations=[{"check": "return-far", "subject": "x", "reason": "y", "by": "z"}] * 900,
    ), J),
}


@pytest.fixture(scope="module")
def alone(tmp_path_factory):
    folder = tmp_path_factory.mktemp("hostile")
    with serving(folder) as server:
        yield server, folder


def kept(folder: Path) -> dict[str, str]:
    """The content of every file that a server has, but for its log."""
    return {
        str(path): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in folder.rglob("*") if path.is_file() and path.name != "server.log"
    }


def highest_kib(pid: int) -> int:
    return int(re.search(r"VmHWM:\s+(\d+) kB", Path(f"/proc/{pid}/status").read_text())[1])


def test_fifty_of_them_are_tried():
    assert len(BODIES) >= 50


def test_each_body_is_refused_clearly_quickly_and_without_a_trace(alone):
    import httpx

    server, folder = alone
    with httpx.Client(base_url=server.url, timeout=60) as http:
        http.post("/v1/assess", content=b"format = 1", headers={"Content-Type": T})  # what is read once, is read
        before, memory = kept(folder), highest_kib(server.process.pid)
        for name, (body, media_type) in BODIES.items():
            for path in ("/v1/assess", "/v1/designs"):
                answer = http.post(path, content=body, headers={"Content-Type": media_type})
                assert 400 <= answer.status_code < 500, (name, path, answer.status_code)
                assert answer.headers["Content-Type"] == "application/problem+json", (name, path)
                problem = answer.json()
                assert problem["status"] == answer.status_code
                assert problem["detail"], name
                assert len(answer.content) < 60_000, (name, "a refusal that repeats what was sent")
                assert answer.elapsed.total_seconds() < MOST_S, (name, answer.elapsed)
        assert kept(folder) == before
        assert highest_kib(server.process.pid) - memory < MOST_GROWN_KIB
        assert http.get("/v1/health").status_code == 200


def test_a_body_in_pieces_without_a_length_is_bounded_too(alone):
    import httpx

    server, _ = alone
    pieces = (b"#" * 2**16 for _ in range(160))
    answer = httpx.post(f"{server.url}/v1/assess", content=pieces, headers={"Content-Type": T}, timeout=60)
    assert answer.status_code == 413
    assert answer.headers["Content-Type"] == "application/problem+json"


PATHS = [
    "/v1/parts/..%2F..%2F..%2Fetc%2Fpasswd", "/v1/parts/../../../etc/passwd", "/static/../app.py",
    "/static/..%2fapp.py", "/static/%2e%2e/settings.py", "/v1/practices/..%2F..%2Fetc%2Fpasswd",
    "/v1/catalogs/..%2Fplanted", "/v1/papers/%00", "/v1/checks/" + "a" * 5000, "/v1/designs/../../designs.sqlite",
    "/v1/designs/..%2Fdesigns.sqlite", "//etc/passwd", "/v1/parts/cable:%0d%0aSet-Cookie:a=b",
]


@pytest.mark.parametrize("path", PATHS)
def test_no_path_leads_out_of_the_house(alone, path):
    import http.client

    server, _ = alone
    host, port = server.url.removeprefix("http://").split(":")
    connection = http.client.HTTPConnection(host, int(port), timeout=30)
    connection.request("GET", path)  # as it is: a client with manners would straighten it
    answer = connection.getresponse()
    body = answer.read()
    connection.close()
    assert answer.status in (404, 405, 422), (path, answer.status)
    assert b"root:" not in body
    assert "Set-Cookie" not in answer.headers


def test_a_compressed_body_is_not_unpacked(alone):
    import gzip

    import httpx

    server, _ = alone
    bomb = gzip.compress(b"#" * 2**24)
    headers = {"Content-Type": T, "Content-Encoding": "gzip"}
    assert httpx.post(f"{server.url}/v1/assess", content=bomb, headers=headers).status_code == 415
