"""The order of work that follows from what passes which hole: what comes off, what is drawn, fuses last."""

from __future__ import annotations

import pytest
from tests.kit.studies.laid import BLADE, PLUG, RING, bundles_of, design, thick, wire

import rigfeed
from rigfeed.examples import examples
from rigfeed.studies.bundles import BUNDLES, SIDES, Action, WorkStep

ACTIONS: tuple[Action, ...] = ("take off", "fit before", "pull", "fit after", "fit holder", "fuses in last")


# supplied leads


SUPPLIED = ', origin = "supplied"'


def test_a_supplied_lead_goes_with_the_end_that_passes_in_front():
    found = bundles_of(design(wire("W1", "start.pos", "set.sense", f'{RING}, "plug:pin-1"', more=SUPPLIED)))
    pull = found.pull("W1")
    assert (pull.leads, pull.off, pull.after) == ("to", (), ())
    assert found.order[:-1] == (WorkStep("pull", "W1", "to", passages=("H1",)),)  # nothing to take off or to fit


def test_a_supplied_lead_of_which_neither_end_passes_loses_the_one_away_from_the_set():
    found = bundles_of(design(wire("W1", "F1.b", "set.pos", f"{BLADE}, {PLUG}", more=SUPPLIED)))
    pull = found.pull("W1")
    assert (pull.leads, pull.off, pull.before, pull.after) == ("from", ("from",), ("to",), ("from",))
    blade, holder = "push-on blade 6.3 mm 1.5-2.5 mm2", "in-line blade holder"
    assert found.order == (
        WorkStep("take off", "W1", "from", items=(blade, holder)),
        WorkStep("pull", "W1", "from", passages=("H1",)),
        WorkStep("fit after", "W1", "from", items=(blade,)),
        WorkStep("fit holder", items=(holder,), nodes=("F1",)),
        WorkStep("fuses in last", nodes=("F1",)),
    )


def test_the_holder_on_a_supplied_lead_that_passes_is_not_fitted_again():
    hole = '{ run = "bay", diameter = "50 mm" }'
    found = bundles_of(design(wire("W1", "F1.b", "set.pos", f"{BLADE}, {PLUG}", more=SUPPLIED), hole))
    assert [step.action for step in found.order] == ["pull", "fuses in last"]
    cut = bundles_of(design(wire("W1", "F1.b", "set.pos", f"{BLADE}, {PLUG}"), hole))
    assert [step.action for step in cut.order] == ["fit before", "fit before", "pull", "fit holder", "fuses in last"]


def test_a_supplied_lead_of_unknown_size_is_not_taken_apart():
    found = bundles_of(design(wire("W1", "F1.b", "set.pos", f"{BLADE}, {PLUG}", more=SUPPLIED), '{ run = "bay" }'))
    assert found.pull("W1").off == ()
    assert len(found.pull("W1").unknown) == 3
    assert [step.action for step in found.order] == ["pull", "fuses in last"]


# the order


def test_stiff_leads_are_drawn_first_then_thick_before_thin():
    hole = '{ run = "bay", diameter = "40 mm" }'
    conductors = (
        thick("W1", "cable:thinwall-1") + thick("W2 W3", "cable:thinwall-25") + thick("W4", "cable:thinwall-6")
        + wire("W5", "stud.stud", "bar.x", f"{RING}, {RING}", "cable:thinwall-2", SUPPLIED)
        + wire("W6", "stud.stud", "bar.x", f"{PLUG}, {PLUG}", "cable:thinwall-2", SUPPLIED)
    )
    found = bundles_of(design(conductors, hole))
    assert [step.conductor for step in found.steps("pull")] == ["W6", "W5", "W2", "W3", "W4", "W1"]
    assert (found.pull("W6").stiff_mm, found.pull("W5").stiff_mm) == (pytest.approx(18.6, abs=0.01), 13.0)
    assert found.pull("W2").stiff_mm == 0.0


def test_a_supplied_lead_that_passes_no_hole_waits_for_the_thick_ones():
    own = (
        "F9 = { cable = 'cable:thinwall-2', from = 'start.pos', to = 'F1.a', length = '0.2 m', origin = 'supplied', "
        "ends = ['ring:m8-2.5', 'plug:radio-2pole'] }\n"
    )
    found = bundles_of(design(thick("W1", "cable:thinwall-25") + own))
    assert [step.conductor for step in found.steps("pull")] == ["W1", "F9"]


@pytest.mark.parametrize("name", examples())
def test_every_conductor_is_drawn_once_every_fitting_fitted_once_and_the_fuses_come_last(name):
    assessment = rigfeed.assess(rigfeed.load(rigfeed.example(name)), only=[])
    found, installation = assessment[BUNDLES], assessment.installation
    actions = [step.action for step in found.order]
    assert actions == sorted(actions, key=ACTIONS.index)
    assert actions.count("fuses in last") == 1
    assert found.order[-1].nodes == tuple(node.id for node, _ in installation.protections)
    laid = sorted(id_ for id_, conductor in installation.conductors.items() if conductor.origin != "vehicle")
    assert sorted(step.conductor for step in found.steps("pull")) == laid == sorted(found.pulls)
    fitted = [(step.conductor, step.side) for step in found.order if step.action in ("fit before", "fit after")]
    assert len(fitted) == len(set(fitted))
    for pull in found.pulls.values():
        assert set(pull.before) | set(pull.after) == set(SIDES)
        assert not set(pull.before) & set(pull.after)
        assert {(pull.conductor, item.side) for item in pull.items if not item.is_holder} <= set(fitted)
        if pull.leads in pull.before:  # nothing that does not pass goes in front
            assert all(item.passes for item in pull.at(pull.leads))
    holders = [step.nodes[0] for step in found.steps("fit holder")]
    assert len(holders) == len(set(holders))


def test_the_order_in_the_file_does_not_matter():
    lines = [
        wire("W1", "F1.b", "set.pos", f"{BLADE}, {PLUG}"),
        wire("W2", "start.pos", "set.sense", f'{RING}, "plug:pin-1"'),
        *thick("W3 W4", "cable:thinwall-6").splitlines(keepends=True),
    ]
    assert bundles_of(design("".join(lines))) == bundles_of(design("".join(reversed(lines))))
