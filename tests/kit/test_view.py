"""Studies through a view: declared or refused, run once, failing alone, stopped by whoever watches."""

from __future__ import annotations

import pytest
from tests.kit.resolve.bench import assessed, bench_registry, bench_shelf

from rigfeed.errors import Cancelled, OutOfRange
from rigfeed.parts.shelf import Shelf
from rigfeed.plugin import Check, Finding, NotChecked, Path, Study, Threshold, hookimpl
from rigfeed.view import StudyFailed

DROP = Threshold("slack.end", "m", "spare at an end")
NOWHERE = Threshold("nowhere.given", "m", "a figure that no practice has")


class Counted:
    """A study that counts how often it runs."""

    def __init__(self, name: str, run=lambda view: 7, needs: tuple[Study, ...] = ()) -> None:
        self.runs = 0
        self.study = Study(name, self._run, needs)
        self._wanted = run

    def _run(self, view):
        self.runs += 1
        return self._wanted(view)


def raises(error: BaseException):
    def run(view):
        raise error

    return run


def reading(*studies: Study, threshold: Threshold | None = None):
    """A check that reads studies and says so in a finding."""

    def run(view):
        numbers = [view[study] for study in studies]
        if threshold:
            numbers.append(view.threshold(threshold)[0])
        yield Finding(subject=Path("job"), message=f"read {numbers}")

    return run


def shelf_with(*checks: Check) -> Shelf:
    class Made:
        @hookimpl
        def register_checks(self):
            return checks

    registry = bench_registry(made=Made())
    assert registry.troubles == []
    return bench_shelf(registry=registry)


def said(*checks: Check, **options: object) -> dict[str, str]:
    """What each check said, by its name."""
    assessment = assessed("", shelf_with(*checks), only=[check.name for check in checks], **options)
    told = {finding.check: finding.text() for finding in assessment.findings}
    return told | {item.check: f"not checked: {item.why}" for item in assessment.not_checked if "made" in item.check}


def test_a_study_runs_once_for_all_who_need_it():
    deep = Counted("deep")
    left = Counted("left", lambda view: view[deep.study] + 1, (deep.study,))
    right = Counted("right", lambda view: view[deep.study] + 2, (deep.study,))
    checks = [
        Check(f"made.{n}", "made", "error", reading(left.study, right.study), needs=(left.study, right.study))
        for n in "abc"
    ]
    assert set(said(*checks).values()) == {"read [8, 9]"}
    assert (deep.runs, left.runs, right.runs) == (1, 1, 1)


def test_a_study_that_nobody_needs_does_not_run():
    idle = Counted("idle")
    check = Check("made.a", "made", "error", reading(), needs=(idle.study,))
    assert said(check) == {"made.a": "read []"}
    assert idle.runs == 0


def test_a_study_that_was_not_declared_is_refused():
    secret = Counted("secret")
    answer = said(Check("made.a", "made", "error", reading(secret.study)))
    assert "the check itself failed: PluginError: study 'secret' is used but not declared" in answer["made.a"]
    assert secret.runs == 0


def test_a_study_must_declare_what_it_reads_too():
    secret = Counted("secret")
    outer = Counted("outer", lambda view: view[secret.study])
    answer = said(Check("made.a", "made", "error", reading(outer.study), needs=(outer.study,)))
    assert "study 'outer' failed: study 'secret' is used but not declared" in answer["made.a"]


def test_a_threshold_that_was_not_declared_is_refused():
    answer = said(Check("made.a", "made", "error", reading(threshold=DROP)))
    assert "threshold 'slack.end' is used but not declared" in answer["made.a"]


def test_a_declared_threshold_is_the_practices():
    check = Check("made.a", "made", "error", reading(threshold=DROP), thresholds=(DROP,))
    assert said(check) == {"made.a": "read [0.15]"}


def test_without_its_threshold_a_check_does_not_run():
    ran = []
    check = Check("made.a", "made", "error", lambda view: ran.append(1) or (), thresholds=(DROP, NOWHERE))
    answer = said(check)
    assert answer == {
        "made.a": "not checked: practice 'road' gives no 'nowhere.given' (a figure that no practice has)"
    }
    assert not ran


