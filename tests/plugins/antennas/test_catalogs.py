"""The catalogs of this plugin: every row is built, says where it comes from, and is physically plausible."""

from __future__ import annotations

import math

import pytest

from rigfeed.parts.catalog import read_rows
from rigfeed.parts.shelf import Shelf
from rigfeed.plugin import Resource
from rigfeed.registry import make_registry
from rigfeed_antennas import CATALOGS
from rigfeed_antennas.coax import impedance_from_diameters_ohm
from rigfeed_antennas.gain import monopole_gain_dbi
from rigfeed_antennas.whip import rod_length_m

SHELF = Shelf(make_registry())
ROWS = [(path, row) for path in CATALOGS for row in read_rows(Resource("rigfeed_catalogs", path))]
PARTS = {f"{row.kind}:{row.catalog}/{row.id}": SHELF.part(f"{row.kind}:{row.catalog}/{row.id}") for _, row in ROWS}
CONFIDENCE = {"published", "derived", "maker", "measured", "memory", "invented"}
COPPER = (17.2, 22.5)  # ohm mm2/km: ideal copper to thin tinned strands
METALS = {
    "copper": COPPER,
    "tinned copper": COPPER,
    "copper-clad aluminium": (26.6, 33.4),
    "copper-clad steel": (40, 50),
}


def of(kind):
    return {key: part for key, part in PARTS.items() if part.kind == kind}


def each(kind):
    return pytest.mark.parametrize("part", of(kind).values(), ids=of(kind).keys())


def test_how_many():
    counts = {kind: len(of(kind)) for kind in ("feeder", "connector", "mount", "antenna", "radio", "equipment")}
    assert all(counts[kind] >= least for kind, least in (("feeder", 7), ("connector", 15), ("mount", 12)))
    assert all(counts[kind] >= least for kind, least in (("antenna", 14), ("radio", 9), ("equipment", 12)))


def test_no_short_key_is_taken_twice():
    short = [part.short_key.lower() for part in PARTS.values()]
    assert len(short) == len(set(short))


@pytest.mark.parametrize("part", PARTS.values(), ids=PARTS.keys())
def test_says_where_it_comes_from(part):
    assert part.provenance.source
    assert part.provenance.confidence in CONFIDENCE
    if "memory" in part.provenance.source:
        assert part.provenance.confidence in ("memory", "derived", "invented")


@pytest.mark.parametrize("path", CATALOGS)
def test_each_file_says_what_it_is(path):
    assert Resource("rigfeed_catalogs", path).text().startswith("# ")


@each("feeder")
def test_feeder(part):
    assert 17.2 <= part.shield_mm2 * part.shield_ohm_per_km <= 20
    least, most = METALS[part.centre_metal or "copper"]
    assert least <= part.inner_mm2 * part.inner_ohm_per_km <= most
    assert part.od_mm**2 * math.pi / 4 > part.inner_mm2 + part.shield_mm2
    assert part.loss_db(30e6, 10) < part.loss_db(150e6, 10) < part.loss_db(450e6, 10)
    if part.bend_mm and part.bend_long_mm:
        assert 5.9 <= part.bend_mm / part.od_mm <= 6.4
        assert 9.7 <= part.bend_long_mm / part.od_mm <= 10.3
    if part.power_points:
        watts = [watts for _, watts in part.power_points]
        assert watts == sorted(watts, reverse=True)
    if part.loss_source:
        assert part.loss_confidence == ("memory" if "memory" in part.loss_source else "published")


def test_the_thicker_cable_loses_less():
    names = ("rg174", "rg58c", "rg8x", "rg213", "foam-10.3")
    losses = [SHELF.part(f"feeder:{name}").loss_db(146e6, 10.0) for name in names]
    assert losses == sorted(losses, reverse=True)


@pytest.mark.parametrize(
    ("name", "dielectric_mm", "inner_mm"), [("rg58c", 2.95, 0.9), ("rg213", 7.24, 2.26), ("foam-10.3", 7.24, 2.74)]
)
def test_the_impedance_is_about_that_of_the_diameters(name, dielectric_mm, inner_mm):
    """Diameters of the type as reproduced from MIL-DTL-17 and data sheets; strands and braid add a few ohms."""
    part = SHELF.part(f"feeder:{name}")
    ohm = impedance_from_diameters_ohm(dielectric_mm, inner_mm, part.velocity_factor)
    assert 0.9 <= ohm / part.impedance_ohm <= 1.0


@each("connector")
def test_connector(part):
    assert 0 < part.contact_ohm <= 0.005
    assert part.least_od_mm < part.most_od_mm
    assert part.series
    assert part.gender
    if part.loss_points:
        assert all(0 < db <= 0.5 for _, db in part.loss_points)
    if part.rigid:
        assert part.rigid.hole_mm > part.most_od_mm or part.series == "SMA"


@each("feeder")
def test_a_plug_is_there_for_every_feeder(part):
    assert [plug for plug in of("connector").values() if plug.gender == "plug" and plug.takes(part.od_mm)]


@each("mount")
def test_mount(part):
    assert (part.form == "magnet") == (part.bond == "capacitance") == part.needs_steel == bool(part.capacitance_pf)
    assert part.bond_ohm is None or part.bond_ohm <= 0.01
    assert (part.form == "hole") == (part.hole_mm is not None)


@each("antenna")
def test_antenna(part):
    (low, high), *_ = part.bands
    waves = {"quarter wave": (0.25, 0.95), "five-eighths wave": (0.625, 1.0), "half wave": (0.5, 0.95)}
    if part.form in waves:
        longest, shortest = (rod_length_m(edge, *waves[part.form]) for edge in (low, high))
        assert shortest * 0.97 <= part.length_m <= longest * 1.03
    if part.form in ("quarter wave", "five-eighths wave"):
        assert part.gain_dbi == pytest.approx(monopole_gain_dbi(waves[part.form][0]), abs=0.1)
    if part.form == "loaded whip":
        assert part.gain_dbi is None  # it follows from the losses of vehicle and ground
        assert part.coil_q
    assert [mount for mount in of("mount").values() if mount.base == part.base]


@each("radio")
def test_radio(part):
    assert part.transmit_a > (part.keyed_a or 0) >= 0
    assert part.transmit_a > part.receive_a > part.standby_a > 0
    assert 0.25 <= part.power_w / (13.8 * part.transmit_a) <= 0.5  # share of what it takes that goes out
    assert part.transmit_a < part.stated_fuse_a <= 2 * part.transmit_a
    assert part.bands or "demo" in part.key
    assert part.least_v < part.nominal_v < part.most_v


@each("equipment")
def test_equipment(part):
    amps = part.on_a or part.on_w / part.nominal_v
    assert amps < part.stated_fuse_a <= max(10 * amps, 3)
    assert (part.standby_w or 0.0) < (part.on_w or math.inf)
    assert part.inrush_a is None or part.inrush_a > amps
    if "inverter" in part.key:
        assert part.standby_w
        assert part.inrush_s
