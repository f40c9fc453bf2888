"""What a cable answers: its cores, what they may carry on which basis, what they bear, and what a row may not say."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from marshmallow import ValidationError

from rigfeed.complaints import complaints
from rigfeed.parts.interfaces import Surroundings
from rigfeed.parts.shelf import Shelf
from rigfeed.registry import installed_registry
from rigfeed_cables.cable import MATERIALS, Cable, CableSchema

SHELF = Shelf(installed_registry())
ROW = {
    "title": "a cable", "area_mm2": "2.5", "ohm_per_km": "7.98", "od_mm": "4.2", "source": "by hand",
    "confidence": "invented",
}


def cable(**changes):
    given = ROW | {"insulation_c": "105"} | {key: str(value) for key, value in changes.items()}
    return CableSchema().load({key: value for key, value in given.items() if value != "None"})


def amps(part, air_c, basis, **changes):
    """The figure of the basis that begins so."""
    found = [a for a in part.ampacities(Surroundings(air_c, **changes)) if a.basis.startswith(basis)]
    (one,) = found
    return one.amps


def lowest(part, air_c, **changes):
    return min(a.amps for a in part.ampacities(Surroundings(air_c, **changes)))


TABLE, SUPPLIER, HEAT = "33 CFR 183.425 table 5", "supplier's figure", "heat balance"


# Supplier's figure times the root of (class - zone) / (class - 30), which is below the table in each of these.
@pytest.mark.parametrize(
    ("row", "zone_c", "expected_a", "within_a"),
    [
        ("thinwall-2.5", 85, 15.0, 0.5),
        ("thinwall-16", 90, 49.0, 0.5),
        ("thinwall-10", 90, 31.0, 0.5),
        ("thinwall-10-125", 90, 47.8, 0.05),
        ("thinwall-4", 70, 26.6, 0.05),
        ("thinwall-2.5", 70, 19.8, 0.05),
        ("thinwall-1", 85, 8.5, 0.05),
    ],
)
def test_the_lowest_figure_in_a_hot_zone(row, zone_c, expected_a, within_a):
    part = SHELF.part(f"cable:{row}")
    assert lowest(part, zone_c) == pytest.approx(expected_a, abs=within_a)
    assert lowest(part, zone_c) == amps(part, zone_c, SUPPLIER)


def test_the_table_governs_where_a_supplier_promises_more():
    part = SHELF.part("cable:thinwall-25")
    assert amps(part, 90, SUPPLIER) == pytest.approx(76.0, abs=0.1)
    assert lowest(part, 90) == amps(part, 90, TABLE) == pytest.approx(160 * math.sqrt(15 / 75))


def test_8_awg_of_105_degrees_outside_and_inside_an_engine_space():
    """33 CFR 183.425 table 5: 80 A, and note 1: 68 A."""
    for row in ("awg-8", "sae-8"):
        part = replace(SHELF.part(f"cable:{row}"), insulation_c=105.0)
        assert amps(part, 30, TABLE) == 80
        assert amps(part, 50, TABLE, engine_space=True) == pytest.approx(68.0)
        assert amps(part, 45, TABLE, engine_space=True) == pytest.approx(68.0), "an engine space counts as 50 degC"


def test_an_engine_space_hotter_than_50_degrees_goes_by_the_formula_once():
    part = cable(area_mm2=16, ohm_per_km=1.21, od_mm=8.8)
    assert amps(part, 85, TABLE, engine_space=True) == amps(part, 85, TABLE) == pytest.approx(120 * math.sqrt(20 / 75))


@pytest.mark.parametrize(("bundled", "factor"), [(1, 1), (2, 1), (3, 0.7), (6, 0.6), (7, 0.5), (24, 0.5), (25, 0.4)])
def test_bundled_with_others_each_basis_shrinks(bundled, factor):
    part = cable(amps_30c=30)
    for basis in (TABLE, SUPPLIER, HEAT):
        assert amps(part, 60, basis, bundled=bundled) == pytest.approx(factor * amps(part, 60, basis))
    (text, *_) = [a.basis for a in part.ampacities(Surroundings(60, bundled=bundled))]
    assert (f"{bundled} together" in text) == (factor < 1)


@pytest.mark.parametrize("air_c", [105.0, 106.0, 200.0, 400.0])
def test_at_and_above_its_class_it_carries_nothing(air_c):
    found = cable(amps_30c=30).ampacities(Surroundings(air_c))
    assert len(found) == 3
    assert all(a.amps == 0 and "its class is 105 degC" in a.basis for a in found)


def test_cool_air_raises_neither_table_nor_supplier():
    part = cable(amps_30c=30)
    for air_c in (20, -40, -80):
        assert amps(part, air_c, TABLE) == 35
        assert amps(part, air_c, SUPPLIER) == 30


def test_a_figure_for_other_air_is_corrected_from_there():
    part = cable(stated_a=20, stated_air_c=60)
    assert amps(part, 60, SUPPLIER) == 20
    assert amps(part, 85, SUPPLIER) == pytest.approx(20 * math.sqrt(20 / 45))
    assert amps(part, 30, SUPPLIER) == 20


def test_without_a_class_of_insulation_only_a_supplier_speaks_and_only_in_cool_air():
    part = cable(insulation_c=None, amps_30c=25)
    assert [a.amps for a in part.ampacities(Surroundings(30))] == [25]
    assert part.ampacities(Surroundings(31)) == ()
    assert cable(insulation_c=None).ampacities(Surroundings(20)) == ()


@pytest.mark.parametrize(
    ("insulation_c", "column"), [(60, 20), (70, 20), (100, 30), (105, 35), (150, 40), (260, 45), (400, 45)]
)
def test_a_class_between_two_gets_the_lower_column(insulation_c, column):
    part = cable(insulation_c=insulation_c)
    assert amps(part, 30, TABLE) == column
    assert amps(part, insulation_c if insulation_c < 260 else 260, TABLE) == 0


def test_a_class_below_the_table_has_no_figure_in_it():
    assert [a.basis.split(",")[0] for a in cable(insulation_c=50).ampacities(Surroundings(30))] == [
        "heat balance of a cable in still air"
    ]


def test_thinner_than_the_table_keeps_its_current_per_area():
    part = cable(area_mm2=0.5, ohm_per_km=39, od_mm=2.6)
    assert amps(part, 30, TABLE) == pytest.approx(20 * 0.5 / 0.823, rel=1e-3)
    assert amps(part, 30, TABLE) < amps(part, 30, HEAT)


def test_clad_aluminium_counts_as_the_copper_that_resists_as_much():
    """16 mm2 of it is 10 mm2 of copper: 8 AWG, 80 A, 35.8 A at 90 degC; copper of 16 mm2 would have 53.7 A."""
    clad = cable(area_mm2=16, ohm_per_km=1.924, od_mm=8.3, material="copper-clad aluminium")
    assert amps(clad, 90, TABLE) == pytest.approx(80 * math.sqrt(15 / 75))
    assert "8 AWG" in clad.ampacities(Surroundings(90))[0].basis


def test_a_trade_size_that_hides_thin_metal_is_found_out_by_its_resistance():
    """Sold as 2.5 mm2, with the resistance of 0.64 mm2."""
    thin = cable(ohm_per_km=29.0)
    assert amps(thin, 30, TABLE) < 20 < amps(cable(), 30, TABLE)


def test_a_gauge_does_not_help_what_is_not_copper():
    clad = cable(area_mm2=8.37, ohm_per_km=3.5, gauge=8, material="aluminium")
    assert amps(clad, 30, TABLE) == 60


def test_a_twin_heats_itself():
    twin = SHELF.part("cable:twin-2.5")
    one = replace(twin, core_count=1, height_mm=None, od_mm=3.0)
    assert amps(twin, 40, HEAT) < 0.9 * amps(one, 40, HEAT)
    assert amps(twin, 40, TABLE) == amps(one, 40, TABLE), "two that carry are no bundle yet"
    assert amps(replace(twin, core_count=3), 40, TABLE) == pytest.approx(0.7 * amps(one, 40, TABLE))


def test_cores_of_a_twin():
    twin = SHELF.part("cable:twin-2.5")
    assert [core.name for core in twin.cores] == ["1", "2"]
    assert {core.area_mm2 for core in twin.cores} == {2.5}
    assert twin.cores[0].ohm_per_m_20 == pytest.approx(7.98e-3)


def test_temperature_coefficient_is_that_of_the_metal():
    assert cable().cores[0].alpha_per_k == 0.00393
    assert cable(material="tinned copper").cores[0].alpha_per_k == 0.00393
    assert cable(material="copper-clad aluminium").cores[0].alpha_per_k == 0.00403


@given(
    air_c=st.floats(-40, 200), other_c=st.floats(-40, 200), bundled=st.integers(1, 40), class_c=st.floats(60, 250),
    material=st.sampled_from(MATERIALS),
)
def test_hotter_never_carries_more_on_any_basis(air_c, other_c, bundled, class_c, material):
    part = cable(insulation_c=class_c, amps_30c=29, material=material)
    cold, hot = ([a.amps for a in part.ampacities(Surroundings(c, bundled=bundled))] for c in sorted((air_c, other_c)))
    assert all(h <= c + 1e-9 for c, h in zip(cold, hot, strict=True))
    assert all(value >= 0 and math.isfinite(value) for value in cold + hot)


# IEC 60364-5-54: k = 115 from 70 degC; formula of its annex A: 87.6 from 105 degC, 123 from 125 to 250 degC
@pytest.mark.parametrize(
    ("insulation", "running_c", "k"), [("pvc", 70, 115), ("pvc", 105, 87.6), ("xlpe", 90, 143), ("xlpe", 125, 123.3)]
)
def test_bears_what_its_running_temperature_leaves(insulation, running_c, k):
    assert cable(insulation=insulation).withstand_a2s(running_c) == pytest.approx((k * 2.5) ** 2, rel=0.005)


def test_a_hot_4_mm2_fails_where_a_warm_one_passes():
    """The gate of a 40 A bolt-in fuse, DIN 72581-3 form E: 140 A for 7 s."""
    part, let_through_a2s = cable(area_mm2=4, ohm_per_km=4.95, insulation="pvc"), 140**2 * 7
    assert part.withstand_a2s(70) > let_through_a2s > part.withstand_a2s(105)


def test_of_an_unknown_insulation_the_least_is_taken():
    assert cable().short_time_c == 160
    assert cable(area_mm2=400, ohm_per_km=0.05, od_mm=40, insulation="pvc").short_time_c == 140
    assert cable(area_mm2=400, ohm_per_km=0.05, od_mm=40, insulation="xlpe").short_time_c == 250


def test_hotter_than_it_bears_it_bears_nothing_more():
    assert cable(insulation="pvc").withstand_a2s(160) == 0
    assert cable(insulation="pvc").withstand_a2s(200) == 0


def test_aluminium_bears_less():
    assert cable(material="aluminium").withstand_a2s(70) < 0.5 * cable().withstand_a2s(70)


def test_solid_tinned_and_unknown():
    assert cable(strands=1).is_solid is True
    assert cable(strands=50).is_solid is False
    assert cable().is_solid is None
    assert cable(material="tinned copper").is_tinned
    assert not cable().is_tinned


@pytest.mark.parametrize(
    ("column", "changes", "fragment"),
    [
        ("core_count", {"core_count": "0"}, "out of range"),
        ("core_count", {"core_count": "1.5"}, "not a whole number"),
        ("core_count", {"core_count": "two"}, "not a number"),
        ("strands", {"strands": "-7"}, "out of range"),
        ("gauge", {"gauge": "7.5"}, "not one of the choices"),
        ("area_mm2", {"gauge": "10"}, "has 48 % of the metal of its gauge"),
        ("height_mm", {"height_mm": "5"}, "is above od_mm"),
        ("stated_a", {"stated_a": "20"}, "belongs together with stated_air_c"),
        ("stated_a", {"stated_air_c": "20"}, "belongs together with stated_air_c"),
        ("stated_air_c", {"stated_a": "20", "stated_air_c": "105", "insulation_c": "105"}, "not below insulation_c"),
        ("material", {"material": "brass"}, "not one of the choices"),
        ("insulation", {"insulation": "paper"}, "not one of the choices"),
        ("bend_mm", {"bend_mm": "0"}, "not above 0"),
        ("colour", {"colour": "red"}, "unknown key"),
    ],
)
def test_a_row_that_makes_no_sense_is_refused_at_its_column(column, changes, fragment):
    with pytest.raises(ValidationError) as caught:
        CableSchema().load(ROW | changes)
    ((path, text),) = complaints(caught.value.messages)
    assert (str(path), fragment in text) == (column, True), text


def test_facts_of_a_row_arrive():
    part = CableSchema().load(
        ROW
        | {"gauge": "14", "area_mm2": "2.08", "height_mm": "4", "bend_mm": "25", "g_per_m": "37", "price": "1.20 EUR"}
    )
    assert isinstance(part, Cable)
    assert (part.gauge, part.height_mm, part.bend_mm, part.g_per_m) == (14, 4, 25, 37)
    assert str(part.price) == "1.20 EUR"
