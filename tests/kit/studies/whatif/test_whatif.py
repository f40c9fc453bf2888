"""What-ifs against an independent simulator on the altered network, and against what must hold."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.kit.studies.faults.made import made
from tests.kit.studies.islands import fed
from tests.kit.studies.whatif.spice import potentials

import rigfeed
from rigfeed import OPERATING, Add, Path, Remove, Set, apply
from rigfeed.design.file import parse
from rigfeed.examples import examples
from rigfeed.network.elements import BODY, Diode, Resistor
from rigfeed.studies.circuit import zeros_of
from rigfeed.studies.sections import SECTIONS
from rigfeed.studies.whatif import MISHAPS, WHATIF, WhatIf
from rigfeed.studies.whatif_cut import fed_without
from rigfeed.studies.whatif_network import elements_in
from rigfeed.studies.whatif_outages import OUTAGES, WORSE

EXAMPLES = examples()


def assessed(name: str, **changes: object):
    edits = [Set(Path.parse(path.replace("__", ".")), value) for path, value in changes.items()]
    return rigfeed.assess(apply(rigfeed.load(rigfeed.example(name)), edits), only=[])


POST = {"conductors__W3__to": "start.neg"}
TAP = {"conductors__W6__from": "b1.pos", "conductors__W8__to": "strap.stud"}


def only(cases: tuple[WhatIf, ...], subject: str) -> WhatIf:
    (case,) = [case for case in cases if str(case.subject) == subject]
    return case


def hot_ohm(element: Resistor) -> float:
    return element.ohm_20 * (1 + element.alpha * (element.temperature_c - 20))


def agrees(installation, elements, core_a, ngspice, folder) -> int:
    """How many cores carry in ngspice what they carry in the study; all must."""
    volt = potentials(elements, zeros_of(installation), ngspice, folder)
    counted = 0
    for element in elements:
        if isinstance(element, Resistor) and element.name in core_a:
            amps = (volt[element.a] - volt[element.b]) / hot_ohm(element)
            assert core_a[element.name] == pytest.approx(amps, rel=1e-4, abs=1e-4), element.name
            counted += 1
    return counted


def without(elements, wires: set[str]):
    """The elements without some wires, and without the loads that nothing feeds then."""
    return fed(e for e in elements if e.name not in wires)


# what is altered, written down here once more: base, changes, question, subject, wires that are open, loads that then
# have no way back and are off, resistances that are added
ALTERED = {
    "hazel, strap, negative on the post": (
        "hazel", POST, "strap-open", "nodes.start", {"V1"}, set(), (("start.pos", BODY, 12 / 250),)),
    "hazel, negative": ("hazel", {}, "negative-open", "nodes.vhf", {"W3"}, set(), ()),
    "larch, strap": ("larch", {}, "strap-open", "nodes.start", {"V1"}, set(), (("start.pos", BODY, 12 / 250),)),
    "larch, negative of the HF set": ("larch", {}, "negative-open", "nodes.hf", {"W9"}, set(), ()),
    "larch, negative of the VHF set": ("larch", {}, "negative-open", "nodes.vhf", {"W12"}, set(), ()),
    "alder, strap": ("alder", {}, "strap-open", "nodes.b1", {"V3"}, set(), (("b2.pos", BODY, 24 / 125),)),
    "alder, negative of the tablet": ("alder", {}, "negative-open", "nodes.tablet", {"W11"}, {"tablet"}, ()),
    "alder, negative of the set on the tap": ("alder", TAP, "negative-open", "nodes.vhf", {"W8"}, set(), ()),
}


@pytest.mark.parametrize("name", ALTERED)
def test_open_wires_agree_with_an_independent_simulator(name, tool, tmp_path):
    base, changes, kind, subject, opened, off, added = ALTERED[name]
    assessment = assessed(base, **changes)
    case = only(assessment[WHATIF].of(kind), subject)
    whole = elements_in(assessment[OPERATING], case.state)
    gone = opened | off
    elements = [e for e in whole if e.name not in gone]
    elements += [Resistor(f"added{number}", *one) for number, one in enumerate(added)]
    assert agrees(assessment.installation, elements, case.first.core_a, tool("ngspice"), tmp_path) > 5


def test_a_tap_behind_an_open_master_switch_agrees_with_an_independent_simulator(tool, tmp_path):
    """Everything that draws as the resistance that it is before, the vehicle's own 60 W across the bank."""
    assessment = assessed("alder", **TAP)
    case = only(assessment[WHATIF].of("isolator-open"), "nodes.main")
    whole = elements_in(assessment[OPERATING], case.state)
    before = potentials(whole, zeros_of(assessment.installation), tool("ngspice"), tmp_path)
    across = {net: before[f"{net}.pos"] - before[f"{net}.neg"] for net in ("vhf", "tablet")}
    input_v = before["conv.in-pos"] - before["conv.in-neg"]
    input_a = case.before.core_a["W2"]
    elements = [e for e in whole if isinstance(e, Resistor) or hasattr(e, "emf_v")]
    elements += [
        Resistor("set", "vhf.pos", "vhf.neg", across["vhf"] / 6.5),
        Resistor("converter", "conv.in-pos", "conv.in-neg", input_v / input_a),
        Resistor("own", "b2.pos", BODY, 24**2 / 60),
    ]
    after = potentials(elements, zeros_of(assessment.installation), tool("ngspice"), tmp_path)
    seen_v = after["vhf.pos"] - after["vhf.neg"]
    assert case.first.load_v["vhf"] == pytest.approx(seen_v, rel=1e-4)
    assert seen_v < -2.0


