"""Columns, heights and tracks: few crossings, nothing too close, nothing on anything else."""

from __future__ import annotations

import json
import statistics
import subprocess
from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.kit.drawing.generated import generated

import rigfeed
from rigfeed.drawing.channels import CLEAR_MM, Jump, bends, overlapping, tracks
from rigfeed.drawing.circuit_graph import graph
from rigfeed.drawing.circuit_layout import columns_of
from rigfeed.drawing.lanes import GAP_MM, stacked
from rigfeed.drawing.layers import Columns, arranged, crossings, ranked
from rigfeed.drawing.levels import Extent, levelled, spread, weighted_median

EDGES = st.lists(
    st.tuples(st.integers(0, 11), st.integers(0, 11)).filter(lambda pair: pair[0] < pair[1]), max_size=25
).map(lambda pairs: [(f"n{a}", f"n{b}") for a, b in pairs])
NODES = [f"n{number}" for number in range(12)]


def laid(edges, lanes=1):
    rank = ranked(NODES, edges)
    hints = {node: int(node[1:]) for node in NODES}
    return rank, arranged(edges, rank, {node: hints[node] % lanes for node in NODES}, hints)


@given(EDGES)
def test_every_edge_leads_to_the_right(edges):
    rank = ranked(NODES, edges)
    assert all(rank[left] < rank[right] for left, right in edges)
    assert min(rank.values()) >= 0


@given(EDGES)
def test_an_edge_has_a_station_in_every_column_on_its_way(edges):
    rank, columns = laid(edges)
    where = {station: number for number, column in enumerate(columns.columns) for station in column}
    for (left, right), chain in zip(edges, columns.chains, strict=True):
        assert (chain[0], chain[-1]) == (left, right)
        assert [where[station] for station in chain] == [*range(rank[left], rank[right] + 1)]


@given(EDGES, st.integers(1, 4))
def test_lanes_stay_together_and_in_their_order(edges, lanes):
    _, columns = laid(edges, lanes)
    for column in columns.columns:
        numbers = [columns.lanes[station] for station in column]
        assert numbers == sorted(numbers)


@given(EDGES)
def test_crossings_are_counted_as_by_hand(edges):
    _, columns = laid(edges)
    place = columns.places()
    pieces = [
        (number, place[left], place[right])
        for chain in columns.chains for number, (left, right) in enumerate(pairwise(chain), where(columns, chain[0]))
    ]
    by_hand = sum(
        one[0] == other[0] and (one[1] - other[1]) * (one[2] - other[2]) < 0 for one, other in combinations(pieces, 2)
    )
    assert crossings(columns) == by_hand


def where(columns: Columns, node: str) -> int:
    return next(number for number, column in enumerate(columns.columns) if node in column)


def installation(seed: int):
    return rigfeed.assess(generated(16 + 2 * seed, seed), only=["hole-overfull"]).installation


def ordered_by_dot(program: str, columns: Columns) -> Columns:
    """The same stations, columns and lanes, the order in each column left to dot: the columns as ranks, the lanes as
    clusters, and every line in pieces from column to column, so that both are counted in the same way."""
    lines = ['digraph { newrank=true; rankdir=LR; node [shape=box, width=0.1, height=0.1, fixedsize=true, label=""]']
    lines += [f'"{station}"' for station in sorted(columns.lanes)]
    lines += [f'"{left}" -> "{right}"' for chain in columns.chains for left, right in pairwise(chain)]
    lines += ["{ rank=same " + " ".join(f'"{s}"' for s in sorted(column)) + " }" for column in columns.columns]
    for lane in sorted(set(columns.lanes.values())):
        mine = " ".join(f'"{station}"' for station in sorted(columns.lanes) if columns.lanes[station] == lane)
        lines.append(f"subgraph cluster_{lane} {{ {mine} }}")
    text = "\n".join([*lines, "}"])
    done = subprocess.run([program, "-Tjson"], input=text, capture_output=True, text=True, check=True, timeout=60)
    height = {o["name"]: float(o["pos"].split(",")[1]) for o in json.loads(done.stdout)["objects"] if "pos" in o}
    return Columns([sorted(c, key=lambda s: -height[s]) for c in columns.columns], columns.chains, columns.lanes)


def test_no_more_crossings_than_a_reference_layout(tool):
    ours, theirs = [], []
    for seed in range(1, 21):
        found = installation(seed)
        columns, _ = columns_of(graph(found), {id_: node.zone.id for id_, node in found.nodes.items()})
        ours.append(crossings(columns))
        theirs.append(crossings(ordered_by_dot(tool("dot"), columns)))
    assert statistics.median(theirs) > 0
    assert statistics.median(ours) <= statistics.median(theirs), (ours, theirs)


