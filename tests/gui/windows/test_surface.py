"""The drawing by a real pointer and by keys: look, select, drag, connect, choose a route."""

from __future__ import annotations

import pytest
from tests.gui.windows.hands import Hands

from rigfeed.design.edit import Set
from rigfeed.design.schema import to_plain
from rigfeed.examples import example
from rigfeed.path import Path
from rigfeed_gui.painting import content

SEAT = Path("points", "seat")
VHF = Path("nodes", "vhf")


@pytest.fixture
def drawn(hands) -> Hands:
    """Hazel on the surface."""
    hands.session.begin(example("hazel").read_text(encoding="utf-8"), kept=True)
    hands.settle()
    hands.until(lambda: hands.session.scene is not None, "no drawing comes")
    hands.settle()
    return hands


def _terminal(hands: Hands, name: str) -> tuple[float, float]:
    surface = hands.window.bench.surface
    found = dict(surface.picture.terminals(name.partition(".")[0]))
    return surface.view.to_screen(found[name])


def _route_plan(hands: Hands) -> None:
    hands.key("ctrl+d")
    hands.until(lambda: hands.session.scene is not None and hands.session.scene.name == "routes", "no route plan")
    hands.settle()


def _new_scene(hands: Hands, before: object) -> None:
    hands.until(lambda: hands.session.scene is not before, "no new drawing comes")
    hands.settle()


def test_a_click_selects_what_is_under_it_and_the_form_follows(drawn):
    surface = drawn.window.bench.surface
    at = _terminal(drawn, "F1.a")
    drawn.click(surface.canvas, at[0] + 4, at[1])
    drawn.settle()
    assert drawn.session.selection is not None
    assert drawn.window.bench.thing.thing.path == drawn.session.selection
    drawn.click(surface.canvas, 3, 3)
    drawn.settle()
    assert drawn.session.selection is None


def test_the_frame_of_a_line_of_text_strikes_through_no_other(drawn):
    """In the route plan the devices of a point stand one below the other."""
    _route_plan(drawn)
    surface, nodes = drawn.window.bench.surface, ("alt", "F1", "start", "strap")
    rows = {}
    for name in nodes:
        box = surface.picture.bounds(Path("nodes", name))
        rows[name] = surface.view.to_screen(box[:2])[1], surface.view.to_screen(box[2:])[1]
    for name in nodes:
        drawn.session.select(Path("nodes", name))
        drawn.settle()
        frames = [i for i in surface.canvas.find_withtag("glow") if surface.canvas.type(i) == "rectangle"]
        _, top, _, bottom = surface.canvas.coords(frames[-1])
        others = [surface.picture.bounds(Path("nodes", other)) for other in nodes if other != name]
        middles = [surface.view.to_screen((0, (box[1] + box[3]) / 2))[1] for box in others]
        high = rows[name][1] - rows[name][0]
        assert all(middle < top - high / 3 or middle > bottom + high / 3 for middle in middles)
    assert surface.picture.is_written(Path("nodes", "alt"))
    assert not surface.picture.is_written(Path("passages", "H1"))


def test_every_subject_can_be_come_to_by_keys(drawn):
    surface = drawn.window.bench.surface
    drawn.key("F6")
    met = set()
    for _ in surface.picture.walk():
        drawn.stroke(surface.canvas, "n")
        met.add(drawn.session.selection)
    assert met == set(surface.picture.walk())
    drawn.key("Escape")
    assert drawn.session.selection is None
    drawn.key("Right")
    first = drawn.session.selection
    drawn.key("Down", "Right", "Down")
    assert None not in (first, drawn.session.selection)
    assert first != drawn.session.selection


