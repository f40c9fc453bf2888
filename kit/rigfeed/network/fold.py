"""Raising all loads together from nothing: the sure way to the operating point, or to the load that has none.

Where the load fraction cannot reach 1, the way ends either because a load has no voltage left, or at a fold: there
the voltages run away in one direction, and the load that loses most of its power in that direction is named.
"""

from __future__ import annotations

import numpy as np

from rigfeed.frozen import frozen
from rigfeed.network.laws import Point
from rigfeed.network.newton import Task, corrected, operates, step_of
from rigfeed.network.ranges import Flags, Floats, somewhere

_FIRST_STEP = 0.25
_LEAST_STEP = 1e-6
_MOST_STEPS = 400
_BEYOND = 4e-6  # how far past the end of the way the direction is looked at
_JUMP = 0.5  # a load that loses more than this share of its voltage in one step has left the way
_GONE = 1e-4  # of the voltage without load: nothing left
_TIE = 1e-6  # loads this near to each other are alike, and the first by name is taken


@frozen(eq=False)
class Raised:
    """Where raising the loads led: the fraction reached, the potentials there, and whether that is all of the load."""

    load: Floats
    point: Point
    arrived: Flags


def raised(task: Task, start: Point) -> Raised:
    """Raise all loads from 0 towards 1, from the potentials without load."""
    samples = len(task.law.g)
    load, pace = np.zeros(samples), np.full(samples, _FIRST_STEP)
    point = Point(start.volt.copy(), start.rest.copy())
    rows = np.arange(samples)
    for _ in range(_MOST_STEPS):
        here, now = point.take(rows), task.take(rows)
        aim = np.minimum(1.0, load[rows] + pace[rows])[:, None]
        there, good = _stepped(now, here, load[rows, None], aim)
        moved = rows[good]
        point.volt[moved], point.rest[moved] = there.volt[good], there.rest[good]
        load[moved] = aim[good, 0]
        pace[rows] *= np.where(good, 1.8, 0.4)
        rows = rows[(load[rows] < 1.0) & (pace[rows] > _LEAST_STEP)]
        if not len(rows):
            break
    return Raised(load, point, load >= 1.0)


def _stepped(task: Task, here: Point, load: Floats, aim: Floats) -> tuple[Point, Flags]:
    """The point at the next load, and in which samples it is an operating point on the same way."""
    there, good = corrected(task, _predicted(task, here, load, aim), aim)
    rows = np.flatnonzero(good)
    if len(rows):
        now, aimed = task.take(rows), aim[rows]
        end, operational = operates(now, there.take(rows), aimed)
        good[rows] = operational & _near(now, here.take(rows), end, aimed)
        there.volt[rows], there.rest[rows] = end.volt, end.rest
    return there, good


def _predicted(task: Task, here: Point, load: Floats, aim: Floats) -> Point:
    """The tangent followed to the next load, or the point itself where that would take a load's voltage."""
    step = _tangent(task, here, load) * (aim - load)
    ahead = here.moved(step)
    u, there = task.at(here, load).u, task.at(ahead, load).u
    draws = task.draws()
    lost = somewhere(draws & (there < _JUMP * u))
    return here.moved(np.where(lost[:, None], 0.0, step))


def _tangent(task: Task, here: Point, load: Floats) -> Floats:
    """How the potentials move as the loads rise [V for all of the load]."""
    flow = task.at(here, load)
    drawn = task.circuit.leaving(_drawn_a(task, here, load)) * task.parts.free
    return step_of(task, flow, -drawn)


def _drawn_a(task: Task, here: Point, load: Floats) -> Floats:
    """The current of the loads at full load and the present voltages [A]."""
    flow = task.at(here, load)
    return task.law.amp + np.divide(flow.watt, flow.u, out=np.zeros_like(flow.u), where=(flow.watt > 0) & (flow.u != 0))


def _near(task: Task, here: Point, there: Point, aim: Floats) -> Flags:
    before, after = task.at(here, aim).u, task.at(there, aim).u
    return ~somewhere(task.draws() & ~(after > _JUMP * before - 1e-6))


def runaway(task: Task, start: Point, end: Raised) -> Flags:
    """For each sample that did not arrive, the one branch that has no operating point there.

    Returns
    -------
    flags : array of bool, shape (samples, branches)
        One branch in each row: a sink, or the input of a converter.
    """
    load = end.load[:, None]
    draws = task.draws()
    none = np.zeros_like(load)
    before, flow = task.at(start, none).u, task.at(end.point, load)
    left = np.where(draws, flow.u / np.where(before > 0.0, before, 1.0), np.inf)
    tangent = _tangent(task, end.point, load)
    beyond = end.point.moved(tangent * _BEYOND)
    away = _tangent(task, beyond, load)
    change = away[:, task.circuit.a] - away[:, task.circuit.b]
    drawn_a = _drawn_a(task, end.point, load)
    relative = np.divide(change, flow.u, out=np.zeros_like(change), where=flow.u > 0.0)
    largest = np.abs(relative).max(axis=1, keepdims=True, initial=0.0)
    score = np.where(draws, flow.u * drawn_a * (relative / np.where(largest > 0.0, largest, 1.0)) ** 2, -1.0)
    gone = left < _GONE
    score = np.where(gone.any(axis=1, keepdims=True), np.where(gone, drawn_a, -1.0), score)
    best = score.max(axis=1, keepdims=True)
    first = np.argmax(score >= best - _TIE * np.abs(best), axis=1)
    chosen = np.zeros_like(draws)
    chosen[np.arange(len(first)), first] = ~end.arrived
    return chosen
