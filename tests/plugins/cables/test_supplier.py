"""Suppliers' cable lists, as messy as they come: what is expected of every row and figure stands beside the list."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from rigfeed.intake.mapping import Mapping
from rigfeed.intake.taking import take
from rigfeed.registry import make_registry

LISTS = Path(__file__).parent / "lists"
KINDS = make_registry().kinds
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
