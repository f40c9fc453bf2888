"""Many who write at once, and a server that is killed while they do: nothing that was answered is ever lost."""

from __future__ import annotations

import hashlib
import itertools
import os
import random
import signal
import sqlite3
import threading
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field

import httpx
import pytest
from tests.api.running import Server, serving

import rigfeed
from rigfeed_api.store.database import FILE, Database
from rigfeed_api.store.designs import Designs, Wish
from rigfeed_api.store.errors import Deleted

KILLS = int(os.environ.get("RIGFEED_KILLS", "4"))  # fifty and more show what four may miss
WRITERS, EACH = 20, 3
TOML = {"Content-Type": "application/toml"}
AS_TOML = {"Accept": "application/toml"}


@pytest.mark.slow
def test_twenty_writers_on_one_design_lose_nothing(tmp_path):
    with serving(tmp_path) as server, ThreadPoolExecutor(WRITERS) as pool:
        made = httpx.post(f"{server.url}/v1/designs", content=rigfeed.example("hazel").read_text(), headers=TOML)
        where = f"{server.url}{made.headers['Location']}"
        tries = sum(pool.map(lambda writer: _write(where, writer), range(WRITERS)))
        with httpx.Client(timeout=60) as client:
            about = client.get(f"{where}/revisions?limit=500").json()
            texts = [client.get(f"{where}/revisions/{n}").json()["nodes"] for n in range(1, about["revision"] + 1)]
    wanted = {f"w{writer}s{step}" for writer in range(WRITERS) for step in range(EACH)}
    assert about["revision"] == 1 + len(wanted)
    assert [revision["revision"] for revision in about["revisions"]] == [*range(1, about["revision"] + 1)]
    added = [set(after) - set(before) for before, after in itertools.pairwise(texts)]
    removed = [set(before) - set(after) for before, after in itertools.pairwise(texts)]
    assert Counter(name for names in added for name in names) == Counter(wanted)
    assert all(len(names) == 1 for names in added)
    assert not any(removed)
    assert tries > len(wanted)  # they really got in each other's way
    assert all(line["status"] in (200, 201, 412) for line in server.lines() if line["what"] == "served")


def _write(where: str, writer: int) -> int:
    """Add nodes one by one, half of the writers by edits, half by sending the whole text; how many tries it took."""
    tries = 0
    with httpx.Client(timeout=60) as client:
        for step in range(EACH):
            name = f"w{writer}s{step}"
            while True:
                tries += 1
                read = client.get(where, headers=AS_TOML)
                match = {"If-Match": read.headers["ETag"]}
                if writer % 2:
                    edit = {"edit": "add", "path": f"nodes.{name}", "value": {"title": name}}
                    sent = client.post(f"{where}/edits", json={"edits": [edit]}, headers=match)
                else:
                    text = read.text + f'\n[nodes.{name}]\ntitle = "{name}"\n'
                    sent = client.put(where, content=text, headers=TOML | match)
                if sent.status_code == 200:
                    break
                assert sent.status_code == 412, sent.text
    return tries


@dataclass
class Book:
    """What the server has answered for: the digest of each revision, and what is deleted."""

    digests: dict[tuple[str, int], str] = field(default_factory=dict)
    deleted: set[str] = field(default_factory=set)
    asked_to_delete: set[str] = field(default_factory=set)


@pytest.mark.slow
def test_a_server_that_is_killed_has_kept_all_that_it_answered_for(tmp_path):
    book = Book()
    for number in range(KILLS):
        before = len(book.digests)
        with serving(tmp_path) as server:
            _load_and_kill(server, book, random.Random(number))
        assert len(book.digests) > before, "it was killed before it had written anything"
        _hold_against(tmp_path / "data", book)
    with serving(tmp_path) as server:  # and it goes on
        (id_, number), digest = next(iter(book.digests.items()))
        text = httpx.get(f"{server.url}/v1/designs/{id_}/revisions/{number}", headers=AS_TOML).text
        assert hashlib.sha256(text.encode()).hexdigest() == digest


def _load_and_kill(server: Server, book: Book, chance: random.Random) -> None:
    stop = threading.Event()
    seeds = [chance.random() for _ in range(6)]
    known = len(book.digests)
    with ThreadPoolExecutor(6) as pool:
        running = [pool.submit(_write_on, server.url, book, random.Random(seed), stop) for seed in seeds]
        until = time.monotonic() + 30
        while len(book.digests) < known + 6 and time.monotonic() < until:
            time.sleep(0.01)
        time.sleep(chance.uniform(0.0, 0.4))
        assert server.stop(signal.SIGKILL) == -signal.SIGKILL
        stop.set()
        for each in running:
            each.result()


def _write_on(url: str, book: Book, chance: random.Random, stop: threading.Event) -> None:
    """Create, change and delete designs until the server is gone, and keep book of every answer."""
    with httpx.Client(base_url=url, timeout=20) as client:
        try:
            while not stop.is_set():
                made = client.post("/v1/designs", content=_text(chance), headers=TOML)
                assert made.status_code == 201, made.text
                where, tag = made.headers["Location"], made.headers["ETag"]
                _note(book, made)
                for _ in range(chance.randrange(6)):
                    changed = client.put(where, content=_text(chance), headers=TOML | {"If-Match": tag})
                    assert changed.status_code == 200, changed.text
                    tag = changed.headers["ETag"]
                    _note(book, changed)
                if chance.random() < 0.3:
                    id_ = made.json()["id"]
                    book.asked_to_delete.add(id_)
                    assert client.delete(where, headers={"If-Match": tag}).status_code == 204
                    book.deleted.add(id_)
        except httpx.TransportError:
            return  # killed


def _text(chance: random.Random) -> str:
    zones = "".join(f'[zones.z{n}]\ntitle = "{"x" * 1500}"\n' for n in range(chance.randrange(14)))  # up to 20 kB
    return f'format = 1\n[job]\ntitle = "{chance.random()}"\n{zones}'


def _note(book: Book, answer: httpx.Response) -> None:
    kept = answer.json()
    sent = hashlib.sha256(answer.request.content).hexdigest()
    assert kept["digest"] == sent
    book.digests[kept["id"], kept["revision"]] = sent


def _hold_against(data, book: Book) -> None:
    """Everything that was answered for is there, and nothing is half there."""
    with sqlite3.connect(data / FILE) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
    connection.close()
    database = Database(data)
    designs = Designs(database)
    for (id_, number), digest in book.digests.items():
        kept = designs.revision(id_, number)
        assert kept.digest == hashlib.sha256(kept.text.encode()).hexdigest() == digest
    for id_ in book.deleted:
        with pytest.raises(Deleted):
            designs.latest(id_)
    answered = Counter(id_ for id_, _ in book.digests)
    for record in designs.list(Wish(most=10_000, deleted="yes")):
        numbers = [revision.number for revision in designs.revisions(record.id, most=1000)[1]]
        assert numbers == [*range(1, record.revision + 1)]
        assert 0 <= record.revision - answered[record.id] <= 1  # at most the one that was never answered
        if record.deleted:
            assert record.id in book.asked_to_delete
    database.close()
