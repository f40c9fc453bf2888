"""Every row of the catalogs of this plugin builds, says where it comes from, and obeys physics."""

from __future__ import annotations

import math
import re
from itertools import pairwise

import pytest

from rigfeed.parts.catalog import Resource, read_rows
from rigfeed.parts.interfaces import Surroundings
from rigfeed.parts.shelf import Shelf
from rigfeed.registry import installed_registry
from rigfeed_cables import CATALOGS
from rigfeed_cables.awg import area_mm2, gauge_name
from rigfeed_cables.pull import pull_force_n
from rigfeed_cables.table import GAUGES, SOURCE, table_gauge

SHELF = Shelf(installed_registry())
FILES = [Resource("rigfeed_catalogs", f"{folder}/{name}.csv") for folder, names in CATALOGS.items() for name in names]
ROWS = [row for file in FILES for row in read_rows(file)]
PARTS = {f"{row.kind}:{row.id}": SHELF.part(f"{row.kind}:{row.id}") for row in ROWS}  # the short key: unique over all
CABLES = {key: part for key, part in PARTS.items() if part.kind == "cable"}
LEAST = {
    "iec-60228": 60, "road-vehicle": 40, "awg": 33, "sae": 14, "aircraft": 17, "twins": 14, "not-for-vehicles": 17,
    "rings": 45, "ferrules": 21, "blades": 8, "plugs": 20, "sleeves": 25, "looms": 20,
}


def series():
    """Cables that differ in size alone, by what stands before the size in their key, thinnest first."""
    found = {}
    for key, cable in CABLES.items():
        sort = re.match(r"cable:([a-z0-9]+(?:-[a-z]+)*)-", key)[1]
        name = f"{sort} {cable.insulation_c:g} degC {'by gauge' if cable.gauge is not None else ''}"
        found.setdefault(name, []).append(cable)
    return {name: sorted(cables, key=lambda cable: cable.area_mm2) for name, cables in found.items()}


def of(kind):
    return [pytest.param(part, id=key) for key, part in PARTS.items() if part.kind == kind]


@pytest.mark.parametrize(("name", "least"), LEAST.items())
def test_catalog_is_there(name, least):
    assert sum(row.catalog == name for row in ROWS) >= least


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.name)
def test_catalog_begins_with_a_remark_that_says_what_it_is(file):
    first = file.text().splitlines()[0]
    assert first.startswith("# ")
    assert len(first.split()) > 5


def test_every_row_has_its_source_and_memory_says_so():
    for key, part in PARTS.items():
        assert len(part.provenance.source) > 8, key
        if not part.provenance.catalog.startswith("demo"):
            assert part.provenance.confidence in ("published", "derived", "memory"), key
            assert ("memory" in part.provenance.source) == (part.provenance.confidence == "memory"), key


@pytest.mark.parametrize("cable", of("cable"))
def test_resistance_is_that_of_the_metal(cable):
    product = cable.area_mm2 * cable.ohm_per_km
    least, most = (17.15, 21.1) if cable.is_copper else (17.241 / 0.65, 17.241 / 0.62 * 1.16)
    if cable.short_key in ("cable:air-24", "cable:air-22"):  # printed so: thin wires have much tin for their copper
        most = 22.5
    assert least <= product <= most


@pytest.mark.parametrize("cable", of("cable"))
def test_insulation_surrounds_the_metal(cable):
    height_mm = cable.height_mm or cable.od_mm
    metal_mm = math.sqrt(4 * cable.area_mm2 / math.pi)
    assert metal_mm + 0.4 <= height_mm <= metal_mm * 1.3 + 5
    if cable.core_count == 2:
        assert 1.5 * height_mm < cable.od_mm < 2.05 * height_mm


@pytest.mark.parametrize("cable", of("cable"))
def test_mass_is_that_of_metal_and_plastic(cable):
    if cable.g_per_m is not None:
        metal_g = 8.9 * cable.area_mm2 * cable.core_count
        assert metal_g < cable.g_per_m < 1.35 * metal_g + 80


@pytest.mark.parametrize("cable", of("cable"))
def test_gauge_is_that_of_the_title_and_the_key(cable):
    if cable.gauge is not None:
        name = str(cable.gauge) if cable.gauge > 0 else f"{1 - cable.gauge}/0"
        assert f" {name} " in f" {cable.title} "
        assert cable.area_mm2 == pytest.approx(area_mm2(float(cable.gauge)), rel=0.2)


def test_there_are_series_to_compare():
    assert len(series()) >= 15
    assert sum(len(cables) for cables in series().values()) == len(CABLES)


@pytest.mark.parametrize("cables", [pytest.param(cables, id=name) for name, cables in series().items()])
def test_more_metal_is_thicker_resists_less_carries_and_bears_more(cables):
    for thin, thick in pairwise(cables):
        assert thin.ohm_per_km > thick.ohm_per_km
        assert thin.od_mm < thick.od_mm
        assert thin.withstand_a2s(70.0) < thick.withstand_a2s(70.0)
        less, more = (min(a.amps for a in cable.ampacities(Surroundings(40.0))) for cable in (thin, thick))
        assert less <= more  # two metric sizes may share one of the table


