"""Suppliers' cable lists, as messy as they come: what is expected of every row and figure stands beside the list."""

from __future__ import annotations

import csv
import tomllib
from importlib.resources import files
from pathlib import Path

import pytest

from rigfeed.intake.mapping import Mapping
from rigfeed.intake.taking import take
from rigfeed.registry import make_registry

LISTS = Path(__file__).parent / "lists"
KINDS = make_registry().kinds
CATALOGS = Path(str(files("rigfeed_catalogs"))) / "cables"
NAMES = sorted(path.stem for path in LISTS.glob("*.toml"))


def taken(name: str):
    expected = tomllib.loads((LISTS / f"{name}.toml").read_text())
    (file,) = [path for path in LISTS.glob(f"{name}.*") if path.suffix != ".toml"]
    return take(file.read_bytes(), file.name, KINDS, Mapping(**expected.get("mapping", {}))), expected


@pytest.mark.parametrize("name", NAMES)
def test_every_row_and_figure_of_a_list_is_as_expected(name):
    found, expected = taken(name)
    assert found.kind == "cable"
    assert [outcome.id for outcome in found.outcomes] == [row["id"] for row in expected["row"]]
    for outcome, row in zip(found.outcomes, expected["row"], strict=True):
        notes = [f"{note.level} {note}" for note in outcome.notes]
        assert outcome.state == row["state"], (outcome.id, notes)
        if outcome.state != "refused":
            ours = {key: cell for key, cell in outcome.cells.items() if key not in ("title", "source", "confidence")}
            numbers = {key: float(cell) if isinstance(row.get(key), float) else cell for key, cell in ours.items()}
            wanted = {key: value for key, value in row.items() if key not in ("id", "state", "says", "silent")}
            assert numbers == {k: pytest.approx(v, rel=2e-3) if isinstance(v, float) else v for k, v in wanted.items()}
        for says in row.get("says", ()):
            assert any(says in note for note in notes), (outcome.id, says, notes)


def test_the_lists_are_enough_to_prove_something():
    rows = sum(len(tomllib.loads((LISTS / f"{name}.toml").read_text())["row"]) for name in NAMES)
    assert (len(NAMES) >= 17, rows >= 120) == (True, True)


def _number(cell: str) -> object:
    try:
        return float(cell)
    except ValueError:
        return cell


@pytest.mark.parametrize("file", sorted(CATALOGS.glob("*.csv")), ids=lambda file: file.stem)
def test_the_shipped_cables_come_back_from_a_list_of_them_as_they_are(file):
    text = "".join(line for line in file.read_text().splitlines(keepends=True) if not line.startswith("#"))
    rows = list(csv.DictReader(text.splitlines()))
    found = take(text.encode(), file.name, KINDS, Mapping()).outcomes
    assert len(rows) > 10
    for row, outcome in zip(rows, found, strict=True):
        assert outcome.state != "refused", (row["part"], [str(note) for note in outcome.notes])
        given = {name: _number(cell) for name, cell in row.items() if name not in ("part", "source")}
        assert {name: _number(outcome.cells.get(name, "")) for name in given} == given


@pytest.mark.parametrize(("row", "state"), [
    ("24 AWG;tinned copper;1.1;32.5", "taken with a mark"), ("24 AWG;copper;1.1;32.5", "refused"),
    ("24 AWG;tinned copper;1.1;34.5", "refused"), ("20 AWG;tinned copper;1.8;12.8", "refused"),
])
def test_a_thin_tinned_wire_may_resist_more_than_copper_of_its_size_and_no_other(row, state):
    """ASTM B258: 24 AWG is 0.2047 mm2, so that 32.5 ohm per 1000 ft are 0.0218 ohm mm2/m and 34.5 are 0.0232; FAA AC
    43.13-1B table 11-9 prints 0.0224. Of 20 AWG, 0.5189 mm2, 12.8 ohm are 0.0218 as well."""
    head = "code;size;material;od mm;ohm/1000 ft\nX;"
    (outcome,) = take(f"{head}{row}\n".encode(), "x.csv", KINDS, Mapping(kind="cable")).outcomes
    assert outcome.state == state, [str(note) for note in outcome.notes]


@pytest.mark.parametrize(("header", "cell", "g_per_m"), [
    ("g_per_m", "1.02e+03", 1020.0), ("weight kg/km", "1,02E+03", 1020.0), ("weight (g/m)", "68.5", 68.5),
    ("weight", "68.5 kg/km", 68.5), ("weight", "0.0685 kg/m", 68.5),
])
def test_a_weight_is_one_by_length_and_may_be_too_wide_for_its_column(header, cell, g_per_m):
    text = f"code;size;od mm;ohm/km;{header}\nX;16 mm2;8,1;1,21;{cell}\n"
    (outcome,) = take(text.encode(), "x.csv", KINDS, Mapping(kind="cable", columns={header: "g_per_m"})).outcomes
    assert (outcome.state, float(outcome.cells["g_per_m"])) == ("taken", pytest.approx(g_per_m))


def test_a_strand_notation_that_would_be_inches_is_told_with_all_its_readings():
    found, _ = taken("scenario")
    (row,) = [outcome for outcome in found.outcomes if outcome.id == "16-30PVC"]
    (note,) = [note for note in row.notes if note.column == "strands"]
    assert note.readings == (
        "16 strands of 0.030 mm, 0.0113 mm2", "16 strands of 0.030 inch, 7.3 mm2", "16 strands of AWG 30, 0.815 mm2",
    )
    assert note.likely == "16 strands of AWG 30, 0.815 mm2"


@pytest.mark.parametrize(("cells", "state", "says"), [
    ("2.5 mm2;-3;7.6;25 A @ 30 C", "refused", "'-3' is no outside diameter"),
    ("2.5 mm2;3;\N{MINUS SIGN}7.6;25 A @ 30 C", "refused", "is not one resistance"),
    ("2.5 mm2;3;7.6;1500 mA @ 30 C", "taken", "is not in amps"),
    ("2.5 mm2;3;7.6;0.025 kA @ 30 C", "taken", "is not in amps"),
])
def test_a_misprinted_sign_or_another_unit_is_never_read_as_what_it_is_not(cells, state, says):
    (row,) = take(f"Code;Text;Size;OD;Ohm/km;Amps\nA;wire;{cells}\n".encode(), "x.csv", KINDS).outcomes
    assert row.state == state
    assert "amps_30c" not in row.cells
    assert any(says in str(note) for note in row.notes)


def test_amps_are_amps():
    text = "Code;Text;Size;OD;Ohm/km;Amps\nA;wire;2.5 mm2;3;7.6;25 A @ 30 C\n"
    (row,) = take(text.encode(), "x.csv", KINDS).outcomes
    assert row.cells["amps_30c"] == "25"
