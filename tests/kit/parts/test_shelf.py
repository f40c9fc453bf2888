"""The shelf: parts by key, rows held against their schema, broken and doubled catalogs."""

from __future__ import annotations

import pytest
from tests.kit.resolve.bench import TextFile, assessed, bench_registry, bench_shelf, installed

from rigfeed.errors import CatalogError, InputError, UnknownName
from rigfeed.parts.shelf import Shelf
from rigfeed.plugin import Accessory, PartKind, RowSchema, hookimpl

HEADER = "part,title,ohm_per_km,source,confidence\n"


def row_error(columns: str, cells: str) -> CatalogError:
    file = TextFile("list", f"# remark\npart,{columns}\nwire:x,{cells}\n")
    with pytest.raises(CatalogError) as caught:
        bench_shelf(file).part("wire:x")
    assert (caught.value.place.file, caught.value.place.line) == ("list.csv", 3)
    return caught.value


BROKEN = {
    "no source": ("title,ohm_per_km,confidence", "X,10,maker", "source: is missing", "add it"),
    "no title": ("title,ohm_per_km,source,confidence", ",10,x,maker", "title: is missing", "add it"),
    "unknown confidence": (
        "title,ohm_per_km,source,confidence", "X,10,x,sure", "confidence: 'sure' is not one of", '"published"',
    ),
    "unknown column": (
        "title,ohm_per_kilometre,ohm_per_km,source,confidence", "X,1,10,x,maker", "unknown key 'ohm_per_kilometre'",
        "did you mean 'ohm_per_km'",
    ),
    "out of range": ("title,ohm_per_km,source,confidence", "X,10001,x,maker", "ohm_per_km: 10001 is out of", "10000"),
    "not above zero": ("title,ohm_per_km,source,confidence", "X,0,x,maker", "ohm_per_km: 0 is not above 0", ""),
    "not a number": ("title,ohm_per_km,source,confidence", "X,ten,x,maker", "ohm_per_km: 'ten' is not a number", "2.5"),
    "with its unit": ("title,ohm_per_km,source,confidence", "X,10 ohm,x,maker", "'10 ohm' is not a number", "no unit"),
    "decimal comma": ('title,ohm_per_km,source,confidence', 'X,"2,5",x,maker', "'2,5' is not a number", "2.5"),
    "nan": ("title,ohm_per_km,source,confidence", "X,nan,x,maker", "ohm_per_km: 'nan' is not a number", ""),
    "infinity": ("title,ohm_per_km,source,confidence", "X,inf,x,maker", "ohm_per_km: 'inf' is not a number", ""),
    "not a whole number": (
        "title,ohm_per_km,core_count,source,confidence", "X,10,1.5,x,maker", "core_count", "",
    ),
}


@pytest.mark.parametrize("case", BROKEN.values(), ids=BROKEN)
def test_a_fault_of_a_row_names_file_line_column_and_what_to_do(case):
    columns, cells, what, remedy = case
    error = row_error(columns, cells)
    assert error.what.startswith("wire:x: ")
    assert what in error.what
    assert remedy in error.remedy


def test_a_part_knows_where_it_comes_from():
    part = bench_shelf(TextFile("list", HEADER + "wire:x,X,2.5,a book,published\n")).part("wire:X")
    assert (part.key, part.short_key, part.kind) == ("wire:list/x", "wire:x", "wire")
    assert (part.provenance.catalog, part.provenance.line) == ("list", 2)
    assert (part.provenance.source, part.provenance.confidence) == ("a book", "published")
    assert part.ohm_per_km == 2.5


def test_a_number_is_scaled_once():
    assert bench_shelf().part("tag:five").contact_ohm == pytest.approx(0.005)


def test_a_part_is_built_once():
    shelf = bench_shelf()
    assert shelf.part("wire:one") is shelf.part("wire:wires/ONE")


