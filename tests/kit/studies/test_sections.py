"""What a device protects, which wire only carries a signal, and which way something is fed."""

from __future__ import annotations

import pytest
from tests.kit.resolve.bench import assessed
from tests.kit.studies.test_prospective import NODES, TWO_WIRE, WIRES, wire

import rigfeed
from rigfeed import Add, Path, Set
from rigfeed.studies.sections import SECTIONS


def sections(wires: list[str], **nodes: str):
    lines = [f"{name} = {{ {text} }}" for name, text in {**NODES, **nodes}.items()]
    return assessed("\n".join(["[nodes]", *lines, "[conductors]", *wires]))[SECTIONS]


def protected(found, device: str) -> list[str]:
    return [core.id for _, core in found.protected(found.installation.nodes[device])]


def test_a_fuse_protects_what_is_behind_it_the_way_back_and_the_wire_in_front():
    assert protected(sections(TWO_WIRE), "F1") == ["W1", "W2", "W3"]


def test_the_wire_in_front_is_left_out_where_it_feeds_something_else_too():
    tapped = [wire("W0", "start.pos", "bus.a", "0.1 m"), wire("W1", "bus.b", "F1.a", "0.1 m"), *TWO_WIRE[1:]]
    bus = 'part = "joint"'
    assert protected(sections(tapped, bus=bus), "F1") == ["W0", "W1", "W2", "W3"]
    second = [*tapped, wire("W8", "bus.c", "other.pos", "1 m")]
    assert protected(sections(second, bus=bus, other=NODES["set"]), "F1") == ["W2", "W3"]


def test_a_busbar_behind_it_is_protected_up_to_the_next_fuses():
    wires = [
        *WIRES[:1], wire("W2", "F1.b", "bus.a", "1 m"), wire("W4", "bus.b", "F2.a", "1 m"),
        wire("W5", "F2.b", "set.pos", "1 m"), wire("W6", "bus.c", "other.pos", "1 m"),
        wire("W3", "set.neg", "start.neg", "1 m"), wire("W7", "other.neg", "start.neg", "1 m"),
    ]
    found = sections(wires, bus='part = "joint"', F2=NODES["F1"], other=NODES["set"])
    assert protected(found, "F1") == ["W1", "W2", "W4", "W6", "W7"]
    assert protected(found, "F2") == ["W3", "W5"]


def test_a_fuse_in_the_negative_protects_the_negative():
    fused = [*WIRES, wire("W3", "set.neg", "F2.a", "2 m"), wire("W4", "F2.b", "start.neg", "0.1 m")]
    found = sections(fused, F2=NODES["F1"])
    assert protected(found, "F1") == ["W1", "W2", "W3"]
    assert protected(found, "F2") == ["W3", "W4"]


def test_a_link_is_protected_from_both_sides():
    link = [
        wire("W1", "start.pos", "F1.a", "0.1 m"), wire("W2", "F1.b", "F2.a", "2 m"),
        wire("W3", "F2.b", "aux.pos", "0.1 m"),
    ]
    found = sections(link, aux=NODES["start"], F2=NODES["F1"])
    assert protected(found, "F1") == ["W1", "W2"]
    assert protected(found, "F2") == ["W2", "W3"]


def test_feeds_take_the_shortest_cable():
    detour = [
        *WIRES[:1], wire("W2", "F1.b", "set.pos", "5 m"), wire("W4", "F1.b", "bus.a", "1 m"),
        wire("W5", "bus.b", "set.pos", "1 m"), wire("W3", "set.neg", "start.neg", "2 m"),
    ]
    feed = sections(detour, bus='part = "joint"').feed("set.pos", to_body=False)
    assert [core.id for _, core in feed.wires] == ["W5", "W4", "W1"]
    assert feed.end == "start.pos"
    assert feed.length_m == pytest.approx(2.1)


def test_nothing_to_come_from_is_no_feed():
    assert sections(WIRES[1:]).feed("set.pos", to_body=True) is None


def hazel(*edits):
    design = rigfeed.apply(rigfeed.load(rigfeed.example("hazel")), edits)
    return rigfeed.assess(design, only=[])[SECTIONS]


def control(found) -> list[str]:
    conductors = found.installation.conductors.values()
    return [core.id for c in conductors for core in c.cores if found.is_control((c, core))]


def test_the_sense_line_is_a_control_wire_and_the_feed_is_none():
    assert control(hazel()) == ["W4", "W5"]


def test_a_busbar_that_feeds_set_and_sense_line_is_power():
    bus = Add(Path.parse("nodes.bus"), {"part": "joint", "at": "seat"})
    spur = Add(Path.parse("conductors.W8"), {
        "cable": "cable:thinwall-2.5", "from": "bus.b", "to": "vhf.pos", "length": "0.2 m",
    })
    moved = [Set(Path.parse("conductors.W2.to"), "bus.a"), Set(Path.parse("conductors.W4.from"), "bus.c")]
    assert control(hazel(bus, spur, *moved)) == ["W4", "W5"]


def test_the_body_ends_a_section():
    found = hazel()
    assert "stud.stud" in found.on_body
    assert [core.id for _, core in found.section("vhf.neg")] == ["W3"]
    assert found.feed("vhf.neg", to_body=True).end == "stud.stud"
    assert found.returns_over_body("start.neg")


def test_of_two_equal_ways_one_is_taken():
    twice = [*TWO_WIRE, wire("W9", "F1.b", "set.pos", "2 m")]
    assert [core.id for _, core in sections(twice).feed("set.pos", to_body=False).wires] == ["W2", "W1"]
