"""Cables and end fittings as parts: what a row becomes, and what it is worth in an installation."""

from __future__ import annotations

import pytest
from tests.plugins.installing import assessed

from rigfeed.errors import CatalogError
from rigfeed.studies.operating import OPERATING

CABLE = "cable:w: area_mm2=2.5 | ohm_per_km=7.6 | od_mm=3"
TWIN = "cable:t: area_mm2=2.5 | ohm_per_km=7.6 | od_mm=6 | core_count=2"
RING = "ring:r: contact_mohm=0.5 | rigid_mm=12x5 | least_mm2=1.5 | most_mm2=2.5 | stud_mm=8"
ROWS = (
    CABLE, TWIN, RING,
    "battery:b: chemistry=AGM | capacity_ah=80 | aged_mohm=10 | new_mohm=5 | rest_v=0 11.8; 100 12.8",
    "radio:r: transmit_a=10 | receive_a=1 | standby_a=0 | least_v=9 | most_v=16",
)


def operating(conductors: str, air_c: float = 20.0):
    text = f"""
    [zones.z]
    warmest = "{air_c:g} degC"
    [points.p]
    zone = "z"
    [nodes]
    start = {{ part = "battery:b", at = "p", settings = {{ rest_voltage = "12.6 V" }} }}
    set = {{ part = "radio:r", at = "p" }}
    [conductors]
    {conductors}
    [states.tx]
    modes = {{ set = "transmit" }}
    """
    return assessed(text, *ROWS)[OPERATING]


TWO_WIRES = """
    W1 = { cable = "cable:w", from = "start.pos", to = "set.pos", length = "3 m", ends = ["ring:r", "ring:r"] }
    W2 = { cable = "cable:w", from = "set.neg", to = "start.neg", length = "3 m", ends = ["ring:r", "ring:r"] }
"""
ONE_TWIN = """
    W = { cable = "cable:t", from = ["start.pos", "start.neg"], to = ["set.pos", "set.neg"], length = "3 m",
        ends = ["ring:r", "ring:r"] }
""".replace("\n        ", " ")


@pytest.mark.parametrize("conductors", [TWO_WIRES, ONE_TWIN], ids=["two wires", "one twin cable"])
@pytest.mark.parametrize("air_c", [20.0, 80.0])
def test_both_leads_lose_what_their_metal_and_their_joints_make(conductors, air_c):
    found = operating(conductors, air_c)
    metal_c = dict(found.metal_c["tx"])
    assert all(air_c + 3 < warm_c < air_c + 12 for warm_c in metal_c.values())  # 10 A through 2.5 mm2
    wire_ohm = 3 * 0.0076 * sum(1 + 0.00393 * (warm_c - 20) for warm_c in metal_c.values())
    assert found.across("tx", "start") - found.across("tx", "set") == pytest.approx(10 * (wire_ohm + 4 * 0.0005))


def test_a_row_becomes_cores_of_its_area_and_resistance():
    laid = operating(ONE_TWIN).installation.conductors["W"]
    assert [(core.core.name, core.core.area_mm2, core.core.ohm_per_m_20) for core in laid.cores] == [
        ("1", 2.5, pytest.approx(0.0076)), ("2", 2.5, pytest.approx(0.0076)),
    ]
    assert {core.core.alpha_per_k for core in laid.cores} == {0.00393}


def test_an_end_fitting_has_its_size():
    fitting = operating(TWO_WIRES).installation.conductors["W1"].ends[0].fitting
    assert (fitting.contact_ohm, fitting.stud_mm, fitting.rigid.hole_mm) == (pytest.approx(0.0005), 8.0, 13.0)


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("cable:x: area_mm2=0 | ohm_per_km=7.6 | od_mm=3", "area_mm2: 0 is not above 0"),
        ("cable:x: area_mm2=2.5 | ohm_per_km=7.6", "od_mm: is missing"),
        ("cable:x: area_mm2=2.5 | ohm_per_km=7.6 | od_mm=3 | core_count=0", "core_count"),
        ("cable:x: area_mm2=2.5 | ohm_per_km=7.6 | od_mm=3 | core_count=1.5", "core_count"),
        ("cable:x: area_mm2=2.5 | ohm_per_km=7.6 | od_mm=3 | material=gold", "material: 'gold' is not one of"),
        ("cable:x: area_mm2=2.5 mm2 | ohm_per_km=7.6 | od_mm=3", "area_mm2: '2.5 mm2' is not a number"),
    ],
)
def test_a_row_that_cannot_be(row, says):
    with pytest.raises(CatalogError, match=says):
        assessed('[conductors.W]\ncable = "cable:x"', row)
