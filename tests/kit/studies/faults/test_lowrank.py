"""The updates against the solver of the network, which knows nothing of them, and against the laws of nature."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.kit.studies.faults.made import assessed, made
from tests.kit.studies.faults.spice import elements_with

from rigfeed.network.network import Network
from rigfeed.network.solve import solve
from rigfeed.network.values import Values
from rigfeed.studies.circuit import zeros_of
from rigfeed.studies.faults import FAULTS
from rigfeed.studies.faults.cases import branches_of
from rigfeed.studies.faults.events import first_answer
from rigfeed.studies.faults.lowrank import Ports
from rigfeed.studies.faults.shorts import shorts_of
from rigfeed.studies.operating import OPERATING
from rigfeed.studies.sections import SECTIONS

SEEDS = range(12)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_first_moment_is_that_of_the_solver(seed):
    assessment = assessed(made(seed).text())
    for case in assessment[FAULTS].cases:
        for number in range(0, len(case.shorts), 7):
            timeline = case.timeline(number)
            elements = elements_with(assessment[OPERATING], timeline, 2.5e-3)
            network = Network.build(elements, zeros_of(assessment.installation))
            answer = solve(network, Values.of(network)).asked
            assert timeline.first_a == pytest.approx(answer.current(0, "@short"), rel=1e-6, abs=1e-4)
            for place, core in enumerate(case.core_ids):
                if core != timeline.short.core:
                    ours = case.course.core_a[0, number, place]
                    near = {"rel": 1e-6, "abs": 1e-5 * max(1.0, timeline.first_a)}
                    assert ours == pytest.approx(answer.current(0, core), **near)


@pytest.mark.parametrize("case", ["highest", "lowest"])
@pytest.mark.parametrize("seed", SEEDS)
def test_what_the_sources_give_is_what_everything_else_takes(seed, case):
    """All branches watched: the sum of ``u i`` is zero, the short and every warm resistance included."""
    assessment = assessed(made(seed).text())
    branches = branches_of(assessment.installation, case)
    shorts = shorts_of(assessment.installation, assessment[SECTIONS])
    every = replace(branches, cores=np.arange(len(branches.names)), core_ids=branches.names)
    ports = Ports.of(every, [short for short in shorts if short.core is None])
    rows = np.arange(len(ports.short_v))
    ohm = np.full(len(rows), 2.5e-3)
    opened = np.zeros((len(rows), len(ports.port)), dtype=np.bool_)
    half = np.searchsorted(ports.port, branches.guards)[::2]
    opened[1::2, half] = True  # in every second one, half of all devices have opened
    for flags, answer in (
        (np.zeros_like(opened), first_answer(ports, rows, ohm)),
        (opened, ports.solved(rows, ohm, opened, np.zeros((len(rows), len(branches.bends)), dtype=np.intp))),
    ):
        volts, short_a = ports.volts(rows, ohm, flags, answer.stands, slice(0, len(branches.names)))
        amps = answer.core_a.copy()
        amps[:, ports.port] = answer.port_a
        power = volts * amps
        given_w = -np.minimum(power, 0.0).sum(axis=1)
        taken_w = np.maximum(power, 0.0).sum(axis=1) + short_a**2 * ohm
        assert taken_w == pytest.approx(given_w, rel=1e-6, abs=1e-5)  # some are fed by open contacts only
