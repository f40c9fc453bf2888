"""The thread beside the window: newest first, nobody waits, faults are told."""

from __future__ import annotations

import sys
import threading
import time

import pytest

from rigfeed import Assessment, Path, Set, apply, example, load
from rigfeed.errors import Cancelled, RigfeedError
from rigfeed.papers.paper import Wanted
from rigfeed.parts.shelf import open_shelf
from rigfeed_gui.logic import assessor as module
from rigfeed_gui.logic.assessor import Assessed, Assessor, Drawn, Failed, Job, Look

SHELF = open_shelf()
LOOK = Look("routes", Wanted())
SCENE = object()  # nobody looks into it here
PATIENCE_S = 60.0


@pytest.fixture
def assessor():
    assessor = Assessor()
    yield assessor
    assessor.close()


def _all(assessor):
    """Everything that is delivered until the assessor rests."""
    found, until = [], time.monotonic() + PATIENCE_S
    while assessor.busy:
        assert time.monotonic() < until
        found += assessor.poll()
        time.sleep(0.002)
    return [*found, *assessor.poll()]


def test_findings_come_first_then_the_drawing(assessor):
    assessor.ask(7, load(example("hazel")), SHELF, LOOK)
    assessed, drawn = _all(assessor)
    assert isinstance(assessed, Assessed)
    assert isinstance(drawn, Drawn)
    assert (assessed.version, drawn.version, drawn.look) == (7, 7, LOOK)
    assert assessed.assessment.findings
    assert drawn.scene.name == "routes"
    assert assessed.took_s > 0


def test_no_drawing_is_begun_while_the_findings_are_being_shown(assessor, monkeypatch):
    drawn = []
    monkeypatch.setattr(Assessment, "drawing", lambda assessment, name, wanted: drawn.append(name) or SCENE)
    assessor.ask(1, load(example("hazel")), SHELF, LOOK)
    until = time.monotonic() + PATIENCE_S
    while not (found := assessor.poll(showing=True)):
        assert time.monotonic() < until
        time.sleep(0.002)
    assert [type(delivery) for delivery in found] == [Assessed]
    for _ in range(10):
        assert assessor.poll(showing=True) == ()
        time.sleep(0.002)
    assert (drawn, assessor.busy) == ([], True)
    assert [delivery.scene for delivery in _all(assessor)] == [SCENE]
    assert drawn == ["routes"]


def test_only_the_newest_design_is_delivered(assessor):
    design = load(example("hazel"))
    for version in range(20):
        assessor.ask(version, design, SHELF, LOOK)
        time.sleep(0.001 * version)
    found = _all(assessor)
    assert [type(delivery) for delivery in found[-2:]] == [Assessed, Drawn]
    assert found[-1].version == found[-2].version == 19
    # what was asked for before came not at all, or before the newest was asked for
    assert all(delivery.version == 19 for delivery in found)


def test_what_is_overtaken_stops_at_its_next_step(assessor, monkeypatch):
    began, told = threading.Event(), []

    def slow(design, *, shelf, tell):
        if design is first:
            began.set()
            for step in range(10_000):
                tell(step / 10_000, "slowly")
                told.append(step)
                time.sleep(0.001)
        return real(design, shelf=shelf, tell=tell)

    real = module.assess
    monkeypatch.setattr(module, "assess", slow)
    first, second = load(example("hazel")), load(example("alder"))
    assessor.ask(1, first, SHELF, None)
    assert began.wait(PATIENCE_S)
    time.sleep(0.02)
    assert assessor.progress[1] == "slowly"
    assessor.ask(2, second, SHELF, None)
    (assessed,) = _all(assessor)
    assert assessed.version == 2
    assert len(told) < 1000


def test_a_design_that_cannot_be_resolved_is_told_with_its_place(assessor):
    design = apply(load(example("hazel")), [Set(Path("nodes", "F1", "part"), "fuse:none")])
    assessor.ask(3, design, SHELF, LOOK)
    (failed,) = _all(assessor)
    assert isinstance(failed, Failed)
    assert (failed.version, failed.ours, failed.look) == (3, False, None)
    assert failed.error.place.path == Path("nodes", "F1", "part")


def test_a_fault_of_the_program_is_told_as_such_and_the_thread_lives_on(assessor, monkeypatch):
    def broken(design, **kwargs):
        raise ZeroDivisionError("a fault")

    with monkeypatch.context() as patch:
        patch.setattr(module, "assess", broken)
        assessor.ask(1, load(example("hazel")), SHELF, None)
        (failed,) = _all(assessor)
    assert failed.ours
    assert "ZeroDivisionError: a fault" in str(failed.error)
    assessor.ask(2, load(example("hazel")), SHELF, None)
    assert [type(delivery) for delivery in _all(assessor)] == [Assessed]


def test_another_look_needs_no_new_assessment(assessor):
    assessor.ask(1, load(example("hazel")), SHELF, LOOK)
    _all(assessor)
    other = Look("routes", Wanted(page="A3", system="us"))
    assessor.look(other)
    (drawn,) = _all(assessor)
    assert (drawn.version, drawn.look) == (1, other)


def test_a_drawing_that_does_not_exist_leaves_the_findings(assessor):
    look = Look("nonsense", Wanted())
    assessor.ask(1, load(example("hazel")), SHELF, look)
    assessed, failed = _all(assessor)
    assert isinstance(assessed, Assessed)
    assert (failed.look, failed.ours) == (look, False)


def test_turns_are_as_usual_when_nothing_is_computed(assessor):
    usual_s = sys.getswitchinterval()
    assessor.ask(1, load(example("hazel")), SHELF, None)
    _all(assessor)
    time.sleep(0.02)
    assert sys.getswitchinterval() == usual_s


def test_closing_gives_up_what_is_under_way():
    assessor = Assessor()
    assessor.ask(1, load(example("larch")), SHELF, LOOK)
    assessor.close()
    assert not any(thread.name == "assessor" and thread.is_alive() for thread in threading.enumerate())


# long work


def _ended(job):
    until = time.monotonic() + PATIENCE_S
    while not job.poll():
        assert time.monotonic() < until
        time.sleep(0.002)


def test_a_job_gives_its_result_and_tells_its_progress():
    go = threading.Event()

    def run(tell):
        tell(0.5, "half")
        assert go.wait(PATIENCE_S)
        return 42

    job = Job("a job", run)
    until = time.monotonic() + PATIENCE_S
    while job.progress[0] < 0.5 and time.monotonic() < until:
        time.sleep(0.002)
    assert job.progress == (0.5, "half")
    assert not job.poll()
    go.set()
    _ended(job)
    assert job.result() == 42


def test_a_job_stops_when_it_is_asked_to():
    def run(tell):
        while True:
            tell(0.1, "on and on")
            time.sleep(0.001)

    job = Job("a job", run)
    job.cancel()
    _ended(job)
    with pytest.raises(Cancelled):
        job.result()


def test_a_job_that_fails_raises_where_its_result_is_asked_for():
    def run(tell):
        raise RigfeedError("no")

    job = Job("a job", run)
    _ended(job)
    with pytest.raises(RigfeedError, match="no"):
        job.result()
