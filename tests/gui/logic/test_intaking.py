"""A supplier's list in the window, without a window: the preview, another way to read it, what is kept."""

from __future__ import annotations

import pytest

from rigfeed.errors import Cancelled, FileProblem, InputError, UnknownName
from rigfeed.intake.mapping import Mapping, mapping_file
from rigfeed.parts.shelf import open_shelf
from rigfeed.registry import installed_registry
from rigfeed.view import silent
from rigfeed_gui.logic import browsing, intaking

REGISTRY = installed_registry()
CABLE = REGISTRY.kinds["cable"]
LIST = (
    "Code;Text;Size;OD;Ohm/km\nA1;red;2,5 mm2;2,9;7,6\nA2;red;4 mm2;3,6;nonsense\nA3;black;16 mm2;7,8;1,16\n"
    "B1;odd;16/.030;2,0;21\n"
)


@pytest.fixture
def depot(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    path = tmp_path / "depot.csv"
    path.write_text(LIST)
    return path


def test_every_row_says_what_became_of_it_by_shape_and_word(depot):
    taken = intaking.listed(depot).read(REGISTRY, silent).taken
    found, more = intaking.rows(taken)
    assert more == 0
    by_id = {row.id: row for row in found}
    assert by_id["A1"].state == "○ taken"
    assert by_id["A2"].state == "■ refused"
    assert "nonsense" in by_id["A2"].says
    assert by_id["A2"].line == "3"
    states = {outcome.id: outcome.state for outcome in taken.outcomes}
    assert states["B1"] != "taken", "a strand count that fits two sizes is never taken in silence"
    assert {row.id for row in intaking.rows(taken, "refused")[0]} == {i for i, s in states.items() if s == "refused"}
    assert intaking.counted(taken).startswith(f"{taken.count('taken')} taken, ")


def test_about_a_row_stands_the_reason_the_cell_and_what_the_catalog_gets(depot):
    taken = intaking.listed(depot).read(REGISTRY, silent).taken
    first, second = taken.outcomes[:2]
    whole = "".join(text for text, _ in intaking.about(first, taken.columns.headers))
    assert "Size: 2,5 mm2" in whole
    assert "area mm2: 2.5" in whole
    refused = "".join(text for text, _ in intaking.about(second, taken.columns.headers))
    assert "Ohm/km: nonsense" in refused
    assert "refused: " in refused
    assert "area mm2" not in refused


def test_a_preview_of_very_many_rows_is_cut_and_the_rest_is_counted(depot):
    depot.write_text(LIST + "".join(f"C{n};red;2,5 mm2;2,9;7,6\n" for n in range(intaking.MOST_SHOWN)))
    taken = intaking.listed(depot).read(REGISTRY, silent).taken
    found, more = intaking.rows(taken)
    assert (len(found), more) == (intaking.MOST_SHOWN, 4)


def test_columns_are_shown_with_what_they_mean_and_can_mean_something_else(depot):
    listed = intaking.listed(depot)
    prepared = listed.read(REGISTRY, silent)
    shown = {column.header: column for column in intaking.columns(prepared, CABLE)}
    assert (shown["Size"].meaning, shown["Size"].first) == ("size", "2,5 mm2")
    known = dict(intaking.meanings(REGISTRY, "cable"))
    assert set(known) >= {"", "size", "od", "ohm", "code"}
    other = listed.meaning("OD", "")
    assert {c.header: c.meaning for c in intaking.columns(other.read(REGISTRY, silent), CABLE)}["OD"] == ""
    assert listed.mapping == Mapping(), "the list in hand before is as it was"


def test_all_of_a_column_is_taken_as_something_until_it_is_not(depot):
    depot.write_text("Code;Text;Size;OD\nB1;black;10;5,4\n")
    listed = intaking.listed(depot)
    assert not intaking.may_be_kept(listed.read(REGISTRY, silent).taken)
    as_gauge = listed.taken_as("size", "awg")
    taken = as_gauge.read(REGISTRY, silent).taken
    assert taken.outcomes[0].cells["gauge"] == "10"
    assert {c.header: c.taken_as for c in intaking.columns(as_gauge.read(REGISTRY, silent), CABLE)}["Size"] == "awg"
    assert as_gauge.taken_as("size", "") == listed
    assert intaking.offered("size", "")[0].value == "awg"
    assert intaking.offered("title", "") == ()


def test_the_summary_says_how_the_list_was_read_and_that_nothing_is_kept(depot):
    listed = intaking.listed(depot)
    said = intaking.summary(listed.read(REGISTRY, silent), REGISTRY)
    assert "decimal comma" in said
    assert said.endswith("Nothing is kept yet.")
    assert "already" not in said
    listed.read(REGISTRY, silent).keep()
    depot.write_text(LIST.replace("7,6", "7,5"))
    again = intaking.listed(depot).read(REGISTRY, silent)
    assert "is there already; changes: 1" in intaking.summary(again, REGISTRY, short=True)


@pytest.mark.parametrize(("meaning", "text"), [
    (meaning, text) for meaning, texts in intaking.TAKEN_AS.items() for text in texts
])
def test_whatever_is_offered_makes_a_difference(depot, meaning, text):
    """Else a person would choose something that is not understood."""
    bare = {"size": "2.5", "ohm": "7.6", "od": "2.9", "price": "1.20"}
    sure = {"size": "2.5 mm2", "ohm": "7.6 ohm/km", "od": "2.9 mm"}
    cells = {name: bare[name] if name == meaning else sure.get(name, "") for name in bare}
    heads = {"size": "Size", "ohm": "Ohm", "od": "OD", "price": "Price"}
    depot.write_text("Code\tText\t" + "\t".join(heads.values()) + "\nA1\tred\t" + "\t".join(cells.values()) + "\n")
    listed = intaking.listed(depot).of_kind("cable", REGISTRY)
    before, after = (one.read(REGISTRY, silent).taken.outcomes[0] for one in (listed, listed.taken_as(meaning, text)))
    usual = {("od", "mm")}  # what it is taken for anyhow
    assert (before != after) is ((meaning, text) not in usual)


def test_what_was_copied_is_read_as_a_file_is_and_under_a_name_that_none_has(depot):
    table = LIST.replace(";", "\t")
    depot.write_text(table)
    pasted, filed = intaking.pasted(table), intaking.listed(depot)
    assert pasted.read(REGISTRY, silent).taken.outcomes == filed.read(REGISTRY, silent).taken.outcomes
    assert pasted.name == "pasted"
    path = pasted.read(REGISTRY, silent).keep()
    assert "# From clipboard, read on " in path.read_text()
    assert intaking.pasted(table).name == "pasted-2"
    path.unlink()  # how it was read is still remembered, and is nothing for the list of another supplier
    assert intaking.pasted(table).name == "pasted-2"
    assert intaking.pasted(table).mapping == Mapping()


@pytest.mark.parametrize("text", ["", " \n\t\n"])
def test_an_empty_clipboard_is_told_with_what_to_do(depot, text):
    with pytest.raises(InputError, match="no text in the clipboard") as error:
        intaking.pasted(text)
    assert "copy the rows" in error.value.remedy


def test_what_is_kept_is_on_the_shelf_and_the_next_list_is_read_as_this_one(depot):
    listed = intaking.listed(depot).named("spring").meaning("Text", "")
    prepared = listed.read(REGISTRY, silent)
    assert prepared.is_new
    assert not prepared.folder.exists()
    prepared.keep()
    assert open_shelf().part("cable:spring/A1").key == "cable:spring/A1"
    assert mapping_file("spring").exists()
    depot.rename(depot.with_name("spring.csv"))
    again = intaking.listed(depot.with_name("spring.csv"))
    assert again.mapping == listed.mapping
    assert again.read(REGISTRY, silent).changes == ()


def test_what_would_change_is_told_before_it_is_replaced(depot):
    intaking.listed(depot).read(REGISTRY, silent).keep()
    depot.write_text(LIST.replace("7,6", "7,5").replace("A3", "A4"))
    prepared = intaking.listed(depot).read(REGISTRY, silent)
    assert not prepared.is_new
    told = {(what, part): cells for what, part, cells in intaking.changes(prepared)}
    assert "7.6 → 7.5" in told["changed", "A1"]
    assert {("added", "A4"), ("removed", "A3")} <= set(told)


def test_a_catalog_beside_a_design_lies_in_its_folder(depot, tmp_path):
    listed = intaking.listed(depot, beside=tmp_path / "job" / "van.toml")
    assert listed.read(REGISTRY, silent).keep() == tmp_path / "job" / "catalogs" / "depot.csv"


def test_names_and_files_that_cannot_be_are_told(depot, tmp_path):
    listed = intaking.listed(depot)
    with pytest.raises(InputError, match="cannot be the name"):
        listed.named("../x")
    with pytest.raises(InputError, match=r"depot\.csv: a catalog 'demo-cables' comes with the program"):
        listed.named("demo-cables").read(REGISTRY, silent)
    with pytest.raises(FileProblem):
        intaking.listed(tmp_path / "none.csv")


def test_reading_can_be_stopped(depot):
    def stop(done, text):
        raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        intaking.listed(depot).read(REGISTRY, stop)


def test_only_catalogs_of_the_user_are_removed(depot):
    intaking.listed(depot).read(REGISTRY, silent).keep()
    assert intaking.is_own("depot")
    assert not intaking.is_own("demo-cables")
    intaking.remove("depot")
    assert not intaking.is_own("depot")
    with pytest.raises(UnknownName):
        intaking.remove("demo-cables")


def test_the_kinds_are_those_that_can_be_bought():
    kinds = [name for name, _ in intaking.kinds(REGISTRY)]
    assert kinds[0] == ""
    assert {"cable", "fuse", "battery", "ring"} <= set(kinds)
    assert "joint" not in kinds


def test_what_a_list_does_not_have_and_every_part_must_have_is_said_once_for_all(depot):
    depot.write_text("Code;Text;Rated (A);Rated (V)\nF10;fuse 10 A;10;32\nF15;fuse 15 A;15;32\n")
    fuse = REGISTRY.kinds["fuse"]
    listed = intaking.listed(depot).of_kind("fuse", REGISTRY)
    lacking = [column for column in intaking.columns(listed.read(REGISTRY, silent), fuse) if not column.header]
    assert [column.meaning for column in lacking] == ["family"]
    assert "C" in [choice.value for choice in intaking.offered("family", "", fuse)]
    taken = listed.every("family", "C").read(REGISTRY, silent).taken
    assert [outcome.cells["family"] for outcome in taken.outcomes] == ["C", "C"]
    assert listed.every("family", "C").every("family", "") == listed


def test_what_was_said_of_columns_is_forgotten_where_another_kind_does_not_have_them(depot):
    """Else a person who chose the wrong kind first could not read the list as another."""
    depot.write_text("Code;Text;Rated (A);Rated (V)\nF10;fuse 10 A;10;32\n")
    listed = intaking.listed(depot).of_kind("fuse", REGISTRY).every("family", "C").meaning("Text", "")
    other = listed.of_kind("battery", REGISTRY)
    assert (dict(other.mapping.set), dict(other.mapping.columns)) == ({}, {"Text": ""})
    assert other.read(REGISTRY, silent).taken.kind == "battery"
    assert listed.of_kind("breaker", REGISTRY).mapping.set == {"family": "C"}


def test_what_is_in_stock_is_offered_first(depot, tmp_path):
    plain = [row.key for row in browsing.search(open_shelf(), "cable").rows]
    stock = tmp_path / "data" / "rigfeed" / "stock.csv"
    stock.parent.mkdir(parents=True)
    stock.write_text(f"part,length\n{plain[-1]},3 m\n")
    found = [row.key for row in browsing.search(open_shelf(), "cable").rows]
    assert found[0] == plain[-1]
    assert set(found[1:]) <= {row.key for row in browsing.search(open_shelf(), "cable", most=10_000).rows}
    assert len(set(found)) == len(found)