def test_a_broken_row_stops_only_who_names_it():
    shelf = bench_shelf(TextFile("list", HEADER + "wire:bad,X,nan,x,maker\nwire:fine,X,1,x,maker\n"))
    assert shelf.part("wire:fine").ohm_per_km == 1.0
    assert shelf.troubles == ()


# misspelt keys


@pytest.mark.parametrize(
    ("key", "says"),
    [
        ("wire:oen", "no wire 'oen'.*did you mean 'one'"),
        ("wire:wires/oen", "no wire 'oen'.*did you mean 'one'"),
        ("wire:wire/one", "no catalog 'wire'.*did you mean 'wires'"),
        ("wire:tags/five", "no wire 'five'.*none is defined"),
        ("wir:one", "no part kind 'wir'.*did you mean 'wire'"),
    ],
)
def test_a_misspelt_key_names_the_nearest(key, says):
    with pytest.raises(UnknownName, match=says):
        bench_shelf().part(key)


def test_a_bare_kind_is_a_part_only_where_it_has_a_standard_one():
    assert bench_shelf().part("joint").key == "joint"
    with pytest.raises(InputError, match=r"'wire' alone is not a part.*write 'wire:'"):
        bench_shelf().part("wire")


def test_parts_that_are_not_bought_have_no_rows():
    shelf = bench_shelf(TextFile("list", "part,title,source,confidence\njoint:x,X,x,maker\n"))
    with pytest.raises(CatalogError, match=r"'joint' are not bought.*alone in the design"):
        shelf.part("joint:x")


@pytest.mark.parametrize("key", ["", "wire:", ":one", "wire:a/b/c", "Wire:one", "wire one"])
def test_what_is_no_key(key):
    with pytest.raises(InputError, match="is not the key of a part"):
        bench_shelf().part(key)


# two catalogs


def doubled() -> Shelf:
    row = "wire:{},X,{},x,maker\n"
    first = TextFile("first", HEADER + row.format("same", 1) + row.format("only", 1))
    return bench_shelf(first, TextFile("second", HEADER + row.format("Same", 2)))


def test_a_row_in_two_catalogs_needs_its_long_key():
    shelf = doubled()
    with pytest.raises(CatalogError, match="is in 2 catalogs") as caught:
        shelf.part("wire:same")
    assert caught.value.remedy == "write wire:first/same or wire:second/Same"
    assert shelf.part("wire:first/same").ohm_per_km == 1.0
    assert shelf.part("wire:second/same").ohm_per_km == 2.0
    assert shelf.part("wire:only").ohm_per_km == 1.0


def test_a_design_is_told_both_long_keys():
    with pytest.raises(CatalogError) as caught:
        installed('[conductors.W1]\ncable = "wire:same"\nlength = "1 m"', shelf=doubled())
    assert str(caught.value.place) == "conductors.W1.cable"
    assert "wire:first/same or wire:second/Same" in caught.value.remedy
    assert installed('[conductors.W1]\ncable = "wire:second/same"', shelf=doubled()).title == "untitled"


def test_two_catalogs_of_one_name_would_make_one_key_of_two_parts():
    text = HEADER + "wire:{},X,1,x,maker\n"
    shelf = bench_shelf(TextFile("list", text.format("a")), TextFile("list", text.format("b")))
    assert shelf.part("wire:list/a").ohm_per_km == 1.0
    (trouble,) = shelf.troubles
    assert "another catalog has the name 'list'" in str(trouble)
    with pytest.raises(CatalogError, match="another catalog has the name"):
        shelf.part("wire:list/b")


def test_a_short_key_means_the_nearest_catalog():
    row = HEADER + "wire:same,X,{},x,maker\n"
    near, own, far = (TextFile(name, row.format(ohm)) for name, ohm in (("near", 1), ("own", 2), ("far", 3)))
    registry = bench_registry()
    registry.catalogs.append(far)
    assert Shelf(registry, [near], own=[own]).part("wire:same").ohm_per_km == 1.0
    assert Shelf(registry, own=[own]).part("wire:same").ohm_per_km == 2.0
    assert Shelf(registry).part("wire:same").ohm_per_km == 3.0
    assert Shelf(registry, [near], own=[own]).part("wire:far/same").ohm_per_km == 3.0


