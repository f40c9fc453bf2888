"""Fuses in an installation: what they lose, and the holder that they sit in."""

from __future__ import annotations

import pytest
from tests.plugins.installing import assessed

from rigfeed.errors import CatalogError, DesignError
from rigfeed.studies.operating import OPERATING
from rigfeed.wiring import Wiring

ROWS = (
    "fuse:f: family=C | rated_a=10 | drop_mv=110 | breaking_a=1000",
    "holder:h: family=C | most_a=30 | rigid_mm=24x38",
    "battery:b: chemistry=AGM | capacity_ah=80 | aged_mohm=10 | new_mohm=5 | rest_v=0 11.8; 100 12.8",
    "radio:r: transmit_a=10 | receive_a=1 | standby_a=0 | least_v=9 | most_v=16",
    "cable:w: area_mm2=2 | ohm_per_km=9.42 | od_mm=3",
)


def design(settings: str = "", turned: bool = False) -> str:
    near, far = ("F1.b", "F1.a") if turned else ("F1.a", "F1.b")
    return f"""
    [nodes]
    start = {{ part = "battery:b", settings = {{ rest_voltage = "12.6 V" }} }}
    F1 = {{ part = "fuse:f", settings = {{ {settings} }} }}
    set = {{ part = "radio:r" }}
    [conductors]
    W1 = {{ cable = "cable:w", from = "start.pos", to = "{near}", length = "0.1 m" }}
    W2 = {{ cable = "cable:w", from = "{far}", to = "set.pos", length = "1 m" }}
    W3 = {{ cable = "cable:w", from = "set.neg", to = "start.neg", length = "1 m" }}
    [states.tx]
    modes = {{ set = "transmit" }}
    """


@pytest.mark.parametrize("turned", [False, True])
def test_at_its_rated_current_it_loses_what_its_row_says(turned):
    found = assessed(design(turned=turned), *ROWS)[OPERATING]
    assert found.current("tx", "F1") == pytest.approx(-10.0 if turned else 10.0)
    assert abs(found.between("tx", "F1.a", "F1.b")) == pytest.approx(0.110)


def test_it_is_what_protects_the_set():
    (found,) = Wiring(assessed(design(), *ROWS).installation).protections_of("set.pos")
    assert (found[0].id, found[1].rated_a, found[1].breaking_a) == ("F1", 10.0, 1000.0)


def test_its_holder_is_a_part():
    node = assessed(design('holder = "holder:h"'), *ROWS).installation.nodes["F1"]
    assert (node.settings.holder.most_a, node.settings.holder.rigid.hole_mm) == (30.0, pytest.approx(44.94, abs=0.01))
    assert assessed(design(), *ROWS).installation.nodes["F1"].settings.holder is None


def test_a_fuse_is_no_holder():
    with pytest.raises(DesignError, match=r"nodes\.F1\.settings\.holder: 'fuse:f' is not a holder"):
        assessed(design('holder = "fuse:f"'), *ROWS)


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("fuse:x: family=Q | rated_a=10 | drop_mv=100", "family: 'Q' is not one of"),
        ("fuse:x: family=C | rated_a=0 | drop_mv=100", "rated_a: 0 is not above 0"),
        ("fuse:x: family=C | rated_a=10 | drop_mv=-1", "drop_mv: -1 is"),
    ],
)
def test_a_row_that_cannot_be(row, says):
    with pytest.raises(CatalogError, match=says):
        assessed(design().replace("fuse:f", "fuse:x"), *ROWS, row)
