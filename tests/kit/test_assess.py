"""The one door: what is said of designs that are complete, incomplete or empty, and by checks that misbehave."""

from __future__ import annotations

import json
import re
import tomllib

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.kit.resolve.bench import assessed, bench_registry, bench_shelf

import rigfeed
from rigfeed.assess import assess
from rigfeed.design.schema import from_plain, to_plain
from rigfeed.errors import PracticeError, UnknownName
from rigfeed.json_report import assessment_json
from rigfeed.keyed import Keyed
from rigfeed.plugin import Check, Finding, Measure, NotChecked, Path, Threshold, hookimpl
from rigfeed.practice import Practice, Setting
from rigfeed.studies.operating import OPERATING

KEYED = "all-keyed-engine-off"
ONE_SET = """
[points.front]
[nodes]
start = { part = "cell:stiff", at = "front", settings = { volts = "12 V" } }
F1 = { part = "link:ten", at = "front" }
set = { part = "box:amps", at = "front" }
[conductors]
W1 = { cable = "wire:one", from = "start.pos", to = "F1.a", length = "0.1 m", ends = ["tag:five", "tag:five"] }
W2 = { cable = "wire:one", from = "F1.b", to = "set.pos", length = "2 m", ends = ["tag:five", "tag:five"] }
W3 = { cable = "wire:one", from = "set.neg", to = "start.neg", length = "2 m", ends = ["tag:five", "tag:five"] }
"""


def whole(assessment: rigfeed.Assessment) -> str:
    """Everything that a face can show of an assessment."""
    for paper in assessment.papers:
        assert assessment.paper(paper)
    return json.dumps(assessment_json(assessment), allow_nan=False)


def not_checked(assessment: rigfeed.Assessment) -> dict[str, str]:
    return {str(item.subject): item.why for item in assessment.not_checked}


# incomplete designs

INCOMPLETE = {
    "empty": ("", {}),
    "no source": ('[nodes.alone]\npart = "box:amps"', {"nodes.alone": "nothing feeds"}),
    "node without part": ("[nodes.later]\n", {"nodes.later": "no part is chosen yet"}),
    "no cable": (
        '[nodes]\na = { part = "joint" }\nb = { part = "joint" }\n'
        '[conductors.W9]\nfrom = "a.x"\nto = "b.x"\nlength = "1 m"',
        {"conductors.W9": "no cable is chosen yet"},
    ),
    "no length": (
        '[nodes]\na = { part = "joint" }\nb = { part = "joint" }\n'
        '[conductors.W9]\ncable = "wire:one"\nfrom = "a.x"\nto = "b.x"',
        {"conductors.W9": "has neither a length nor a route"},
    ),
    "one end": (
        '[nodes.a]\npart = "joint"\n[conductors.W9]\ncable = "wire:one"\nfrom = "a.x"\nlength = "1 m"',
        {"conductors.W9": "is connected at one end only"},
    ),
    "no ends": ('[conductors.W9]\ncable = "wire:one"\nlength = "1 m"', {"conductors.W9": "is not connected"}),
    "to a node without part": (
        '[nodes]\na = { part = "joint" }\nb = {}\n'
        '[conductors.W9]\ncable = "wire:one"\nfrom = "a.x"\nto = "b.x"\nlength = "1 m"',
        {"nodes.b": "no part is chosen yet", "conductors.W9": "is left out: b has no usable part yet"},
    ),
    "nothing electric": ('[nodes.o]\npart = "ornament"', {}),
    "a foreign part kind": ('[nodes.o]\npart = "telescope:long"', {"nodes.o.part": "no plugin here adds the part k"}),
    "a lone wire": (
        '[nodes]\na = { part = "joint" }\nb = { part = "joint" }\n'
        '[conductors.W9]\ncable = "wire:one"\nfrom = "a.x"\nto = "b.x"\nlength = "1 m"',
        {},
    ),
    "a wire between two terminals of one joint": (
        '[nodes.a]\npart = "joint"\n'
        '[conductors.W9]\ncable = "wire:one"\nfrom = "a.x"\nto = "a.y"\nlength = "1 m"\n'
        'ends = ["tag:none", "tag:none"]',
        {},
    ),
    "a wire that shorts a battery": (
        '[nodes.a]\npart = "cell:stiff"\n'
        '[conductors.W9]\ncable = "wire:one"\nfrom = "a.pos"\nto = "a.neg"\nlength = "1 m"',
        {},
    ),
}


