"""Thousands of made-up requests against a running server, held against its own document.

The suite sends a moderate number; ``RIGFEED_FUZZ=200`` (``make fuzz``) sends two hundred for each operation.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from tests.api.running import PROGRAM, serving

ROOT = Path(__file__).parents[2]
CONFIG = ROOT / "tests" / "api" / "fuzz" / "schemathesis.toml"
EXAMPLES = int(os.environ.get("RIGFEED_FUZZ", "8"))


@pytest.fixture
def guarded(tmp_path, monkeypatch):
    """A server with a token that may write whatever there is, catalogs too, and the token."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "own"))
    made = subprocess.run(
        [PROGRAM, "serve", "--data", tmp_path / "data", "token", "add", "fuzz",
         "--right", "write"],
        check=True, capture_output=True, text=True, timeout=60,
    )
    with serving(tmp_path, "--change-catalogs") as server:
        yield server, made.stdout.strip()


@pytest.mark.slow
def test_no_made_up_request_gets_an_answer_that_the_document_does_not_have(guarded, tmp_path):
    server, secret = guarded
    config = tmp_path / "schemathesis.toml"
    config.write_text(f"{CONFIG.read_text()}\n[phases.stateful.generation]\nmax-examples = {max(EXAMPLES, 60)}\n")
    command = [
        Path(sys.executable).with_name("schemathesis"), "--config-file", config, "run", f"{server.url}/openapi.json",
        "--max-examples", str(EXAMPLES), "--seed", "1", "--checks", "all", "-H", f"Authorization: Bearer {secret}",
    ]
    done = subprocess.run(
        [*map(str, command)], check=False, capture_output=True, text=True, cwd=ROOT, timeout=3600,
        env={**os.environ, "HYPOTHESIS_STORAGE_DIRECTORY": str(tmp_path / "hypothesis")},
    )
    (tmp_path / "fuzz.txt").write_text(done.stdout)
    assert done.returncode == 0, done.stdout[-6000:] + done.stderr[-2000:]
    covered, selected = map(int, re.search(r"API Links:\s+(\d+) covered / (\d+) selected", done.stdout).groups())
    assert covered >= 8, done.stdout  # the requests that follow one another really ran
    assert selected >= covered
    assert all(line["status"] < 500 for line in server.lines() if line["what"] == "served")
    assert secret not in server.log.read_text()