def test_a_swapped_plug_agrees_with_an_independent_simulator(tool, tmp_path):
    assessment = assessed("hazel")
    case = only(assessment[MISHAPS].of("reversed"), "nodes.vhf")
    whole = elements_in(assessment[OPERATING], case.state)
    other = {"vhf.pos": "vhf.neg", "vhf.neg": "vhf.pos"}
    elements = [replace(e, a=other.get(e.a, e.a), b=other.get(e.b, e.b)) if e.name in ("W2", "W3") else e
                for e in whole if e.name != "vhf"]
    elements.append(Diode("guard", "vhf.neg", "vhf.pos", 0.8, 0.01))
    assert agrees(assessment.installation, elements, case.first.core_a, tool("ngspice"), tmp_path) > 5
    assert case.devices == ("F1",)
    assert all(abs(case.last.core_a[wire]) < 1e-3 for wire in ("W1", "W2"))


def test_a_fuse_is_given_the_time_that_it_takes_in_the_coldest_air():
    """Behind a converter of 17 A a fuse of 10 A: cold lengthens its longest time, and warmth takes nothing off it."""
    zone = "zones__cab__coldest"
    cold, mild = (only(assessed("alder", **{zone: air})[MISHAPS].of("reversed"), "nodes.vhf")
                  for air in ("-25 degC", "25 degC"))
    device, part = "F2", rigfeed.assess(rigfeed.load(rigfeed.example("alder")), only=[]).installation.nodes["F2"].part
    for case, air_c in ((cold, -25.0), (mild, 25.0)):
        amps = case.first.device_a[device]
        assert case.opened == ((device, pytest.approx(part.opening_s(amps, air_c)[1])),)
    assert cold.opened[0][1] > 2 * mild.opened[0][1]
    hot = only(assessed("alder", **{zone: "25 degC", "zones__cab__warmest": "60 degC"})[MISHAPS].of("reversed"),
               "nodes.vhf")
    assert hot.opened[0][1] == pytest.approx(mild.opened[0][1])


def test_a_starter_pulls_through_a_relay_and_opens_the_fuses_of_the_link(tool, tmp_path):
    """An auxiliary behind a closed relay helps to crank; the share follows from the resistances alone."""
    assessment = relayed()
    case = only(assessment[MISHAPS].of("cranked"), "nodes.link")
    whole = elements_in(assessment[OPERATING], case.state)
    elements = [replace(e, closed=True) if e.name == "link" else e for e in whole]
    elements.append(Resistor("starter", "start.pos", BODY, 12 / 250))
    assert agrees(assessment.installation, elements, case.first.core_a, tool("ngspice"), tmp_path) > 5
    assert abs(case.first.core_a["W2"]) > 30
    assert case.risen("W2") > 30


def relayed():
    """Larch with a relay in place of the charger."""
    larch = rigfeed.load(rigfeed.example("larch"))
    edits = [
        Add(Path("nodes", "link"), {"part": "relay:engine-70", "at": "rear"}),
        *(Set(Path("conductors", wire, end), to) for wire, end, to in (
            ("W2", "to", "link.a"), ("W4", "from", "link.b"), ("W3", "from", "link.neg"), ("W6", "from", "stud.stud"),
            ("W14", "to", "link.engine"),
        )),
        Remove(Path("nodes", "dcdc")),
    ]
    return rigfeed.assess(apply(larch, edits), only=[])


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_device_out_in_turn_agrees_with_an_independent_simulator(name, tool, tmp_path):
    """The wires that end on the device are taken out of the netlist, by the list of wires and nothing of the study."""
    assessment = assessed(name)
    study, installation = assessment[OUTAGES], assessment.installation
    counted = 0
    for outage in study.outages:
        wires = {core.id for core in installation.cores if outage.device.id in (core.start.node, core.end.node)}
        if outage.state == study.outages[0].state:
            elements = without(elements_in(assessment[OPERATING], outage.state), wires)
            counted += agrees(installation, elements, outage.outcome.core_a, tool("ngspice"), tmp_path)
    assert counted > 5 * len(study.before)