def test_a_failing_study_stops_only_who_needs_it_and_runs_once():
    broken = Counted("broken", raises(OutOfRange("length_m", -1.0, "0 or more")))
    outer = Counted("outer", lambda view: view[broken.study], (broken.study,))
    answer = said(
        Check("made.a", "made", "error", reading(broken.study), needs=(broken.study,)),
        Check("made.b", "made", "error", reading(outer.study), needs=(outer.study,)),
        Check("made.c", "made", "error", reading(outer.study, broken.study), needs=(outer.study, broken.study)),
        Check("made.d", "made", "error", reading()),
    )
    why = "not checked: study 'broken' failed: length_m is -1; allowed: 0 or more"
    assert answer == {"made.a": why, "made.b": why, "made.c": why, "made.d": "read []"}
    assert (broken.runs, outer.runs) == (1, 1)


def test_the_failure_of_a_study_names_a_foreign_error_by_its_class():
    broken = Counted("broken", raises(ZeroDivisionError("division by zero")))
    answer = said(Check("made.a", "made", "error", reading(broken.study), needs=(broken.study,)))
    assert answer["made.a"] == "not checked: study 'broken' failed: ZeroDivisionError: division by zero"


def test_asked_from_outside_a_failed_study_raises_with_its_cause():
    broken = Counted("broken", raises(ZeroDivisionError("division by zero")))
    assessment = assessed("")
    for _ in range(2):
        with pytest.raises(StudyFailed) as caught:
            assessment[broken.study]
        assert caught.value.study == "broken"
        assert isinstance(caught.value.__cause__, ZeroDivisionError)
    assert assessment.get(broken.study) is None
    assert broken.runs == 1


def test_asked_from_outside_a_study_is_computed_then():
    late = Counted("late")
    assessment = assessed("")
    assert (assessment[late.study], assessment.get(late.study), late.runs) == (7, 7, 1)


def test_whoever_watches_can_stop_it():
    told = []

    def tell(done: float, text: str) -> None:
        told.append((done, text))
        raise Cancelled("stopped")

    def slow(view):
        view.tell(0.5, "half")
        pytest.fail("went on")

    study = Study("slow", slow)
    check = Check("made.a", "made", "error", reading(study), needs=(study,))
    with pytest.raises(Cancelled):
        said(check, tell=tell)
    assert told == [(0.5, "half")]


def test_a_check_can_be_stopped_too():
    def run(view):
        view.tell(0.1, "one")
        yield NotChecked("made.a", "never")

    with pytest.raises(Cancelled):
        said(Check("made.a", "made", "error", run), tell=lambda done, text: raises(Cancelled("stopped"))(None))


def test_the_shipped_studies_stop_when_told():
    def tell(done: float, text: str) -> None:
        raise Cancelled("stopped")

    text = '[nodes]\nstart = { part = "cell:stiff" }\nset = { part = "box:amps" }'
    with pytest.raises(Cancelled):
        assessed(text, only=["volts-below-minimum"], tell=tell)


def test_progress_of_the_operating_study_names_each_state_once():
    told: list[tuple[float, str]] = []
    assessed("", only=["volts-below-minimum"], tell=lambda done, text: told.append((done, text)))
    shares = [done for done, text in told if text.startswith("volts and amps")]
    assert shares == sorted(shares)
    assert len(shares) == 4
    assert 0.0 <= min(shares) <= max(shares) <= 1.0


def test_only_runs_what_is_named():
    wanted, other = Counted("wanted"), Counted("other")
    checks = [
        Check("made.a", "made", "error", reading(wanted.study), needs=(wanted.study,)),
        Check("made.b", "made", "error", reading(other.study), needs=(other.study,)),
    ]
    assessment = assessed("", shelf_with(*checks), only=["made.a"])
    assert [finding.check for finding in assessment.findings] == ["made.a"]
    assert assessment.checks == ("made.a",)
    assert (wanted.runs, other.runs) == (1, 0)
    assert assessed("", shelf_with(*checks), only=[]).checks == ()
