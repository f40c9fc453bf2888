"""The survey sheet: every open question once, where one stands to answer it."""

from __future__ import annotations

import re
from itertools import groupby

from rigfeed.checks.facts import SUBJECTS, open_questions
from rigfeed.examples import examples
from rigfeed.papers.places import walk
from rigfeed.papers.surveysheet import survey_lines


def every_open_question(assessment):
    checks = [assessment._registry.checks[name] for name in assessment.checks]
    return open_questions(assessment[SUBJECTS], checks)


def test_every_open_question_is_on_it_once(assessed):
    for name in examples():
        assessment = assessed(name)
        lines = [line for line in survey_lines(assessment) if line.assumed is None]
        found = [(line.question, str(subject.path)) for line in lines for subject in line.subjects]
        assert len(found) == len(set(found))
        assert set(found) == {(q.fact.question, str(q.subject.path)) for q in every_open_question(assessment)}
        waiting = {check for line in lines for check in line.checks}
        assert waiting == {question.check for question in every_open_question(assessment)}


def test_one_walk_the_vehicle_first_and_no_place_twice(assessed, rows):
    for name in examples():
        assessment = assessed(name)
        places = [place for place, _ in groupby(row["where"] for row in rows(assessment.paper("survey-sheet")))]
        assert places[0] == "vehicle"
        assert len(places) == len(set(places))
        points = [place for place in places[1:] if " to " not in str(place)]
        order = walk(assessment.installation)
        assert points == [point for point in order if point in points]
        # a run is looked at on the way to the farther of its points
        assert places.index("battery to firewall") + 1 == places.index("firewall") if name == "hazel" else True


def test_a_question_of_two_checks_is_asked_once_and_both_wait(changed, rows):
    bare = changed(('sleeves = ["sleeve:lined-6", ""], ', ""))
    found = rows(bare.paper("survey-sheet"))
    sleeves = [row for row in found if "under a sleeve with adhesive" in str(row["question"])]
    assert {row["checks"] for row in sleeves} == {"joint-unsealed, sleeve-mismatch"}
    assert all((row["yes"], row["no"]) == (None, None) for row in found)
    labels = next(row for row in found if row["question"] == "Does the end bear its label?")
    assert (labels["where"], labels["subjects"]) == ("battery", "W1 at start.pos; W1 at F1.a; W2 at F1.b")


def test_an_answered_question_is_gone(changed, assessed):
    facts = "facts = { torques-recorded = true, labelled = true }  # the second is none of the vehicle's\n"
    answered = changed(("battery_sensor = true", f"{facts}battery_sensor = true"))
    before, after = (
        {line.question for line in survey_lines(assessment) if line.where == "vehicle"}
        for assessment in (assessed("hazel"), answered)
    )
    assert before - after == {"Is a torque given, and noted as done, for every stud and lug?"}


def test_what_has_no_place_comes_last_and_is_not_lost(changed, rows):
    lost = ('vhf = { part = "radio:vhf-25", at = "seat" }', 'vhf = { part = "radio:vhf-25" }')
    table = changed(lost).paper("survey-sheet")
    places = [row["where"] for row in rows(table)]
    assert places[-1] == "place not given"
    assert "vhf (VHF set 25 W)" in {row["subjects"] for row in rows(table) if row["where"] == "place not given"}


def test_the_note_counts(assessed):
    assessment = assessed("larch")
    lines = survey_lines(assessment)
    things, checks = map(int, re.findall(r"\d+", assessment.paper("survey-sheet").notes[0]))
    assert things == sum(len(line.subjects) for line in lines if line.assumed is None)
    assert checks == len({check for line in lines for check in line.checks})


def test_what_is_assumed_and_can_be_measured_is_asked_for_where_it_is(changed, assessed, rows):
    sheet = rows(assessed("hazel").paper("survey-sheet"))
    found = {row["subjects"]: row for row in sheet if "______" in row["question"]}
    assert {subjects: (row["where"], row["checks"]) for subjects, row in found.items()} == {
        "start (flooded battery 45 Ah)": ("battery", "assumed: 12 mohm"),
        "box (cabin fuse box)": ("firewall", "assumed: 50 mohm"),
        "stud (body point)": ("seat", "assumed: 2.5 mohm"),  # the bolt of the strap is the other end of the same way
    }
    measured = changed(('settings = { rest_voltage = "12.3 V" }',
                        'settings = { rest_voltage = "12.3 V", resistance = "11 mohm", resistance_at = "15 C" }'))
    left = {row["subjects"] for row in rows(measured.paper("survey-sheet")) if "______" in row["question"]}
    assert left == found.keys() - {"start (flooded battery 45 Ah)"}
