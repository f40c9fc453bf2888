"""Times for many currents at once are those for each alone; what a management unit and a breaker say of themselves."""

from __future__ import annotations

import numpy as np
import pytest

from rigfeed.parts.interfaces import ProtectiveDevice, SourceDevice
from rigfeed.parts.shelf import open_shelf

CURRENTS_A = np.geomspace(1.0, 3000.0, 40)


def devices() -> list[ProtectiveDevice]:
    shelf = open_shelf()
    parts = [part for kind in ("fuse", "breaker") for part in shelf.find(kind, by="rated_a", most=10_000)]
    return [part for part in parts if isinstance(part, ProtectiveDevice)][::7]


@pytest.mark.parametrize("device", devices(), ids=lambda device: device.key)
def test_many_currents_at_once(device):
    shortest_s, longest_s = device.openings_s(CURRENTS_A, 60.0)
    alone = np.array([device.opening_s(float(amps), 60.0) for amps in CURRENTS_A])
    assert shortest_s == pytest.approx(alone[:, 0], rel=1e-12)
    assert longest_s == pytest.approx(alone[:, 1], rel=1e-12)
    plain = ProtectiveDevice.openings_s(device, CURRENTS_A, 60.0)
    assert plain[1] == pytest.approx(longest_s, rel=1e-12)


def test_air_beyond_the_curve_counts_as_its_end():
    fuse = open_shelf().part("fuse:blade-10")
    assert isinstance(fuse, ProtectiveDevice)
    coldest_c = fuse.curve.air_range_c[0]
    assert fuse.openings_s(CURRENTS_A, coldest_c - 40.0)[1] == pytest.approx(fuse.openings_s(CURRENTS_A, coldest_c)[1])


def test_a_battery_tells_where_its_unit_takes_it_off():
    shelf = open_shelf()
    with_unit, without = shelf.part("battery:lifepo4-50"), shelf.part("battery:agm-80")
    assert isinstance(with_unit, SourceDevice)
    assert isinstance(without, SourceDevice)
    assert (with_unit.disconnects_a, without.disconnects_a) == (50.0, None)


def test_a_breaker_tells_whether_it_closes_again():
    breakers = open_shelf().find("breaker", by="rated_a", most=10_000)
    assert {breaker.closes_again for breaker in breakers} == {True, False}
