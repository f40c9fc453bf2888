"""The route plan: what it tells, that nothing covers anything, and that it stays as it is when little changes."""

from __future__ import annotations

import math
import random
import statistics
from functools import cache
from itertools import combinations, pairwise

import pytest
from tests.kit.drawing.generated import POINTS, WAYS, generated, generated_plain, shuffled
from tests.kit.drawing.geometry import covered, least_size_mm, outside, texts_of

import rigfeed
from rigfeed.assess import Assessment
from rigfeed.design.edit import Add, Edit, Set, apply
from rigfeed.design.file import parse, read
from rigfeed.design.model import Design
from rigfeed.design.schema import from_plain, to_plain
from rigfeed.drawing.boxes import item_box
from rigfeed.drawing.frame import LEAST_TEXT_MM
from rigfeed.drawing.places import Box
from rigfeed.drawing.scene import Circle, Group, Lettering, Line, Scene
from rigfeed.drawing.svg import svg_text
from rigfeed.examples import examples
from rigfeed.papers.paper import Page, Wanted
from rigfeed.path import Path
from rigfeed.studies.bundles import BUNDLES

NOTHING_CHECKED = ("hole-overfull",)  # a drawing needs few checks


def assessed(design: Design) -> Assessment:
    return rigfeed.assess(design, only=NOTHING_CHECKED)


def plan(design: Design, page: Page | None = None) -> Scene:
    return assessed(design).drawing("routes", Wanted(page=page))


def demonstration(name: str) -> Design:
    return read(rigfeed.example(name))


def groups(scene: Scene, sort: str) -> dict[str, Group]:
    """The groups of a sort by id; those of the legend, which come last, left out."""
    found: dict[str, Group] = {}
    for item in scene.items:
        if isinstance(item, Group) and item.subject[0] == sort:
            found.setdefault(str(item.subject[1]), item)
    return found


def words(group: Group) -> str:
    """All texts of a group in one line."""
    parts = [words(item) if isinstance(item, Group) else item.text for item in group.items
             if isinstance(item, Group | Lettering)]
    return " ".join(parts).replace("\u00a0", " ")


def outline(group: Group) -> Box:
    """The box of a point."""
    return next(item_box(item) for item in group.items if isinstance(item, Line) and item.closed)


def way(group: Group) -> Line:
    """The line of a run, which is painted first."""
    line = group.items[0]
    assert isinstance(line, Line)
    return line


DESIGNS = {
    "hazel": lambda: demonstration("hazel"), "larch": lambda: demonstration("larch"),
    "alder": lambda: demonstration("alder"), "sixty": lambda: generated(60, 1),
}


@cache
def checked(name: str) -> Assessment:
    """The assessment of a design by all checks."""
    return rigfeed.assess(DESIGNS[name]())


@pytest.mark.parametrize("page", [None, "A4", "A3", "Letter"])
@pytest.mark.parametrize("name", DESIGNS)
def test_nothing_covers_anything_and_nothing_leaves_the_page(name, page):
    scene = checked(name).drawing("routes", Wanted(page=page))
    assert covered(scene) == []
    assert outside(scene) == []


@pytest.mark.parametrize("seed", range(12))
def test_the_same_holds_wherever_a_person_puts_the_points(seed):
    rng = random.Random(seed)
    plain = generated_plain(rng.choice((8, 20, 60)), seed)
    share = rng.choice((0.3, 1.0))
    placed = {point: [rng.uniform(-20, 120), rng.uniform(-20, 120)] for point in POINTS if rng.random() < share}
    scene = plan(from_plain(plain | {"drawing": {"points": placed}}))
    assert covered(scene) == []
    assert outside(scene) == []


@pytest.mark.parametrize("name", examples())
def test_a_demonstration_fits_the_smallest_page_with_letters_that_can_be_read(name):
    scene = plan(demonstration(name))
    assert scene.width_mm == (420.0 if name == "juniper" else 297.0)  # five places in a row want a page more
    assert least_size_mm(scene) >= LEAST_TEXT_MM


