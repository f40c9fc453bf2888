"""Supplier lists from the command line: a dry run writes nothing, a new list shows what it changes before it does."""

from __future__ import annotations

import json
import os
import pty
import signal
import subprocess
import sys
from pathlib import Path

import click
import pytest

LIST = "Code;Text;Size;OD;Ohm/km;Price EUR/m\nA1;red 2,5 mm2;2,5 mm2;2,9;7,6;0,45\nA2;red 4 mm2;4 mm2;3,6;4,7;0,80\n"


@pytest.fixture
def own(tmp_path, monkeypatch) -> Path:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    return tmp_path / "data" / "rigfeed"


@pytest.fixture
def depot(tmp_path) -> Path:
    path = tmp_path / "depot.csv"
    path.write_text(LIST)
    return path


def test_a_dry_run_tells_all_and_writes_nothing(run, own, depot):
    code, out, _ = run("catalog", "add", depot, "--dry-run")
    assert code == 0
    assert "2 rows: 2 taken, 0 taken with a mark, 0 refused" in out
    assert not own.exists()


def test_an_added_list_is_on_the_shelf_with_its_provenance(run, own, depot):
    assert run("catalog", "add", depot)[0] == 0
    data = json.loads(run("catalog", "show", "cable:depot/A1", "--json")[1])["part"]
    assert data["figures"]["area_mm2"] == 2.5
    assert data["figures"]["price"] == "0.45 EUR"
    assert data["source"].startswith("depot.csv row 2, sha256 ")
    assert "read 20" in data["source"]
    assert (own / "suppliers" / "depot.toml").exists()


def test_a_new_list_shows_its_changes_and_asks_before_it_replaces(run, own, depot, monkeypatch):
    run("catalog", "add", depot)
    kept = (own / "catalogs" / "depot.csv").read_bytes()
    depot.write_text(LIST.replace("7,6", "7,5").replace("A2", "A3"))
    code, out, _ = run("catalog", "compare", depot)
    assert code == 0
    assert "changed A1: ohm_per_km 7.6 -> 7.5" in out
    assert "added A3" in out
    assert "removed A2" in out
    monkeypatch.setattr(click, "confirm", lambda *_, **__: (_ for _ in ()).throw(click.Abort()))
    assert run("catalog", "add", depot)[0] == 2
    assert (own / "catalogs" / "depot.csv").read_bytes() == kept
    assert run("catalog", "add", depot, "--yes")[0] == 0
    assert b"A3" in (own / "catalogs" / "depot.csv").read_bytes()


def test_what_was_settled_once_is_used_again(run, own, tmp_path):
    path = tmp_path / "bare.csv"
    path.write_text("Code;Text;Size;OD\nB1;black;10;5,4\n")
    code, out, err = run("catalog", "add", path)
    assert code == 2
    assert "can be more than one size" in out
    assert "no row can be taken" in err
    assert run("catalog", "add", path, "--treat", "size=awg")[0] == 0
    data = json.loads(run("catalog", "add", path, "--dry-run", "--json")[1])
    assert data["rows"][0]["cells"]["gauge"] == "10"
    assert data["changes"] == []


def test_beside_a_design_and_removed_again(run, own, depot, tmp_path):
    design = tmp_path / "job" / "van.toml"
    assert run("catalog", "add", depot, "--design", design)[0] == 0
    assert (tmp_path / "job" / "catalogs" / "depot.csv").exists()
    assert run("catalog", "remove", "depot", "--design", design, "--yes")[0] == 0
    assert not (tmp_path / "job" / "catalogs" / "depot.csv").exists()
    assert run("catalog", "remove", "depot", "--yes")[0] == 2


def test_names_that_are_no_names_or_are_taken_are_refused(run, own, depot):
    for name in ("../x", "a.b", "demo-cables"):
        code, _, err = run("catalog", "add", depot, "--as", name)
        assert code == 2
        assert "rigfeed:" in err
    assert not (own / "catalogs").exists()


def test_a_person_sees_how_far_it_is_and_ctrl_c_leaves_what_was_there(run, own, depot):
    run("catalog", "add", depot)
    before = {path: path.read_bytes() for path in own.rglob("*") if path.is_file()}
    depot.write_text(LIST + "".join(f"B{number};blue 2,5 mm2;2,5 mm2;2,9;7,6;0,45\n" for number in range(150_000)))
    ours, theirs = pty.openpty()
    command = [Path(sys.executable).with_name("rigfeed"), "catalog", "add", depot, "--yes"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=theirs, text=True) as process:
        os.close(theirs)
        told = b""
        while b"% row " not in told:
            told += os.read(ours, 1000)
        process.send_signal(signal.SIGINT)
        assert process.stdout.read() == ""
        assert process.wait(timeout=30) == 2
    assert b"stopped" in os.read(ours, 1000)
    os.close(ours)
    assert {path: path.read_bytes() for path in own.rglob("*") if path.is_file()} == before


def test_a_pipe_gets_no_progress(run, own, depot):
    depot.write_text(LIST + "".join(f"B{number};blue 2,5 mm2;2,5 mm2;2,9;7,6;0,45\n" for number in range(3000)))
    _, _, err = run("catalog", "add", depot, "--dry-run")
    assert err == ""


def test_a_pasted_table_is_piped_in_under_a_name(run, own, depot, tmp_path):
    program = Path(sys.executable).with_name("rigfeed")
    begin = [program, "catalog", "add", "-"]
    pasted = LIST.replace(";", "\t")
    done = subprocess.run([*begin, "--as", "pasted"], input=pasted, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert "A1" in (own / "catalogs" / "pasted.csv").read_text()
    nameless = subprocess.run(begin, input=LIST, capture_output=True, text=True, check=False)
    assert nameless.returncode == 2
    assert "piped in gives the catalog no name (name it with --as NAME" in nameless.stderr
    unnamed = depot.rename(tmp_path / "con.csv")
    for command in ("add", "compare"):
        _, _, err = run("catalog", command, unnamed)
        assert "'con' cannot be the name of a catalog (name it with --as NAME" in err