def test_the_wheel_zooms_about_the_pointer_and_the_page_is_pulled(drawn):
    surface = drawn.window.bench.surface
    before, at = surface.view, (200, 150)
    page = before.to_page(at)
    drawn.click(surface.canvas, *at, button=4)
    assert surface.view.scale == pytest.approx(1.25 * before.scale)
    assert surface.view.to_screen(page) == pytest.approx(at, abs=1.5)
    moved = surface.view
    drawn.point(surface.canvas, 300, 200)
    drawn.run("mousedown", 3)
    drawn.point(surface.canvas, 340, 230)
    drawn.run("mouseup", 3)
    assert (surface.view.x - moved.x, surface.view.y - moved.y) == pytest.approx((40, 30), abs=2)
    assert not drawn.session.work.dirty
    drawn.key("F6", "0")
    left, top, right, bottom = content(surface.picture)
    (x, y), (across, down) = surface.view.to_screen((left, top)), surface.view.to_screen((right, bottom))
    assert -1 <= x < across <= surface.room[0] + 1, "the whole drawing is in sight"
    assert -1 <= y < down <= surface.room[1] + 1


def test_what_is_painted_stands_where_the_view_says(drawn):
    """The shapes on the canvas are those of the scene, after a zoom too."""
    surface = drawn.window.bench.surface
    surface.zoom(1.7)
    drawn.settle()
    canvas = surface.canvas
    for subject in (Path("nodes", "vhf"), Path("conductors", "W1")):
        inside = surface.picture.bounds(subject)
        left, top = surface.view.to_screen(inside[:2])
        right, bottom = surface.view.to_screen(inside[2:])
        boxes = [canvas.bbox(item) for item in canvas.find_withtag(f"s:{subject}")]
        assert boxes
        middle = [((b[0] + b[2]) / 2, (b[1] + b[3]) / 2) for b in boxes]
        own = [m for m in middle if left - 3 <= m[0] <= right + 3 and top - 3 <= m[1] <= bottom + 3]
        assert len(own) >= len(middle) - 3, "all but what stands in the legend"


def test_a_drawing_opens_as_large_as_it_can_be_read_at_what_is_to_be_mended_first(hands):
    hands.session.begin(example("larch").read_text(encoding="utf-8"), kept=True)
    hands.settle()
    surface, finding = hands.window.bench.surface, hands.session.assessment.findings[0]
    assert surface.view.scale == pytest.approx(surface._readable)
    x, y = surface.screen_of(finding.subject)
    assert 0 < x < surface.room[0]
    assert 0 < y < surface.room[1]
    before = surface.view
    hands.session.edit([Set(Path("job", "note"), "x")], "a note")
    hands.settle()
    assert surface.view == before, "an edit does not move the page"
    surface.fit()
    whole = surface.view.scale
    assert whole < surface._readable
    hands.session.show_drawing("routes")
    hands.settle()
    hands.session.show_drawing("circuit")
    hands.settle()
    assert surface.view.scale == whole, "whoever wanted all of it finds all of it again"
    surface.zoom(2.0)
    hands.session.begin(example("wren").read_text(encoding="utf-8"), kept=True)
    hands.settle()
    x, y = surface.screen_of(hands.session.explained.subject)
    assert surface.view.scale == pytest.approx(surface._readable), "another design does not lie where this one did"
    assert 0 < x < surface.room[0]
    assert 0 < y < surface.room[1]


def test_a_point_is_dragged_and_the_file_says_where_to(drawn):
    surface, session = drawn.window.bench.surface, drawn.session
    _route_plan(drawn)
    at = surface.screen_of(SEAT)
    scene, begin = session.scene, surface.picture.centre(SEAT)
    drawn.drag(surface.canvas, at, (at[0] - 20, at[1] - 50))
    assert session.work.dirty
    written = to_plain(session.work.design)["drawing"]["points"]["seat"]
    assert all(0 <= number <= 100 for number in written)
    _new_scene(drawn, scene)
    moved = surface.picture.centre(SEAT)
    assert moved[1] < begin[1]
    scene = session.scene
    drawn.key("ctrl+z")
    _new_scene(drawn, scene)
    assert surface.picture.centre(SEAT) == begin