@pytest.mark.parametrize("seed", range(1, 7))
def test_sixty_conductors_fit_a3_with_letters_that_can_be_read_and_every_label(seed):
    scene = plan(generated(60, seed))
    assert scene.width_mm <= 420.0
    assert least_size_mm(scene) >= LEAST_TEXT_MM
    runs = groups(scene, "runs")
    assert set(runs) == set(WAYS)
    assert all(id_ in words(run) for id_, run in runs.items())


def test_runs_tell_their_length_what_lies_on_them_and_their_bundle():
    runs = groups(plan(demonstration("hazel")), "runs")
    assert words(runs["bay"]) == "bay 0.9 m W2 cable 3 mm"
    assert words(runs["sill"]) == "sill 2.4 m W2, W5 bundle 4.9 mm"
    assert words(runs["headlining"]) == "headlining 4 m W6 cable 4.95 mm"


def test_runs_tell_what_they_pass_and_that_they_are_closed():
    design = apply(demonstration("hazel"), [
        Set(Path("runs", "bay", "beside", "exhaust"), "300 mm"), Set(Path("runs", "sill", "closed"), True),
    ])
    runs = groups(plan(design), "runs")
    assert words(runs["bay"]).endswith("exhaust at 300 mm")
    assert words(runs["sill"]).startswith("sill 2.4 m, closed")
    assert "in bay" in runs["bay"].title


def test_lengths_are_told_in_the_units_that_are_wanted():
    scene = assessed(demonstration("hazel")).drawing("routes", Wanted(system="us"))
    assert "sill 7.87 ft" in words(groups(scene, "runs")["sill"])  # 2.40 m / 0.3048 m
    assert "bundle 0.193 in" in words(groups(scene, "runs")["sill"])  # 4.9 mm / 25.4 mm


def test_points_tell_what_stands_at_them_and_what_does_not_leave_them():
    points = groups(plan(demonstration("larch")), "points")
    assert "stays here: W3–W12" in words(points["rear"])
    assert "HF set 100 W" in words(points["rear"])
    assert words(points["cabwall"]) == "cabwall"


def test_holes_tell_their_diameter_and_their_fill():
    assessment = assessed(demonstration("larch"))
    hole = groups(assessment.drawing("routes"), "passages")["H1"]
    # 14 mm of an old loom and 8.3 mm of cable in 25 mm: (14^2 + 8.3^2) / 25^2 = 42.4 %
    assert "H1 25 mm main loom through the firewall 42 % full grommet" in words(hole)
    ring, disc = (item for item in hole.items if isinstance(item, Circle))
    assert disc.radius_mm < ring.radius_mm
    inside_mm = ring.radius_mm - ring.width_mm
    assert (disc.radius_mm / inside_mm) ** 2 == pytest.approx((14**2 + 8.3**2) / 25**2, rel=1e-6)


def test_zones_are_areas_around_their_points_that_tell_their_air():
    scene = plan(demonstration("larch"))
    zones, points = groups(scene, "zones"), groups(scene, "points")
    assert words(zones["bay"]) == "bay: engine bay -20 degC to 90 degC, wet"
    for zone, inside in (("bay", ("battery",)), ("cabin", ("firewall", "rear", "cabwall", "roof")), ("bed", ("rail",))):
        area = outline(zones[zone])
        assert all(area.holds(outline(points[point])) for point in inside)
        assert not any(area.covers(outline(points[point])) for point in points if point not in inside)


@pytest.mark.parametrize("name", DESIGNS)
def test_runs_lead_from_the_side_of_one_point_to_that_of_the_other(name):
    design = DESIGNS[name]()
    scene = plan(design)
    points, runs = groups(scene, "points"), groups(scene, "runs")
    assert set(runs) == set(design.runs)
    for id_, run in design.runs.items():
        line = way(runs[id_])
        for end, point in ((line.points[0], run.start), (line.points[-1], run.end)):
            box = outline(points[point])
            assert Box(*end, *end).grown(0.01).covers(box)
            assert not Box(*end, *end).grown(0.01).covers(box.grown(-0.1))
        assert all(a[0] == pytest.approx(b[0]) or a[1] == pytest.approx(b[1])
                   for a, b in pairwise(line.points))