@pytest.mark.parametrize("case", INCOMPLETE.values(), ids=INCOMPLETE)
@pytest.mark.parametrize("beside", ["", ONE_SET], ids=["alone", "beside a whole set"])
def test_what_is_incomplete_is_said_and_the_rest_is_assessed(case, beside):
    text, expected = case
    assessment = assessed(merged(beside, text))
    whole(assessment)
    said = not_checked(assessment)
    for path, why in expected.items():
        assert why in said[path]
    if beside:
        # 5 A through 10 mohm each of battery and fuse, 41 mohm of wire and 30 mohm of joints
        assert assessment[OPERATING].across(KEYED, "set") == pytest.approx(12 - 5 * 0.091)


def merged(first: str, second: str) -> str:
    """The TOML of two designs in one."""
    one, other = tomllib.loads(first), tomllib.loads(second)
    for key, table in other.items():
        one[key] = {**one.get(key, {}), **table}
    return tomlkit.dumps(one)


def test_an_empty_design_is_assessed_by_every_check():
    assessment = assessed("")
    assert assessment.findings == ()
    assert not [item for item in assessment.not_checked if "failed" in item.why]
    assert assessment[OPERATING].states == tuple(assessment.installation.states)


def test_an_island_of_its_own_is_solved_of_its_own():
    renamed = {"start": "aux", "F1": "F2", "set": "lamp", "front": "rear", "W1": "X1", "W2": "X2", "W3": "X3"}
    far = re.sub(rf"\b({'|'.join(renamed)})\b", lambda match: renamed[match[0]], ONE_SET)
    operating = assessed(merged(ONE_SET, far))[OPERATING]
    assert operating.across(KEYED, "lamp") == pytest.approx(12 - 5 * 0.091)
    assert operating.volts(KEYED, "aux.neg") == operating.volts(KEYED, "start.neg") == 0.0
    assert operating.between(KEYED, "aux.pos", "start.neg") is None


def test_without_any_state_nothing_is_computed_and_that_is_said():
    assessment = assessed(ONE_SET, practice=practised())
    assert "gives a state: nothing is computed" in not_checked(assessment)["states"]
    whole(assessment)


# checks that misbehave


def shelf_with(*checks: Check):
    class Made:
        @hookimpl
        def register_checks(self):
            return checks

    return bench_shelf(registry=bench_registry(made=Made()))


def finding(excess: float = 0.0, subject: str = "nodes.set", **more: object) -> Finding:
    return Finding(subject=Path.parse(subject), message="it is so", excess=excess, **more)


def made(*said: object, name: str = "made.a", severity: str = "warning", **more: object) -> Check:
    return Check(name, "made", severity, lambda view: iter(said), **more)


def test_what_a_check_had_said_before_it_failed_stands():
    def run(view):
        yield finding()
        raise RuntimeError("no luck")

    assessment = assessed("", shelf_with(Check("made.a", "made", "error", run)), only=["made.a"])
    assert assessment.count("error") == 1
    assert [item.why for item in assessment.not_checked] == ["the check itself failed: RuntimeError: no luck"]


@pytest.mark.parametrize(
    ("said", "says"),
    [
        ("just a text", "is neither a Finding nor NotChecked"),
        (finding(severity="fatal"), "has the severity 'fatal'"),
        (Finding(subject=Path("job"), message="{nothing} is known"), "KeyError: 'nothing'"),
        (Finding(subject=Path("job"), message="fine", remedy="{0}"), "failed: IndexError"),
    ],
)
def test_what_no_face_could_show_is_told_of_the_check(said, says):
    assessment = assessed("", shelf_with(made(said)), only=["made.a"])
    assert assessment.findings == ()
    assert says in assessment.not_checked[0].why
    whole(assessment)


def test_a_check_that_is_no_generator_and_one_that_returns_nothing():
    checks = [
        Check("made.a", "made", "error", lambda view: [NotChecked("made.a", "cannot see it")]),
        Check("made.b", "made", "error", lambda view: None),
    ]
    assessment = assessed("", shelf_with(*checks), only=["made.a", "made.b"])
    why = {item.check: item.why for item in assessment.not_checked}
    assert why["made.a"] == "cannot see it"
    assert "the check itself failed: TypeError" in why["made.b"]


# what becomes of findings


def test_the_worst_state_stands_and_the_others_are_named():
    said = [finding(excess, state=state) for excess, state in ((1.0, "b"), (3.0, "c"), (2.0, "a"), (0.5, "d"))]
    (only,) = assessed("", shelf_with(made(*said))).findings
    assert (only.state, only.excess, only.also_states) == ("c", 3.0, ("a", "b", "d"))


def test_an_error_stands_before_a_greater_warning_of_the_same_check():
    said = [finding(9.0, severity="warning", state="a"), finding(1.0, severity="error", state="b")]
    (only,) = assessed("", shelf_with(made(*said))).findings
    assert (only.severity, only.state) == ("error", "b")


