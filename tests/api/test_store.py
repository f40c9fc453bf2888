"""What is kept: revisions, none lost; who was first; what a list shows."""

from __future__ import annotations

import itertools
import sqlite3
import stat
from collections import Counter
from concurrent.futures import ThreadPoolExecutor

import pytest
from sqlalchemy import event
from sqlalchemy import text as sql

from rigfeed.design.file import parse
from rigfeed_api.settings import Room
from rigfeed_api.store.database import Database
from rigfeed_api.store.designs import Designs, Wish, Written
from rigfeed_api.store.errors import Changed, Deleted, NotKept, StoreFull, StoreProblem


@pytest.fixture
def database(tmp_path):
    database = Database(tmp_path / "data")
    yield database
    database.close()


@pytest.fixture
def designs(database):
    clock = itertools.count(1)
    return Designs(database, now=lambda: f"2026-01-01T00:00:{next(clock):02}.000000Z")


def written(title: str, **job: str) -> Written:
    lines = "".join(f'{key} = "{value}"\n' for key, value in job.items())
    text = f'format = 1\n[job]\ntitle = "{title}"\n{lines}'
    return Written(parse(text), text)


def always(kept):
    return True


def to(title: str):
    return lambda kept: written(title)


def test_a_new_design_is_its_first_revision(designs):
    kept = designs.create(written("Larch"), by="shop")
    assert (kept.number, kept.by, kept.how, kept.text) == (1, "shop", "created", written("Larch").text)
    assert designs.latest(kept.id) == designs.revision(kept.id, 1) == kept
    assert kept.size == len(kept.text)


def test_ids_cannot_be_guessed_and_do_not_repeat(designs):
    ids = {designs.create(written("x")).id for _ in range(50)}
    assert len(ids) == 50
    assert all(len(id_) == 16 and id_.isascii() and id_.isalnum() for id_ in ids)


def test_every_change_makes_a_revision_and_the_old_ones_stay(designs):
    first = designs.create(written("one"))
    second, made = designs.change(first.id, always, to("two"), how="replaced", by="a")
    third, _ = designs.change(first.id, always, to("three"), how="edited", by="b")
    assert made
    assert [designs.revision(first.id, n) for n in (1, 2, 3)] == [first, second, third]
    assert len({kept.tag for kept in (first, second, third)}) == 3
    record, revisions = designs.revisions(first.id)
    assert (record.revision, record.title) == (3, "three")
    assert [(r.number, r.how, r.by, r.digest) for r in revisions] == [
        (1, "created", None, first.digest), (2, "replaced", "a", second.digest), (3, "edited", "b", third.digest),
    ]
    assert [r.number for r in designs.revisions(first.id, after=1, most=1)[1]] == [2]


def test_the_same_text_again_makes_no_revision(designs):
    first = designs.create(written("one"))
    assert designs.change(first.id, always, to("one"), how="replaced") == (first, False)
    assert designs.change(first.id, always, lambda kept: None, how="replaced") == (first, False)


def test_a_text_that_comes_back_has_another_tag(designs):
    first = designs.create(written("one"))
    designs.change(first.id, always, to("two"), how="replaced")
    third, _ = designs.change(first.id, always, to("one"), how="replaced")
    assert third.digest == first.digest
    assert third.tag != first.tag


def test_who_did_not_read_the_latest_changes_nothing(designs):
    first = designs.create(written("one"))
    second, _ = designs.change(first.id, always, to("two"), how="replaced")
    with pytest.raises(Changed, match="is at revision 2") as caught:
        designs.change(first.id, lambda kept: kept.tag == first.tag, to("three"), how="replaced")
    assert caught.value.tag == second.tag
    with pytest.raises(Changed):
        designs.delete(first.id, lambda kept: kept.tag == first.tag)
    assert designs.latest(first.id) == second


def test_a_change_that_another_comes_between_is_made_from_what_is_there_then(designs):
    first = designs.create(written("one"))
    seen = []

    def make(kept):
        seen.append(kept.number)
        if len(seen) == 1:
            designs.change(first.id, always, to("between"), how="replaced")
        return written(f"after {kept.number}")

    kept, _ = designs.change(first.id, always, make, how="edited")
    assert (seen, kept.number, kept.text) == ([1, 2], 3, written("after 2").text)