@pytest.mark.parametrize("name", EXAMPLES)
def test_bad_joints_agree_with_an_independent_simulator(name, tool, tmp_path):
    """The three worst, and the one that matters least."""
    assessment = assessed(name)
    joints = sorted(assessment[OUTAGES].joints, key=lambda joint: -joint.lost_v)
    assert joints[0].lost_v > 0.01
    for joint in (*joints[:3], joints[-1]):
        whole = elements_in(assessment[OPERATING], joint.state)
        near = next(e for e in whole if e.name == joint.core).a
        more_ohm = joint.ohm * (1 - 1 / WORSE)
        elements = [replace(e, a="beyond") if e.name == joint.core else e for e in whole]
        elements.append(Resistor("more", near, "beyond", more_ohm))
        volt = potentials(elements, zeros_of(assessment.installation), tool("ngspice"), tmp_path)
        if joint.load is not None:
            assert joint.load_v == pytest.approx(volt[f"{joint.load}.pos"] - volt[f"{joint.load}.neg"], abs=1e-4)
        joint_a = (volt[near] - volt["beyond"]) / more_ohm
        assert joint.ohm == pytest.approx(WORSE * joint.end.contact_ohm)
        assert joint.heat_w == pytest.approx(joint_a**2 * joint.ohm, rel=1e-3, abs=1e-4)


# what must hold


@settings(max_examples=25)
@given(seed=st.integers(0, 10_000))
def test_removing_a_device_never_raises_a_current_beyond_it(seed):
    """Beyond: what no source reaches but through the device. Where the body does not reach it either, nothing flows
    there any more; a negative that ends on the body carries what its set then takes, and never more than before."""
    assessment = rigfeed.assess(parse(made(seed).text()), only=[])
    sections, study = assessment[SECTIONS], assessment[OUTAGES]
    for outage in study.outages:
        before = study.before[outage.state]
        for core in assessment.installation.cores:
            if outage.device.id not in (core.start.node, core.end.node):
                reached = {_reached(sections, end.net, outage.device.id) for end in (core.start, core.end)}
                after_a = abs(outage.outcome.core_a[core.id])
                if "source" not in reached:
                    assert after_a <= abs(before.core_a[core.id]) + 1e-6
                if reached == {""}:
                    assert after_a < 1e-6


def _reached(sections, net: str, without: str) -> str:
    """Whether a source is left at a net without a device, or else the body."""
    seen = sections.reached(net, lambda here, leg: without not in (leg.net.partition(".")[0], leg.node)
                            and not sections.is_source(here))
    if any(sections.is_source(here) for here in seen):
        return "source"
    return "body" if any(here in sections.on_body for here in seen) else ""


@settings(max_examples=25)
@given(seed=st.integers(0, 10_000))
def test_who_is_cut_off_does_not_work(seed):
    assessment = rigfeed.assess(parse(made(seed).text()), only=[])
    sections, nodes = assessment[SECTIONS], assessment.installation.nodes
    for outage in assessment[OUTAGES].outages:
        for load in outage.works:
            assert fed_without(sections, nodes[load], outage.device.id)  # these designs have no feeders


def test_what_stops_and_what_stays_alive():
    study = assessed("larch")[OUTAGES]
    stops = {outage.device.id: set(outage.stops) for outage in study.outages if outage.state == "sending"}
    assert stops["F3"] == {"hf"}
    assert stops["F4"] == {"vhf"}
    assert stops["aux"] == {"hf", "vhf"}
    assert stops["F1"] == stops["start"] == set()  # the auxiliary feeds both
    (f3,) = [outage for outage in study.of("F3") if outage.state == "sending"]
    assert "vhf" in f3.works


def test_a_fuse_at_the_post_ends_the_starter_current():
    """100 A through a 10 A fuse: it opens, and nothing of the starter is left in the wire."""
    hazel = rigfeed.load(rigfeed.example("hazel"))
    edits = [
        Set(Path.parse("conductors.W3.to"), "N1.a"), Add(Path("nodes", "N1"), {"part": "fuse:blade-10"}),
        Add(Path("conductors", "W9"), {
            "cable": "cable:thinwall-2.5", "from": "N1.b", "to": "start.neg", "length": "0.1 m",
        }),
    ]
    case = only(rigfeed.assess(apply(hazel, edits), only=[])[WHATIF].of("strap-open"), "nodes.start")
    assert abs(case.first.core_a["W9"]) > 50
    assert case.devices == ("N1",)
    assert abs(case.last.core_a["W9"]) < 1e-3