def test_findings_stand_by_severity_group_check_and_subject():
    checks = [
        made(finding(subject="nodes.b"), finding(subject="nodes.a"), name="made.a", severity="advice"),
        made(finding(), name="made.c", severity="error"),
        made(finding(), name="made.b", severity="error"),
    ]
    found = assessed("", shelf_with(*checks)).findings
    assert [(f.check, str(f.subject)) for f in found] == [
        ("made.b", "nodes.set"), ("made.c", "nodes.set"), ("made.a", "nodes.a"), ("made.a", "nodes.b"),
    ]


def test_an_accepted_finding_stays_and_does_not_count():
    text = '[[deviations]]\ncheck = "made.a"\nsubject = "nodes.set"\nreason = "measured"\nby = "the fitter"'
    said = made(finding(), finding(subject="nodes.other"), severity="error")
    assessment = assessed(text, shelf_with(said), only=["made.a"])
    assert [f.accepted_by for f in assessment.findings] == [None, "the fitter: measured"]
    assert assessment.count("error") == 1


def practised(**more: object) -> Practice:
    defaults = bench_registry().practices.get("road").defaults
    return Practice("strict", defaults=defaults, **more)


def test_a_practice_changes_a_severity_and_switches_off():
    shelf = shelf_with(made(finding()), made(finding(), name="made.b"))
    practice = practised(severities=Keyed({"made.a": "error", "made.b": "off"}))
    assessment = assessed("", shelf, practice=practice, only=["made.a", "made.b"])
    assert [(f.check, f.severity) for f in assessment.findings] == [("made.a", "error")]


def test_a_check_that_is_off_misses_no_threshold():
    check = made(finding(), thresholds=(Threshold("no.where", "m", "nothing"),))
    off = practised(severities=Keyed({"made.a": "off"}))
    assert "no.where" in " ".join(i.why for i in assessed("", shelf_with(check)).not_checked)
    assert "no.where" not in " ".join(i.why for i in assessed("", shelf_with(check), practice=off).not_checked)


def test_a_practice_with_a_wrong_unit_stops_with_its_place():
    limit = Threshold("made.limit", "m", "greatest length")
    practice = practised(thresholds=Keyed({"made.limit": Setting("4 V", "a book", where="strict.toml")}))
    with pytest.raises(PracticeError, match=r"strict\.toml: thresholds.*'4 V' is a voltage"):
        assessed("", shelf_with(made(thresholds=(limit,))), practice=practice, only=["made.a"])


def test_an_unknown_check_or_paper_is_named():
    with pytest.raises(UnknownName, match="did you mean 'lead-drop-high'"):
        assessed("", only=["lead-drop-hihg"])
    with pytest.raises(UnknownName, match="did you mean 'cut-list'"):
        assessed("").paper("cut-lits")


def test_the_caller_chooses_the_practice_before_the_design():
    assert assessed('[job]\npractice = "amateur"').practice.name == "amateur"
    assert assessed('[job]\npractice = "amateur"', practice="common").practice.name == "common"
    assert assessed("").practice.name == "road"


def test_an_unknown_practice_is_blamed_on_whoever_named_it():
    with pytest.raises(UnknownName) as caught:
        assessed('[job]\npractice = "raod"')
    assert str(caught.value.place) == "job.practice"
    with pytest.raises(UnknownName) as caught:
        assessed('[job]\npractice = "road"', practice="raod")
    assert str(caught.value.place) == ""


def test_numbers_of_a_finding_come_in_both_systems():
    said = Finding(subject=Path("job"), message="{value}", value=Measure(1.2192, "m"))
    (told,) = assessed("", shelf_with(made(said))).findings
    assert (told.text(), told.text("us")) == ("1.22 m", "4 ft")


# order in the file

HAZEL = to_plain(rigfeed.load(rigfeed.example("hazel")))
BARE_HAZEL = json.loads(json.dumps(HAZEL))
for _node in BARE_HAZEL["nodes"].values():
    _node.pop("settings", None)
BARE_HAZEL["conductors"]["W2"].pop("length", None)
BARE_HAZEL["nodes"]["later"] = {}
BARE_HAZEL["zones"]["bay"].pop("warmest")
BARE_HAZEL["states"] = {"z": {"modes": {"vhf": "transmit"}, "engine": "off"}, "a": {"start": {"start": "30 %"}}}


def shuffled(value: object, random) -> object:
    if not isinstance(value, dict):
        return value
    items = [(key, shuffled(inner, random)) for key, inner in value.items()]
    random.shuffle(items)
    return dict(items)


@pytest.mark.parametrize("plain", [HAZEL, BARE_HAZEL], ids=["hazel", "less of it"])
@settings(max_examples=15)
@given(random=st.randoms(use_true_random=False))
def test_the_order_in_a_file_changes_nothing(plain, random):
    expected = whole(assess(from_plain(plain)))
    assert whole(assess(from_plain(shuffled(plain, random)))) == expected
