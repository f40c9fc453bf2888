"""The session: Hazel built from nothing, broken, mended, undone, saved and opened again, without a window."""

from __future__ import annotations

import time
from pathlib import Path as FilePath

import pytest

from rigfeed import Path, Remove, Set, example
from rigfeed.errors import DesignError, FileProblem
from rigfeed_gui.logic import findings, starting, things
from rigfeed_gui.logic.recovery import Recovery
from rigfeed_gui.logic.session import Session
from rigfeed_gui.logic.settings import Settings, load_settings

PATIENCE_S = 60.0
FUSE = Path("nodes", "F1")


@pytest.fixture
def make(tmp_path):
    made = []

    def session(settings=None):
        recovery = Recovery(tmp_path / "kept")
        made.append(Session(settings or Settings(), recovery, settings_path=tmp_path / "window.json"))
        return made[-1]

    yield session
    for one in made:
        one.close()


@pytest.fixture
def session(make):
    return make()


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "hazel.toml"
    path.write_bytes(example("hazel").read_bytes())
    return path


def _settle(session):
    """Turn the loop until the threads rest."""
    until = time.monotonic() + PATIENCE_S
    while session.busy:
        assert time.monotonic() < until
        session.poll()
        time.sleep(0.002)
    session.poll()


def _told(session):
    """What the listeners are told, in order."""
    told = []
    for event in ("work", "design", "assessed", "drawn", "failed", "selection", "settings", "saved"):
        session.listen(event, lambda event=event: told.append(event))
    return told


def _field(session, text):
    path = Path.parse(text)
    thing = things.thing(
        session.work.design, Path(*path[:2]), session.work.shelf, session.assessment, session.state, "metric"
    )
    return thing.field(path)


def _fill(session, path, text):
    field = _field(session, path)
    return session.fill(field, field.typed(text))


def _errors(session):
    return [f.check for f in session.assessment.findings if f.severity == "error"]


def test_a_design_is_shown_before_it_is_assessed(session):
    """Beside the thread that computes, the first layout of the workbench would stand still again and again; and what
    is still to come of the design before is not taken for its own."""
    session.begin(example("hazel").read_text(encoding="utf-8"), kept=True)
    session.poll()
    time.sleep(1.0)
    session.begin(example("larch").read_text(encoding="utf-8"), kept=True)
    for _ in range(50):
        session.poll(showing=True)
        assert session.assessment is None
        assert session.busy
        assert session.stale
    _settle(session)
    assert session.assessment.installation.title == session.work.design.job.title


def test_from_seven_answers_to_a_file_that_is_the_same_again(session, tmp_path):
    answers = {"title": "Hazel", "load": "radio:vhf-25", "battery": "battery:flooded-45", "to_fuse": "0.15 m",
               "bay": "0.9 m", "cabin": "2.4 m", "back": "0.4 m"}
    session.begin(starting.begun(answers, "road", _shelf()))
    _settle(session)
    assert session.work.dirty
    before = _errors(session)
    session.save(tmp_path / "hazel.toml")
    saved = (tmp_path / "hazel.toml").read_bytes()
    assert not session.now.dirty
    # break it
    assert _fill(session, "nodes.F1.part", "fuse:c-20") is None
    assert session.stale
    _settle(session)
    assert not session.stale
    assert "fuse-above-equipment-limit" in _errors(session)
    # mend it
    session.choose_finding(next(f for f in session.assessment.findings if f.check == "fuse-above-equipment-limit"))
    assert session.selection == FUSE
    assert session.now.fixable
    assert [fix.edits[0].value for fix in session.fixes] == ["fuse:c-10", "fuse:c58-10"]
    session.apply_fix(session.fixes[0])
    assert session.fixes == ()  # not known any more until it is assessed
    _settle(session)
    assert _errors(session) == before
    assert session.finding is None
    # undo all, save, read
    while session.now.undo:
        session.undo()
    session.save()
    assert (tmp_path / "hazel.toml").read_bytes() == saved
    session.leave()
    session.open(tmp_path / "hazel.toml")
    _settle(session)
    assert _errors(session) == before


def _shelf():
    from rigfeed.parts.shelf import open_shelf

    return open_shelf()


