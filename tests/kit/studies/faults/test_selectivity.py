"""Which of two devices in series opens first is asked over the whole range of currents, not at one of its ends."""

from __future__ import annotations

import pytest
from tests.kit.resolve.bench import TextFile

import rigfeed
from rigfeed.design.file import parse
from rigfeed.parts.shelf import Shelf
from rigfeed.registry import installed_registry

GATES = "1.1 3600..; 2 5..40; 6 2..20; 6.2 0.001..0.05"
PARTS = f"""part,title,family,rated_a,rated_v,reset,drop_mv,breaking_a,gates,source,confidence
breaker:snap-50,snaps above six times,magnetic breaker,50,32,manual,100,3000,{GATES},test,invented
breaker:even-50,even,magnetic breaker,50,32,manual,100,3000,1.1 3600..; 2 5..40; 6 0.00444..0.05,test,invented
breaker:calm-50,never snaps,magnetic breaker,50,32,manual,100,3000,1.1 3600..; 2 50..100; 40 20..40,test,invented
"""
DESIGN = """format = 1
[zones.bay]
warmest = "40 degC"
coldest = "{cold}"
[points.panel]
zone = "bay"
[nodes]
start = {{ part = "battery:agm-80", settings = {{ charge = "80 %" }} }}
F1 = {{ part = "{up}", at = "panel" }}
F2 = {{ part = "fuse:blade-10", at = "panel" }}
set = {{ part = "radio:vhf-25" }}
[conductors]
W1 = {{ cable = "cable:thinwall-10", from = "start.pos", to = "F1.a", length = "0.2 m" }}
W2 = {{ cable = "cable:thinwall-10", from = "F1.b", to = "F2.a", length = "0.5 m" }}
W3 = {{ cable = "cable:thinwall-2.5", from = "F2.b", to = "set.pos", length = "9 m" }}
W4 = {{ cable = "cable:thinwall-16", from = "set.neg", to = "start.neg", length = "1 m" }}
"""


def found(up: str, cold: str = "20 degC"):
    shelf = Shelf(installed_registry(), (TextFile("snap", PARTS),))
    findings = rigfeed.assess(parse(DESIGN.format(up=up, cold=cold)), shelf=shelf, only=["poor-selectivity"]).findings
    return [finding for finding in findings if str(finding.subject) == "nodes.F2"]


def test_a_breaker_that_snaps_is_overtaken_above_its_knee_only():
    """Below 300 A it takes 2 s at least, and the fuse is through long before; above 310 A it may be as quick."""
    (finding,) = found("breaker:snap-50")
    least_a, most_a = finding.numbers["least"].value, finding.numbers["most"].value
    assert least_a == pytest.approx(305.0, rel=0.02)
    assert most_a > 1.3 * least_a
    assert "may open F1 in front of it first" in finding.text()


def test_a_fuse_that_the_cold_slows_is_overtaken_in_the_cold_only():
    """ISO 8820-3 as reproduced: the fuse is through after 360 A2s at the latest; at -40 degC it stands a tenth more
    current, 436 A2s. The breaker in front, which knows no air, needs 400 A2s at least."""
    assert found("breaker:even-50") == []
    (finding,) = found("breaker:even-50", cold="-40 degC")
    amps = finding.numbers["amps"].value
    assert amps**2 * finding.value.value == pytest.approx(400, rel=0.01)
    assert amps**2 * finding.limit.value == pytest.approx(360 * 1.1**2, rel=0.01)


def test_one_that_never_does_is_never_overtaken():
    assert found("breaker:calm-50") == []
