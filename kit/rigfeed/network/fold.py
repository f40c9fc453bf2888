"""Raising all loads together from nothing: the sure way to the operating point, or to the load that has none.

Where the load fraction cannot reach 1, the way ends either because a load has no voltage left, or at a fold: there
the voltages run away in one direction, and the load that loses most of its power in that direction is named.
"""

from __future__ import annotations

import numpy as np

from rigfeed.frozen import frozen
from rigfeed.network.laws import Point
from rigfeed.network.newton import Task, corrected, operates, operating, step_of
from rigfeed.network.ranges import Flags, Floats, somewhere

_FIRST_STEP = 0.25
_LEAST_STEP = 1e-6
_SHORT = 0.8  # of the way to where the fold is seen
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


def raised(task: Task, start: Point, sure: Floats) -> Raised:
    """Raise all loads towards 1 from where an operating point is expected, or from 0 where there is none.

    Parameters
    ----------
    start : Point
        The potentials without load.
    sure : array, shape (samples,)
        The load at which more loads than these had an operating point; 0 where nothing is known.
    """
    load, point = _begun(task, start, sure)
    pace = np.where(load > 0.0, 1.0 - load, _FIRST_STEP)
    before, steepness = load.copy(), np.zeros(len(load))
    rows, slow = np.flatnonzero(load < 1.0), np.zeros(len(load), dtype=np.bool_)
    for _ in range(_MOST_STEPS):
        if not len(rows):
            break
        here, now, done = point.take(rows), task.take(rows), load[rows]
        tangent = _tangent(now, here, done[:, None])
        steep = np.abs(tangent).max(axis=1, initial=0.0)
        fold = _fold_ahead(done - before[rows], steepness[rows], steep)
        stride = np.minimum(pace[rows], np.maximum(_SHORT * fold, 2.0 * _LEAST_STEP))
        aim = np.minimum(1.0, done + stride)[:, None]
        there, good = _stepped(now, here, tangent * _reach(aim[:, 0] - done, fold)[:, None], aim)
        moved = rows[good]
        point.volt[moved], point.rest[moved] = there.volt[good], there.rest[good]
        before[moved], steepness[moved], load[moved] = done[good], steep[good], aim[good, 0]
        pace[rows] = stride * np.where(good, np.where(slow[rows], 1.0, 1.8), 0.4)
        slow[rows] = ~good
        rows = rows[(load[rows] < 1.0) & (pace[rows] > _LEAST_STEP)]
    return Raised(load, point, load >= 1.0)


def _begun(task: Task, start: Point, sure: Floats) -> tuple[Floats, Point]:
    """The loads to begin at and the operating points there."""
    load, point = np.zeros(len(sure)), Point(start.volt.copy(), start.rest.copy())
    rows = np.flatnonzero(sure > 0.0)
    if len(rows):
        now, aim = task.take(rows), sure[rows, None]
        there, arrived = operating(now, start.take(rows), aim)
        there, operational = operates(now, there, aim)
        good = arrived & operational
        load[rows[good]] = sure[rows[good]]
        point.volt[rows[good]], point.rest[rows[good]] = there.volt[good], there.rest[good]
    return load, point


def _fold_ahead(gone: Floats, before: Floats, now: Floats) -> Floats:
    """How much load is left to the fold by how steep the tangent was and is; without end where there is none in sight.

    Near a fold the voltages move with the root of the load that is left, so one over the square of the tangent falls to
    0 in proportion to it.
    """
    was, is_ = before**2, now**2
    nearer = (was > 0.0) & (is_ > was)
    ahead: Floats = np.divide(gone * was, is_ - was, out=np.full_like(now, np.inf), where=nearer)
    return ahead


def _reach(stride: Floats, fold: Floats) -> Floats:
    """How much of the tangent leads to the next load: up to twice the stride where a fold bends the way down."""
    reach: Floats = 2.0 * stride / (1.0 + np.sqrt(1.0 - np.minimum(stride / fold, 1.0)))
    return reach


def _stepped(task: Task, here: Point, step: Floats, aim: Floats) -> tuple[Point, Flags]:
    """The point at the next load, and in which samples it is an operating point on the same way."""
    there, good = corrected(task, _predicted(task, here, step, aim), aim)
    rows = np.flatnonzero(good)
    if len(rows):
        now, aimed = task.take(rows), aim[rows]
        end, operational = operates(now, there.take(rows), aimed)
        good[rows] = operational & _near(now, here.take(rows), end, aimed)
        there.volt[rows], there.rest[rows] = end.volt, end.rest
    return there, good


def _predicted(task: Task, here: Point, step: Floats, aim: Floats) -> Point:
    """One step on, or the point itself where that would take a load's voltage."""
    ahead = here.moved(step)
    u, there = task.at(here, aim).u, task.at(ahead, aim).u
    lost = somewhere(task.draws() & (there < _JUMP * u))
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
