"""The command that enters a reading."""

from __future__ import annotations

import json
import shutil

import pytest

from rigfeed import load
from rigfeed.examples import example

READING = ("start", "--idle", "12.62 V", "--loaded", "12.49 V", "--current", "11.2 A", "--temperature", "15 C")


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "van.toml"
    shutil.copy(example("hazel"), path)
    return path


def test_it_is_shown_and_written_only_when_asked(run, file):
    before = file.read_bytes()
    code, out, _ = run("measured", file, *READING)
    assert code == 0
    assert out.startswith("start (flooded battery 45 Ah): 11.6 mohm")
    assert "Not written yet" in out
    assert "Disconnect the battery" in out
    assert max(map(len, out.splitlines())) <= 79
    assert file.read_bytes() == before
    code, _, _ = run("measured", file, *READING, "--write")
    assert code == 0
    settings = load(file).nodes["start"].settings
    assert (str(settings["resistance"]), str(settings["resistance_at"])) == ("11.61 mohm", "15 C")
    changed = [line for line in file.read_text().splitlines() if line not in before.decode().splitlines()]
    assert len(changed) == 1


def test_as_data(run, file):
    code, out, _ = run("measured", file, "stud", "--idle", "0 mV", "--loaded", "58 mV", "--current", "6.5 A", "--to",
                       "start", "--json")
    assert code == 0
    data = json.loads(out)
    assert data["resistance_mohm"] == pytest.approx(58 / 6.5)
    assert data["assumed_mohm"] == 5.0
    assert [edit["path"] for edit in data["edits"]] == [
        "nodes.stud.settings.resistance", "nodes.strap.settings.resistance",
    ]
    assert data["cautions"]


@pytest.mark.parametrize(("arguments", "says"), [
    (("vhf", "--idle", "1 V", "--loaded", "2 V", "--current", "1 A"), "no resistance that can be entered"),
    (("stad", "--idle", "1 V", "--loaded", "2 V", "--current", "1 A"), "stud"),
    (("start", "--idle", "12,6 V", "--loaded", "12.5 V", "--current", "1 A"), "12.6 V"),
    (("start", "--idle", "12.6 V", "--loaded", "12.5 V", "--current", "0 A"), "above 0 A"),
])
def test_what_cannot_be_entered_stops(run, file, arguments, says):
    code, _, err = run("measured", file, *arguments)
    assert code == 2
    assert says in err


@pytest.mark.parametrize(("more", "says"), [
    (("--current", "1 mA"), "out of range"),
    (("--current", "11.2 A", "--temperature", "400 C"), "from -40 to 80 degC"),
])
def test_a_reading_that_cannot_be_true_leaves_the_file_alone(run, file, more, says):
    before = file.read_bytes()
    code, out, err = run("measured", file, "start", "--idle", "12.62 V", "--loaded", "0.2 V", *more, "--write")
    assert (code, out) == (2, "")
    assert says in err
    assert file.read_bytes() == before
