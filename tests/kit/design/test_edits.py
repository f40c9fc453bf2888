"""Pure edits: what they change, what goes with a thing, how references follow a name."""

from __future__ import annotations

import random

import pytest
from tests.kit.design.made import FILES, random_edit, text_of

from rigfeed.design.edit import COLLECTIONS, Add, Remove, Rename, Set, apply, consequences
from rigfeed.design.file import from_text
from rigfeed.design.references import references
from rigfeed.design.schema import from_plain, to_plain
from rigfeed.design.values import same
from rigfeed.errors import DesignError, InputError, RigfeedError, UnknownName
from rigfeed.path import Path

at = Path.parse
DESIGNS = {name: from_text(text_of(name))[0] for name in FILES}
THINGS = [
    (name, Path(collection, id_))
    for name, design in DESIGNS.items()
    for collection in COLLECTIONS
    for id_ in getattr(design, collection)
]


def leaves(data, path=Path()):
    """Every path of plain data."""
    items = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, item in items:
        yield path / key
        yield from leaves(item, path / key)


def value_at(plain, path):
    for key in path:
        plain = plain[key]
    return plain


# removing


@pytest.mark.parametrize(("name", "path"), THINGS)
def test_what_goes_is_what_consequences_lists(name, path):
    before, edit = DESIGNS[name], Remove(path)
    listed = consequences(before, edit)
    was, now = to_plain(before), to_plain(apply(before, [edit]))
    assert listed[0] == path
    assert len(set(listed)) == len(listed)
    gone = {leaf for leaf in leaves(was) if any(leaf[: len(p)] == p for p in listed)}
    # by value, since what stands behind something removed from a list moves up
    kept = [path for path in leaves(was) if path not in gone]
    assert _values(now, leaves(now)) == _values(was, kept)
    assert not [r for r in references(now) if (r.collection, r.id) == path]


def _values(plain, paths):
    found = [(tuple("#" if isinstance(key, int) else key for key in path), value_at(plain, path)) for path in paths]
    return sorted(repr(pair) for pair in found if not isinstance(pair[1], dict | list))


def test_removing_a_point_takes_its_runs_their_passages_and_clears_routes():
    listed = {str(path) for path in consequences(DESIGNS["styled"], Remove(at("points.roof")))}
    assert listed == {
        "points.roof", "runs.pillar", "passages.H2", "nodes.ant.at", "conductors.W5.route",
    }


def test_removing_a_node_takes_its_conductors_their_deviations_and_places():
    listed = {str(path) for path in consequences(DESIGNS["styled"], Remove(at("nodes.F2")))}
    assert listed == {
        "nodes.F2", "conductors.W1", "conductors.W3", "deviations.0", "drawing.conductors.W1",
    }


def test_removing_a_state_takes_its_steps():
    after = apply(DESIGNS["styled"], [Remove(at("states.tx"))])
    assert [step.state for step in after.duty["callout"].steps] == ["rx"]


def test_only_removing_has_consequences():
    for edit in (Set(at("job.title"), "x"), Add(at("zones.z"), {}), Rename(at("nodes.F1"), "F3")):
        assert consequences(DESIGNS["styled"], edit) == ()
    assert consequences(DESIGNS["styled"], Remove(at("job.title"))) == (at("job.title"),)
    with pytest.raises(DesignError):
        consequences(DESIGNS["styled"], Remove(at("nodes.F9")))


# renaming


@pytest.mark.parametrize(("name", "path"), THINGS)
def test_renaming_there_and_back_is_the_identity(name, path):
    before = DESIGNS[name]
    there = apply(before, [Rename(path, "Q9")])
    assert there != before
    assert path[1] not in getattr(there, str(path[0]))
    assert same(to_plain(apply(there, [Rename(Path(path[0], "Q9"), str(path[1]))])), to_plain(before))


@pytest.mark.parametrize(("name", "path"), THINGS)
def test_every_reference_follows_a_new_name(name, path):
    was, now = to_plain(DESIGNS[name]), to_plain(apply(DESIGNS[name], [Rename(path, "Q9")]))
    old, new = (path[0], path[1]), (path[0], "Q9")
    named = [(r.collection, r.id) for r in references(was)]
    assert [new if pair == old else pair for pair in named] == [(r.collection, r.id) for r in references(now)]