def test_everybody_is_told_what_has_changed(session, file):
    told = _told(session)
    session.open(file)
    assert (told.count("work"), told.count("settings")) == (1, 1)
    _settle(session)
    assert told[-3:] in (["drawn", "selection", "drawn"], ["assessed", "selection", "drawn"])
    told.clear()
    session.edit([Set(FUSE / "title", "main fuse")], "title of F1")
    assert told == ["design", "selection"]
    _settle(session)
    assert "assessed" in told
    assert told[-1] == "drawn"
    told.clear()
    session.edit([Set(FUSE / "title", "main fuse")], "the same again")
    session.edit([], "nothing")
    assert told == []


def test_a_design_that_cannot_be_resolved_keeps_what_was_known(session, file):
    session.open(file)
    _settle(session)
    known, scene = session.assessment, session.scene
    session.edit([Set(FUSE / "part", "fuse:none")], "a part that is not there")
    _settle(session)
    assert "there is no fuse 'none'" in str(session.failure)
    assert not session.failure_is_ours
    assert session.stale
    assert (session.assessment, session.scene) == (known, scene)
    session.undo()
    _settle(session)
    assert session.failure is None
    assert not session.stale


def test_what_is_filled_in_wrongly_comes_back_and_changes_nothing(session, file):
    session.open(file)
    _settle(session)
    version = session.work.version
    assert "has no unit" in _fill(session, "conductors.W1.length", "14").error
    # right by itself, wrong beside the other end
    wrong = _fill(session, "conductors.W1.to", "start.pos")
    assert "ends where it starts" in wrong.error
    assert session.work.version == version
    assert _fill(session, "conductors.W1.length", "0.15 m") is None
    assert session.work.version == version


def test_another_kind_of_part_is_one_edit_with_what_must_go(session, file):
    session.open(file)
    assert session.work.design.nodes["F1"].settings
    assert _fill(session, "nodes.F1.part", "breaker:push-10") is None
    assert not session.work.design.nodes["F1"].settings
    _settle(session)
    assert session.failure is None
    session.undo()
    assert not session.now.undo


def test_answers_are_edits_too(session, file):
    session.open(file)
    _settle(session)
    thing = things.thing(session.work.design, Path("nodes", "stud"), session.work.shelf, session.assessment, None, "us")
    row = next(row for row in thing.facts if row.path[-1] == "paint-removed")
    session.answer(row, True)
    assert session.work.undoes == "the answer on stud"
    assert session.work.design.nodes["stud"].facts["paint-removed"] is True
    session.undo()
    assert not session.work.design.nodes["stud"].facts


def test_selection_lives_as_long_as_its_thing(session, file):
    session.open(file)
    session.select(FUSE / "settings" / "holder")
    assert session.selection == FUSE
    assert session.now.removable
    assert not session.now.conductor
    session.edit([Remove(FUSE)], "removing F1")
    assert session.selection is None
    session.undo()
    session.select(Path("conductors", "W1"))
    assert session.now.conductor
    addition = things.renaming(session.work.design, Path("conductors", "W1"), "W99")
    session.edit(addition.edits, "renaming W1", select=addition.path)
    assert session.selection == Path("conductors", "W99")
    session.select(Path("job"))
    assert not session.now.removable
    session.select(None)
    assert not session.now.selected


def test_findings_are_walked_around_and_followed_through_edits(session, file):
    session.open(file)
    _settle(session)
    found = session.assessment.findings
    seen = []
    for _ in range(len(found) + 1):
        session.walk_findings(1)
        seen.append(session.finding)
    assert seen == [*found, found[0]]
    session.walk_findings(-1)
    assert session.finding == found[-1]
    session.edit([Set(Path("job", "note"), "x")], "a note")
    _settle(session)
    assert session.finding is not None
    assert session.finding.subject == found[-1].subject
    session.select(Path("points", "roof"))
    assert session.finding is None


def test_a_state_is_chosen_and_survives_what_it_can(session, tmp_path):
    path = tmp_path / "larch.toml"
    path.write_bytes(example("larch").read_bytes())
    session.open(path)
    _settle(session)
    assert session.state == session.states[0][0]
    assert session.scene is not None
    session.show_state("driving")
    _settle(session)
    assert session.state == "driving"
    session.edit([Remove(Path("states", "driving"))], "removing driving")
    _settle(session)
    assert session.state == session.states[0][0] != "driving"
    assert session.failure is None
    session.show_state(None)
    session.edit([Set(Path("job", "note"), "x")], "a note")
    _settle(session)
    assert session.state is None
    assert session.failure is None


