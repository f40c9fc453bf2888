"""Tables and texts that the tests of papers share, and an office program to read what was written."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

import rigfeed
from rigfeed.assess import Assessment
from rigfeed.papers.table import Column, Table

HOSTILE = (
    "=1+1",
    '=HYPERLINK("http://example.invalid","x")',
    "+cmd|' /C calc'!A0",
    "-x",
    "-12.5",
    "@x",
    " =1+1",
    "\t=1+1",
    "a;=1+1",
    "#N/A",
    "TRUE",
    "007",
    "'leading apostrophe",
    'a "quoted" word',
    "comma, semicolon; tab\tand",
    "two\nlines",
    "bell\x07 and escape\x1b and delete\x7f",
    "half a pair \ud83d, no character \uffff",
    "_x0041_ is not A",
    "radio 📻 and flag 🇳🇴",
    "נחושת 16 mm2 سلك",
    "16 mm², 4,7 Ω, -20 °C",
    "銅線 十六平方",
    "trailing blank ",
)

CUT_COLUMNS = (
    Column("id", "id", width=5),
    Column("from", "from", width=11),
    Column("to", "to", width=11),
    Column("cable", "cable", width=22),
    Column("colour", "colour", width=8),
    Column("net", "net length", "m", 8, "right"),
    Column("slack", "slack", "m", 7, "right"),
    Column("cut", "cut length", "m", 8, "right"),
    Column("end_a", "end A", width=19),
    Column("end_b", "end B", width=19),
    Column("label", "label", width=14),
)
CABLES = ("stranded copper 16 mm2, 105 degC", "twin lead 2 x 6 mm2", "coax 50 ohm, 5 mm, solid dielectric")
ENDS = (
    "ring M8, crimped, heat-shrink with glue",
    "ferrule 16 mm2, 12 mm",
    "fork 4 mm, blade 6.3 mm x 0.8 mm insulated",
)


@pytest.fixture
def hostile_table() -> Table:
    """Every text that ever made trouble in a spreadsheet, in the second column."""
    rows = tuple((f"T{number}", text, -12.5) for number, text in enumerate(HOSTILE))
    return Table("hostile", "Hostile", (Column("id", "id"), Column("text", "text"), Column("n", "n", "degC")), rows)


@pytest.fixture
def cut_table():
    """A cut list of any length, of the shape and the wordiness of a real one."""

    def make(count: int) -> Table:
        rows = tuple(
            (
                f"W{number}",
                f"start.{'pos' if number % 2 else 'neg'}",
                f"F{number}.a",
                CABLES[number % 3],
                ("RD", "BK", "RD/BK")[number % 3],
                0.35 + number * 0.1234567,
                0.15 if number % 4 else None,
                round(0.505 + number * 0.1234567, 2),
                ENDS[number % 3],
                ENDS[(number + 1) % 3],
                f"W{number} start-F{number}",
            )
            for number in range(1, count + 1)
        )
        notes = (
            "Cut lengths are rounded up to 10 mm; slack is included.",
            "Measure on the vehicle before cutting the first piece: a route along a sill is rarely as short as the "
            "sill, once the cable has gone around the wheel arch and through two grommets.",
        )
        return Table("cut-list", "Cut list", CUT_COLUMNS, rows, notes)

    return make


_ASSESSED: dict[str, Assessment] = {}


@pytest.fixture
def assessed():
    """The assessment of a demonstration design, made once."""

    def of(name: str) -> Assessment:
        if name not in _ASSESSED:
            _ASSESSED[name] = rigfeed.assess_file(rigfeed.example(name))
        return _ASSESSED[name]

    return of


@pytest.fixture
def changed(tmp_path: Path):
    """The assessment of Hazel with texts of its file replaced, and with a catalog beside it."""

    def of(*changes: tuple[str, str], catalog: str = "") -> Assessment:
        text = rigfeed.example("hazel").read_text()
        for old, new in changes:
            assert old in text, old
            text = text.replace(old, new)
        (tmp_path / "hazel.toml").write_text(text)
        if catalog:
            (tmp_path / "catalogs").mkdir(exist_ok=True)
            (tmp_path / "catalogs" / "own.csv").write_text(catalog)
        return rigfeed.assess_file(tmp_path / "hazel.toml")

    return of


@pytest.fixture
def rows():
    """The rows of a paper under the keys of its columns."""

    def of(table: Table) -> list[dict[str, object]]:
        keys = [column.key for column in table.columns]
        return [dict(zip(keys, row, strict=True)) for row in table.rows]

    return of


@pytest.fixture
def office(tool, tmp_path: Path):
    """Convert a file with an office program that has a profile of its own; gives the folder of what it wrote."""
    program = tool("soffice")

    def convert(source: Path, form: str) -> Path:
        folder = tmp_path / f"converted-{source.stem}-{form[:4].rstrip(':')}"
        profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
        command = [program, profile, "--headless", "--convert-to", form, "--outdir", str(folder), str(source)]
        done = subprocess.run(command, capture_output=True, text=True, timeout=180, check=False)
        assert done.returncode == 0, done.stderr
        assert any(folder.iterdir()), done.stdout + done.stderr
        return folder

    return convert
