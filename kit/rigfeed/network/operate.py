"""The operating point of one state of everything that switches, or what has none in it."""

from __future__ import annotations

import numpy as np

from rigfeed.network.circuit import Circuit
from rigfeed.network.fold import raised, runaway
from rigfeed.network.laws import Flows, Point, law
from rigfeed.network.newton import LEAST_V, Task, above, at_rest, corrected, operates, operating, unloaded
from rigfeed.network.parts import Parts
from rigfeed.network.ranges import Flags, Floats, Places, somewhere
from rigfeed.network.states import Near, Outcome, States
from rigfeed.network.values import Values

_ALIKE = 0.1  # of its voltage, by which a load may be away from that of a solution nearby


def solved(circuit: Circuit, values: Values, states: States, near: Near | None) -> tuple[Outcome, Flags, Flags]:
    """The operating point in these states, which samples are stuck without one, and which of those for good.

    What has no operating point is barred in `states`; a converter without input voltage is only switched off there.
    """
    task, full = _task(circuit, values, states), np.ones((values.samples, 1))
    if near is not None and (point := _close_by(task, states, near, full)) is not None:
        none = np.zeros(values.samples, dtype=np.bool_)
        return _outcome(task, states, point, full), none, none
    start, flat = _begun(task)
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
    task, full = _task(circuit, values, states), np.ones((values.samples, 1))
    start, flat = _begun(task)
    point, good = _directly(task, start, full, ~somewhere(flat))
    return _outcome(task, states, point, full), good


def _task(circuit: Circuit, values: Values, states: States) -> Task:
    parts = Parts.of(circuit, states.closed, states.running)
    return Task.of(circuit, law(circuit, values, parts, states.closed, states.on), parts)


def _close_by(task: Task, states: States, near: Near, full: Floats) -> Point | None:
    """The operating points beside those of a solution nearby; None unless all samples are in its states and have one
    there, with hardly another voltage at any load: then it is the one that unloading leads back from, as that was."""
    if not (states.moving == near.moving).all():
        return None
    start = Point(near.volt, np.zeros_like(near.volt))
    there, arrived = corrected(task, start, full)
    there, operational = operates(task, there, full)
    before, after = task.at(start, full).u, task.at(there, full).u
    alike = ~(task.draws() & (np.abs(after - before) > _ALIKE * before))
    return there if (arrived & operational).all() and alike.all() else None


def _begun(task: Task) -> tuple[Point, Flags]:
    """The start without load, and the branches of shape (samples, branches) without voltage even there."""
    start = unloaded(task)
    before = task.at(start, np.zeros((len(task.law.g), 1)))
    return start, task.draws() & (before.u <= LEAST_V)


def _directly(task: Task, start: Point, full: Floats, chosen: Flags) -> tuple[Point, Flags]:
    """The chosen samples by plain Newton from the start, and those of them that are then at an operating point.

    Where a source at its limit lets go, the nets behind it fall until another holds them, and Newton from the start can
    lose its way in that; from above all of them it comes down to the one that does.
    """
    point, good = Point(start.volt.copy(), start.rest.copy()), np.zeros(len(full), dtype=np.bool_)

    def come_down(now: Task, begin: Point, rows: Places) -> None:
        there, arrived = operating(now, begin, full[rows])
        there, operational = operates(now, there, full[rows])
        point.volt[rows], point.rest[rows], good[rows] = there.volt, there.rest, arrived & operational

    rows = np.flatnonzero(chosen)
    if len(rows):
        come_down(task.take(rows), start.take(rows), rows)
    rows = np.flatnonzero(chosen & ~good)
    if len(rows) and task.held is not None:
        come_down(now := task.take(rows), above(now), rows)
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
