"""What the scenarios conclude on return, tap and master switch."""

from __future__ import annotations

import pytest

import rigfeed
from rigfeed import OPERATING, Path, Set, apply
from rigfeed.trials.returns import try_returns


def design(name: str, **changes: object):
    edits = [Set(Path.parse(path.replace("__", ".")), value) for path, value in changes.items()]
    return apply(rigfeed.load(rigfeed.example(name)), edits)


def names(found) -> set[tuple[str, str]]:
    return {(finding.check, str(finding.subject)) for finding in found.findings}


THICK = {f"conductors__{wire}__cable": "cable:thinwall-4" for wire in ("W1", "W2", "W3")}
VEHICLES = {
    # a sensor on the post wants the body, whatever the school
    "hazel": (design("hazel"), "vhf", "road", ("body", False), "FCS 1362:2010 4.6.4"),
    "hazel, amateur": (design("hazel", **THICK), "vhf", "amateur", ("body", False), "FCS 1362:2010 4.6.4"),
    "larch": (design("larch"), "dcdc", "road", ("body", False), "FCS 1362:2010 4.6.4"),
    "juniper": (design("juniper"), "dcdc", "road", ("body", False), "FCS 1362:2010 4.6.4"),
    "wren": (design("wren"), "vhf", "road", ("body", False), "FCS 1362:2010 4.6.4"),
    # the post would lead around the master switch
    "alder": (design("alder"), "conv", "road", ("body", False), "FCS 1362:2010 4.6.4"),
    # a plain old steel car: both schools are right, each by its own practice
    "steel car": (
        design("hazel", vehicle__battery_sensor=False, **THICK), "vhf", "road", ("body", False), "FCS 1362:2010 4.6.4",
    ),
    "steel car, amateur": (
        design("hazel", vehicle__battery_sensor=False, **THICK), "vhf", "amateur", ("post", True),
        "Caltrans vehicle equipment guide",
    ),
    # both poles kept off the body
    "bus": (
        design("hazel", vehicle__battery_sensor=False, vehicle__isolated_return=True, **THICK), "vhf", "road",
        ("post", True), "FCS 1362:2010 4.7.2",
    ),
    "tern": (design("tern"), "vhf", "marine", ("post", True), "33 CFR 183.455(a)"),
}


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_the_return_and_its_authority(vehicle):
    drawn, load, practice, way, authority = VEHICLES[vehicle]
    (answer,) = try_returns(drawn, practice=practice, only=[load]).answers
    assert (answer.best.way.where, answer.best.way.fused) == way
    assert authority in answer.authority


def test_alder_centre_tap():
    """Seeded fault "centre tap": the set between the two batteries, its negative on the body."""
    tapped = rigfeed.assess(design("alder", conductors__W6__from="b1.pos", conductors__W8__to="strap.stud"))
    assert ("tap-reversed-by-isolator", "nodes.vhf") in names(tapped)
    operating = tapped[OPERATING]
    state = "all-keyed-engine-off"
    lower_a, upper_a = operating.current(state, "V2"), operating.current(state, "V1")
    assert abs(lower_a) > abs(upper_a) + 6.0  # one battery carries the load of the set alone
    assert "tap-reversed-by-isolator" not in {check for check, _ in names(rigfeed.assess(design("alder")))}


def test_a_tap_whose_negative_is_on_the_lower_battery_is_not_reversed():
    tapped = design("alder", conductors__W6__from="b1.pos", conductors__W8__to="b1.neg")
    assert "tap-reversed-by-isolator" not in {check for check, _ in names(rigfeed.assess(tapped))}
