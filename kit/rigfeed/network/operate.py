"""The operating point of one state of everything that switches, or what has none in it."""

from __future__ import annotations

import numpy as np

from rigfeed.network.circuit import Circuit
from rigfeed.network.fold import raised, runaway
from rigfeed.network.laws import Flows, Point, law
from rigfeed.network.newton import LEAST_V, Task, at_rest, operates, operating, unloaded
from rigfeed.network.parts import Parts
from rigfeed.network.ranges import Flags, Floats, somewhere
from rigfeed.network.states import Outcome, States
from rigfeed.network.values import Values


def solved(circuit: Circuit, values: Values, states: States) -> tuple[Outcome, Flags, Flags]:
    """The operating point in these states, which samples are stuck without one, and which of those for good.

    What has no operating point is barred in `states`; a converter without input voltage is only switched off there.
    """
    task, start, flat = _begun(circuit, values, states)
    full = np.ones((values.samples, 1))
    states.running &= ~flat[:, circuit.inputs]
    stuck = somewhere(flat)
    barred = flat.copy()
    barred[:, circuit.inputs] = False
    point, good = _directly(task, start, full, ~stuck & (states.reached == 0.0))
    bad = np.flatnonzero(~good & ~stuck)
    if len(bad):
        hard, begin = task.take(bad), start.take(bad)
        end = raised(hard, begin, states.reached[bad])
        point.volt[bad], point.rest[bad] = end.point.volt, end.point.rest
        barred[bad] = runaway(hard, begin, end)
        states.reached[bad] = end.load
    for_good = somewhere(barred)
    states.barred_sinks |= barred[:, circuit.span["sink"]]
    states.barred_converters |= barred[:, circuit.inputs]
    return _outcome(task, states, point, full), stuck | for_good, for_good


def tried(circuit: Circuit, values: Values, states: States) -> tuple[Outcome, Flags]:
    """The operating point in these states where there is one at once, and in which samples."""
    task, start, flat = _begun(circuit, values, states)
    full = np.ones((values.samples, 1))
    point, good = _directly(task, start, full, ~somewhere(flat))
    return _outcome(task, states, point, full), good


def _begun(circuit: Circuit, values: Values, states: States) -> tuple[Task, Point, Flags]:
    """The task, its start without load, and the branches of shape (samples, branches) without voltage even there."""
    parts = Parts.of(circuit, states.closed, states.running)
    task = Task.of(circuit, law(circuit, values, parts, states.closed, states.on), parts)
    start = unloaded(task)
    before = task.at(start, np.zeros((values.samples, 1)))
    return task, start, task.draws() & (before.u <= LEAST_V)


def _directly(task: Task, start: Point, full: Floats, chosen: Flags) -> tuple[Point, Flags]:
    """The chosen samples by plain Newton from the start, and those of them that are then at an operating point."""
    point, good = Point(start.volt.copy(), start.rest.copy()), np.zeros(len(full), dtype=np.bool_)
    rows = np.flatnonzero(chosen)
    if len(rows):
        now = task.take(rows)
        there, arrived = operating(now, start.take(rows), full[rows])
        there, operational = operates(now, there, full[rows])
        point.volt[rows], point.rest[rows], good[rows] = there.volt, there.rest, arrived & operational
    return point, good


def _outcome(task: Task, states: States, point: Point, full: Floats) -> Outcome:
    point = at_rest(task, point, full)
    flow = task.at(point, full)
    return Outcome(states, task.parts, point.volt + point.rest, flow.u, flow.i, _limited(task, flow))


def _limited(task: Task, flow: Flows) -> Flags:
    """The sources and converters that give all the current they may."""
    may = np.zeros(len(task.circuit.a), dtype=np.bool_)
    may[task.circuit.span["source"]] = True
    may[task.circuit.outputs] = True
    return may & task.parts.fed & (flow.i <= task.law.low + task.law.edge_a)
