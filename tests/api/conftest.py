"""What the tests of the HTTP interface share: an app with its client, and a server in a process of its own."""

from __future__ import annotations

import contextlib
import json
import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import httpx
import pytest
from flask import Flask
from flask.testing import FlaskClient

import rigfeed
from rigfeed.design.schema import to_plain
from rigfeed_api.app import create_app
from rigfeed_api.settings import Settings

TOML = {"content_type": "application/toml"}


@pytest.fixture
def app(tmp_path) -> Iterator[Flask]:
    made = create_app(Settings(tmp_path / "data"))
    yield made
    made.extensions["rigfeed-database"].close()


@pytest.fixture
def client(app) -> FlaskClient:
    return app.test_client()


@pytest.fixture
def hazel() -> str:
    """A demonstration design as text."""
    return rigfeed.example("hazel").read_text()


@pytest.fixture
def hazel_plain() -> dict:
    """The same as the data of a JSON body."""
    return to_plain(rigfeed.load(rigfeed.example("hazel")))


@dataclass
class Server:
    """A running server: where it is, what it has logged so far, its process."""

    url: str
    log: Path
    process: subprocess.Popen

    def lines(self) -> list[dict]:
        """The lines of its log."""
        return [json.loads(line) for line in self.log.read_text().splitlines() if line.startswith("{")]

    def stop(self, number: int = signal.SIGTERM) -> int:
        """Send a signal and wait; the exit code."""
        self.process.send_signal(number)
        return self.process.wait(timeout=30)


@contextlib.contextmanager
def serving(folder: Path, *arguments: str) -> Iterator[Server]:
    """``rigfeed serve`` on a free port, with its data in a folder."""
    log = folder / "server.log"
    program = str(Path(sys.executable).with_name("rigfeed"))
    command = [program, "serve", "--port", "0", "--data", str(folder / "data"), *arguments]
    folder.mkdir(parents=True, exist_ok=True)
    with log.open("w") as errors:
        process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=errors, text=True, env=dict(os.environ))
    try:
        assert process.stdout is not None
        line = process.stdout.readline()
        match = re.search(r"http://\S+", line)
        assert match, (line, log.read_text())
        yield Server(match[0].rstrip("/"), log, process)
    finally:
        if process.poll() is None:
            process.kill()
        process.wait(timeout=30)
        assert process.stdout is not None
        process.stdout.close()


@pytest.fixture(scope="session")
def server(tmp_path_factory) -> Iterator[Server]:
    """A server for all tests that only look; a test that ends it starts its own with `serving`."""
    with serving(tmp_path_factory.mktemp("server")) as started:
        yield started


@pytest.fixture
def http(server) -> Iterator[httpx.Client]:
    """A connection to that server."""
    with httpx.Client(base_url=server.url, timeout=30) as made:
        yield made