def test_taking_the_last_state_away_leaves_those_of_the_practice(session, tmp_path):
    path = tmp_path / "larch.toml"
    path.write_bytes(example("larch").read_bytes())
    session.open(path)
    _settle(session)
    session.show_state("parked")
    _settle(session)
    session.edit([Remove(Path("states"))], "removing all states")
    _settle(session)
    assert session.failure is None
    assert session.state in dict(session.states)
    assert session.scene is not None
    session.undo()
    _settle(session)
    assert session.failure is None
    assert session.state in dict(session.states)


def test_drawings_and_units_are_changed_without_a_new_assessment(session, file):
    session.open(file)
    _settle(session)
    assert dict(session.drawings).keys() >= {"circuit", "routes"}
    known = session.assessment
    session.show_drawing("routes")
    assert session.scene is None
    _settle(session)
    assert session.scene.name == "routes"
    told = _told(session)
    session.set_units("us")
    _settle(session)
    assert {"settings", "assessed", "drawn"} <= set(told)
    assert session.assessment is known
    assert load_settings(session._settings_path).units == "us"


def test_files_are_remembered_and_saved_under_another_name(session, file, tmp_path):
    session.open(file)
    session.edit([Set(FUSE / "title", "main fuse")], "title of F1")
    told = _told(session)
    session.save(tmp_path / "other.toml")
    assert "saved" in told
    assert [FilePath(name).name for name in session.settings.recent] == ["other.toml", "hazel.toml"]
    assert load_settings(session._settings_path).recent == session.settings.recent
    (tmp_path / "broken.toml").write_text("[")
    with pytest.raises(DesignError):
        session.open(tmp_path / "broken.toml")
    assert session.work.path == tmp_path / "other.toml"


def test_what_another_program_wrote_is_read_on_request(session, file):
    session.open(file)
    session.edit([Set(FUSE / "title", "main fuse")], "title of F1")
    file.write_text(file.read_text().replace("small hatchback", "large hatchback"))
    with pytest.raises(FileProblem):
        session.save()
    session.read_again()
    assert not session.now.dirty
    assert "large" in session.work.title
    session.undo()
    assert session.work.design.nodes["F1"].title == "main fuse"


def test_a_crash_is_restored_by_the_next_session(make, file):
    first = make()
    first.open(file)
    first.edit([Set(FUSE / "title", "main fuse")], "title of F1")
    first.close()  # without saving: what is kept stays
    second = make()
    (lost,) = second.recovery.lost()
    second.restore(lost)
    assert second.work.design.nodes["F1"].title == "main fuse"
    assert second.work.dirty
    second.save()
    assert second.recovery.lost() == ()
    assert "main fuse" in file.read_text()
    third = make()
    assert third.recovery.lost() == ()


def test_what_is_given_up_is_not_offered_again(make, file):
    first = make()
    first.open(file)
    first.edit([Set(FUSE / "title", "main fuse")], "title of F1")
    first.leave()
    first.close()
    assert make().recovery.lost() == ()


def test_without_a_design_nothing_is_there(session):
    assert (session.stale, session.states, session.drawings, session.fixes) == (False, (), (), ())
    assert not session.now.open
    session.walk_findings(1)
    session.poll()
    with pytest.raises(ValueError, match="no design"):
        session.undo()


def test_settings_that_cannot_be_stored_hold_until_the_end(tmp_path):
    (tmp_path / "file").touch()
    session = Session(Settings(), Recovery(tmp_path / "kept"), settings_path=tmp_path / "file" / "window.json")
    session.change_settings(palette="dark")
    assert session.settings.palette == "dark"
    session.close()


def test_accepting_from_the_list(session, file):
    session.open(file)
    _settle(session)
    finding = session.assessment.findings[0]
    edits = findings.accepting(session.work.design, finding, "measured", "A. Fitter", "2026-05-31")
    session.edit(edits, "accepting it")
    _settle(session)
    assert session.assessment.findings[0].accepted_by == "A. Fitter: measured"