def test_a_change_that_others_always_come_between_gives_up(designs):
    first, count = designs.create(written("one")), itertools.count()

    def make(kept):
        designs.change(first.id, always, to(f"between {next(count)}"), how="replaced")
        return written("never")

    with pytest.raises(StoreProblem, match="all the time"):
        designs.change(first.id, always, make, how="edited")


def test_a_deleted_design_is_gone_and_its_revisions_are_not(designs):
    first = designs.create(written("one"))
    designs.delete(first.id, always, by="shop")
    for asked in (
        lambda: designs.latest(first.id),
        lambda: designs.change(first.id, always, to("two"), how="replaced"),
        lambda: designs.delete(first.id, always),
    ):
        with pytest.raises(Deleted, match="2026-01-01"):
            asked()
    assert designs.revision(first.id, 1) == first
    record, revisions = designs.revisions(first.id)
    assert record.deleted == "2026-01-01T00:00:02.000000Z"
    assert len(revisions) == 1


@pytest.mark.parametrize("number", [0, -1, 2, 10**30])
def test_what_was_never_kept_is_told(designs, number):
    first = designs.create(written("one"))
    with pytest.raises(NotKept, match="no revision"):
        designs.revision(first.id, number)
    with pytest.raises(NotKept, match="no design"):
        designs.latest("../../etc/passwd")


def test_a_list_is_read_page_by_page_whatever_happens_between(designs):
    kept = [designs.create(written(f"n{n}")) for n in range(7)]
    first = designs.list(Wish(most=3))
    designs.delete(kept[2].id, always)
    designs.create(written("n7"))
    rest = designs.list(Wish(most=100, after=first[-1].id))
    assert [record.title for record in (*first, *rest)] == [f"n{n}" for n in range(8)]
    with pytest.raises(NotKept):
        designs.list(Wish(after="nowhere"))


def test_a_list_is_filtered(designs):
    designs.create(written("Larch", practice="road", customer="Forest 100 %"))
    designs.create(written("Ålder", practice="marine", vehicle="STRASSE ß"))
    gone = designs.create(written("Hazel", practice="road"))
    designs.delete(gone.id, always)

    def titles(**wish):
        return [record.title for record in designs.list(Wish(**wish))]

    assert titles() == ["Larch", "Ålder"]
    assert titles(deleted="yes") == ["Larch", "Ålder", "Hazel"]
    assert titles(practice="road") == ["Larch"]
    assert titles(contains="LAR") == ["Larch"]
    assert titles(contains="ålder") == titles(contains="strasse SS") == ["Ålder"]
    assert titles(contains="100 %") == ["Larch"]
    assert titles(contains="1%0") == titles(contains="' OR 1=1 --") == titles(contains="_arch") == []


def test_a_list_follows_what_is_changed(designs):
    first = designs.create(written("old", customer="A"))
    designs.change(first.id, always, to("new"), how="replaced")
    assert [(r.title, r.customer, r.revision) for r in designs.list(Wish())] == [("new", None, 2)]
    assert designs.list(Wish(contains="old")) == ()


def test_it_is_there_when_opened_again_and_only_its_owner_reads_it(tmp_path):
    database = Database(tmp_path / "a" / "b")
    kept = Designs(database).create(written("one"))
    database.close()
    again = Database(tmp_path / "a" / "b")
    assert Designs(again).latest(kept.id) == kept
    for path in (again.path, again.path.with_name(again.path.name + "-wal")):
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
    again.close()


def test_a_commit_waits_for_the_disk(database):
    for session_of in (database.reading, database.writing):
        with session_of() as session:
            assert session.scalar(sql("PRAGMA journal_mode")) == "wal"
            assert session.scalar(sql("PRAGMA synchronous")) == 2  # FULL
            assert session.scalar(sql("PRAGMA foreign_keys")) == 1


def test_a_store_of_a_later_version_is_left_alone(tmp_path):
    database = Database(tmp_path)
    with database.writing() as session:
        session.execute(sql("PRAGMA user_version = 99"))
    database.close()
    with pytest.raises(StoreProblem, match="later version"):
        Database(tmp_path)


def test_what_is_no_store_is_told(tmp_path):
    (tmp_path / "designs.sqlite").write_bytes(b"this is a letter to my aunt, and it is longer than a header" * 40)
    with pytest.raises(StoreProblem, match=r"cannot be opened.*not a database"):
        Database(tmp_path)
    (tmp_path / "file").write_text("")
    with pytest.raises(StoreProblem, match="cannot be opened"):
        Database(tmp_path / "file" / "data")


