"""A jacketed twin as one conductor of a small design: two metal paths, one length, one end fitting for each core."""

from __future__ import annotations

import pytest

import rigfeed
from rigfeed.design.file import parse
from rigfeed.studies.operating import OPERATING

DESIGN = """
format = 1
[job]
title = "a twin lead"
practice = "road"
[zones]
cabin = { warmest = "20 degC", coldest = "20 degC" }
[points]
battery = { zone = "cabin" }
seat = { zone = "cabin" }
[runs]
floor = { from = "battery", to = "seat", length = "5 m", zone = "cabin" }
[nodes]
start = { part = "battery:flooded-45", at = "battery", settings = { rest_voltage = "12.3 V" } }
vhf = { part = "radio:vhf-25", at = "seat" }
[conductors.W1]
cable = "cable:CABLE"
from = ["start.pos", "start.neg"]
to = ["vhf.pos", "vhf.neg"]
length = "5 m"
ends = ["ring:ins-2.5-m8", "plug:flat-30"]
[states.tx]
engine = "off"
modes = { vhf = "transmit" }
"""


def drop_v(cable):
    assessment = rigfeed.assess(parse(DESIGN.replace("CABLE", cable)))
    operating = assessment[OPERATING]
    legs = [
        operating.volts("tx", "start.pos") - operating.volts("tx", "vhf.pos"),
        operating.volts("tx", "vhf.neg") - operating.volts("tx", "start.neg"),
    ]
    assert legs[0] == pytest.approx(legs[1], rel=1e-6)
    return sum(legs)


def test_both_cores_carry_the_current():
    """6.5 A through 2 x 5 m of 7.98 ohm/km and two crimps of 0.3 and 0.6 mohm each: 0.525 V at 20 degC, a little more
    for the metal being warmer than the air."""
    cold_v = 6.5 * 2 * (5 * 7.98e-3 + 0.3e-3 + 0.6e-3)
    assert cold_v * 0.999 <= drop_v("twin-2.5") <= cold_v * 1.1


def test_tinned_and_clad_drop_more():
    assert drop_v("twin-2.5") < drop_v("twin-tinned-2.5") < drop_v("twin-1.5")