def test_a_device_of_the_circuit_is_dragged_stays_there_and_comes_back(drawn, tmp_path):
    surface, session = drawn.window.bench.surface, drawn.session
    before = to_plain(session.work.design)
    scene, begin, at = session.scene, surface.picture.centre(VHF), _grip(drawn, VHF)
    room, by = scene.room, (-0.25 * surface.view.scale * scene.room.width, 0.0)
    drawn.drag(surface.canvas, at, (at[0] + by[0], at[1] + by[1]))
    assert not drawn.dialogs
    x, y = to_plain(session.work.design)["drawing"]["nodes"]["vhf"]
    assert (x, y) == pytest.approx((100 * (begin[0] - room.left) / room.width - 25,
                                    100 * (begin[1] - room.top) / room.height), abs=1.5)
    _new_scene(drawn, scene)
    room, moved = session.scene.room, surface.picture.centre(VHF)
    assert abs(100 * (moved[0] - room.left) / room.width - x) < 10
    assert abs(100 * (moved[1] - room.top) / room.height - y) < 15
    scene = session.scene
    drawn.key("ctrl+z")
    _new_scene(drawn, scene)
    assert surface.picture.centre(VHF) == begin
    drawn.settle()
    session.save(tmp_path / "hazel.toml")
    assert (tmp_path / "hazel.toml").read_bytes() == example("hazel").read_bytes()
    assert to_plain(session.work.design) == before


def test_a_wire_begins_at_a_terminal_that_has_none_yet(drawn):
    surface, session = drawn.window.bench.surface, drawn.session
    before = set(session.work.design.conductors)
    drawn.drag(surface.canvas, _terminal(drawn, "alt.neg"), _terminal(drawn, "strap.stud"))
    (new,) = set(session.work.design.conductors) - before
    assert session.work.design.conductors[new].start == ("alt.neg",)


def _grip(hands: Hands, subject: Path) -> tuple[float, float]:
    """A place on the canvas where a thing can be taken hold of: on it, and on none of its terminals."""
    surface = hands.window.bench.surface
    left, top, right, bottom = surface.picture.bounds(subject)
    places = [((1 - a / 20) * left + a / 20 * right, (1 - b / 20) * top + b / 20 * bottom)
              for a in range(1, 20) for b in range(1, 20)]
    for place in map(surface.view.to_screen, places):
        hit = surface.hit(*place)
        if hit is not None and hit.dragged == subject and hit.terminal is None:
            return place
    raise AssertionError(f"{subject} cannot be taken hold of")


def test_a_thing_is_moved_by_keys(drawn):
    _route_plan(drawn)
    drawn.session.select(SEAT)
    drawn.settle()
    drawn.key("F6", "alt+Left")
    assert "seat" in to_plain(drawn.session.work.design)["drawing"]["points"]


def test_two_terminals_are_connected_by_dragging(drawn):
    surface, session = drawn.window.bench.surface, drawn.session
    before = set(session.work.design.conductors)
    drawn.drag(surface.canvas, _terminal(drawn, "start.neg"), _terminal(drawn, "stud.stud"))
    new = set(session.work.design.conductors) - before
    assert len(new) == 1
    conductor = session.work.design.conductors[new.pop()]
    assert (conductor.start, conductor.end) == (("start.neg",), ("stud.stud",))
    assert session.selection[0] == "conductors"


def test_where_only_the_device_is_pointed_at_a_dialog_asks_for_the_terminal(drawn):
    surface, session = drawn.window.bench.surface, drawn.session
    drawn.drag(surface.canvas, _terminal(drawn, "alt.pos"), _grip(drawn, VHF))
    form = drawn.dialog()
    assert [row.line.text for row in form.rows.values()] == ["alt.pos", "vhf."]
    drawn.key("Escape")
    drawn.until(lambda: not drawn.dialogs, "the dialog stays")
    assert not session.work.dirty


def test_a_wire_that_is_there_already_is_refused_in_words(drawn):
    surface, session = drawn.window.bench.surface, drawn.session
    drawn.drag(surface.canvas, _terminal(drawn, "start.pos"), _terminal(drawn, "F1.a"))
    assert not session.work.dirty
    assert "W1" in str(drawn.window.bench.status.label["text"])