WISHES = st.lists(st.tuples(st.integers(-50, 50), st.integers(1, 5)), min_size=1, max_size=12)


@given(WISHES, st.floats(0.5, 5.0))
def test_stations_keep_their_order_and_distance(wishes, apart_mm):
    stations = [f"s{number}" for number in range(len(wishes))]
    wanted = {s: (float(at), float(weight)) for s, (at, weight) in zip(stations, wishes, strict=True)}
    heights = spread(stations, wanted, lambda upper, lower: apart_mm)
    assert all(heights[b] - heights[a] >= apart_mm - 1e-6 for a, b in pairwise(stations))


def test_stations_with_room_stand_where_they_want_to():
    wanted = {"a": (0.0, 1.0), "b": (10.0, 1.0), "c": (10.5, 5.0)}
    assert spread(["a", "b", "c"], wanted, lambda upper, lower: 2.0) == {"a": 0.0, "b": 8.5, "c": 10.5}


def test_weighted_median():
    assert weighted_median([(1.0, 1.0), (5.0, 1.0), (9.0, 3.0)]) == 9.0
    assert weighted_median([(1.0, 1.0), (5.0, 1.0)]) == 1.0


@given(EDGES)
def test_a_tight_lane_is_as_high_as_its_fullest_column(edges):
    _, columns = laid(edges)
    extents = {station: Extent(2.0, 3.0) for column in columns.columns for station in column}
    heights = levelled(columns, extents, {}, 0, 1.0, is_tight=True)
    for column in columns.columns:
        assert all(heights[b] - heights[a] >= 5.0 - 1e-6 for a, b in pairwise(column))
    fullest = max(len(column) for column in columns.columns)
    assert max(heights.values()) - min(heights.values()) <= (fullest - 1) * 5.0 + 1e-6


def test_a_chain_is_straight():
    edges = list(pairwise(NODES))
    _, columns = laid(edges)
    extents = {station: Extent(2.0, 3.0) for column in columns.columns for station in column}
    assert len(set(levelled(columns, extents, {}, 0, 1.0).values())) == 1


LANES = st.lists(st.tuples(st.integers(0, 6), st.integers(0, 3), st.integers(5, 60)), min_size=1, max_size=6)


@given(LANES, st.lists(st.tuples(st.integers(0, 5), st.integers(0, 5), st.integers(-80, 80)), max_size=8))
def test_lanes_that_share_a_column_stand_under_each_other(lanes, pulls):
    reach = [(first, first + more) for first, more, _ in lanes]
    tall = [float(high) for *_, high in lanes]
    tops = stacked(reach, tall, [(a, b, float(d)) for a, b, d in pulls if max(a, b) < len(lanes)])
    for one, other in combinations(range(len(lanes)), 2):
        if reach[one][0] <= reach[other][1] and reach[other][0] <= reach[one][1]:
            assert tops[one] + tall[one] + GAP_MM <= tops[other] + 1e-6
    assert min(tops) >= 0.0


JUMPS = st.lists(st.tuples(st.integers(0, 30), st.integers(0, 30)), min_size=1, max_size=12, unique_by=(
    lambda pair: pair[0], lambda pair: pair[1],
)).map(lambda pairs: [Jump(str(n), a * 2.0, b * 2.0) for n, (a, b) in enumerate(pairs)])


@given(JUMPS)
def test_upright_pieces_on_one_track_do_not_touch(jumps):
    found = tracks(jumps)
    for one, other in combinations([jump for jump in jumps if jump.key in found.track], 2):
        if found.track[one.key] == found.track[other.key]:
            (a, b), (c, d) = one.span, other.span
            assert b + CLEAR_MM <= c + 1e-9 or d + CLEAR_MM <= a + 1e-9
    assert all(jump.left == jump.right for jump in jumps if jump.key not in found.track)


@given(JUMPS)
def test_level_pieces_do_not_lie_on_each_other_unless_that_is_told(jumps):
    found = tracks(jumps)
    told = set(overlapping(jumps, found))
    for one in jumps:
        for other in jumps:
            if one is not other and one.left == other.right and one.key not in told:
                assert found.track[one.key] < found.track[other.key]


def test_two_lines_that_need_not_cross_do_not():
    found = tracks([Jump("a", 0.0, 20.0), Jump("b", 10.0, 30.0)])
    assert found.track["b"] < found.track["a"]
    found = tracks([Jump("a", 20.0, 0.0), Jump("b", 30.0, 10.0)])
    assert found.track["a"] < found.track["b"]


def test_a_line_that_does_not_turn_has_two_points():
    assert bends([(0.0, 1.0), (3.0, 1.0), (5.0, 1.0), (9.0, 1.0)]) == ((0.0, 1.0), (9.0, 1.0))
    with pytest.raises(IndexError):
        bends([])