@pytest.mark.parametrize("cable", of("cable"))
def test_a_cable_is_rated_by_its_size_and_not_degraded_by_its_own_resistance(cable):
    bases = [a.basis for a in cable.ampacities(Surroundings(30.0)) if a.basis.startswith(SOURCE)]
    if not cable.is_copper:
        return
    size = cable.gauge if cable.gauge in GAUGES else None
    if size is None and cable.area_mm2 >= 0.823:
        size = table_gauge(cable.area_mm2)
    name = gauge_name(size) if size is not None else "by area from 18 AWG"
    assert [basis.split(", ")[1] for basis in bases] == [name]


def test_tinned_resists_a_little_more_than_plain():
    for size in ("0.5", "2.5", "16", "120"):
        for cl in ("iec5", "iec2"):
            plain, tinned = CABLES[f"cable:{cl}-{size}"], CABLES[f"cable:{cl}t-{size}"]
            assert tinned.is_tinned
            assert not plain.is_tinned
            assert 1.0 < tinned.ohm_per_km / plain.ohm_per_km < 1.031


def test_sae_sizes_hold_less_than_the_gauge():
    for size in ("18", "14", "8", "4", "0", "0000"):
        assert CABLES[f"cable:sae-{size}"].area_mm2 < CABLES[f"cable:awg-{size}"].area_mm2


def test_what_has_no_place_in_a_vehicle_is_seen_as_that():
    assert CABLES["cable:solid-2.5"].is_solid is True
    assert CABLES["cable:iec5-2.5"].is_solid is False
    assert not CABLES["cable:clad-16"].is_copper


@pytest.mark.parametrize("fitting", of("ring") + of("blade") + of("plug") + of("ferrule") + of("bare"))
def test_fitting_has_a_range_that_its_title_bears_out(fitting):
    if fitting.least_mm2 is not None:
        assert fitting.least_mm2 <= fitting.most_mm2
        assert fitting.takes(fitting.most_mm2) is True
        assert fitting.takes(fitting.most_mm2 * 1.5) is False
    assert fitting.contact_ohm <= 0.02
    if fitting.kind == "ring":
        assert f"M{fitting.stud_mm:g}" in fitting.title
        assert fitting.rigid.width_mm > fitting.stud_mm


@pytest.mark.parametrize("size", [4, 6, 8, 10, 12, 14, 16, 18, 1, 2, 0, -1, -2, -3])
def test_every_trade_gauge_and_metric_size_finds_a_ring(size):
    rings = [part for part in PARTS.values() if part.kind == "ring" and part.provenance.catalog == "rings"]
    assert any(ring.takes(area_mm2(float(size))) for ring in rings)


def test_every_metric_size_finds_a_ring_and_a_ferrule():
    for size in (0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0):
        for kind in ("ring", "ferrule"):
            assert any(part.takes(size) for part in PARTS.values() if part.kind == kind), (kind, size)


def test_twin_ferrule_takes_two():
    assert PARTS["ferrule:twin-1.5"].places == 2
    assert PARTS["ferrule:1.5"].places == 1


def test_larger_contacts_carry_more():
    for sort in ("blade", "pin", "flat", "battery"):
        plugs = [part for key, part in PARTS.items() if key.startswith(f"plug:{sort}-") and part.rated_a]
        by_wire = sorted(plugs, key=lambda plug: plug.most_mm2)
        assert [plug.rated_a for plug in by_wire] == sorted(plug.rated_a for plug in plugs)
        assert all(a.contact_ohm >= b.contact_ohm for a, b in pairwise(by_wire))


@pytest.mark.parametrize("sleeve", of("sleeve"))
def test_sleeve_shrinks_by_its_ratio(sleeve):
    ratio = sleeve.supplied_mm / sleeve.recovered_mm
    assert ratio == pytest.approx(4 if "4:1" in sleeve.title else 3 if "3:1" in sleeve.title else 2, rel=0.09)
    assert sleeve.adhesive == ("adhesive" in sleeve.title)


def test_every_cable_finds_a_sleeve_that_grips_it():
    """Once free of what it went over, a sleeve is to end up below 0.95 of the cable."""
    sleeves = [part for part in PARTS.values() if part.kind == "sleeve"]
    for key, cable in CABLES.items():
        assert any(s.supplied_mm > 1.1 * cable.od_mm and s.recovered_mm < 0.95 * cable.od_mm for s in sleeves), key


@pytest.mark.parametrize("loom", of("loom"))
def test_loom_has_a_wall(loom):
    assert 2 < loom.outside_mm - loom.bore_mm < 13
    assert loom.slit == ("slit" in loom.title)


def test_pull_grows_with_the_wire():
    pulls = [pull_force_n(area_mm2(float(gauge))) for gauge in (26, 20, 14, 10, 6, 2, 0, -1, -3)]
    assert pulls == sorted(pulls)
