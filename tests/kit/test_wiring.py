"""Following wires: which fuses stand between an equipment and its sources, and where the ways from a source end."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.kit.resolve.bench import installed

from rigfeed.errors import UnknownName
from rigfeed.installation import net_of
from rigfeed.wiring import TooManyWays, Way, Wiring

PARTS = {
    "start": "cell:stiff", "aux": "cell:soft", "set": "box:amps", "lamp": "box:amps", "point": "vehicle-circuit",
    "big": "link:twenty",
}


def wiring(*wires: str) -> Wiring:
    """The wiring of wires such as ``start.pos-F1.a``; a node F... is a fuse, what `PARTS` does not name is a joint."""
    pairs = [wire.split("-") for wire in wires]
    names = sorted({end.split(".")[0] for pair in pairs for end in pair})
    part = {name: PARTS.get(name, "link:ten" if name.startswith("F") else "joint") for name in names}
    lines = ["[nodes]", *(f'{name} = {{ part = "{part[name]}" }}' for name in names), "[conductors]"]
    for number, (a, b) in enumerate(pairs):
        lines.append(f'W{number} = {{ cable = "wire:one", from = "{a}", to = "{b}", length = "1 m" }}')
    return Wiring(installed("\n".join(lines)))


def fuses(found: Wiring, net: str) -> list[str]:
    return [node.id for node, _ in found.protections_of(net)]


def ends(found: Wiring, net: str = "start.pos") -> list[str]:
    """The ways from a net, each as the wires it takes and the node where it ends."""
    return sorted(shown(way) for way in found.ways_to_protection(net))


def shown(way: Way) -> str:
    legs = [leg.core.id if leg.core else leg.through.id for leg in way]
    return f"{' '.join(legs)} > {way[-1].node}"


RADIAL = ("start.pos-F1.a", "F1.b-set.pos", "set.neg-start.neg")
BUSBAR = ("start.pos-F0.a", "F0.b-bus.x", "bus.x-F1.a", "F1.b-set.pos", "bus.x-F2.a", "F2.b-lamp.pos")


# what protects an equipment


def test_a_fuse_on_the_way_protects():
    assert fuses(wiring(*RADIAL), "set.pos") == ["F1"]


def test_a_fuse_behind_another_comes_second():
    assert fuses(wiring("start.pos-F1.a", "F1.b-F2.a", "F2.b-set.pos"), "set.pos") == ["F2", "F1"]


def test_the_fuse_of_another_branch_protects_nothing_here():
    assert fuses(wiring(*BUSBAR), "set.pos") == ["F1", "F0"]
    assert fuses(wiring(*BUSBAR), "lamp.pos") == ["F2", "F0"]
    assert fuses(wiring(*BUSBAR), "bus") == ["F0"]


def test_a_fuse_that_leads_on_to_an_equipment_protects_nothing_before_it():
    assert fuses(wiring("start.pos-set.pos", "set.pos-F1.a", "F1.b-lamp.pos"), "set.pos") == []


def test_a_branch_with_a_source_of_its_own_counts():
    found = wiring(*BUSBAR, "F2.b-aux.pos")
    assert fuses(found, "set.pos") == ["F1", "F0", "F2"]


def test_each_leg_has_its_own_fuse():
    found = wiring("start.pos-F1.a", "F1.b-set.pos", "set.neg-F2.a", "F2.b-start.neg")
    assert fuses(found, "set.pos") == ["F1"]
    assert fuses(found, "set.neg") == ["F2"]


def test_both_feeds_of_a_ring_protect():
    found = wiring("start.pos-F1.a", "F1.b-hub.x", "start.pos-F2.a", "F2.b-hub.x", "hub.x-set.pos")
    assert fuses(found, "set.pos") == ["F1", "F2"]


def test_both_ways_around_a_ring_protect():
    ring = ("bus.x-F1.a", "F1.b-hub.x", "bus.x-F2.a", "F2.b-hub.x")
    assert fuses(wiring("start.pos-F0.a", "F0.b-bus.x", *ring, "hub.x-set.pos"), "set.pos") == ["F1", "F2", "F0"]


def test_a_fuse_in_a_loop_that_hangs_on_one_net_protects_nothing():
    loop = ("hub.x-F5.a", "F5.b-far.x", "far.x-hub.y", "far.x-lamp.pos")
    assert fuses(wiring("start.pos-F1.a", "F1.b-hub.x", "hub.x-set.pos", *loop), "set.pos") == ["F1"]


def test_a_fuse_that_is_bridged_still_stands_on_a_way():
    found = wiring("start.pos-one.x", "one.x-F1.a", "F1.b-two.x", "one.x-two.x", "two.x-set.pos")
    assert fuses(found, "set.pos") == ["F1"]


def test_a_second_battery_is_a_source_and_no_way():
    linked = ("start.pos-F1.a", "F1.b-F2.a", "F2.b-aux.pos", "aux.pos-F3.a", "F3.b-set.pos")
    found = wiring(*linked)
    assert fuses(found, "set.pos") == ["F3"]
    assert [node.id for node in found.sources_of("set.pos")] == ["aux"]
    assert fuses(found, "F1.b") == ["F1", "F2"]


def test_two_batteries_on_one_busbar_both_count():
    found = wiring("start.pos-F1.a", "F1.b-bus.x", "aux.pos-F2.a", "F2.b-bus.x", "bus.x-set.pos")
    assert fuses(found, "set.pos") == ["F1", "F2"]
    assert [node.id for node in found.sources_of("set.pos")] == ["aux", "start"]


def test_without_a_source_nothing_protects():
    assert fuses(wiring("hub.x-F1.a", "F1.b-set.pos"), "set.pos") == []
    assert wiring("hub.x-F1.a", "F1.b-set.pos").sources_of("set.pos") == ()


def test_the_feed_of_a_vehicles_point_passes_through_it():
    found = wiring("start.pos-F1.a", "F1.b-point.feed", "point.out-F2.a", "F2.b-set.pos")
    assert fuses(found, "set.pos") == ["F2", "F1"]


def limit(found: Wiring, net: str = "set.pos") -> str | None:
    device = found.limiting_protection(net)
    return device[0].id if device else None


def test_the_smallest_fuse_in_a_row_limits():
    assert limit(wiring("start.pos-F1.a", "F1.b-F2.a", "F2.b-set.pos")) == "F1"
    assert limit(wiring("start.pos-big.a", "big.b-F2.a", "F2.b-set.pos")) == "F2"
    assert limit(wiring("start.pos-F1.a", "F1.b-big.a", "big.b-set.pos")) == "F1"


def test_of_two_feeds_the_greater_fuse_limits():
    assert limit(wiring("start.pos-F1.a", "F1.b-set.pos", "start.pos-big.a", "big.b-set.pos")) == "big"


def test_a_fuse_that_is_bridged_or_on_one_feed_only_limits_nothing():
    assert limit(wiring("start.pos-one.x", "one.x-F1.a", "F1.b-two.x", "one.x-two.x", "two.x-set.pos")) is None
    assert limit(wiring("start.pos-F1.a", "F1.b-set.pos", "aux.pos-set.pos")) is None
    assert limit(wiring("start.pos-set.pos")) is None


# the ways from a source


def test_a_way_ends_at_the_first_fuse():
    assert ends(wiring(*RADIAL)) == ["W0 > F1"]


def test_a_wire_without_a_fuse_ends_at_the_equipment():
    assert ends(wiring("start.pos-set.pos")) == ["W0 > set"]


def test_every_branch_of_a_busbar_is_a_way():
    found = wiring("start.pos-bus.x", "bus.x-F1.a", "F1.b-set.pos", "bus.x-lamp.pos", "bus.x-stub.x")
    assert ends(found) == ["W0 W1 > F1", "W0 W3 > lamp", "W0 W4 > stub"]


def test_a_way_goes_on_over_an_equipment_that_passes_it_on():
    found = wiring("start.pos-set.pos", "set.pos-F1.a", "F1.b-lamp.pos")
    assert ends(found) == ["W0 > set", "W0 W1 > F1"]


def test_a_way_ends_at_another_battery_and_at_a_point_of_the_vehicle():
    assert ends(wiring("start.pos-aux.pos", "aux.pos-F1.a", "start.pos-point.feed")) == ["W0 > aux", "W2 > point"]


def test_the_wires_of_a_ring_lead_on_to_its_fuse():
    ring = ("start.pos-one.x", "one.x-two.x", "two.x-three.x", "three.x-one.y", "three.x-F1.a")
    assert ends(wiring(*ring)) == ["W0 W1 W2 W4 > F1", "W0 W3 W4 > F1"]


def test_two_wires_side_by_side_are_two_ways():
    found = wiring("start.pos-one.x", "one.x-two.x", "one.y-two.y", "two.x-F1.a")
    assert ends(found) == ["W0 W1 W3 > F1", "W0 W2 W3 > F1"]


def test_a_loop_that_leads_nowhere_is_told():
    found = wiring("start.pos-one.x", "one.x-F1.a", "one.x-two.x", "one.y-two.y")
    assert ends(found) == ["W0 W1 > F1", "W0 W2 > two", "W0 W3 > two"]


def test_where_everything_meets_everything_it_gives_up_and_says_so():
    names = [f"J{n}" for n in range(11)]
    mesh = [f"{a}.x-{b}.x" for a, b in itertools.combinations(names, 2)]
    found = wiring("start.pos-J0.x", *mesh, "J10.x-F1.a", "F1.b-set.pos")
    with pytest.raises(TooManyWays, match="more than 10000 ways lead from start"):
        list(found.ways_to_protection("start.pos"))
    assert fuses(found, "set.pos") == ["F1"]


def test_a_long_row_of_joints_is_followed_to_its_fuse():
    row = [f"J{n}.x-J{n + 1}.x" for n in range(150)]
    found = wiring("start.pos-J0.x", *row, "J150.x-F1.a", "F1.b-set.pos")
    assert fuses(found, "set.pos") == ["F1"]
    (way,) = found.ways_to_protection("start.pos")
    assert len(way) == 152


def test_a_net_without_wires_has_no_way():
    assert ends(wiring("start.neg-hub.x")) == []


def test_a_joint_is_one_net_and_an_unknown_terminal_none():
    laid = wiring(*BUSBAR).installation
    assert laid.net("bus.x") == laid.net("bus.anything") == "bus"
    assert laid.net("F1.a") == "F1.a"
    with pytest.raises(UnknownName, match=r"no node 'buss'.*did you mean 'bus'"):
        laid.net("buss.x")
    with pytest.raises(UnknownName, match="link:ten has no terminal 'c'"):
        laid.net("F1.c")


# against all ways there are

NETS = ("start.pos", "aux.pos", "hub.x", "bus.x", "far.x", "set.pos", "F1.a", "F1.b", "F2.a", "F2.b", "F3.a", "F3.b")
WIRES = [f"{a}-{b}" for a, b in itertools.combinations(NETS, 2)]


def simple_ways(found: Wiring, net: str) -> list[list[str]]:
    """Every way of devices and wires from a net to a source that visits no net twice, as the nets it takes."""
    links: dict[str, set[str]] = {}
    laid = found.installation
    for core in laid.cores:
        links.setdefault(core.start.net, set()).add(core.end.net)
        links.setdefault(core.end.net, set()).add(core.start.net)
    for node, part in laid.protections:
        a, b = (net_of(f"{node.id}.{t}", part) for t in part.through[0])
        links.setdefault(a, set()).add(b)
        links.setdefault(b, set()).add(a)
    done, open_ways = [], [[net]]
    while open_ways:
        way = open_ways.pop()
        if way[-1] in ("start.pos", "aux.pos"):
            done.append(way)
        else:
            open_ways += [[*way, onward] for onward in links.get(way[-1], ()) if onward not in way]
    return done


@settings(max_examples=150)
@given(st.lists(st.sampled_from(WIRES), min_size=3, max_size=11, unique=True))
def test_what_protects_is_what_stands_on_some_way_to_a_source(wires):
    found = wiring(*wires, "set.pos-end.x")
    ways = simple_ways(found, "set.pos")
    steps = [set(itertools.pairwise(way)) for way in ways]
    on_a_way = {
        node.id
        for node, _ in found.installation.protections
        if any({(f"{node.id}.a", f"{node.id}.b"), (f"{node.id}.b", f"{node.id}.a")} & step for step in steps)
    }
    bridged = {f"F{n}" for n in (1, 2, 3) if {f"F{n}.a-F{n}.b"} & set(wires)}  # a wire beside a fuse is its own step
    assert set(fuses(found, "set.pos")) - bridged == on_a_way - bridged