@pytest.mark.parametrize(("name", "path"), THINGS)
def test_its_own_name_is_no_change(name, path):
    assert same(to_plain(apply(DESIGNS[name], [Rename(path, str(path[1]))])), to_plain(DESIGNS[name]))


def test_a_new_name_reaches_everything_that_can_name_a_node():
    after = apply(DESIGNS["styled"], [Rename(at("nodes.start"), "main"), Rename(at("nodes.hf"), "set")])
    assert after.conductors["W2"].start == ("main.pos",)
    assert after.conductors["W1"].end == ("set.pos", "set.neg")
    assert dict(after.states["tx"].modes) == {"set": "transmit"}
    assert list(after.states["tx"].start) == ["main"]
    assert list(after.drawing["nodes"]) == ["main", "F1", "set"]


def test_a_new_name_reaches_routes_duty_and_deviations():
    edits = [Rename(at("runs.sill"), "floor"), Rename(at("states.tx"), "keyed"), Rename(at("passages.H1"), "H7")]
    after = apply(DESIGNS["styled"], edits)
    assert after.conductors["W1"].route == ("bay", "floor")
    assert [step.state for step in after.duty["callout"].steps] == ["keyed", "rx", "keyed"]
    assert [d.subject for d in after.deviations] == ["conductors.W3", "passages.H7.diameter"]


def test_a_name_that_begins_like_another_is_left_alone():
    design = from_plain(
        {"format": 1, "nodes": {"F1": {}, "F11": {}}, "conductors": {"W1": {"from": "F11.a", "to": "F1.a"}}}
    )
    conductor = apply(design, [Rename(at("nodes.F1"), "G")]).conductors["W1"]
    assert (conductor.start, conductor.end) == (("F11.a",), ("G.a",))


def test_capitals_alone_may_change():
    assert "w1" in apply(DESIGNS["inline"], [Rename(at("conductors.W1"), "w1")]).conductors


# refusals


REFUSED = [
    (Set(at("nodes.F9.title"), "x"), "does not exist"),
    (Set(Path(), 1), "path is empty"),
    (Set(at("job.title.x"), 1), "holds nothing inside"),
    (Set(at("conductors.W1.length"), "2,5 m"), "decimal comma"),
    (Set(at("conductors.W1.length"), "-1 m"), "not above 0"),
    (Set(at("conductors.W1.lenght"), "1 m"), "unknown key"),
    (Set(at("nodes.F1"), None), "is not a table"),
    (Set(at("nodes.F1.settings.x"), None), "is empty"),
    (Set(at("nodes.F1.settings.x"), object()), "object cannot be kept"),
    (Set(at("nodes.F1.settings.x"), float("nan")), "not a finite number"),
    (Set(at("nodes.F1.settings.x"), 2**63), "too large"),
    (Set(at("nodes.F1.settings"), {1: 2}), "where a name is wanted"),
    (Set(at("nodes.F1.title"), "\ud800"), "control character U+D800"),
    (Set(at("nodes.F1.title"), "\x1b[2J"), "control character U+001B"),
    (Set(at("deviations.5.reason"), "x"), "does not exist"),
    (Set(Path("deviations", -1, "reason"), "x"), "does not exist"),
    (Set(at("duty.callout.steps.9"), {}), "no position 9"),
    (Set(at("nodes"), 5), "a number where a table is wanted"),
    (Set(Path("nodes", 5), {}), "where a name is wanted"),
    (Set(at("format"), True), "not the number of a format"),
    (Set(at("drawing"), "x"), "is not a table"),
    (Add(at("nodes.F1"), {}), "is there already"),
    (Add(at("nodes.f1"), {}), "only in capitals"),
    (Add(at("nodes.W1"), {}), "also the name of the node"),
    (Add(at("duty.callout.steps.7"), {"state": "tx", "time": "1 s"}), "no position 7"),
    (Add(at("conductors.W9"), {"from": "F9.a"}), "no node 'F9'"),
    (Remove(at("nodes.F9")), "does not exist"),
    (Remove(at("conductors.W1.note")), "does not exist"),
    (Remove(at("runs.bay.from")), "is missing"),
    (Remove(at("deviations.7")), "does not exist"),
    (Remove(Path("deviations", -1)), "does not exist"),
    (Remove(Path()), "path is empty"),
    (Rename(at("nodes.F9"), "X"), "does not exist"),
    (Rename(at("nodes.F1"), "F2"), "is taken"),
    (Rename(at("nodes.F1"), "f2"), "only in capitals"),
    (Rename(at("nodes.F1"), "w1"), "also the name of the node"),
    (Rename(at("nodes.F1"), "1F"), "cannot be a name"),
    (Rename(at("nodes.F1"), ""), "cannot be a name"),
    (Rename(at("job.title"), "x"), "only a thing with an id"),
    (Rename(at("nodes"), "x"), "only a thing with an id"),
]


