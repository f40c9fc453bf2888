"""Nodes of the circuit that a person put somewhere: near to where they were put, in their zone, nothing on anything."""

from __future__ import annotations

import random
from functools import cache
from itertools import combinations

import pytest
from tests.kit.drawing.generated import generated
from tests.kit.drawing.geometry import covered, outside
from tests.kit.drawing.test_circuit import assessed, centres, node, on_each_other, small, through_symbols, wire

import rigfeed
from rigfeed.assess import Assessment
from rigfeed.design.edit import Set, apply
from rigfeed.design.file import read
from rigfeed.design.model import Design
from rigfeed.drawing.boxes import item_box
from rigfeed.drawing.places import Box
from rigfeed.drawing.positions import as_written
from rigfeed.drawing.scene import Circle, Scene
from rigfeed.path import Path

NAMES = ("hazel", "larch", "alder")


@cache
def design_of(name: str) -> Design:
    return generated(24, 3) if name == "van" else read(rigfeed.example(name))


def drawn(design: Design) -> tuple[Assessment, Scene]:
    assessment = rigfeed.assess(design, only=["hole-overfull"])
    return assessment, assessment.drawing("circuit")


def put(design: Design, places: dict[str, list[float]]) -> Design:
    return apply(design, [Set(Path("drawing", "nodes", id_), at) for id_, at in places.items()])



def zone_boxes(scene: Scene) -> dict[str, Box]:
    """The frame of each zone: its first line."""
    return {str(item.subject[1]): item_box(item.items[0]) for _, item in scene.walk()
            if getattr(item, "subject", ("",))[0] == "zones"}


def is_clean(assessment: Assessment) -> bool:
    scene = assessment.drawing("circuit")
    return not (covered(scene) or outside(scene) or on_each_other(scene) or through_symbols(assessment))


def shares(scene: Scene) -> dict[str, tuple[float, float]]:
    room = scene.room
    assert room is not None
    return {id_: ((x - room.left) / room.width, (y - room.top) / room.height)
            for id_, (x, y) in centres(scene).items()}


@pytest.mark.parametrize("name", NAMES)
def test_what_is_dragged_within_its_zone_stands_within_a_column_and_a_row_of_there(name):
    assessment, scene = drawn(design_of(name))
    rng = random.Random(1)
    frames, first = zone_boxes(scene), shares(scene)
    kept = []
    for id_, placed in assessment.installation.nodes.items():
        frame, own = frames[placed.zone.id], item_box(node(scene, id_))
        at = (rng.uniform(frame.left + own.width / 2, frame.right - own.width / 2),
              rng.uniform(frame.top + own.height / 2, max(frame.top, frame.bottom - own.height / 2)))
        moved, after = drawn(put(design_of(name), {id_: as_written(at, scene.room)}))
        assert is_clean(moved), id_
        found, room = shares(after), after.room
        size = item_box(node(after, id_))
        across = abs(found[id_][0] - (at[0] - scene.room.left) / scene.room.width) * room.width
        down = abs(found[id_][1] - (at[1] - scene.room.top) / scene.room.height) * room.height
        assert across < 50.0, id_  # about the pitch of two columns with the words between them
        assert down < max(25.0, size.height), id_
        others = [other for other in first if other != id_]
        kept += [(first[a][axis] < first[b][axis]) == (found[a][axis] < found[b][axis])
                 for a, b in combinations(others, 2) for axis in (0, 1)
                 if abs(first[a][axis] - first[b][axis]) > 0.03]
    assert sum(kept) / len(kept) > 0.95  # who stands over whom, and left of whom, stays


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("name", [*NAMES, "van"])
def test_whatever_is_put_wherever_the_picture_is_clean(name, seed):
    rng = random.Random(seed)
    ids = sorted(design_of(name).nodes)
    places = {id_: [rng.uniform(0, 100), rng.uniform(0, 100)] for id_ in rng.sample(ids, min(len(ids), 2 + 2 * seed))}
    assessment, scene = drawn(put(design_of(name), places))
    assert is_clean(assessment)
    frames = zone_boxes(scene)
    for id_, placed in assessment.installation.nodes.items():
        assert frames[placed.zone.id].grown(0.1).holds(item_box(node(scene, id_))), id_


def test_a_wire_runs_back_where_a_person_wants_it_so():
    nodes = {"s": {"part": "battery:agm-80"}, "F": {"part": "fuse:blade-10"}, "v": {"part": "radio:vhf-25"}}
    conductors = {"W1": wire("s.pos", "F.a"), "W2": wire("F.b", "v.pos")}
    plain = small(nodes, conductors)
    assert centres(plain)["s"][0] < centres(plain)["F"][0] < centres(plain)["v"][0]
    zones = {"cab": {"warmest": "40 degC", "coldest": "0 degC"}}
    back = assessed({
        "format": 1, "job": {"title": "small"}, "zones": zones, "points": {"p": {"zone": "cab"}},
        "nodes": {id_: {"at": "p", **value} for id_, value in nodes.items()}, "conductors": conductors,
        "drawing": {"nodes": {"v": [0, 50]}},
    }).drawing("circuit")
    assert centres(back)["v"][0] < centres(back)["F"][0]


def test_terminals_without_a_wire_have_a_small_circle():
    nodes = {"s": {"part": "battery:agm-80"}, "F": {"part": "fuse:blade-10"}, "v": {"part": "radio:vhf-25"}}
    scene = small(nodes, {"W1": wire("s.pos", "F.a")})
    free = {"s": {"s.neg"}, "F": {"F.b"}, "v": {"v.pos", "v.neg", "v.sense", "v.ant", "v.shield"}}
    for id_, names in free.items():
        group = node(scene, id_)
        rings = {item.at for item in group.items if isinstance(item, Circle)}
        assert {name for name, at in group.terminals if at in rings} == names
    assert covered(scene) == []
