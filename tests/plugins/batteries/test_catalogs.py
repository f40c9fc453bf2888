"""Every row of every catalog of the batteries plugin builds, says where it comes from, and obeys physics."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

import pytest

from rigfeed.parts.catalog import read_rows
from rigfeed.parts.shelf import Shelf
from rigfeed.registry import make_registry
from rigfeed_batteries import CATALOGS, register_catalogs
from rigfeed_batteries.rest import battery_rest_v

ROWS = [(file.name, row) for file in register_catalogs() for row in read_rows(file)]
SHELF = Shelf(make_registry())
PARTS = {f"{row.kind}:{row.id}": SHELF.part(f"{row.kind}:{row.id}") for _, row in ROWS}  # the short form is enough


def of_kind(kind: str):
    found = [pytest.param(part, id=key) for key, part in PARTS.items() if key.startswith(f"{kind}:")]
    assert found
    return pytest.mark.parametrize("part", found)


def generic(kind: str):
    found = [part for key, part in PARTS.items() if key.startswith(f"{kind}:")]
    return [part for part in found if part.provenance.confidence != "invented"]


def test_there_are_catalogs_for_every_kind():
    counts = Counter(row.kind for _, row in ROWS)
    assert {file.name for file in register_catalogs()} == set(CATALOGS)
    assert set(counts) == {"battery", "alternator", "charger", "converter", "relay", "splitter", "isolator", "solar"}
    assert counts["battery"] >= 40
    assert all(count >= 4 for count in counts.values())
    assert {part.chemistry for part in generic("battery")} == {"flooded", "AGM", "gel", "LiFePO4"}


def test_no_key_stands_in_two_catalogs():
    twice = [key for key, count in Counter((row.kind, row.id.lower()) for _, row in ROWS).items() if count > 1]
    assert twice == []


@pytest.mark.parametrize("key", PARTS)
def test_a_row_says_what_it_is_and_how_far_to_trust_it(key):
    part = PARTS[key]
    demo = part.provenance.catalog.startswith("demo-")
    assert len(part.title) > 8
    assert len(part.provenance.source) > 8
    assert (part.provenance.confidence == "invented") == demo
    if "memory" in part.provenance.source:
        assert part.provenance.confidence == "memory"


@of_kind("battery")
def test_a_battery_is_plausible(part):
    scale = part.nominal_v / 12
    assert part.new_ohm < part.aged_ohm < 3 * part.new_ohm
    # a short of 15 to 60 times the capacity in an hour: what batteries of this build do, by common experience
    assert 15 < part.emf_v(1.0) / part.new_ohm / part.capacity_ah < 70
    assert all(b[1] > a[1] for a, b in pairwise(part.rest_v))
    assert part.rest_v[0][0] == 0
    assert part.rest_v[-1][0] == 100
    assert 11.9 * scale < part.emf_v(0.5) < 13.4 * scale
    assert part.needs_vented_box == (part.chemistry == "flooded")
    if part.charge_v:
        assert part.charge_v < 15 * scale
        assert part.emf_v(0.95) < part.charge_v
    if part.cca_a:
        assert part.new_ohm < (12.6 - 7.2) / part.cca_a  # SAE J537: the bound of a new one


@pytest.mark.parametrize("part", generic("battery"), ids=lambda part: part.short_key)
def test_a_generic_battery_is_complete_and_has_the_curves_of_its_chemistry(part):
    cells = round(part.nominal_v / 3) if part.chemistry == "LiFePO4" else round(part.nominal_v / 2)
    for percent, volts in part.rest_v:
        assert volts == pytest.approx(battery_rest_v(percent / 100, part.chemistry, cells), abs=6e-4)
    assert part.usable == (0.8 if part.chemistry == "LiFePO4" else 0.5)
    assert part.float_v < part.charge_v
    assert part.coldest_c < part.warmest_c
    assert part.coldest_charge_c < part.warmest_charge_c
    assert part.charge_a < part.capacity_ah
    assert part.capacity_at_ah(-10.0) < part.capacity_at_ah(25.0) <= 1.02 * part.capacity_ah
    if part.chemistry == "LiFePO4":
        assert part.coldest_charge_c == 0.0
        assert part.bms_a
        assert part.frost_lock is not None


def test_larger_batteries_of_one_build_have_less_resistance():
    for prefix in ("flooded-deep-", "agm-deep-", "gel-", "lifepo4-24v-"):
        of_build = [part for key, part in PARTS.items() if key.startswith(f"battery:{prefix}")]
        family = sorted(of_build, key=lambda part: part.capacity_ah)
        assert len(family) >= 3
        assert all(b.new_ohm < a.new_ohm and b.aged_ohm < a.aged_ohm for a, b in pairwise(family))


@of_kind("alternator")
def test_an_alternator_is_plausible(part):
    assert 13.5 <= part.set_v <= 15.5 or 27 <= part.set_v <= 31
    assert part.idle_a is None or part.idle_a <= part.rated_a
    if part.variable:
        assert part.least_v <= part.set_v <= part.most_v


@of_kind("charger")
def test_a_charger_is_plausible(part):
    assert 0.8 < part.efficiency < 0.96
    assert part.lockout_v < part.restart_v < part.most_in_v
    assert part.engine_lockout_v is None or part.engine_lockout_v <= part.lockout_v
    assert (part.engine_lockout_v is None) == (part.enable == "volts")
    assert part.least_a is None or part.least_a < part.limit_a
    assert set(part.profiles) == {"flooded", "AGM", "gel", "LiFePO4"}
    assert all(volts == pytest.approx(part.out_v, rel=0.02) for volts in part.profiles.values())


@of_kind("converter")
def test_a_converter_is_plausible(part):
    assert 0.8 < part.efficiency < 0.96
    assert part.lockout_v < part.restart_v < part.most_in_v
    assert part.lockout_v < part.nominal_in_v < part.most_in_v
    assert part.rated_a < part.limit_a < 2 * part.rated_a
    assert 0 < part.standby_w < 0.02 * part.out_v * part.rated_a


@of_kind("relay")
def test_a_relay_is_plausible(part):
    assert part.rated_a < part.peak_a
    assert 0.02 < part.rated_a * part.contact_ohm < 0.06  # what a contact loses at its rated current [V]
    if part.sense == "volts":
        assert part.open_v < part.close_v
        assert 12.6 < part.open_v / (part.nominal_v / 12) < part.close_v / (part.nominal_v / 12) < 13.5
    else:
        assert 1 < part.coil_a * part.nominal_v < 10


@of_kind("splitter")
def test_a_splitter_is_plausible(part):
    diode = "diode" in part.title
    assert (0.5 <= part.knee_v < part.drop_v <= 0.8) == diode
    assert len(part.terminals) == part.outputs + 1


@of_kind("isolator")
def test_an_isolator_is_plausible(part):
    assert part.rated_a < part.peak_a
    assert part.rated_v >= 24
    assert part.rated_a * part.contact_ohm < 0.061