def test_what_is_installed_is_read_once_and_what_a_person_may_change_for_each_shelf():
    reads = []

    class Told(TextFile):
        def text(self):
            reads.append(self.name)
            return super().text()

    row = HEADER + "wire:{0},X,1,x,maker\n"
    registry = bench_registry()
    registry.catalogs.append(Told("far", row.format("f")))
    counts = []
    for _ in range(2):
        shelf = Shelf(registry, own=[Told("own", row.format("o"))])
        assert [shelf.part(key).short_key for key in ("wire:f", "wire:o")] == ["wire:f", "wire:o"]
        counts.append((reads.count("far"), reads.count("own")))
    (far, own), after = counts
    assert after == (far, 2 * own)


# a broken catalog

TORN = TextFile("torn", HEADER + 'wire:x,"X,1,x,maker\n')


def test_a_broken_catalog_is_left_out_and_the_others_stand():
    assessment = assessed("", shelf=bench_shelf(TORN))
    (trouble,) = assessment.troubles
    assert trouble.startswith("left out: torn.csv:2: is not CSV")
    assert bench_shelf(TORN).part("wire:one").ohm_per_km == 10.0


def test_a_broken_catalog_stops_a_design_that_uses_it():
    with pytest.raises(CatalogError, match=r"torn\.csv:2: is not CSV") as caught:
        installed('[conductors.W1]\ncable = "wire:torn/x"', shelf=bench_shelf(TORN))
    assert str(caught.value.place) == "conductors.W1.cable"


def test_a_row_that_is_nowhere_may_be_in_the_broken_catalog():
    with pytest.raises(UnknownName, match="left out as broken: torn"):
        installed('[conductors.W1]\ncable = "wire:x"', shelf=bench_shelf(TORN))


def test_every_bad_key_of_a_design_is_listed():
    text = """
    [nodes]
    a = { part = "box:nothing" }
    b = { part = "wire:one" }
    [conductors.W1]
    cable = "link:ten"
    ends = ["tag:five", "box:amps"]
    from = "c.x"
    to = "d.x"
    [nodes.c]
    part = "joint"
    [nodes.d]
    part = "joint"
    """
    with pytest.raises(InputError) as caught:
        installed(text)
    said = str(caught.value)
    assert "nodes.a.part: there is no box 'nothing'" in said
    assert "nodes.b.part: 'wire:one' cannot be a node" in said
    assert "conductors.W1.cable: 'link:ten' is no cable" in said


class Fragile:
    """A plugin whose parts cannot be built."""

    class Part(Accessory):
        def __init__(self, **kwargs: object) -> None:
            raise RuntimeError("no luck")

    class Schema(RowSchema):
        pass

    Schema.builds = Part

    @hookimpl
    def register_part_kinds(self):
        return [PartKind("fragile", "fragile", row=self.Schema)]


def test_a_part_kind_that_fails_is_named():
    file = TextFile("list", "part,title,source,confidence\nfragile:x,X,x,maker\n")
    shelf = bench_shelf(file, registry=bench_registry(fragile=Fragile()))
    with pytest.raises(CatalogError, match="fragile:x: the part kind failed: RuntimeError: no luck") as caught:
        shelf.part("fragile:x")
    assert caught.value.place.line == 2
    with pytest.raises(CatalogError, match="no luck"):
        installed('[nodes.a]\npart = "fragile:x"', shelf=shelf)


def test_rows_of_a_kind_that_nobody_knows_are_named():
    odd = TextFile("odd", "part,title,source,confidence\nwier:x,a wire,own,measured\n")
    shelf = Shelf(bench_shelf().registry, (odd,))
    (trouble,) = assessed("", shelf=shelf).troubles
    assert trouble.startswith("ignored: odd.csv: there is no part kind 'wier'")
    assert "did you mean 'wire'" in trouble