def test_a_route_is_chosen_by_clicking_runs(drawn):
    session = drawn.session
    session.select(Path("conductors", "W2"))
    drawn.settle()
    drawn.key("ctrl+r")
    drawn.until(lambda: session.scene is not None and session.scene.name == "routes", "no route plan")
    drawn.settle()
    surface = drawn.window.bench.surface
    assert surface.banner.winfo_ismapped()
    assert surface.pick.runs == ("bay", "sill")
    at = surface.screen_of(Path("runs", "sill"))
    drawn.key("F6")
    for _ in range(40):  # to the run by keys
        if surface._cursor == Path("runs", "sill"):
            break
        drawn.stroke(surface.canvas, "n")
    drawn.key("space")
    assert surface.pick.runs == ("bay",)
    assert surface.done.instate(["disabled"]), "half a way is no route"
    hit = next((x, y) for x in range(round(at[0]) - 60, round(at[0]) + 60, 2) for y in range(round(at[1]) - 40,
               round(at[1]) + 40, 2) if (found := surface.hit(x, y)) and found.subject == Path("runs", "sill"))
    drawn.click(surface.canvas, *hit)
    assert surface.pick.runs == ("bay", "sill")
    drawn.key("Escape")
    assert not surface.banner.winfo_ismapped()
    assert not session.work.dirty


def test_a_chosen_route_is_an_edit(drawn):
    session, surface = drawn.session, drawn.window.bench.surface
    session.select(Path("conductors", "W5"))
    drawn.settle()
    drawn.window.do("pick-route")
    drawn.settle()
    surface.take_run("bay")
    surface.take_run("bay")
    surface.take_run("sill")
    drawn.settle()
    assert surface.pick.runs == ()
    drawn.press("Take this route") if surface.pick.complete else drawn.key("Escape")
    drawn.settle()
    assert surface.pick is None


def test_a_menu_of_the_thing_under_the_pointer(drawn):
    surface = drawn.window.bench.surface
    at = surface.screen_of(Path("nodes", "vhf"))
    drawn.click(surface.canvas, *at, button=3)
    drawn.settle()
    menu = surface.pointer._menu
    assert drawn.session.selection == Path("nodes", "vhf")
    labels = [menu.entrycget(n, "label") for n in range(menu.index("end") + 1) if menu.type(n) == "command"]
    assert {"Rename...", "Remove", "Connect two terminals..."} <= set(labels)
    assert menu.winfo_viewable()
    drawn.key("Escape")
    assert not menu.winfo_viewable()


def test_a_tooltip_says_what_a_thing_is(drawn):
    surface = drawn.window.bench.surface
    drawn.point(surface.canvas, 2, 2)
    drawn.point(surface.canvas, *surface.screen_of(Path("nodes", "vhf")))
    drawn.until(lambda: drawn.window.tips.text, "nothing is said")
    assert "vhf" in drawn.window.tips.text


def test_figures_of_the_chosen_state_are_drawn(drawn):
    session = drawn.session
    texts = {}
    for id_ in (None, *(id_ for id_, _ in session.states)):
        scene = session.scene
        session.show_state(id_)
        if session.scene is scene:
            drawn.until(lambda scene=scene: session.scene is not scene or not session.busy, "no drawing")
        drawn.settle()
        canvas = drawn.window.bench.surface.canvas
        texts[id_] = {canvas.itemcget(i, "text") for i in canvas.find_all() if canvas.type(i) == "text"}
    assert not any(text.endswith(" A") and "→" in text for text in texts[None])
    assert len({frozenset(t) for t in texts.values()}) == len(texts), "each state has figures of its own"


def test_an_old_picture_says_that_it_is_old(drawn):
    surface, session = drawn.window.bench.surface, drawn.session
    from rigfeed.design.edit import Set

    session.edit([Set(Path("runs", "bay", "length"), "2 m")], "length")
    surface._show_note()
    assert surface.note.winfo_manager() == "place"
    assert "last change" in str(surface.note["text"])
    drawn.settle()
    drawn.until(lambda: not surface.note.winfo_manager(), "it still says so")