@pytest.mark.parametrize(("edit", "what"), REFUSED, ids=lambda value: getattr(value, "__name__", None))
def test_an_edit_that_cannot_be_is_refused_and_the_design_stands(edit, what):
    design = DESIGNS["styled"]
    before = to_plain(design)
    with pytest.raises(InputError) as caught:
        apply(design, [Set(at("job.title"), "first"), edit])
    assert what in str(caught.value)
    assert same(to_plain(design), before)


def test_a_value_without_end_is_refused():
    endless: list[object] = []
    endless.append(endless)
    with pytest.raises(DesignError, match="nested too deeply"):
        apply(DESIGNS["styled"], [Set(at("nodes.F1.settings.x"), endless)])


def test_the_nearest_name_is_offered():
    with pytest.raises(DesignError) as caught:
        apply(DESIGNS["styled"], [Remove(at("nodes.strat"))])
    assert caught.value.remedy == "did you mean 'start'?"
    with pytest.raises(UnknownName) as unknown:
        apply(DESIGNS["styled"], [Set(at("nodes.F1.at"), "batery")])
    assert unknown.value.remedy == "did you mean 'battery'?"


def test_a_value_is_copied():
    value = {"from": ["F1.a"], "to": "stud.stud"}
    after = apply(DESIGNS["styled"], [Add(at("conductors.W9"), value)])
    value["from"].append("F2.a")
    assert after.conductors["W9"].start == ("F1.a",)


def test_tables_on_the_way_are_made_but_no_things():
    empty = from_plain({"format": 1})
    edits = [Add(at("nodes.F1"), {}), Set(at("nodes.F1.settings.x"), 1), Set(at("drawing.nodes.F1"), [1, 2])]
    after = apply(empty, edits)
    assert after.nodes["F1"].settings["x"] == 1
    deviation = {"check": "c", "subject": "nodes.F1", "reason": "r", "by": "b"}
    assert len(apply(after, [Add(at("deviations.0"), deviation)]).deviations) == 1
    with pytest.raises(DesignError):
        apply(empty, [Set(at("nodes.F1.settings.x"), 1)])


@pytest.mark.parametrize("seed", range(30))
def test_no_edit_of_any_kind_ends_in_anything_but_a_design_or_a_refusal(seed):
    rng = random.Random(seed)
    design = DESIGNS[rng.choice(sorted(DESIGNS))]
    plain = to_plain(design)
    paths = list(leaves(plain))
    values = ["", "x", "1 m", 0, -1, True, None, 1.5, [], ["F1.a"], {}, {"x": {"y": []}}, [[1]], b"x", {"from": 1}]
    for _ in range(60):
        path = rng.choice(paths)
        if rng.random() < 0.5:
            path = Path(*path[: rng.randint(0, len(path))], rng.choice(["x", 0, 99, "from", "F1", "", "at"]))
        edit = rng.choice([Set, Add])(path, rng.choice(values)) if rng.random() < 0.7 else Remove(path)
        if rng.random() < 0.1:
            edit = Rename(path, rng.choice(["Q", "F1", "", "x" * 99]))
        try:
            after = apply(design, [edit])
        except RigfeedError:
            continue
        assert from_plain(to_plain(after)) == after


@pytest.mark.parametrize("seed", range(30))
def test_several_edits_at_once_are_the_edits_one_by_one(seed):
    rng = random.Random(seed)
    design = one_by_one = DESIGNS["styled"]
    edits = []
    while len(edits) < 5:
        edit = random_edit(one_by_one, rng)
        try:
            one_by_one = apply(one_by_one, [edit])
        except InputError:
            continue
        edits.append(edit)
    assert same(to_plain(apply(design, edits)), to_plain(one_by_one))
