"""Forms: every field of every thing means what it shows, whatever is typed is judged and never raises."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigfeed import Path, apply, assess, example, load
from rigfeed.design.edit import COLLECTIONS
from rigfeed.design.schema import to_plain
from rigfeed.errors import DesignError, InputError
from rigfeed.examples import examples
from rigfeed.parts.shelf import open_shelf
from rigfeed_gui.logic import things
from rigfeed_gui.logic.fields import Typed, choices_for, likes_of

SHELF = open_shelf()
DESIGNS = {name: load(example(name)) for name in examples()}
ASSESSED = {name: assess(design, shelf=SHELF) for name, design in DESIGNS.items()}


def _paths(design):
    return [item.path for section in things.sections(design, None) for item in section.things]


def _thing(name, path, state=None, system="metric"):
    return things.thing(DESIGNS[name], path, SHELF, ASSESSED[name], state, system)


def _field(name, text):
    path = Path.parse(text)
    depth = 1 if path[0] in ("job", "vehicle") else 2
    return _thing(name, Path(*path[:depth])).field(path)


TABLES = ("settings", "facts", "from_facts", "to_facts")  # of which every key is a field or a question
EVERY = [(name, path) for name in DESIGNS for path in _paths(DESIGNS[name])]


@pytest.mark.parametrize("name", DESIGNS)
def test_what_a_field_shows_is_what_the_design_says(name):
    """Typed again as it stands, nothing is wrong and nothing changes."""
    for path in _paths(DESIGNS[name]):
        thing = _thing(name, path)
        assert thing.fields, path
        for field in thing.fields:
            typed = field.typed(field.text)
            if field.text or not field.form.required:
                assert (typed.error, things.filling(field, typed)) == ("", ()), field.form.path


@pytest.mark.parametrize("name", DESIGNS)
def test_everything_that_is_given_has_a_field_or_a_question(name):
    for path in _paths(DESIGNS[name]):
        thing = _thing(name, path)
        shown = {field.form.path for field in thing.fields if field.text}
        shown |= {row.path for row in thing.facts if row.answer is not None}
        held = to_plain(DESIGNS[name])
        for key in path:
            held = held.get(key, {})
        for key, value in held.items():
            here = {path / key / inner for inner in value} if key in TABLES else {path / key}
            assert here <= shown


@settings(max_examples=100)
@given(which=st.sampled_from(EVERY), text=st.text(max_size=40) | st.sampled_from([
    "14 ft", "6 awg", "1/2 in", "2,5 m", ",", "=", "a = b", "F1.a, F1.b", "ring:m8-6 +", "+", "yes", "1e999 m",
    "battery:", "fuse:blade-10", "hf = transmit,", "-5 degC", "sending 10 min, sending", "\0", "9" * 70 + " m",
]))
def test_whatever_is_typed_is_judged_and_what_is_right_can_be_filled_in(which, text):
    name, path = which
    for field in _thing(name, path).fields:
        typed = field.typed(text)
        assert isinstance(typed, Typed)
        if typed.error:
            assert things.filling(field, typed) == ()
            continue
        try:
            after = apply(DESIGNS[name], things.filling(field, typed))
        except InputError:
            continue  # right by itself, wrong beside another: said when it is filled in
        assert things.selectable(after, path) == path


def test_a_table_about_devices_refuses_one_that_is_not_there():
    field = _field("larch", "states.sending.start")
    assert not field.typed("aux = 80 %").error
    assert field.typed("A = 80 %").error == "there is no node 'A'"
    assert field.typed("aux = nonsense").error


@pytest.mark.parametrize(("path", "text", "value"), [
    ("conductors.W2.length", "14 ft", "14 ft"),
    ("conductors.W2.from", "F1.b", "F1.b"),
    ("conductors.W6.from", "vhf.ant, vhf.shield", ["vhf.ant", "vhf.shield"]),
    ("conductors.W1.ends", "ring:m8-2.5, blade:6.3-2.5", ["ring:m8-2.5", "blade:6.3-2.5"]),
    ("conductors.W6.ends", "ring:m8-2.5 + ring:m6-2.5, ring:m8-2.5", [["ring:m8-2.5", "ring:m6-2.5"], "ring:m8-2.5"]),
    ("conductors.W2.route", "bay, sill", ["bay", "sill"]),
    ("conductors.W2.route", "bay,", ["bay"]),
    ("passages.H1.existing", "14 mm, 1/2 in", ["14 mm", "1/2 in"]),
    ("conductors.W2.sleeves", "-, sleeve:lined-6", ["", "sleeve:lined-6"]),
    ("runs.bay.beside", "exhaust = 300 mm, fuel-line = 1 m", {"exhaust": "300 mm", "fuel-line": "1 m"}),
    ("vehicle.battery_sensor", "no", False),
    ("vehicle.battery_sensor", "", None),
    ("nodes.start.settings.rest_voltage", "12.5 V", "12.5 V"),
    ("job.date", "2026-05-31", "2026-05-31"),
])
def test_a_text_becomes_plain_data(path, text, value):
    field = _field("hazel", path)
    typed = field.typed(text)
    assert (typed.error, typed.value) == ("", value)
    after = apply(DESIGNS["hazel"], things.filling(field, typed))
    plain = to_plain(after)
    for key in Path.parse(path):
        plain = plain.get(key) if plain else None
    # a list of one may be written as its one value
    assert plain in (value, value[0] if isinstance(value, list) and len(value) == 1 else value)


@pytest.mark.parametrize(("path", "text", "error", "remedy"), [
    ("conductors.W2.length", "14", "has no unit", "14 m"),
    ("conductors.W2.length", "2,5 m", "decimal comma", "2.5 m"),
    ("conductors.W2.length", "-2 m", "not above 0", "above 0"),
    ("runs.bay.from", "", "is missing", ""),
    ("runs.bay.from", "nowhere", "no point 'nowhere'", "known"),
    ("nodes.F1.part", "fuse:blade-11", "no part fuse:blade-11", "choose"),
    ("nodes.F1.part", "fuze:blade-10", "no part kind", "fuse"),
    ("nodes.F1.settings.holder", "fuse:blade-10", "is not a holder", "holder:"),
    ("conductors.W2.from", "F1.c", "no terminal of F1 'c'", "known"),
    ("conductors.W2.from", "F9.a", "no node 'F9'", "F1"),
    ("conductors.W2.colour", "red", "no colour code", "RD red"),
    ("passages.H1.existing", "14 mm, 12", "2: '12' has no unit", "12 mm"),
    ("runs.bay.beside", "exhaust = near", "exhaust: 'near' is not a number", ""),
    ("vehicle.battery_sensor", "perhaps", "neither true nor false", ""),
    ("job.date", "31.5.2026", "is not a date", "2026-05-31"),
])
def test_what_is_wrong_is_said_while_it_is_typed(path, text, error, remedy):
    typed = _field("hazel", path).typed(text)
    assert error in typed.error
    assert remedy in typed.remedy


def test_an_assumption_stands_in_grey_until_it_is_replaced():
    field = _field("larch", "nodes.stud.settings.resistance")
    assert (field.text, field.assumed) == ("", "2.5 mohm")
    assert "half of a body path" in field.assumed_why
    design = apply(DESIGNS["larch"], things.filling(field, field.typed("1 mohm")))
    thing = things.thing(design, Path("nodes", "stud"), SHELF, assess(design, shelf=SHELF), None, "metric")
    field = thing.field(Path("nodes", "stud", "settings", "resistance"))
    assert (field.text, field.assumed) == ("1 mohm", "")


def test_duty_is_a_list_of_states_and_times():
    design = apply(DESIGNS["larch"], things.adding(DESIGNS["larch"], "duty").edits)
    path = Path("duty", "duty")
    field = things.thing(design, path, SHELF, None, None, "metric").field(path / "steps")
    typed = field.typed("sending 10 min, parked 2 h")
    assert typed.value == [{"state": "sending", "time": "10 min"}, {"state": "parked", "time": "2 h"}]
    design = apply(design, things.filling(field, typed))
    assert design.duty["duty"].steps[1].time.si == 7200
    again = things.thing(design, path, SHELF, None, None, "metric").field(path / "steps")
    assert again.text == "sending 10 min, parked 2 h"
    assert "no state 'sleeping'" in again.typed("sleeping 10 min").error
    assert "is missing" in again.typed("sending").error


# choices


@pytest.mark.parametrize(("path", "text", "expected"), [
    ("nodes.F1.part", "blade 10", "fuse:blade-10"),
    ("nodes.F1.part", "fuse:blade-10", "fuse:blade-10"),
    ("nodes.vhf.part", "vhf 25", "radio:vhf-25"),
    ("nodes.stud.part", "bolt", "body-point"),
    ("nodes.F1.settings.holder", "in-line", "holder:inline-blade"),
    ("conductors.W2.cable", "2.5 thin-wall 125", "cable:thinwall-2.5-125"),
    ("conductors.W2.from", "f1", "F1.b"),
    ("conductors.W2.route", "bay, s", "bay, sill"),
    ("conductors.W2.ends", "ring:m8-2.5, blade", "ring:m8-2.5, blade:6.3-2.5"),
    ("conductors.W2.colour", "red", "RD"),
    ("conductors.W2.origin", "", "vehicle"),
    ("runs.bay.zone", "", "cabin"),
    ("passages.H1.run", "", "sill"),
    ("job.practice", "ro", "road"),
])
def test_what_fits_is_offered_and_each_is_right(path, text, expected):
    field = _field("hazel", path)
    assert field.pick
    found = choices_for(field, text, DESIGNS["hazel"], SHELF)
    assert expected in [choice.value for choice in found]
    assert [choice for choice in found if field.typed(choice.value).error and "ends" not in path] == []


def test_what_begins_with_the_word_stands_first():
    found = choices_for(_field("hazel", "nodes.F1.part"), "blade 10", DESIGNS["hazel"], SHELF)
    assert found[0].value == "fuse:blade-10"


def test_no_more_are_offered_than_asked_for():
    assert len(choices_for(_field("hazel", "nodes.F1.part"), "", DESIGNS["hazel"], SHELF, most=7)) == 7


def test_a_field_without_choices_offers_none():
    field = _field("hazel", "job.title")
    assert not field.pick
    assert list(choices_for(field, "H", DESIGNS["hazel"], SHELF)) == []


# things


def test_everything_of_a_design_is_listed_with_its_findings():
    found = things.sections(DESIGNS["hazel"], ASSESSED["hazel"])
    assert [section.collection for section in found] == ["", *COLLECTIONS]
    counts = {item.path: item.findings for section in found for item in section.things if item.findings}
    subjects = Counter(Path(*finding.subject[:2]) for finding in ASSESSED["hazel"].findings)
    assert counts == subjects
    assert counts[Path("nodes", "F1")] >= 1


@pytest.mark.parametrize(("path", "thing"), [
    ("nodes.F1.settings.holder", "nodes.F1"), ("conductors.W1.from_facts", "conductors.W1"), ("vehicle", "vehicle"),
    ("job.practice", "job"), ("nodes.none", None), ("deviations.0", None), ("states", None), ("", None),
])
def test_a_finding_points_into_a_thing(path, thing):
    found = things.selectable(DESIGNS["hazel"], Path.parse(path))
    assert found == (Path.parse(thing) if thing else None)


def test_questions_are_answered_and_taken_back():
    path = Path("nodes", "stud")
    row = next(row for row in _thing("hazel", path).facts if row.path[-1] == "paint-removed")
    assert (row.answer, row.question.endswith("?")) == (None, True)
    design = apply(DESIGNS["hazel"], things.answering(DESIGNS["hazel"], row, True))
    assert design.nodes["stud"].facts["paint-removed"] is True
    again = next(r for r in things.thing(design, path, SHELF, assess(design, shelf=SHELF), None, "metric").facts
                 if r.path == row.path)
    assert again.answer is True
    assert things.answering(design, again, True) == ()
    assert apply(design, things.answering(design, again, None)) == DESIGNS["hazel"]


def test_the_ends_of_a_conductor_are_asked_about_each_by_itself():
    rows = _thing("hazel", Path("conductors", "W1")).facts
    sides = {row.path[2] for row in rows}
    assert sides >= {"from_facts", "to_facts"}
    assert all(row.question.startswith("W1 at ") for row in rows if row.path[2] != "facts")
    assert len({row.path for row in rows}) == len(rows)


def test_what_was_computed_is_shown_in_the_chosen_state_and_units():
    lines = {line.what: line.value for line in _thing("larch", Path("nodes", "hf"), "sending").computed}
    assert lines["volts across it"].endswith(" V")
    parked = {line.what: line.value for line in _thing("larch", Path("nodes", "hf"), "parked").computed}
    assert parked["volts across it"] != lines["volts across it"]
    metric = {line.what: line.value for line in _thing("larch", Path("conductors", "W2"), "charging").computed}
    us = {line.what: line.value for line in _thing("larch", Path("conductors", "W2"), "charging", "us").computed}
    assert (metric["length along its way"], us["length along its way"]) == ("5.2 m", "17.1 ft")
    assert metric["current"] == us["current"] == "26.8 A"
    none = {line.what for line in _thing("larch", Path("conductors", "W2"), None).computed}
    assert "current" not in none


def test_a_thing_that_is_not_there_is_an_error_of_the_caller():
    with pytest.raises(KeyError):
        _thing("hazel", Path("nodes", "none"))


# adding and taking away


def test_everything_can_be_added_from_nothing_and_is_valid():
    from rigfeed.design.file import parse

    design = parse("format = 1\n")
    with pytest.raises(DesignError, match="two points"):
        things.adding(design, "runs")
    with pytest.raises(DesignError, match="on a run"):
        things.adding(design, "passages")
    order = ("zones", "points", "points", "runs", "passages", "nodes", "nodes", "conductors", "states", "duty")
    for collection in order:
        addition = things.adding(design, collection)
        design = apply(design, addition.edits)
        assert things.selectable(design, addition.path) == addition.path
        assert things.thing(design, addition.path, SHELF, None, None, "metric").fields
    assert list(design.points) == ["point", "point2"]
    assert (design.runs["run"].start, design.runs["run"].end) == ("point", "point2")


def test_a_new_run_leads_to_the_new_point():
    design = apply(DESIGNS["hazel"], things.adding(DESIGNS["hazel"], "points").edits)
    addition = things.adding(design, "runs")
    run = apply(design, addition.edits).runs[addition.path[1]]
    assert (run.start, run.end) == ("roof", "point")


@pytest.mark.parametrize(("collection", "like", "expected"), [
    ("conductors", "", "W7"), ("passages", "", "H2"), ("nodes", "fuse:blade-10", "F3"),
    ("nodes", "breaker:push-10", "F3"),
    ("nodes", "radio:vhf-25", "radio"), ("nodes", "body-point", "bodypoint"), ("nodes", "", "node"),
    ("zones", "", "zone"), ("nodes", "antenna:vhf-quarter", "antenna"),
])
def test_a_new_id_is_the_next_that_people_would_write(collection, like, expected):
    assert things.fresh_id(DESIGNS["hazel"], collection, like) == expected


def test_a_new_id_is_unlike_every_label_whatever_its_capitals():
    design = apply(DESIGNS["hazel"], things.adding(DESIGNS["hazel"], "nodes", "radio:vhf-25").edits)
    assert things.fresh_id(design, "nodes", "radio:vhf-25") == "radio2"
    assert things.fresh_id(design, "conductors") == "W7"
    renamed = apply(design, things.renaming(design, Path("nodes", "radio"), "w7").edits)
    assert things.fresh_id(renamed, "conductors") == "W8"


def test_what_goes_with_a_thing_is_told_before_it_goes():
    edits, also = things.removing(DESIGNS["hazel"], Path("nodes", "vhf"))
    assert set(map(str, also)) == {"conductors.W2", "conductors.W3", "conductors.W5", "conductors.W6"}
    assert "vhf" not in apply(DESIGNS["hazel"], edits).nodes


def test_another_kind_of_part_takes_its_settings_away():
    field = _field("hazel", "nodes.F1.part")
    typed = field.typed("breaker:push-10")
    edits = (*things.filling(field, typed), *things.following(DESIGNS["hazel"], field, typed, SHELF))
    assert apply(DESIGNS["hazel"], edits).nodes["F1"].settings == {}
    same = field.typed("fuse:blade-15")
    assert things.following(DESIGNS["hazel"], field, same, SHELF) == ()


@pytest.mark.parametrize(("path", "text", "first"), [
    ("nodes.F1.part", "fuse:blade-10", "fuse:blade-"), ("nodes.F1.part", "fuse:demo-fuses/blade-10", "fuse:blade-"),
    ("conductors.W2.cable", "cable:thinwall-2.5", "cable:thinwall-"),
])
def test_what_could_stand_in_the_place_of_a_part_begins_with_its_family(path, text, first):
    found = [choice.value for choice in likes_of(_field("hazel", path), text, DESIGNS["hazel"], SHELF)]
    assert found[0].startswith(first)
    assert len(set(found)) == len(found)
    all_ = choices_for(_field("hazel", path), "", DESIGNS["hazel"], SHELF)
    assert {choice.value for choice in all_} <= set(found)


@pytest.mark.parametrize(("path", "text"), [
    ("nodes.F1.at", "battery"), ("conductors.W2.colour", "RD"), ("nodes.F1.part", ""),
    ("conductors.W2.ends", "plug:radio-2pole, ring:m8"),
])
def test_what_could_stand_in_any_other_place_is_everything(path, text):
    field = _field("hazel", path)
    before = "plug:radio-2pole," if path.endswith("ends") else ""
    assert likes_of(field, text, DESIGNS["hazel"], SHELF) == choices_for(field, before, DESIGNS["hazel"], SHELF)
