"""The surface: where the page lies, what the pointer is on, where keys lead, what dragging and joining edit."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigfeed import Path, Remove, Set, apply, assess, example, load
from rigfeed.drawing.places import Box
from rigfeed.drawing.scene import Circle, Group, Lettering, Line, Scene
from rigfeed.examples import examples
from rigfeed.papers.paper import Wanted
from rigfeed.parts.shelf import open_shelf
from rigfeed_gui.logic import surface
from rigfeed_gui.logic.surface import LEAST_SCALE, MOST_SCALE, Picture, Viewport, fitted

SHELF = open_shelf()
HAZEL = load(example("hazel"))
LARCH = load(example("larch"))


def _node(id_, x, y, *, movable=True, terminals=("a", "b")):
    square = Line(((x - 5, y - 5), (x + 5, y - 5), (x + 5, y + 5), (x - 5, y + 5)), closed=True, fill="paper")
    places = tuple((name, (x - 5 + 10 * n, y)) for n, name in enumerate(terminals))
    items = (square, Circle((x, y), 2), Lettering((x - 4, y + 3), id_))
    return Group(Path("nodes", id_), items, f"node {id_}", movable, places)


def _wire(id_, *points):
    return Group(Path("conductors", id_), (Line(points),), f"wire {id_}")


#  start ---W1--- F1
#                  |  W2
#                 vhf            all in one area
SCENE = Scene(
    "test", "a test", "", 200, 100,
    (
        Group(Path("zones", "bay"), (Line(((0, 0), (200, 0), (200, 100), (0, 100)), closed=True, fill="area"),), "bay"),
        _wire("W1", (25, 20), (75, 20)),
        _wire("W2", (85, 20), (85, 65), (80, 65)),
        _node("start", 20, 20), _node("F1", 80, 20), _node("vhf", 80, 60, movable=False),
    ),
    room=Box(0, 0, 200, 100),
)


# where the page lies

finite = st.floats(-1e4, 1e4)


@given(scale=st.floats(LEAST_SCALE, MOST_SCALE), x=finite, y=finite, at=st.tuples(finite, finite))
def test_to_the_page_and_back(scale, x, y, at):
    view = Viewport(scale, x, y)
    assert view.to_screen(view.to_page(at)) == pytest.approx(at, abs=1e-6)


@given(factor=st.floats(0.01, 100), about=st.tuples(st.floats(0, 2000), st.floats(0, 2000)))
def test_zooming_keeps_the_page_under_the_pointer_and_stays_within_bounds(factor, about):
    view = Viewport(3.0, 40.0, -20.0)
    zoomed = view.zoomed(factor, about)
    assert LEAST_SCALE <= zoomed.scale <= MOST_SCALE
    assert zoomed.to_page(about) == pytest.approx(view.to_page(about), abs=1e-6)


def test_panning_moves_by_pixels():
    view = Viewport(2.0, 5.0, 5.0).panned(10, -3)
    assert view.to_screen((1, 1)) == (17.0, 4.0)


@pytest.mark.parametrize("size", [(1024, 700), (300, 900), (2048, 1400), (40, 40), (1, 1)])
def test_a_page_that_is_fitted_is_seen_whole_and_in_the_middle(size):
    view = fitted(SCENE, *size)
    left, top = view.to_screen((0, 0))
    right, bottom = view.to_screen((200, 100))
    assert left == pytest.approx(size[0] - right)
    assert top == pytest.approx(size[1] - bottom)
    if view.scale > LEAST_SCALE:
        assert left >= 12 - 1e-9
        assert top >= 12 - 1e-9


def test_what_is_chosen_is_brought_into_view_and_what_is_in_view_stays():
    view = Viewport(10.0, 0.0, 0.0)
    assert view.showing((30, 20), 600, 400) == view
    moved = view.showing((150, 90), 600, 400)
    x, y = moved.to_screen((150, 90))
    assert 0 < x < 600
    assert 0 < y < 400


# the pointer


@pytest.mark.parametrize(("at", "subject", "terminal"), [
    ((50, 20), "conductors.W1", None),
    ((50, 21), "conductors.W1", None),
    ((50, 24), "zones.bay", None),
    ((80, 16), "nodes.F1", None),
    ((20, 20), "nodes.start", None),
    ((75, 20), "nodes.F1", "F1.a"),
    ((85.5, 20.5), "nodes.F1", "F1.b"),
    ((85, 50), "conductors.W2", None),
    ((190, 90), "zones.bay", None),
])
def test_what_is_under_the_pointer(at, subject, terminal):
    hit = surface.hit(SCENE, at, 1.5)
    assert (hit.subject, hit.terminal) == (Path.parse(subject), terminal)
    assert hit.title
    assert hit.movable == (subject in ("nodes.start", "nodes.F1"))


def test_beside_the_page_there_is_nothing():
    assert surface.hit(SCENE, (250, 50), 1.5) is None


def test_a_terminal_is_joined_from_where_it_is():
    assert surface.hit(SCENE, (74, 21), 1.5).at == (75, 20)
    assert Picture(SCENE).terminals("F1") == (("F1.a", (75, 20)), ("F1.b", (85, 20)))


@pytest.mark.parametrize("name", examples())
@pytest.mark.parametrize("drawing", ["circuit", "routes"])
def test_everything_in_a_real_drawing_can_be_pointed_at(name, drawing):
    design = load(example(name))
    picture = Picture(assess(design, shelf=SHELF).drawing(drawing, Wanted()))
    order = picture.walk()
    assert len(order) == len(set(order)) > 5
    pointed = set()
    for primitive in picture.primitives:
        shape = primitive.shape
        places = shape.points if isinstance(shape, Line) else (shape.at,)
        for place in places if primitive.subject else ():
            hit = picture.hit(place, 0.5)
            pointed.add(hit.subject[:2] if hit else None)
    assert None not in pointed
    assert set(order) <= {Path.of(path) for path in pointed}


# the keyboard


def test_the_tabulator_goes_in_reading_order_and_around():
    order = surface.walk(SCENE)
    assert order == tuple(Path.parse(p) for p in (
        "nodes.start", "conductors.W1", "nodes.F1", "conductors.W2", "zones.bay", "nodes.vhf"))
    picture = Picture(SCENE)
    here = None
    for path in (*order, order[0]):
        here = picture.step(here, 1)
        assert here == path
    assert picture.step(order[0], -1) == order[-1]
    assert picture.step(None, -1) == order[-1]


@pytest.mark.parametrize(("start", "direction", "end"), [
    (None, "right", "nodes.start"), ("nodes.start", "right", "conductors.W1"), ("conductors.W1", "right", "nodes.F1"),
    ("nodes.F1", "left", "conductors.W1"), ("nodes.F1", "down", "conductors.W2"), ("nodes.start", "up", "nodes.start"),
    ("nodes.vhf", "up", "conductors.W2"),
])
def test_arrows_go_to_the_nearest_in_their_direction(start, direction, end):
    found = surface.neighbour(SCENE, Path.parse(start) if start else None, direction)
    assert found == Path.parse(end)


def test_from_everything_arrows_and_tabulator_reach_everything():
    picture = Picture(assess(LARCH, shelf=SHELF).drawing("circuit", Wanted()))
    reached, here = set(), None
    for _ in picture.walk():
        here = picture.step(here, 1)
        reached.add(here)
    assert reached == set(picture.walk())


# dragging


def test_dragging_writes_where_the_middle_of_the_thing_is_now():
    (edit,) = surface.dragging(SCENE, HAZEL, Path("nodes", "F1"), (20, 30))
    assert (edit.path, edit.value) == (Path("drawing", "nodes", "F1"), [50.0, 50.0])
    design = apply(HAZEL, [edit])
    assert design.drawing["nodes"]["F1"] == (50.0, 50.0)


def test_what_is_dragged_off_the_page_stays_on_it():
    (edit,) = surface.dragging(SCENE, HAZEL, Path("nodes", "F1"), (900, -900))
    assert edit.value == [100.0, 0.0]


def test_what_cannot_be_moved_is_not():
    assert surface.dragging(SCENE, HAZEL, Path("nodes", "vhf"), (20, 30)) == ()
    assert surface.dragging(SCENE, HAZEL, Path("conductors", "W1"), (20, 30)) == ()
    gone = apply(HAZEL, [Remove(Path("nodes", "F1"))])
    assert surface.dragging(SCENE, gone, Path("nodes", "F1"), (20, 30)) == ()


def test_a_point_of_the_route_plan_lands_where_it_was_dropped():
    picture = Picture(assess(HAZEL, shelf=SHELF).drawing("routes", Wanted()))
    point = Path("points", "seat")
    (before,) = picture.dragging(point, (0, 0))
    (edit,) = picture.dragging(point, (-12, 6))
    assert edit.value[0] < before.value[0] - 2
    assert edit.value[1] > before.value[1] + 2
    design = apply(HAZEL, [edit])
    assert set(design.drawing) == {"points"}
    again = Picture(assess(design, shelf=SHELF).drawing("routes", Wanted()))
    (there,) = again.dragging(point, (0, 0))
    # things stand on a grid
    assert there.value == pytest.approx(edit.value, abs=4)


# joining


def _joined(start, end, design=HAZEL):
    joining = surface.joining(design, SHELF, start, end)
    return (joining, apply(design, joining.edits).conductors[joining.path[1]]) if joining.edits else (joining, None)


def test_a_wire_gets_the_next_id_and_the_cable_of_its_neighbours():
    joining, wire = _joined("F1.b", "stud.stud")
    assert joining.path == Path("conductors", "W7")
    assert (wire.start, wire.end) == (("F1.b",), ("stud.stud",))
    assert (wire.cable, wire.colour) == ("cable:thinwall-2.5", ("RD",))


def test_where_neighbours_differ_nothing_is_guessed():
    design = apply(HAZEL, [Set(Path("conductors", "V3", "origin"), "cut")])
    _, wire = _joined("start.pos", "stud.stud", design)
    assert (wire.cable, wire.colour) == (None, ())


def test_a_feeder_brings_its_shield_along():
    design = apply(HAZEL, [Remove(Path("conductors", "W6"))])
    joining, wire = _joined("vhf.ant", "ant.feed", design)
    assert (wire.start, wire.end) == (("vhf.ant", "vhf.shield"), ("ant.feed", "ant.shield"))
    assert joining.path == Path("conductors", "W6")


def test_a_joint_takes_another_name_where_one_is_taken():
    alder = load(example("alder"))
    _, wire = _joined("plus.in", "tablet.pos", alder)
    assert (wire.start, wire.end) == (("plus.w13",), ("tablet.pos",))


@pytest.mark.parametrize(("start", "end", "why"), [
    ("F1.a", "F1.a", "the same terminal"), ("F1.a", "F1.z", "no terminal F1.z"),
    ("none.a", "F1.a", "no terminal none.a"),
    ("F1.a", "start.pos", "W1 joins these"), ("start.pos", "F1.a", "W1 joins these"),
])
def test_why_two_terminals_are_not_joined(start, end, why):
    joining = surface.joining(HAZEL, SHELF, start, end)
    assert joining.edits == ()
    assert why in joining.refused


def test_whatever_is_joined_can_be_assessed():
    nodes = assess(HAZEL, shelf=SHELF).installation.nodes.values()
    terminals = [f"{node.id}.{terminal.name}" for node in nodes for terminal in node.part.terminals]
    count = 0
    for start in terminals[::2]:
        for end in terminals[1::3]:
            joining = surface.joining(HAZEL, SHELF, start, end)
            if joining.edits:
                assess(apply(HAZEL, joining.edits), shelf=SHELF, only=["label-missing"])
                count += 1
    assert count > 20


# routes


def _clicked(design, conductor, *runs):
    pick = surface.picking(design, conductor)
    for run in runs:
        pick = surface.picked(design, pick, run)
    return pick


def test_a_route_begins_with_what_there_is():
    pick = surface.picking(LARCH, "W2")
    assert (pick.runs, pick.complete) == (("bay", "cabin"), True)
    assert surface.routing(pick) == ()


def test_runs_are_clicked_in_any_order_and_kept_in_that_of_the_way():
    bare = apply(LARCH, [Remove(Path("conductors", "W15", "route"))])
    pick = _clicked(bare, "W15", "bed", "wall")
    assert (pick.runs, pick.complete) == (("wall", "bed"), True)
    assert "from rear to rail" in pick.words
    assert apply(bare, surface.routing(pick)).conductors["W15"].route == ("wall", "bed")


def test_a_way_that_is_not_whole_says_what_is_missing():
    bare = apply(LARCH, [Remove(Path("conductors", "W15", "route"))])
    assert "Click the runs from rear to rail" in surface.picking(bare, "W15").words
    part = _clicked(bare, "W15", "wall")
    assert not part.complete
    assert "has got to cabwall" in part.words
    gap = _clicked(bare, "W15", "bed")
    assert not gap.complete
    assert "do not make one way" in gap.words
    astray = _clicked(bare, "W15", "wall", "bed", "bay")
    assert not astray.complete


def test_a_run_that_is_clicked_again_comes_off():
    pick = _clicked(LARCH, "W2", "cabin")
    assert pick.runs == ("bay",)
    assert _clicked(LARCH, "W2", "cabin", "cabin").runs == ("bay", "cabin")
    none = _clicked(LARCH, "W2", "cabin", "bay")
    assert [type(edit) for edit in surface.routing(none)] == [Remove]


def test_a_length_of_its_own_goes_when_the_way_is_chosen():
    design = apply(LARCH, [Remove(Path("conductors", "W2", "route")), Set(Path("conductors", "W2", "length"), "5 m")])
    pick = _clicked(design, "W2", "bay", "cabin")
    after = apply(design, surface.routing(pick)).conductors["W2"]
    assert (after.route, after.length) == (("bay", "cabin"), None)


def test_a_device_without_a_place_has_no_way():
    design = apply(LARCH, [Remove(Path("nodes", "F1", "at"))])
    assert "must stand at a point" in surface.picking(design, "W2").words
