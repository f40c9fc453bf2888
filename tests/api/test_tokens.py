"""Tokens: made once, kept as a hash, worthless when revoked."""

from __future__ import annotations

import base64
import hashlib
import hmac
from types import SimpleNamespace

import pytest

from rigfeed.errors import InputError
from rigfeed_api import tokens as module
from rigfeed_api.store.database import Database
from rigfeed_api.store.errors import NameTaken, NotKept
from rigfeed_api.tokens import Tokens


@pytest.fixture
def database(tmp_path):
    database = Database(tmp_path)
    yield database
    database.close()


@pytest.fixture
def tokens(database):
    return Tokens(database, now=lambda: "2026-01-01T00:00:00.000000Z")


def test_a_secret_is_256_random_bits_and_finds_its_token(tokens):
    secrets = [tokens.add(name, right) for name, right in (("shop", "write"), ("screen", "read"))]
    assert len({*secrets}) == 2
    for secret in secrets:
        bits = base64.urlsafe_b64decode(secret.removeprefix("rft_") + "=")
        assert len(bits) * 8 == 256
    shop, screen = (tokens.find(secret) for secret in secrets)
    assert (shop.name, shop.right) == ("shop", "write")
    assert (screen.name, screen.right) == ("screen", "read")


def test_only_the_hash_is_kept(tokens, database):
    secret = tokens.add("shop", "read")
    database.close()
    kept = b"".join(path.read_bytes() for path in database.path.parent.iterdir())
    assert hashlib.sha256(secret.encode()).digest() in kept
    assert secret.encode() not in kept
    assert secret.removeprefix("rft_").encode() not in kept
    assert base64.urlsafe_b64decode(secret.removeprefix("rft_") + "=") not in kept


@pytest.mark.parametrize("secret", ["", "rft_", "rft_" + "A" * 43, "x" * 10_000, "\ud800", "shop", "\x00"])
def test_what_is_no_secret_finds_nothing(tokens, secret):
    right = tokens.add("shop", "write")
    assert tokens.find(secret) is None
    assert tokens.find(right[:-1]) is None
    assert tokens.find(right + "A") is None


def test_every_token_is_compared_in_full_whichever_fits(tokens, monkeypatch):
    secrets = [tokens.add(name, "read") for name in ("a", "b", "c")]
    compared = []

    def compare(one: bytes, other: bytes) -> bool:
        compared.append((len(one), len(other)))
        return hmac.compare_digest(one, other)

    monkeypatch.setattr(module, "hmac", SimpleNamespace(compare_digest=compare))
    for secret in (*secrets, "nothing"):
        compared.clear()
        tokens.find(secret)
        assert compared == [(32, 32)] * 3


def test_a_revoked_token_is_worthless_and_keeps_its_name(tokens):
    secret = tokens.add("shop", "write")
    assert tokens.revoke("shop").revoked == "2026-01-01T00:00:00.000000Z"
    assert tokens.find(secret) is None
    assert tokens.revoke("shop").revoked == "2026-01-01T00:00:00.000000Z"
    with pytest.raises(NameTaken):
        tokens.add("shop", "write")
    assert [(t.name, t.right, t.revoked is None) for t in tokens.list()] == [("shop", "write", False)]


def test_a_store_whose_last_token_was_revoked_stays_shut(tokens):
    assert not tokens.any()
    tokens.add("shop", "write")
    tokens.revoke("shop")
    assert tokens.any()


def test_what_does_not_exist_cannot_be_revoked(tokens):
    with pytest.raises(NotKept):
        tokens.revoke("shop")


@pytest.mark.parametrize("name", ["", " ", "a b", "a/b", "\n", "-a", "é", "x" * 65])
def test_names_are_plain_words(tokens, name):
    with pytest.raises(InputError):
        tokens.add(name, "read")
    assert tokens.list() == ()
