"""Lists of fuses, batteries, lugs and sets: read by the columns of their kind alone, units and prices never guessed."""

from __future__ import annotations

import json

import pytest

from rigfeed.errors import InputError, UnknownName
from rigfeed.intake.mapping import Mapping
from rigfeed.intake.taking import take
from rigfeed.parts.shelf import open_shelf
from rigfeed.registry import installed_registry

KINDS = installed_registry().kinds
LUG = {"contact_mohm": "0.2"}
FUSE = {"family": "C"}


def _taken(text: str, **how):
    return take(text.encode(), "list.csv", KINDS, Mapping(**how)).outcomes


def _cells(text: str, **how) -> list[dict]:
    outcomes = _taken(text, **how)
    assert [(o.state, [str(note) for note in o.notes]) for o in outcomes] == [("taken", [])] * len(outcomes)
    return [outcome.cells for outcome in outcomes]


def test_a_list_of_fuses_in_another_language():
    text = "Art.-Nr.;Bezeichnung;Nennstrom;Nennspannung;Preis €\nFS-10;Sicherung;10 A;32 V;0,35\nFS-3;3 A;3;32;0,40\n"
    columns = {"Nennstrom": "rated_a", "Nennspannung": "rated_v"}
    first, second = _cells(text, kind="fuse", columns=columns, set=FUSE)
    assert (first["rated_a"], first["rated_v"], first["family"], first["price"]) == ("10", "32", "C", "0.35 EUR")
    assert (second["rated_a"], second["price"]) == ("3", "0.4 EUR")


def test_a_list_of_batteries():
    text = "Model,Description,Capacity (Ah),CCA,Internal resistance (mOhm),Price USD\nB-100,deep,100,700,4.2,189.00\n"
    more = {"chemistry": "AGM", "aged_mohm": "8", "rest_v": "0 11.8; 50 12.25; 100 12.85"}
    columns = {"Model": "code", "Internal resistance (mOhm)": "new_mohm"}
    (outcome,) = _taken(text, kind="battery", columns=columns, set=more)
    assert (outcome.id, outcome.state) == ("B-100", "taken")
    wanted = {"capacity_ah": "100", "cca_a": "700", "new_mohm": "4.2", "price": "189 USD"}
    assert wanted.items() <= outcome.cells.items()


def test_a_list_of_lugs_names_studs_by_their_thread_and_prices_by_the_hundred():
    text = (
        "Code\tDescription\tStud\tFrom mm2\tTo mm2\tPrice EUR/100\nL8-16\ttube lug 16 M8\tM8\t16\t16\t42,00\n"
        "L6-10\ttube lug 10 M6\tM6\t10\t10\t38,50\n"
    )
    columns = {"From mm2": "least_mm2", "To mm2": "most_mm2"}
    first, second = _cells(text, kind="ring", columns=columns, set=LUG)
    assert (first["stud_mm"], first["most_mm2"], first["price"]) == ("8", "16", "0.42 EUR")
    assert (second["stud_mm"], second["price"]) == ("6", "0.385 EUR")


@pytest.mark.parametrize(("header", "cell", "rated_a"), [
    ("Rated A", "5", "5"), ("Rated (A)", "5", "5"), ("Rated [a]", "5", "5"), ("Rated mA", "500", "0.5"),
    ("Rated (mA)", "500", "0.5"), ("Rated [MA]", "500", "0.5"), ("Rated (kA)", "0.015", "15"),
    ("Rated", "500 mA", "0.5"), ("Rated", "0.01 kA", "10"),
    ("Rated (amps)", "5", "5"), ("Rated (max)", "5", "5"), ("Rated (A, max)", "5", "5"),
    ("Rated (mA)", "5 A", "5"), ("rated_a", "5", "5"),
    ("Rated (mA @ 25 °C)", "500", "0.5"), ("Rated A (breaks 1 kA)", "5", "5"), ("Rated (at 25 °C)", "5", "5"),
])
def test_amperes_are_amperes_whatever_the_list_writes_them_in(header, cell, rated_a):
    (cells,) = _cells(f"Code;Text;{header}\nX;fuse;{cell}\n", kind="fuse", set=FUSE)
    assert float(cells["rated_a"]) == pytest.approx(float(rated_a))


