"""The circuit diagram: everything is on it, nothing covers anything, and little moves when little changes."""

from __future__ import annotations

import random
import statistics
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import combinations, pairwise

import pytest
from tests.kit.drawing.generated import generated, generated_plain, shuffled
from tests.kit.drawing.geometry import covered, least_size_mm, outside

import rigfeed
from rigfeed.assess import Assessment
from rigfeed.design.edit import Add, Set, apply
from rigfeed.design.file import read
from rigfeed.design.schema import from_plain, to_plain
from rigfeed.drawing.boxes import item_box
from rigfeed.drawing.circuit_graph import graph
from rigfeed.drawing.circuit_symbols import look
from rigfeed.drawing.frame import LEAST_TEXT_MM
from rigfeed.drawing.scene import Circle, Group, Item, Lettering, Line, Scene, Symbol
from rigfeed.drawing.svg import svg_text
from rigfeed.examples import examples
from rigfeed.papers.paper import Page, Wanted
from rigfeed.parts.interfaces import ProtectiveDevice
from rigfeed.parts.shelf import open_shelf
from rigfeed.path import Path

NAMES = (*examples(), "sixty")


@cache
def checked(name: str) -> Assessment:
    """The assessment of a design by all checks."""
    return rigfeed.assess(generated(60, 1) if name == "sixty" else read(rigfeed.example(name)))


def assessed(plain: dict[str, object]) -> Assessment:
    return rigfeed.assess(from_plain(plain), only=["hole-overfull"])


def small(nodes: dict[str, object], conductors: dict[str, object]) -> Scene:
    """The circuit of some nodes in one zone."""
    placed = {id_: {"at": "p", **node} for id_, node in nodes.items()}
    plain = {
        "format": 1, "job": {"title": "small"}, "zones": {"cab": {"warmest": "40 degC", "coldest": "0 degC"}},
        "points": {"p": {"zone": "cab"}}, "nodes": placed, "conductors": conductors,
    }
    return assessed(plain).drawing("circuit")


def wire(start: object, end: object, cable: str = "cable:thinwall-2.5") -> dict[str, object]:
    return {"cable": cable, "from": start, "to": end, "length": "1 m"}


def groups(scene: Scene, sort: str) -> list[Group]:
    """The groups of a sort in the picture itself: without the marks and the legend, which point at the same things."""
    return [
        item for item in scene.items
        if isinstance(item, Group) and item.subject[:1] == (sort,) and not isinstance(item.items[0], Group)
        and [type(inner) for inner in item.items] not in ([Line, Lettering], [Circle, Lettering])
    ]


def texts(items: tuple[Item, ...]) -> list[str]:
    found = [item.text.replace("\xa0", " ") for item in items if isinstance(item, Lettering)]
    return found + [text for item in items if isinstance(item, Group) for text in texts(item.items)]


def symbols(group: Group) -> list[str]:
    return [item.name for item in group.items if isinstance(item, Symbol)]


def node(scene: Scene, id_: str) -> Group:
    return next(group for group in groups(scene, "nodes") if group.subject == Path("nodes", id_))


def lines(scene: Scene) -> list[tuple[str, Line]]:
    """The line of each wire with the id of its conductor; it is painted first."""
    found = []
    for group in groups(scene, "conductors"):
        first = group.items[0]
        assert isinstance(first, Line)
        found.append((str(group.subject[1]), first))
    return found


def pieces(scene: Scene) -> Iterator[tuple[int, str, bool, float, float, float]]:
    """The straight pieces of the wires: number and id of the wire, level or not, where, from, to."""
    for number, (id_, line) in enumerate(lines(scene)):
        for (x0, y0), (x1, y1) in pairwise(line.points):
            is_level = abs(y1 - y0) < 1e-6
            assert is_level or abs(x1 - x0) < 1e-6, f"{id_} runs aslant"
            first, last = (x0, x1) if is_level else (y0, y1)
            yield number, id_, is_level, y0 if is_level else x0, min(first, last), max(first, last)


