"""Assessments that the tests of figures share, each made once."""

from __future__ import annotations

from functools import cache

import rigfeed
from rigfeed.assess import Assessment

NAMES = ("hazel", "larch", "alder", "wren")

# two high-current blade fuses in series in air of 25 degC, in which their ratings hold, and thin wire behind them
PLAIN = """format = 1
job = { title = "Two fuses", practice = "road" }
vehicle = { system_voltage = "12 V" }
zones = { cool = { warmest = "25 degC", coldest = "25 degC" } }
points = { here = { zone = "cool" } }

[nodes]
start = { part = "battery:flooded-45", at = "here" }
F1 = { part = "fuse:e-80", at = "here" }
F2 = { part = "fuse:e-40", at = "here" }
vhf = { part = "radio:vhf-25", at = "here" }

[conductors]
W1 = { cable = "cable:thinwall-16", from = "start.pos", to = "F1.a", length = "0.1 m" }
W2 = { cable = "cable:thinwall-16", from = "F1.b", to = "F2.a", length = "2 m" }
W3 = { cable = "cable:thinwall-4", from = "F2.b", to = "vhf.pos", length = "3 m" }
W4 = { cable = "cable:thinwall-4", from = "vhf.neg", to = "start.neg", length = "3 m" }
"""


@cache
def assessed(name: str) -> Assessment:
    """A demonstration design, or the plain one, without its checks."""
    from rigfeed.design.file import parse

    design = parse(PLAIN) if name == "plain" else rigfeed.load(rigfeed.example(name))
    return rigfeed.assess(design, only=())