def test_runs_cross_no_point_and_lie_on_no_other_run():
    scene = plan(generated(60, 1))
    boxes = {id_: outline(group) for id_, group in groups(scene, "points").items()}
    pieces = []
    for id_, group in groups(scene, "runs").items():
        line = way(group)
        pieces += [(id_, leg) for leg in pairwise(line.points)]
    for id_, ((x0, y0), (x1, y1)) in pieces:
        leg = Box(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
        assert not any(leg.grown(0.01).covers(box.grown(-0.05)) for box in boxes.values()), id_
        for other, ((u0, v0), (u1, v1)) in pieces:
            if other != id_ and (x0 == x1) == (u0 == u1):  # both level or both upright
                beside = Box(min(u0, u1), min(v0, v1), max(u0, u1), max(v0, v1))
                assert not leg.grown(0.01).covers(beside.grown(0.01)), (id_, other)


def test_a_thicker_bundle_is_a_thicker_line():
    assessment = assessed(generated(60, 1))
    bundles = assessment[BUNDLES].runs
    runs = groups(assessment.drawing("routes"), "runs")
    by_bundle = sorted((bundles[id_].diameter_mm if id_ in bundles else 0.0, way(run).width_mm, id_)
                       for id_, run in runs.items())
    assert len({width for _, width, _ in by_bundle}) > 4
    widths = [width for _, width, _ in by_bundle]
    assert widths == sorted(widths)
    empty = [way(runs[id_]) for mm, _, id_ in by_bundle if mm == 0.0]
    assert all(line.dash for line in empty)


def test_findings_on_holes_bear_a_number_with_a_word_in_the_legend():
    scene = checked("larch").drawing("routes")
    assert "1" in words(groups(scene, "passages")["H1"]).split()
    legend = [text.text for text in texts_of(scene)]
    assert any(text.startswith("warning") and "hole-overfull" in text for text in legend)


def test_what_lies_on_no_run_is_told_below():
    assert "Led over no run: V3 (start to box)." in [text.text for text in texts_of(plan(demonstration("hazel")))]


# stays as it is


@pytest.mark.parametrize("seed", [1, 2])
def test_the_order_in_the_file_is_of_no_account(seed):
    plain = generated_plain(40, seed)
    other = {
        key: shuffled(value, random.Random(99)) if key not in ("format", "job", "vehicle") else value
        for key, value in plain.items()
    }
    assert list(other["points"]) != list(plain["points"])
    assert svg_text(plan(from_plain(other))) == svg_text(plan(from_plain(plain)))


def middles(scene: Scene) -> dict[str, tuple[float, float]]:
    return {id_: outline(group).centre for id_, group in groups(scene, "points").items()}


EDITS: dict[str, Edit] = {
    "a conductor more": Add(Path("conductors", "W90"), {
        "cable": "cable:thinwall-2.5", "from": "start.pos", "to": "F90.a", "length": "0.2 m",
    }),
    "a conductor over runs": Add(Path("conductors", "W91"), {
        "cable": "cable:thinwall-2.5", "from": "F90.b", "to": "extra.pos",
    }),
    "a length": Set(Path("runs", "bay", "length"), "1.95 m"),
    "a title": Set(Path("nodes", "alt", "title"), "alternator, after the overhaul"),
}
DEVICES = [
    Add(Path("nodes", "F90"), {"part": "fuse:blade-10", "at": "battery"}),
    Add(Path("nodes", "extra"), {"part": "equipment:tablet-3a", "at": "roof"}),
]


@pytest.mark.parametrize("what", EDITS)
def test_a_small_edit_moves_little(what):
    design = apply(demonstration("larch"), DEVICES)
    before, after = middles(plan(design)), middles(plan(apply(design, [EDITS[what]])))
    moves = [math.dist(before[id_], after[id_]) for id_ in before]
    assert max(moves) < 8.0  # of a page of 297 mm
    assert statistics.median(moves) < 4.0


# positions of a person


def test_a_point_stands_where_a_person_put_it():
    text = rigfeed.example("larch").read_text() + "\n[drawing.points]\nbattery = [80, 75]\nroof = [20, 20]\n"
    scene = plan(parse(text))
    assert scene.room is not None
    for point, (x, y) in {"battery": (0.80, 0.75), "roof": (0.20, 0.20)}.items():
        wanted = scene.room.left + x * scene.room.width, scene.room.top + y * scene.room.height
        assert math.dist(middles(scene)[point], wanted) < 3.0  # the grid of the ways


@pytest.mark.parametrize("seed", range(6))
def test_an_area_covers_no_point_of_another_zone(seed):
    rng = random.Random(seed)
    placed = {point: [rng.uniform(0, 100), rng.uniform(0, 100)] for point in POINTS if rng.random() < 0.5}
    scene = plan(from_plain(generated_plain(20, seed) | {"drawing": {"points": placed}}))
    areas = [(item.subject[1], outline(item)) for item in scene.items if isinstance(item, Group)
             and item.subject[0] == "zones"]
    points = {id_: outline(group) for id_, group in groups(scene, "points").items()}
    for id_, box in points.items():
        around = [zone for zone, area in areas if area.covers(box)]
        assert around == [POINTS[id_]["zone"]]


def test_a_zone_that_another_one_parts_has_an_area_on_each_side():
    places = {
        "battery": [8, 60], "firewall": [30, 60], "rear": [60, 60], "cabwall": [78, 75], "rail": [93, 60],
        "roof": [45, 15],
    }
    plain = to_plain(demonstration("larch")) | {"drawing": {"points": places}}
    scene = plan(from_plain(plain))
    zones = [item.subject[1] for item in scene.items if isinstance(item, Group) and item.subject[0] == "zones"]
    assert sorted(zones) == ["bay", "bed", "cabin", "cabin"]


def test_two_points_in_one_place_make_room_for_each_other():
    text = rigfeed.example("hazel").read_text() + "\n[drawing.points]\nbattery = [50, 50]\nseat = [50, 50]\n"
    scene = plan(parse(text))
    points = groups(scene, "points")
    assert not outline(points["battery"]).covers(outline(points["seat"]))
    assert covered(scene) == []


def test_a_position_that_cannot_be_read_is_told():
    text = rigfeed.example("hazel").read_text() + '\n[drawing.points]\nseat = "left"\n'
    scene = plan(parse(text))
    assert "Positions that cannot be read: seat." in [text.text for text in texts_of(scene)]
    moves = [math.dist(at, middles(plan(demonstration("hazel")))[id_]) for id_, at in middles(scene).items()]
    assert max(moves) < 3.0  # the line that tells it takes a little room


# little to draw


def test_a_design_without_points_says_so():
    scene = plan(from_plain({"format": 1}))
    assert "The design has no points yet." in [text.text for text in texts_of(scene)]
    assert outside(scene) == covered(scene) == []


def test_points_that_no_run_joins_are_drawn_all_the_same():
    plain = to_plain(demonstration("hazel"))
    plain = {key: value for key, value in plain.items() if key not in ("runs", "passages", "conductors", "zones")}
    plain["points"] = {id_: {} for id_ in plain["points"]}
    scene = plan(from_plain(plain))
    assert set(groups(scene, "points")) == {"battery", "firewall", "seat", "roof"}
    assert outside(scene) == covered(scene) == []


def test_a_chain_of_two_hundred_points_is_drawn():
    points = {f"p{number}": {} for number in range(200)}
    runs = {f"r{number}": {"from": f"p{number}", "to": f"p{number + 1}", "length": "1 m"} for number in range(199)}
    scene = plan(from_plain({"format": 1, "points": points, "runs": runs}))
    assert len(groups(scene, "runs")) == 199
    assert outside(scene) == []


def test_where_everything_is_joined_to_everything_what_is_not_drawn_is_told():
    names = [f"p{number}" for number in range(14)]
    runs = {f"{a}-{b}": {"from": a, "to": b, "length": "1 m"} for a, b in combinations(names, 2)}
    scene = plan(from_plain({"format": 1, "points": {name: {} for name in names}, "runs": runs}))
    assert outside(scene) == covered(scene) == []
    told = " ".join(text.text for text in texts_of(scene)).replace("\u00a0", " ")
    assert all(f"{id_} 1 m" in told for id_ in runs)