def on_each_other(scene: Scene) -> list[tuple[str, str]]:
    """Wires of which a piece lies along a piece of another."""
    return [
        (a[1], b[1]) for a, b in combinations(pieces(scene), 2)
        if a[0] != b[0] and a[2] == b[2] and abs(a[3] - b[3]) < 0.3 and min(a[5], b[5]) - max(a[4], b[4]) > 0.3
    ]


def through_symbols(assessment: Assessment) -> list[tuple[str, str]]:
    """Wires that run through the symbol of a node that they do not end on."""
    found = []
    scene = assessment.drawing("circuit")
    ends = {(end.node, c.id) for c in assessment.installation.conductors.values() for end in c.ends}
    for group in groups(scene, "nodes"):
        id_ = str(group.subject[1])
        boxes = [item_box(item).grown(-0.2) for item in group.items if isinstance(item, Symbol | Line)]
        for _, wire_id, is_level, at, first, last in pieces(scene):
            for box in boxes:
                across = box.top < at < box.bottom if is_level else box.left < at < box.right
                low, high = (box.left, box.right) if is_level else (box.top, box.bottom)
                if across and first < high and low < last and (id_, wire_id) not in ends:
                    found.append((id_, wire_id))
    return found


@pytest.mark.parametrize("page", [None, "A4", "A3", "Letter"])
@pytest.mark.parametrize("name", NAMES)
def test_nothing_covers_anything_and_nothing_leaves_the_page(name, page):
    for state in (None, *checked(name).installation.states):
        scene = checked(name).drawing("circuit", Wanted(state=state, page=page))
        assert covered(scene) == []
        assert outside(scene) == []


@pytest.mark.parametrize("name", NAMES)
def test_wires_are_level_or_upright_apart_and_around_what_they_do_not_join(name):
    assert on_each_other(checked(name).drawing("circuit")) == []
    assert through_symbols(checked(name)) == []


@pytest.mark.parametrize("seed", range(12))
def test_the_same_holds_for_designs_of_any_kind(seed):
    assessment = assessed(generated_plain(8 + 7 * seed, seed))
    scene = assessment.drawing("circuit")
    assert covered(scene) == []
    assert outside(scene) == []
    assert on_each_other(scene) == []
    assert through_symbols(assessment) == []


@pytest.mark.parametrize("seed", range(1, 9))
def test_sixty_conductors_fit_a3_with_letters_that_can_be_read(seed):
    scene = rigfeed.assess(generated(60, seed)).drawing("circuit")
    assert scene.width_mm <= 420.0
    assert least_size_mm(scene) >= LEAST_TEXT_MM


@pytest.mark.parametrize(("page", "wide"), [("A4", 297.0), ("Letter", 279.4), ("A3", 420.0)])
def test_a_page_that_is_asked_for_stays(page: Page, wide):
    scene = checked("sixty").drawing("circuit", Wanted(page=page))
    assert scene.width_mm == wide
    said = any("a larger page shows them better" in text for text in texts(scene.items))
    assert said == (least_size_mm(scene) < LEAST_TEXT_MM)
    assert said == (page != "A3")


@pytest.mark.parametrize("name", NAMES)
def test_every_wire_has_its_id_size_and_length(name):
    scene = checked(name).drawing("circuit")
    installation = checked(name).installation
    shown = {str(group.subject[1]): texts(group.items) for group in groups(scene, "conductors")}
    assert set(shown) == set(installation.conductors)
    for id_, conductor in installation.conductors.items():
        length = rigfeed.quantity.show(conductor.length_m, "m")
        assert any(text == id_ for text in shown[id_])
        assert any(text.endswith(f", {length}") for text in shown[id_])
        if len(conductor.cores) == 1:
            assert any(text.startswith(f"{conductor.cores[0].core.area_mm2:g} mm²") for text in shown[id_])


@pytest.mark.parametrize("name", NAMES)
def test_every_wire_ends_on_its_terminals(name):
    scene = checked(name).drawing("circuit")
    at = {terminal: point for group in groups(scene, "nodes") for terminal, point in group.terminals}
    ends = {id_: {line.points[0], line.points[-1]} for id_, line in lines(scene)}
    for wire_ in graph(checked(name).installation).wires:
        assert {wire_.left, wire_.right} <= set(at)
    alone = [w for w in graph(checked(name).installation).wires if len(w.laid.cores) == 1]
    for wire_ in alone:
        others = [w for w in alone if {w.left, w.right} & {wire_.left, wire_.right}]
        if len(others) == 1:
            assert ends[wire_.id] == {at[wire_.left], at[wire_.right]}


