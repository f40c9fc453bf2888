"""The catalogs that are shipped: every row can be built, says where it comes from, and is physically possible."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator

import pytest

from rigfeed.parts.catalog import read_rows
from rigfeed.parts.shelf import Shelf
from rigfeed.plugin import ConductorType, Device, EndFitting, LoadDevice, Part, ProtectiveDevice, SourceDevice
from rigfeed.registry import installed_registry

CATALOGS = installed_registry().catalogs
SHELF = Shelf(installed_registry())

# Area times resistance at 20 degC [ohm mm2/km]. The least is that of the ideal metal, 1000/58 for copper (IEC 60028)
# and 1.55 times that for clad aluminium (ASTM B566, 15 %), less 0.5 % for the digits that tables print; pure aluminium
# lies above clad. The most leaves 22 % for stranding and for an area that is the next nominal one, and 30 % for thin
# tinned strands (FAA AC 43.13-1B table 11-9, 24 AWG: 0.2407 mm2 and 93.18 ohm/km).
POSSIBLE = {
    "copper": (17.15, 21.0),
    "tinned copper": (17.15, 22.5),
    "copper-clad aluminium": (26.6, 33.4),
    "aluminium": (27.0, 34.5),
}


def parts(*sorts: type[Part]) -> Iterator[Part]:
    for catalog in CATALOGS:
        for row in read_rows(catalog):
            part = SHELF.part(f"{row.kind}:{row.catalog}/{row.id}")
            if isinstance(part, sorts or Part):
                yield part


def families(*sorts: type[Part]) -> dict[tuple[object, ...], list[Part]]:
    """Parts that differ in size only: of one catalog and kind, with the same words around the number in their name."""
    found: dict[tuple[object, ...], list[Part]] = {}
    for part in parts(*sorts):
        kind, _, name = part.key.partition(":")
        words = re.split(r"(?<![A-Za-z])\d+(?:[.-]\d+)?(?=-|$)", name.split("/")[1], maxsplit=1)
        alike = [getattr(part, key, None) for key in ("core_count", "material", "insulation_c", "family")]
        found.setdefault((kind, part.provenance.catalog, *words, *alike), []).append(part)
    return found


def rising(values: list[float], *, strictly: bool) -> bool:
    return all(a < b or (a == b and not strictly) for a, b in itertools.pairwise(values))


@pytest.mark.parametrize("catalog", CATALOGS, ids=lambda catalog: catalog.path)
def test_every_row_can_be_built_and_says_where_it_comes_from(catalog):
    rows = read_rows(catalog)
    assert rows
    for row in rows:
        part = SHELF.part(f"{row.kind}:{catalog.name}/{row.id}")
        assert SHELF.part(part.key) is part
        assert part.title
        assert part.provenance.source
        assert part.provenance.confidence
        assert part.provenance.line == row.line


def test_no_catalog_is_left_out_and_no_short_key_is_in_two():
    assert SHELF.troubles == ()
    keys = [part.short_key.lower() for part in parts()]
    assert len(keys) == len(set(keys)) > 50


def test_every_resistance_is_that_of_its_metal():
    cables = [part for part in parts(ConductorType) if hasattr(part, "ohm_per_km")]
    assert cables
    for cable in cables:
        least, most = POSSIBLE[cable.material]
        assert least <= cable.area_mm2 * cable.ohm_per_km <= most, cable.key


def test_a_cable_is_wider_than_its_metal():
    for cable in parts(ConductorType):
        metal_mm2 = sum(core.area_mm2 for core in cable.cores)
        assert cable.od_mm**2 * 0.7854 > metal_mm2, cable.key
        assert all(0.003 <= core.alpha_per_k <= 0.0045 for core in cable.cores), cable.key


def test_more_metal_is_wider_and_carries_more_within_a_list():
    compared = 0
    for cables in families(ConductorType).values():
        sized = sorted((cable for cable in cables if hasattr(cable, "area_mm2")), key=lambda cable: cable.area_mm2)
        assert rising([cable.area_mm2 for cable in sized], strictly=True), [cable.key for cable in sized]
        assert rising([cable.od_mm for cable in sized], strictly=False), [cable.key for cable in sized]
        assert rising([-cable.ohm_per_km for cable in sized], strictly=True), [cable.key for cable in sized]
        amps = [cable.amps_30c for cable in sized if cable.amps_30c is not None]
        assert rising(amps, strictly=True), [cable.key for cable in sized]
        compared += len(sized)
    assert compared >= 20


def test_a_larger_fuse_resists_less_and_loses_little():
    compared = 0
    for fuses in families(ProtectiveDevice).values():
        sized = sorted(fuses, key=lambda fuse: fuse.rated_a)
        assert rising([-fuse.resistance_ohm for fuse in sized], strictly=True), [fuse.key for fuse in sized]
        for fuse in sized:
            assert 0.0 < fuse.resistance_ohm * fuse.rated_a <= 0.4, fuse.key  # volts at the rated current
            shortest_s, longest_s = fuse.opening_s(10 * fuse.rated_a)
            assert 0.0 <= shortest_s <= longest_s, fuse.key
        compared += len(sized)
    assert compared >= 8


def test_a_joint_is_a_good_one():
    fittings = list(parts(EndFitting))
    assert fittings
    for fitting in fittings:
        most_ohm = 0.002 if fitting.kind in ("ring", "ferrule") else 0.025  # a small contact of a signal plug
        assert 0.0 <= fitting.contact_ohm <= most_ohm, fitting.key


def test_devices_have_terminals_of_their_own_names_and_their_poles_among_them():
    for device in parts(Device):
        names = [terminal.name for terminal in device.terminals]
        assert len(names) == len(set(names)) >= 1, device.key
        assert {terminal for pair in device.through for terminal in pair} <= set(names), device.key
        if isinstance(device, SourceDevice | LoadDevice):
            assert set(device.poles) <= set(names), device.key
        assert device.default_mode in (device.modes or ("",)), device.key


def test_equipment_works_between_volts_around_its_nominal_ones():
    for load in parts(LoadDevice):
        assert (load.least_v or 0.0) < load.nominal_v < (load.most_v or 1e9), load.key