@pytest.mark.parametrize(("header", "cell"), [
    ("Rated (V)", "5"), ("Rated (furlongs)", "5"), ("Rated (tA)", "5"), ("Rated", "5 V"), ("Rated", "5 furlongs"),
    ("Rated", "5/10"), ("Rated", "about 5"),
])
def test_what_is_no_current_is_refused_and_never_taken_for_one(header, cell):
    (outcome,) = _taken(f"Code;Text;{header};Rated V\nX;fuse;{cell};32\n", kind="fuse", set=FUSE,
                        columns={header: "rated_a"})
    assert outcome.state == "refused"
    assert [note.column for note in outcome.notes] == ["rated_a"]


def test_a_column_is_taken_as_the_unit_that_a_person_says_before_its_header():
    text = "Code;Text;Rated (furlongs);Drop\nX;fuse;500;0.1\n"
    columns = {"Rated (furlongs)": "rated_a", "Drop": "drop_mv"}
    (cells,) = _cells(text, kind="fuse", set=FUSE, columns=columns, treat={"rated_a": "mA", "drop_mv": "V"})
    assert (cells["rated_a"], cells["drop_mv"]) == ("0.5", "100")


@pytest.mark.parametrize(("header", "cell", "price"), [
    ("Price EUR", "4.20", "4.2 EUR"), ("Price EUR/100", "4.20", "0.042 EUR"), ("Price per 10", "4.20 EUR", "0.42 EUR"),
    ("Preis € pro 1000", "42,00", "0.042 EUR"), ("Price", "EUR 4.20 / 50", "0.084 EUR"),
    ("Price EUR/1", "4.20", "4.2 EUR"),
    ("Price EUR (2026)", "4.20", "4.2 EUR"),
])
def test_a_price_is_that_of_one_piece(header, cell, price):
    (cells,) = _cells(f"Code;Text;Rated A;{header}\nX;fuse;5;{cell}\n", kind="fuse", set=FUSE)
    assert cells["price"] == price


@pytest.mark.parametrize("how", [
    {"columns": {"Rated A": "rated_amps"}}, {"treat": {"rated": "A"}}, {"set": {"famly": "C"}},
])
def test_a_mapping_that_names_a_column_that_there_is_not_is_told(how):
    with pytest.raises(UnknownName, match="column of a fuse") as caught:
        _taken("Code;Text;Rated A\nX;fuse;5\n", kind="fuse", **how)
    assert caught.value.remedy


def test_a_list_without_a_kind_says_which_it_could_be():
    with pytest.raises(InputError, match="of what kind"):
        _taken("Code;Text;Rated A;Rated V\nX;fuse;5;32\n")


def _same(cell: str) -> object:
    """A number as such: 1 and 1.0 are the same."""
    try:
        return float(cell)
    except ValueError:
        return cell


@pytest.mark.parametrize("kind", sorted(name for name, kind in KINDS.items() if kind.row and not kind.intake))
def test_the_shipped_parts_of_every_kind_come_back_from_a_list_of_them(kind):
    """A catalog is a list, too: what it holds of a kind is read as it stands, whatever kind that is."""
    shelf = open_shelf()
    rows = [rows.get(kind, id_) for _, rows in shelf.catalogs() for id_ in list(rows.ids(kind))[:3]][:12]
    if not rows:
        assert kind in ("bare",)
        return
    columns = list(dict.fromkeys(name for row in rows for name in row.cells))
    cells = [["part", *columns], *([f"{kind}:{n}-{row.id}", *(row.cells.get(c, "") for c in columns)]
                                   for n, row in enumerate(rows))]
    text = "\n".join("\t".join(line) for line in cells) + "\n"
    for row, outcome in zip(rows, _taken(text, kind=kind), strict=True):
        assert outcome.state != "refused", (row.id, [str(note) for note in outcome.notes])
        given = {name: cell for name, cell in row.cells.items() if name not in ("price", "source")}
        found = {name: _same(outcome.cells.get(name, "")) for name in given}
        assert found == {name: _same(cell) for name, cell in given.items()}


def test_from_the_command_line_in_one_go(tmp_path, monkeypatch):
    from click.testing import CliRunner

    from rigfeed.cli import rigfeed

    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    file = tmp_path / "fuses.csv"
    file.write_text("Nr;Text;Nennstrom in A = I\nF5;fuse 5 A;5\n")
    begin = ["catalog", "add", str(file), "--kind", "fuse"]
    words = [*begin, "--column", "Nennstrom in A = I=rated_a", "--every", "family=C"]
    assert CliRunner().invoke(rigfeed, words).exit_code == 0
    shown = CliRunner().invoke(rigfeed, ["catalog", "show", "fuse:fuses/F5", "--json"])
    assert json.loads(shown.output)["part"]["figures"]["rated_a"] == 5.0
    assert CliRunner().invoke(rigfeed, [*begin, "--every", "family"]).exit_code != 0
