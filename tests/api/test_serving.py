"""``rigfeed serve`` as a person starts and stops it."""

from __future__ import annotations

import signal
import subprocess
import sys
import threading
import time

import httpx
import pytest
from tests.api.running import PROGRAM, serving

import rigfeed


def run(*arguments: object) -> subprocess.CompletedProcess:
    return subprocess.run(
        [PROGRAM, "serve", *map(str, arguments)], check=False, capture_output=True, text=True, timeout=60
    )


def test_a_signal_lets_a_running_request_finish(tmp_path):
    """The slowest thing at hand is asked for; the signal comes while it is worked on."""
    body = rigfeed.example("larch").read_bytes()
    answers: list[httpx.Response] = []

    def ask() -> None:
        headers = {"Content-Type": "application/toml", "X-Request-Id": "slow"}
        answers.append(httpx.post(f"{server.url}/v1/papers", content=body, headers=headers, timeout=60))

    with serving(tmp_path) as server:
        httpx.get(f"{server.url}/v1/health")
        thread = threading.Thread(target=ask)
        thread.start()
        time.sleep(0.3)
        began = bool(answers)
        code = server.stop(signal.SIGTERM)
        thread.join(timeout=60)
        assert code == 0
        assert not began, "it was over before the signal came: the test proves nothing"
        assert answers[0].status_code == 200
        assert answers[0].content[:2] == b"PK"
        with pytest.raises(httpx.ConnectError):
            httpx.get(f"{server.url}/v1/health")


def test_the_log_is_lines_of_json_without_a_secret(tmp_path):
    data = tmp_path / "data"
    secret = run("--data", data, "token", "add", "shop", "--right", "write").stdout.strip()
    with serving(tmp_path) as server:
        headers = {"Authorization": f"Bearer {secret}", "X-Request-Id": "one"}
        httpx.get(f"{server.url}/v1/checks?secret=hush", headers=headers)
        httpx.get(f"{server.url}/v1/checks", headers={"Authorization": "Bearer of-no-value", "X-Request-Id": "two"})
        server.stop()
        text, lines = server.log.read_text(), {line["request"]: line for line in server.lines()}
    assert secret not in text
    assert "hush" not in text
    assert "of-no-value" not in text
    one = lines["one"]
    assert [one[key] for key in ("method", "path", "status", "caller")] == ["GET", "/v1/checks", 200, "shop"]
    assert one["ms"] > 0
    assert (lines["two"]["status"], lines["two"]["caller"]) == (401, None)


def test_others_than_this_machine_are_let_in_only_with_a_token(tmp_path):
    refused = run("--host", "0.0.0.0", "--port", "0", "--data", tmp_path)
    assert refused.returncode == 2
    assert "no token to keep them out" in refused.stderr
    assert "rigfeed serve token add NAME" in refused.stderr
    run("--data", tmp_path / "data", "token", "add", "shop")
    with serving(tmp_path, "--host", "0.0.0.0") as server:
        port = server.url.rsplit(":", 1)[1]
        assert httpx.get(f"http://127.0.0.1:{port}/v1/checks").status_code == 401


def test_a_revoked_token_does_not_count_as_one(tmp_path):
    run("--data", tmp_path, "token", "add", "shop")
    assert run("--data", tmp_path, "token", "revoke", "shop").returncode == 0
    assert run("--host", "0.0.0.0", "--port", "0", "--data", tmp_path).returncode == 2


def test_tokens_are_listed_without_their_secrets(tmp_path):
    secret = run("--data", tmp_path, "token", "add", "shop", "--right", "write").stdout.strip()
    again = run("--data", tmp_path, "token", "add", "shop")
    assert (again.returncode, "there is or was a token 'shop'" in again.stderr) == (2, True)
    listed = run("--data", tmp_path, "token", "list").stdout
    assert listed.startswith("shop  write  (made ")
    assert secret not in listed
    assert run("--data", tmp_path, "token", "revoke", "nobody").returncode == 2
    run("--data", tmp_path, "token", "revoke", "shop")
    assert "revoked" in run("--data", tmp_path, "token", "list").stdout


def test_a_taken_port_is_told(tmp_path):
    with serving(tmp_path) as server:
        taken = run("--port", server.url.rsplit(":", 1)[1], "--data", tmp_path / "other")
    assert taken.returncode == 2
    assert "cannot listen on 127.0.0.1" in taken.stderr


def test_without_the_extra_it_says_which(tmp_path):
    script = (
        "import sys\n"
        "sys.modules.update(dict.fromkeys(['flask', 'flask_smorest', 'sqlalchemy', 'waitress']))  # as if absent\n"
        "from rigfeed.cli import main\n"
        "sys.argv = ['rigfeed', 'serve']\n"
        "main()\n"
    )
    done = subprocess.run([sys.executable, "-c", script], check=False, capture_output=True, text=True, timeout=60)
    assert done.returncode == 2, done.stderr
    assert "pip install 'rigfeed[api]'" in done.stderr


def test_the_command_loads_nothing_of_the_web_before_it_runs():
    script = "import sys, rigfeed_api.command; print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", script], check=True, capture_output=True, text=True, timeout=60)
    assert not {"flask", "sqlalchemy", "waitress"} & set(done.stdout.split())
