"""What must hold whatever the design: laws of fuses, of copper, of order; and a link fed from its far end."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from tests.kit.studies.faults.made import assessed, made

import rigfeed
from rigfeed import Path, Set, apply
from rigfeed.design.file import parse
from rigfeed.parts.interfaces import ProtectiveDevice
from rigfeed.parts.shelf import open_shelf
from rigfeed.studies.faults import FAULTS, Faults

SEEDS = range(6)
LINK = """format = 1
[zones.bay]
warmest = "60 degC"
coldest = "-20 degC"
[nodes]
start = {{ part = "battery:agm-80", settings = {{ charge = "80 %" }} }}
aux = {{ part = "battery:flooded-110", settings = {{ charge = "80 %" }} }}
F1 = {{ part = "fuse:hi-40" }}
F2 = {{ part = "fuse:hi-40" }}
[conductors]
W1 = {{ cable = "cable:thinwall-10", from = "start.pos", to = "F1.a", length = "0.15 m" }}
W2 = {{ cable = "cable:thinwall-10", from = "F1.b", to = "{far}", length = "4 m" }}
{last}
W4 = {{ cable = "cable:thinwall-16", from = "start.neg", to = "aux.neg", length = "4 m" }}
"""
BOTH = LINK.format(
    far="F2.a", last='W3 = { cable = "cable:thinwall-10", from = "F2.b", to = "aux.pos", length = "0.15 m" }'
)
ONE = LINK.format(far="aux.pos", last="").replace('F2 = { part = "fuse:hi-40" }\n', "")


def of(text: str) -> Faults:
    return assessed(text)[FAULTS]


def families() -> dict[str, list[ProtectiveDevice]]:
    """The devices of the shelf, by the words that tell their curves apart."""
    found: dict[str, list[ProtectiveDevice]] = {}
    shelf = open_shelf()
    for kind in ("fuse", "breaker"):
        for part in shelf.find(kind, by="rated_a", most=10_000):
            assert isinstance(part, ProtectiveDevice)
            found.setdefault(f"{kind} {getattr(part, 'family', '')} {len(part.curve.gates)}", []).append(part)
    return found


@pytest.mark.parametrize("family", sorted(families()))
def test_at_equal_current_a_larger_fuse_of_its_family_never_clears_earlier(family):
    by_gates: dict[tuple, list[ProtectiveDevice]] = {}
    for part in families()[family]:
        gates = tuple(replace(gate, source="", confidence="") for gate in part.curve.gates)
        by_gates.setdefault(gates, []).append(part)
    current_a = np.geomspace(1.0, 5000.0, 200)
    for parts in by_gates.values():
        ordered = sorted(parts, key=lambda part: part.rated_a)
        times = [part.openings_s(current_a, -10.0)[1] for part in ordered]
        for smaller, larger in pairwise(times):
            assert (larger >= smaller * (1 - 1e-9)).all()


@pytest.mark.parametrize("seed", SEEDS)
def test_the_order_of_the_file_changes_nothing(seed):
    maker = made(seed)
    first, other = (list(of(maker.text(order)).timelines) for order in (0, seed + 1))
    assert first == other


def with_device(seed: int, part: str) -> Faults:
    """A design with a device of hardly any resistance in front of one of its sets."""
    maker = made(seed, conductors=20, fused=True)
    number = next(n for n, line in enumerate(maker.wires) if 'to = "set' in line)
    load = maker.wires[number].split('to = "')[1].split('"')[0]
    maker.wires[number] = maker.wires[number].replace(f'to = "{load}"', 'to = "MORE.a"')
    maker.node("MORE", part)
    maker.wires.append(f'MW = {{ cable = "cable:thinwall-16", from = "MORE.b", to = "{load}", length = "0.1 m" }}')
    return rigfeed.assess(parse(maker.text()), shelf=with_zero(), only=[])[FAULTS]


@pytest.mark.parametrize("seed", SEEDS)
def test_a_device_without_resistance_never_leaves_a_conductor_worse_off(seed):
    """One that opens in the place of one that never does, of the same resistance: nothing else differs, so that every
    short is cleared as early and lets through as little, to the last digits, or less."""
    base, more = with_device(seed, "fuse:never"), with_device(seed, "fuse:zero")
    for case, other in zip(base.cases, more.cases, strict=True):
        assert (other.shorts, other.out) == (case.shorts, case.out)
        assert (other.cleared_s <= case.cleared_s * (1 + 1e-9)).all()
        assert (other.warming.limit_s >= case.warming.limit_s * (1 - 1e-9)).all()
        ends = np.isfinite(case.cleared_s)
        through, was = other.warming.let_through_a2s[ends], case.warming.let_through_a2s[ends]
        assert (through <= was * (1 + 1e-9) + 1e-9).all()


def test_such_a_device_does_something_in_these_designs():
    pairs = [(with_device(seed, "fuse:never"), with_device(seed, "fuse:zero")) for seed in SEEDS]
    earlier = [
        (other.cleared_s < case.cleared_s * 0.99).any()
        for base, more in pairs for case, other in zip(base.cases, more.cases, strict=True)
    ]
    assert any(earlier)


def with_zero():
    """The shelf with two fuses of hardly any resistance, one of which opens at once and one never."""
    from tests.kit.resolve.bench import TextFile

    from rigfeed.parts.shelf import Shelf
    from rigfeed.registry import installed_registry

    text = "part,title,family,rated_a,rated_v,drop_mv,breaking_a,gates,source,confidence\n"
    text += "fuse:zero,no resistance,SF30,10,58,0.00001,2000,2 ..0.01,test,invented\n"
    text += "fuse:never,no resistance,SF30,1000,58,0.00001,2000,100 ..1,test,invented\n"
    return Shelf(installed_registry(), (TextFile("zero", text),))


@pytest.mark.parametrize("seed", SEEDS)
def test_in_radial_networks_more_copper_never_fails_where_less_passes(seed):
    """One battery: more copper brings more current, which a device clears the faster, and bears more besides."""
    maker = made(seed, batteries=1)
    design = parse(maker.text())
    thicker = dict(pairwise(("1", "1.5", "2.5", "4", "6", "10", "16", "25")))
    base = rigfeed.assess(design, only=[])[FAULTS]
    for name, conductor in design.conductors.items():
        size = str(conductor.cable).rpartition("-")[2]
        edit = Set(Path("conductors", name, "cable"), f"cable:thinwall-{thicker[size]}")
        more = rigfeed.assess(apply(design, [edit]), only=[])[FAULTS]
        was, now = base.stress(name), more.stress(name)
        if was is not None and now is not None and math.isinf(was.limit_s):
            assert math.isinf(now.limit_s), name


def test_a_link_with_a_fuse_at_each_end_is_cleared_from_both():
    sides = {side.end: side for side in of(BOTH).sides("W2")}
    assert sides["from"].devices == ("F1",)
    assert sides["to"].devices == ("F2",)
    assert max(side.slowest_s for side in sides.values()) < 5.0


def test_a_link_with_one_fuse_stays_fed_from_its_far_end_and_passes_its_limit():
    faults = of(ONE)
    sides = {side.end: side for side in faults.sides("W2")}
    assert sides["from"].devices == ("F1",)
    assert (sides["to"].devices, sides["to"].slowest_s, sides["to"].fed_by) == ((), math.inf, ("aux",))
    stress = faults.stress("W2")
    assert stress is not None
    assert math.isinf(stress.timeline.cleared_s)
    assert "aux" in dict(stress.timeline.fed_by)
    # the last step goes on with what the far half carries: adiabatic from 60 degC to the limit of the insulation
    amps = max(abs(stress.timeline.steps[0].to_a or 0.0), abs(stress.first_a))
    assert stress.withstand_a2s is not None
    assert stress.limit_s == pytest.approx(stress.withstand_a2s / amps**2, rel=0.02)


def test_a_management_unit_is_followed_failed_closed_and_open():
    text = BOTH.replace("battery:flooded-110", "battery:lifepo4-50")
    on = [t for t in of(text).on("W2") if (t.case, t.short.to, t.short.share) == ("lowest", "start.neg", 0.5)]
    assert [t.out for t in on] == [(), ("aux",)]
    assert set(on[0].opened) == {"F1", "F2"}
    assert on[1].opened == ("F1",)
    assert all(t.cleared_s < 5.0 for t in on)
