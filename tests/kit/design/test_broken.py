"""Broken design files: each is refused with exit code 2 and a line that says where, what, and what to do."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path as FilePath

import pytest

from rigfeed.cli import main
from rigfeed.design.file import read
from rigfeed.errors import InputErrors, RigfeedError

BROKEN = FilePath(__file__).parent / "broken"
RIGFEED = shutil.which("rigfeed", path=str(FilePath(sys.executable).parent)) or "rigfeed"

# file, path of the key, line, a piece of what is wrong, a piece of what to do
CASES = [
    # the text itself
    ("empty", "format", None, "is missing", "write format = 1"),
    ("remarks-only", "format", None, "is missing", "write format = 1"),
    ("bracket-missing", "", 10, "a [ has no matching ]", "[nodes.F1]"),
    ("quote-missing", "", 8, "no closing quote on its line", 'between two "'),
    ("value-missing", "", 4, "has no value", "write key = value"),
    ("equals-missing", "", 4, "'=' is missing", "write key = value"),
    ("comma-missing", "", 16, "a comma in it is missing", "part by commas"),
    ("truncated", "", 17, "no closing quote", 'between two "'),
    ("header-twice", "", 15, "[nodes] stands twice", "must be unique"),
    ("id-twice", "", 13, "the same key stands twice", "must be unique"),
    ("key-twice", "", 13, "'at' stands twice", "must be unique"),
    ("backslash", "", 4, "a \\ stands in a text", r"write \\ for one"),
    ("two-on-a-line", "", 4, "stands behind a value", "one key to a line"),
    ("no-such-date", "", 8, "not in the calendar", "2026-05-31"),
    # the format
    ("format-missing", "format", None, "is missing", "write format = 1"),
    ("format-newer", "format", 1, "written by a later version", "update"),
    ("format-zero", "format", 1, "does not exist", "write format = 1"),
    ("format-text", "format", 1, "not the number of a format", "write format = 1"),
    # sorts of values
    ("nodes-list", "nodes", 10, "a list where a table is wanted", "names such as F1"),
    ("node-text", "nodes.F1", 12, "is not a table", "{ key = value }"),
    ("title-number", "job.title", 4, "a number where a text is wanted", "in quotes"),
    ("yes-in-quotes", "vehicle.battery_sensor", 4, "'yes' is neither true nor false", "without quotes"),
    ("wrong-choice", "vehicle.system_voltage", 4, "'13.8 V' is not one of the choices", '"12 V", "24 V"'),
    ("route-text", "conductors.W2.route", 17, "a text where a list is wanted", "square brackets"),
    ("colour-word", "conductors.W1.colour", 16, "'red' is no colour code of IEC 60757", "RD red"),
    ("on-is-words", "deviations.0.on", 8, "'last May' is not a date", "2026-05-31"),
    ("deviation-unsigned", "deviations.0.by", 3, "is missing", "add it"),
    # quantities
    ("decimal-comma", "conductors.W1.length", 16, "decimal comma", "write 0.15 m"),
    ("no-unit", "conductors.W1.length", 16, "has no unit", "0.15 m"),
    ("bare-number", "conductors.W1.length", 16, "a length with its unit is wanted", '"0.15 m"'),
    ("wrong-unit", "conductors.W1.length", 16, "is a voltage, not a length", "use one of: m, mm"),
    ("unknown-unit", "conductors.W1.length", 16, "'cubits' is not a unit", "use one of: m, mm"),
    ("length-zero", "conductors.W1.length", 16, "is not above 0 m", "above 0, at most 1000 m"),
    ("length-negative", "conductors.W1.length", 16, "is not above 0 m", "above 0, at most 1000 m"),
    ("not-a-number", "conductors.W1.length", 16, "a length with its unit is wanted", '"2.5 m"'),
    ("length-infinite", "conductors.W1.length", 16, "not a number with a unit", "2.5 m"),
    ("length-vast", "conductors.W1.length", 16, "'150 km', that is 150000 m, is out of range", "at most 1000 m"),
    ("zone-upside-down", "zones.bay.coldest", 4, "above the warmest", "exchange"),
    ("charge-above-full", "states.low.start.start", 16, "out of range", "from 0 to 100 %"),
    # keys and names
    ("unknown-key", "runs.floor.lenght", 8, "unknown key 'lenght'", "'length'"),
    ("unknown-table", "cables", 15, "unknown key 'cables'", "conductors"),
    ("id-with-space", 'nodes."main fuse"', 12, "cannot be a name", "a letter, then letters"),
    ("id-begins-with-digit", "nodes.1F", 12, "cannot be a name", "a letter, then letters"),
    ("capitals-only", "nodes.f1", 13, "'f1' differs from 'F1' only in capitals", "another name"),
    ("label-shared", "conductors.vhf", 17, "also the name of the node 'vhf'", "another name"),
    # references
    ("unknown-point", "nodes.vhf.at", 13, "no point 'saet'", "'seat'"),
    ("unknown-run", "conductors.W2.route.0", 17, "no run 'flor'", "'floor'"),
    ("unknown-node", "conductors.W1.to", 16, "no node 'F9'", "F1"),
    ("terminal-misshaped", "conductors.W1.to", 16, "'F1' is not a terminal", "'F1.a'"),
    ("run-to-itself", "runs.floor.to", 8, "ends at the point where it starts", "another point"),
    ("ends-differ", "conductors.W1.to", 16, "2 terminals, but 1 in from", "one terminal per core"),
    ("one-fitting", "conductors.W1.ends", 16, "only one end fitting", "name two"),
    ("one-sleeve", "conductors.W1.sleeves", 16, "only one sleeve", '"" at an end that gets none'),
    ("sleeve-is-a-ring", "conductors.W1.sleeves.0", 16, "is not a sleeve", '"sleeve:" and the name of a row'),
    ("loom-is-a-sleeve", "runs.floor.loom", 8, "is not a loom", '"loom:" and the name of a row'),
    ("bore-wider-than-hole", "passages.H1.bore", 11, "a bore of 13 mm in a hole of 12 mm", "exchange the two"),
    ("bore-of-bare-edge", "passages.H1.bore", 11, "only a grommet or a gland has a bore", "leave the bore out"),
    ("unknown-state", "duty.day.steps.0.state", 16, "no state 'tx'", "none is defined"),
    ("state-of-nobody", "states.tx.modes.uhf", 16, "no node 'uhf'", "'vhf'"),
    # parts, known only with the shelf
    ("unknown-part", "nodes.F1.part", 12, "no fuse 'blade-11'", "'blade-10'"),
    ("unknown-kind", "nodes.F1.part", 12, "no part kind 'fuze'", "'fuse'"),
    ("part-misshaped", "nodes.F1.part", 12, "'Fuse blade 10' is not the key of a part", "'cable:thinwall-2.5'"),
    ("unknown-terminal", "conductors.W1.to", 16, "'in'", "a, b"),
    ("unknown-mode", "states.tx.modes.vhf", 16, "'shout'", "transmit"),
    ("radio-as-cable", "conductors.W1.cable", 16, "is no cable", "conducts"),
    ("cable-as-node", "nodes.F1.part", 12, "cannot be a node", "device"),
    ("cores-and-terminals", "conductors.W1.from", 16, "2 cores", "inner, shield"),
    ("unknown-setting", "nodes.start.settings.rest_volts", 11, "unknown key 'rest_volts'", "'rest_voltage'"),
    ("setting-comma", "nodes.start.settings.rest_voltage", 11, "decimal comma", "write 12.4 V"),
    ("holder-is-fuse", "nodes.F1.settings.holder", 12, "'fuse:blade-10' is not a holder", "holder:"),
    ("charge-of-a-radio", "states.tx.start.vhf", 16, "has no charge", "battery"),
]

# The validating library's own words, which know neither file nor reader.
LEAKS = (
    "Not a valid", "Missing data", "Field may not", "Invalid input", "Invalid value", "_schema", "Traceback", "None",
)


@pytest.fixture
def check(monkeypatch, capsys):
    """Exit code, output and errors of ``rigfeed check FILE``, in this process."""

    def run(file):
        monkeypatch.setattr(sys, "argv", ["rigfeed", "check", str(file)])
        with pytest.raises(SystemExit) as left:
            main()
        said = capsys.readouterr()
        return left.value.code or 0, said.out, said.err

    return run


def test_every_broken_file_has_its_case():
    assert {path.stem for path in BROKEN.glob("*.toml")} == {case[0] for case in CASES} | {"several", "thirty"}


@pytest.mark.parametrize("case", CASES, ids=[case[0] for case in CASES])
def test_a_broken_file_is_refused_where_it_is_broken(case, check):
    name, path, line, what, remedy = case
    file = BROKEN / f"{name}.toml"
    code, out, err = check(file)
    assert (code, out) == (2, "")
    place = f"{file}:{line}" if line else str(file)
    told = next(row for row in err.splitlines() if row.removeprefix("rigfeed: ").startswith(place))
    told = told.removeprefix("rigfeed: ").removeprefix(place)
    assert told.startswith(f": {path}: " if path else ":")
    assert what in told
    assert remedy in told.rpartition("(")[2] or remedy in told[told.index(what) + len(what) :]
    assert not [word for word in LEAKS if word in err]


@pytest.mark.parametrize("name", ["decimal-comma", "unknown-part", "truncated", "several"])
def test_the_installed_command_says_the_same(name, check):
    file = BROKEN / f"{name}.toml"
    done = subprocess.run([RIGFEED, "check", file], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout, done.stderr) == check(file)


def test_all_errors_of_a_file_are_listed_by_line(check):
    file = BROKEN / "several.toml"
    _, _, err = check(file)
    assert [row.removeprefix(f"{file}:").split(": ")[:2] for row in err.splitlines()[1:]] == [
        ["4", "job.titel"],
        ["7", "points.battery.zone"],
        ["11", "runs.floor.to"],
        ["14", "nodes.F1.at"],
        ["18", "conductors.W1.to"],
        ["19", "conductors.W1.length"],
    ]


def test_of_thirty_errors_twenty_are_listed_and_the_rest_counted(check):
    _, _, err = check(BROKEN / "thirty.toml")
    rows = err.splitlines()
    assert [f"runs.R{number}.from" in row for number, row in enumerate(rows[1:21], start=1)] == [True] * 20
    assert rows[21:] == ["... and 10 more"]
    with pytest.raises(InputErrors) as caught:
        read(BROKEN / "thirty.toml")
    assert len(caught.value.errors) == 30


BYTES = {
    "not UTF-8": (b'format = 1\n[job]\ntitle = "Garten\xfcbung"\n', ":3: is not UTF-8 text (byte 32)", "save it again"),
    "UTF-16": ("format = 1\n".encode("utf-16"), ":1: is not UTF-8 text (byte 0)", "save it again"),
    "NUL": (b"format = 1\n\x00\n", ":2:1: is not valid TOML", "write key = value"),
    "a control character": (b'format = 1\n[job]\ntitle = "a\x07b"\n', ":3:11: is not valid TOML: the char", "remove"),
    "an escaped one": (b'format = 1\n[job]\ntitle = "a\\u0007b"\n', ":3: job.title: holds the control", "remove"),
    "old line ends": (b"format = 1\r[job]\r", ":1:11: is not valid TOML", ""),
    "above 1 MiB": (b"format = 1\n#" + b"x" * 2**20, ": is larger than 1 MiB", "split it"),
    "nested lists": (b"format = 1\nx = " + b"[" * 5000, ": is nested too deeply", "few tables"),
    "a vast number": (b"format = 1\n\nx = " + b"9" * 5000, ":3: is not valid TOML: a number has thousands", "shorter"),
    "a vast format": (b"format = " + b"9" * 4000, ":1: format: a format of so many digits was written by", "update"),
    "a number beyond all printing": (b"format = 0x" + b"f" * 5000, ":1: format: a format of so many digits", "update"),
    "a number above 64 bits": (
        b"format = 1\n[nodes.F1.settings]\nx = 99999999999999999999\n",
        ":3: nodes.F1.settings.x: is too large a number", "digits",
    ),
    "an endless setting": (
        b"format = 1\n[nodes.F1.settings]\nx = [1, -inf]\n", ":3: nodes.F1.settings.x: -inf is not a", "leave it",
    ),
    "a deep setting": (
        b"format = 1\n[nodes.F1.settings]\nx = " + b"[" * 50 + b"]" * 50, ":3: nodes.F1.settings.x: is nested too", "8",
    ),
    "a long text": (
        b"format = 1\n[nodes.F1]\npart = '" + b"x" * 100_000 + b"'", ":3: nodes.F1.part: 'xxx", "cable:thinwall-2.5",
    ),
}


@pytest.mark.parametrize("name", BYTES)
def test_broken_bytes_are_refused(name, tmp_path, check):
    content, what, remedy = BYTES[name]
    (tmp_path / "d.toml").write_bytes(content)
    code, out, err = check(tmp_path / "d.toml")
    assert (code, out) == (2, "")
    assert f"{tmp_path / 'd.toml'}{what}" in err
    assert remedy in err
    assert len(err) < 500
    assert not [word for word in LEAKS if word in err]


@pytest.mark.parametrize(
    ("name", "what"),
    [
        ("none.toml", "No such file"),
        ("", "Is a directory"),
        ("x" * 300, "name too long"),
        ("d.toml/x", "Not a directory"),
    ],
)
def test_a_file_that_cannot_be_read_is_named(name, what, tmp_path, check):
    (tmp_path / "d.toml").write_bytes(b"format = 1\n")
    code, _, err = check(tmp_path / name)
    assert code == 2
    assert str(tmp_path / name) in err
    assert what in err


def test_an_error_found_by_the_reader_keeps_its_fields():
    with pytest.raises(RigfeedError) as caught:
        read(BROKEN / "decimal-comma.toml")
    error = caught.value
    assert (error.place.line, str(error.place.path), error.remedy) == (16, "conductors.W1.length", "write 0.15 m")
