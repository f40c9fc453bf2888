"""What the tests of the HTTP interface share: an app with its client, and a running server."""

from __future__ import annotations

from collections.abc import Iterator

import httpx
import pytest
from flask import Flask
from flask.testing import FlaskClient
from tests.api.running import Server, serving

import rigfeed
from rigfeed.design.schema import to_plain
from rigfeed_api.app import create_app
from rigfeed_api.settings import Settings


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