@pytest.mark.parametrize("name", NAMES)
def test_a_fuse_stands_between_what_feeds_it_and_what_it_feeds(name):
    installation = checked(name).installation
    order = graph(installation).order
    for wire_ in graph(installation).wires:
        left, right = wire_.ends
        assert order[left] < order[right]
    at = {g.subject[1]: dict(g.terminals) for g in groups(checked(name).drawing("circuit"), "nodes")}
    for placed in installation.nodes.values():
        if isinstance(placed.part, ProtectiveDevice):
            (a_x, a_y), (b_x, b_y) = at[placed.id][f"{placed.id}.a"], at[placed.id][f"{placed.id}.b"]
            if (name, placed.id) == ("juniper", "F2"):  # from one source to another that stands as far to the right
                assert a_x == b_x
                assert a_y < b_y
            else:
                assert a_x < b_x


def test_the_symbols_are_those_of_the_parts():
    scene = checked("larch").drawing("circuit")
    for id_, symbol in (
        ("start", "battery"), ("alt", "generator"), ("F1", "fuse"), ("dcdc", "converter"), ("stud", "frame"),
        ("box", "take-off"), ("whip", "antenna"),
    ):
        assert symbol in symbols(node(scene, id_)), id_
    assert "frame" in symbols(node(scene, "alt"))  # its case is its negative
    assert "switch" in symbols(node(checked("alder").drawing("circuit"), "main"))


@pytest.mark.parametrize(("kind", "symbol"), [
    ("breaker", "breaker"), ("relay", "relay"), ("splitter", "diode"), ("isolator", "switch"),
])
def test_parts_of_other_kinds_have_theirs(kind, symbol):
    (part,) = open_shelf().find(kind, by="rated_a")
    scene = small({"s": {"part": "battery:agm-80"}, "x": {"part": part.key}}, {
        "W1": wire("s.pos", f"x.{part.terminals[0].name}"),
    })
    assert symbol in symbols(node(scene, "x"))


def test_a_coaxial_cable_is_one_line_with_its_shield_and_a_twin_lead_two_in_a_loop():
    scene = checked("hazel").drawing("circuit")
    (feeder,) = [group for group in groups(scene, "conductors") if group.subject == Path("conductors", "W6")]
    assert symbols(feeder) == ["shield"]
    twin = small({"s": {"part": "battery:agm-80"}, "v": {"part": "radio:vhf-25"}}, {
        "W1": wire(["s.pos", "s.neg"], ["v.pos", "v.neg"], "cable:twin-6"),
    })
    cores = groups(twin, "conductors")
    assert [texts(core.items)[0] for core in cores] == ["W1.1", "W1.2"]
    (loop,) = [item for core in cores for item in core.items[1:] if isinstance(item, Line) and item.closed]
    for core in cores:
        line = core.items[0]
        assert isinstance(line, Line)
        assert item_box(loop).top < line.points[-1][1] < item_box(loop).bottom


def test_the_figures_of_a_state():
    assessment = checked("larch")
    plain, figures = assessment.drawing("circuit"), assessment.drawing("circuit", Wanted(state="sending"))
    assert not [text for text in texts(node(plain, "hf").items) if text.endswith(" V")]
    volts = assessment[rigfeed.studies.operating.OPERATING].across("sending", "hf")
    assert f"{volts:.3g} V" in texts(node(figures, "hf").items)
    amps = assessment[rigfeed.studies.operating.OPERATING].current("sending", "W8")
    (words,) = [texts(group.items) for group in groups(figures, "conductors") if group.subject[1] == "W8"]
    assert f"W8 → {amps:.3g} A" in words
    (back,) = [texts(group.items) for group in groups(figures, "conductors") if group.subject[1] == "W9"]
    assert f"W9 ← {amps:.3g} A" in back
    assert any("both sets keyed, engine off" in text for text in texts(figures.items))