def test_a_writer_that_gets_no_turn_says_so_and_changes_nothing(tmp_path, monkeypatch):
    monkeypatch.setattr("rigfeed_api.store.database.PATIENCE_S", 0.05)
    database = Database(tmp_path)
    designs = Designs(database)
    first = designs.create(written("one"))
    other = sqlite3.connect(database.path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(StoreProblem, match="locked"):
        designs.change(first.id, always, to("two"), how="replaced")
    assert designs.latest(first.id) == first  # readers go on
    other.execute("ROLLBACK")
    other.close()
    assert designs.change(first.id, always, to("two"), how="replaced")[1]
    database.close()


def test_many_threads_and_two_doors_lose_nothing(tmp_path):
    doors = [Designs(Database(tmp_path)), Designs(Database(tmp_path))]
    first = doors[0].create(written("start"))

    def work(worker: int) -> list[str]:
        mine = []
        for step in range(5):
            name = f"w{worker}s{step}"
            while True:
                read = doors[worker % 2].latest(first.id)
                title = f"{read.text.split(chr(34))[1]} {name}"
                try:
                    doors[worker % 2].change(first.id, lambda k, tag=read.tag: k.tag == tag, to(title), how="edited")
                except Changed:
                    continue
                mine.append(name)
                break
        return mine

    with ThreadPoolExecutor(8) as pool:
        done = [name for mine in pool.map(work, range(8)) for name in mine]
    last = doors[1].latest(first.id)
    assert last.number == 41
    assert Counter(last.text.split('"')[1].split()) == Counter(["start", *done])
    lengths = [len(doors[0].revision(first.id, n).text.split()) for n in range(1, 42)]
    assert [b - a for a, b in itertools.pairwise(lengths)] == [1] * 40
    for door in doors:
        door._database.close()


def test_a_text_that_no_file_could_hold_is_not_kept(designs):
    with pytest.raises(UnicodeEncodeError):
        designs.create(Written(parse("format = 1"), "\ud800"))
    assert designs.list(Wish()) == ()


@pytest.mark.parametrize(("room", "says"), [
    (Room(designs=2), "2 designs are kept; there is room for 2"),
    (Room(bytes=2**10), "there is room for 0.000976562 MiB"),
])
def test_there_is_room_for_so_much(database, room, says):
    designs = Designs(database)
    first, second = designs.create(written("a")), designs.create(written("b"))
    designs.delete(second.id, always)  # which keeps its place: its revisions can still be read
    full = Designs(database, room=room)
    with pytest.raises(StoreFull, match=says):
        full.create(written("c"))
    assert [record.id for record in full.list(Wish(deleted="yes"))] == [first.id, second.id]


def test_a_design_has_so_many_revisions_and_what_changes_nothing_is_none(database):
    designs = Designs(database, room=Room(revisions=2))
    first = designs.create(written("a"))
    second, _ = designs.change(first.id, always, to("b"), how="replaced")
    with pytest.raises(StoreFull, match="2 revisions of a design are kept"):
        designs.change(first.id, always, to("c"), how="replaced")
    assert designs.change(first.id, always, to("b"), how="replaced") == (second, False)
    assert designs.latest(first.id) == second
    designs.delete(first.id, always)


def test_on_a_full_disk_nothing_is_lost_and_what_is_there_is_read(database):
    designs = Designs(database)
    first = designs.create(written("a"))
    with database.writing() as session:  # SQLite itself then says that the disk is full, as it does on one that is
        pages = session.connection().exec_driver_sql("PRAGMA page_count").scalar_one()
    event.listen(database._engine, "begin", lambda c: c.exec_driver_sql(f"PRAGMA max_page_count = {pages}"))
    with pytest.raises(StoreFull, match="the disk is full"):
        designs.create(written("b" * 100_000))
    with pytest.raises(StoreFull, match="the disk is full"):
        designs.change(first.id, always, to("c" * 100_000), how="replaced")
    assert designs.latest(first.id) == first
    assert [record.id for record in designs.list(Wish())] == [first.id]
    event.listen(database._engine, "begin", lambda c: c.exec_driver_sql("PRAGMA max_page_count = 100000"))
    assert designs.change(first.id, always, to("d"), how="replaced")[0].number == 2