@pytest.mark.parametrize("name", NAMES)
def test_every_finding_on_the_picture_has_its_mark_and_its_words(name):
    assessment = checked(name)
    scene = assessment.drawing("circuit")
    drawn = [f for f in assessment.findings if f.subject[0] in ("nodes", "conductors")]
    shown = texts(scene.items)
    assert drawn
    for number, finding in enumerate(drawn, 1):
        assert shown.count(str(number)) == 2, finding  # on the thing and in the legend
        assert any(finding.check in text and finding.severity in text for text in shown)


def test_the_picture_says_what_everything_is_in_words():
    scene = checked("hazel").drawing("circuit")
    assert "W2 from F1.b to vhf.pos" in scene.description
    assert any("This work can hurt" in text for text in texts(scene.items))
    assert any("practice: Road vehicles" in text for text in texts(scene.items))


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("name", ["larch", "sixty"])
def test_the_order_of_the_file_is_no_matter(name, seed):
    design = generated(60, 1) if name == "sixty" else read(rigfeed.example(name))
    plain = to_plain(design)
    rng = random.Random(seed)
    other = {key: shuffled(plain[key], rng) for key in ("nodes", "conductors", "zones", "runs", "points")}
    assert svg_text(assessed(plain).drawing("circuit")) == svg_text(assessed(plain | other).drawing("circuit"))


def centres(scene: Scene) -> dict[str, tuple[float, float]]:
    return {str(g.subject[1]): item_box(g).centre for g in groups(scene, "nodes")}


def moves_mm(before: Scene, after: Scene) -> list[float]:
    """How far each node moved that is on both."""
    one, other = centres(before), centres(after)
    return [abs(one[id_][0] - other[id_][0]) + abs(one[id_][1] - other[id_][1]) for id_ in set(one) & set(other)]


def natural_moves_mm(before: Scene, after: Scene) -> list[float]:
    """The same in the size of the layout, from the corner of the picture: the page may have been scaled."""
    def at(scene: Scene) -> dict[str, tuple[float, float]]:
        scale = next(item.scale for item in node(scene, "start").items if isinstance(item, Symbol))
        assert scene.room is not None
        left, top = scene.room.left, scene.room.top
        return {id_: ((x - left) / scale, (y - top) / scale) for id_, (x, y) in centres(scene).items()}

    one, other = at(before), at(after)
    return [abs(one[id_][0] - other[id_][0]) + abs(one[id_][1] - other[id_][1]) for id_ in one]


@pytest.mark.parametrize("name", ["hazel", "larch", "alder"])
def test_another_length_moves_hardly_anything(name):
    design = read(rigfeed.example(name))
    before = rigfeed.assess(design, only=["hole-overfull"]).drawing("circuit")
    edited = apply(design, [Set(Path("conductors", "W1", "length"), "1.25 m")])
    after = rigfeed.assess(edited, only=["hole-overfull"]).drawing("circuit")
    assert max(moves_mm(before, after)) < 4.0


@pytest.mark.parametrize("seed", range(6))
def test_another_equipment_moves_little(seed):
    design = generated(40, seed)
    before = rigfeed.assess(design, only=["hole-overfull"]).drawing("circuit", Wanted(page="A3"))
    edited = apply(design, [
        Add(Path("nodes", "zz"), {"part": "equipment:router", "at": "rack"}),
        Add(Path("conductors", "Z1"), {"cable": "cable:thinwall-1", "from": "rear-bar.zz", "to": "zz.pos"}),
    ])
    after = rigfeed.assess(edited, only=["hole-overfull"]).drawing("circuit", Wanted(page="A3"))
    one, other = centres(before), centres(after)
    assert statistics.median(natural_moves_mm(before, after)) < 24.0  # a row more, and all under it go down
    sides = [
        (one[a][axis] < one[b][axis]) == (other[a][axis] < other[b][axis])
        for a, b in combinations(sorted(one), 2) for axis in (0, 1) if abs(one[a][axis] - one[b][axis]) > 5.0
    ]
    assert sum(sides) / len(sides) > 0.9  # who stands over whom, and left of whom, stays


ODD = {
    "nothing": ({}, {}),
    "one thing": ({"x": {"part": "battery:agm-80"}}, {}),
    "no parts": ({"x": {}, "y": {}}, {"W1": wire("x.a", "y.b")}),
    "a ring": ({id_: {"part": "joint"} for id_ in "abc"},
               {"W1": wire("a.x", "b.x"), "W2": wire("b.x", "c.x"), "W3": wire("c.x", "a.x")}),
    "side by side": ({"s": {"part": "battery:agm-80"}, "b": {"part": "joint"}},
                     {f"W{n}": wire("s.pos", "b.x") for n in range(1, 6)}),
    "a bridged fuse": ({"s": {"part": "battery:agm-80"}, "F": {"part": "fuse:blade-10"}, "b": {"part": "joint"}},
                       {"W1": wire("s.pos", "F.a"), "W2": wire("s.pos", "F.b"), "W3": wire("F.a", "b.x"),
                        "W4": wire("F.b", "F.a")}),
    "each to each": ({f"j{n}": {"part": "joint"} for n in range(9)},
                     {f"W{a}{b}": wire(f"j{a}.x", f"j{b}.x") for a in range(9) for b in range(a)}),
    "a star": ({"s": {"part": "battery:agm-80"}, **{f"g{n}": {"part": "body-point"} for n in range(30)}},
               {f"W{n}": wire("s.neg", f"g{n}.stud") for n in range(30)}),
    "two islands": ({"s": {"part": "battery:agm-80"}, "v": {"part": "radio:vhf-25"},
                     "t": {"part": "battery:agm-80"}, "u": {"part": "radio:vhf-25"}},
                    {"W1": wire("s.pos", "v.pos"), "W2": wire("t.pos", "u.pos")}),
}


@pytest.mark.parametrize("name", ODD)
def test_odd_circuits_are_drawn_too(name):
    nodes, conductors = ODD[name]
    scene = small(nodes, conductors)
    assert covered(scene) == []
    assert outside(scene) == []
    assert on_each_other(scene) == []
    assert {str(g.subject[1]) for g in groups(scene, "nodes")} == set(nodes)
    shown = texts(scene.items)
    assert all(any(text.startswith(id_) for text in shown) for id_ in conductors)


def test_a_conductor_that_is_not_complete_is_on_the_picture_as_such():
    nodes = {"s": {"part": "battery:agm-80"}, "v": {"part": "radio:vhf-25"}, "t": {}}
    scene = small(nodes, {
        "W1": {"from": "s.pos", "to": "v.pos", "length": "1 m"},
        "W2": {"cable": "cable:thinwall-2.5", "from": "s.neg", "to": "v.neg"},
        "W3": wire("v.sense", "t.a"), "W4": wire("s.pos", "v.sense"),
    })
    said = {str(group.subject[1]): texts(group.items) for group in groups(scene, "conductors")}
    assert said["W1"] == ["W1", "no cable yet"]
    assert said["W2"] == ["W2", "no length yet"]
    assert said["W4"] == ["W4", "2.5 mm², 1 m"]
    assert {id_: bool(line.dash) for id_, line in lines(scene)} == {"W1": True, "W2": True, "W3": True, "W4": False}
    assert covered(scene) == []


def test_a_part_that_cannot_say_what_it_is_made_of_is_drawn_all_the_same():
    placed = checked("hazel").installation.nodes["F1"]

    broken = type("Broken", (type(placed.part),), {"elements": lambda *_: 1 / 0})
    part = object.__new__(broken)
    part.__dict__.update(placed.part.__dict__)
    assert look(replace(placed, part=part), ["a"]).symbol == "fuse"


def test_the_loop_of_a_cable_that_is_not_chosen_leaves_its_words_free():
    nodes = {"s": {"part": "battery:agm-80"}, "v": {"part": "radio:vhf-25"}}
    scene = small(nodes, {"W1": {"from": ["s.pos", "s.neg"], "to": ["v.pos", "v.neg"], "length": "2 m"}})
    items = [item for group in groups(scene, "conductors") for item in group.items]
    (loop,) = [item for item in items if isinstance(item, Line) and item.closed]
    words = [item for item in items if isinstance(item, Lettering)]
    assert [word.text for word in words] == ["W1.1", "no cable yet", "W1.2", "no cable yet"]
    assert not any(item_box(loop).covers(item_box(word)) for word in words)
