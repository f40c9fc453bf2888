"""Newton on the nodal equations with the exact Jacobian, for many samples, each on its own way.

Without load all characteristics are rising, so the equations are the slope of a convex function and a line search
along each step always arrives (`unloaded`). With constant-power loads it starts from there and comes down to the
operating root from above (`operating`); `operates` proves that it did.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np

from rigfeed.frozen import frozen
from rigfeed.network.circuit import Circuit
from rigfeed.network.descent import length_of
from rigfeed.network.floating import brought_down
from rigfeed.network.laws import Flows, Law, Point, flows
from rigfeed.network.linear import solved
from rigfeed.network.parts import Parts, merge
from rigfeed.network.ranges import Flags, Floats, Places, somewhere

_CLOSE_A = 1e-12  # of Kirchhoff's law, absolute, and relative to the largest current of the sample
_NEAR_A = 1e-10  # the same where rounding allows no more
_LEAST_U = 0.25  # of its voltage a constant-power branch keeps at least in one step
_PATIENCE = 8  # plain steps before a step must also bring the balance nearer
_BRINGS = 2  # the first brings nets that nothing holds to their place, the second takes off its rounding
_LEAK_S = 1e-9
_LEAK_RELATIVE = 1e-10
LEAST_V = 1e-9  # below it a load has no voltage


@frozen(eq=False)
class Task:
    """One topology with the numbers of its samples, ready to be solved.

    `held` labels what hangs together by branches that never cease to conduct; None if no branch ever does.
    """

    circuit: Circuit
    law: Law
    parts: Parts
    held: Places | None

    @classmethod
    def of(cls, circuit: Circuit, law: Law, parts: Parts) -> Task:
        """The task of this law."""
        bends = np.isfinite(law.low)
        if not bends.any():
            return cls(circuit, law, parts, None)
        held = np.broadcast_to(circuit.metal, parts.label.shape).copy()
        rest = np.arange(circuit.span["resistor"].stop, len(circuit.a))
        merge(held, circuit.ends[rest], ((law.g > 0.0) & ~bends)[:, rest])
        return cls(circuit, law, parts, held)

    def take(self, rows: Any) -> Task:
        """Some samples of it."""
        held = None if self.held is None else self.held[rows]
        return Task(self.circuit, self.law.take(rows), self.parts.take(rows), held)

    def at(self, point: Point, load: Floats) -> Flows:
        """The branches at a point."""
        return flows(self.circuit, self.law, self.parts, point, load)

    def draws(self) -> Flags:
        """The branches that draw a current of their own: loads, and the inputs of converters that are on."""
        draws: Flags = (self.law.amp > 0.0) | (self.law.watt > 0.0)
        draws[:, self.circuit.inputs] = self.parts.fed[:, self.circuit.inputs]
        return draws

    def reach_v(self) -> Floats:
        """A voltage that no net can have: twice all EMFs and drops in a row [V]."""
        total: Floats = np.abs(self.law.e * (self.law.g > 0.0)).sum(axis=1)
        return 2.0 * total

    def unbalance(self, flow: Flows) -> Floats:
        """What Kirchhoff's current law misses at each free net [A]."""
        return self.circuit.leaving(flow.i) * self.parts.free

    def linearised(self, flow: Flows, adrift: Adrift | None) -> Floats:
        """The Jacobian; a part that nothing holds at present gets a leak, in the matrix only, never in the answer."""
        extra = None
        if adrift is not None:
            steep = self.circuit.steepness(flow.slope)
            extra = adrift.loose * (_LEAK_S + _LEAK_RELATIVE * steep)
        return self.circuit.jacobian(flow.slope, flow.across, self.parts.free, extra)

    def adrift(self, flow: Flows) -> Adrift | None:
        """What has no way to its 0 V at present; None if all has."""
        if self.held is None:
            return None
        rows = np.flatnonzero(somewhere((self.law.g > 0.0) & ~flow.inside))
        if not len(rows):
            return None
        label = self.held[rows]
        bends = np.flatnonzero(np.isfinite(self.law.low).any(axis=0))
        merge(label, self.circuit.ends[bends], flow.inside[np.ix_(rows, bends)] & (self.law.g[np.ix_(rows, bends)] > 0))
        every, loose = self.held.copy(), np.zeros(self.parts.free.shape, dtype=np.bool_)
        every[rows] = label
        loose[rows] = (label != self.parts.label[rows]) & self.parts.free[rows]
        return Adrift(every, loose) if loose.any() else None


@frozen(eq=False)
class Adrift:
    """The nets without any way to their 0 V by what conducts, and labels of what conducts together."""

    label: Places
    loose: Flags


def step_of(task: Task, flow: Flows, right: Floats) -> Floats:
    """The solution of the linearised equations for one right-hand side [V]."""
    return _step_of(task, flow, task.adrift(flow), right)


def _step_of(task: Task, flow: Flows, adrift: Adrift | None, right: Floats) -> Floats:
    return solved(task.circuit, task.linearised(flow, adrift), right[:, :, None])[:, :, 0]


def _step(task: Task, here: Point, flow: Flows, unbalance: Floats) -> Floats:
    """Newton's step, as far as sources can reach [V]."""
    adrift = task.adrift(flow)
    step = _step_of(task, flow, adrift, -unbalance)
    return step if adrift is None else _within_reach(task, here, adrift, step)


def unloaded(task: Task) -> Point:
    """The potentials with no load but the resistive ones: where every way to the operating point starts.

    Nets that nothing holds are brought down to what would feed the loads.
    """
    return at_rest(task, above(task), np.zeros((len(task.law.g), 1)))


def above(task: Task, *, most: int = 200) -> Point:
    """The potentials without load, everything one-way or limited first taken as conducting: nets that nothing holds may
    be above what would feed the loads."""
    samples = len(task.law.g)
    none = np.zeros((samples, 1))
    start = Point(np.zeros((samples, task.circuit.size)), np.zeros((samples, task.circuit.size)))
    linear = replace(task.law, low=np.full_like(task.law.low, -np.inf), high=np.full_like(task.law.high, np.inf))
    first = Task(task.circuit, linear, task.parts, None)
    flow = first.at(start, none)
    point = start.moved(step_of(first, flow, -first.unbalance(flow)))
    point = _walk(task, point, none, most, _descended, patience=most)[0]
    return _polished(task, point, none)


def _polished(task: Task, point: Point, load: Floats) -> Point:
    """The point with one last step, which leaves nothing but rounding in groups of nets that are to move as one."""
    flow = task.at(point, load)
    return point.moved(_step(task, point, flow, task.unbalance(flow)))


def at_rest(task: Task, point: Point, load: Floats) -> Point:
    """The point with the nets that nothing holds brought to the voltage that is answered for them; see `floating`."""
    if task.held is None:
        return point
    flow = first = task.at(point, load)
    there, any_moved = point, np.zeros(len(load), dtype=np.bool_)
    for _ in range(_BRINGS):
        there, moved = brought_down(task.circuit, task.law, task.parts, task.held, flow, task.draws(), there)
        if not moved.any():
            break
        flow, any_moved = task.at(there, load), any_moved | moved
    before, after = (np.abs(task.unbalance(now)).max(axis=1, initial=0.0) for now in (first, flow))
    kept = any_moved & (after <= np.maximum(before, _CLOSE_A * np.abs(first.i).max(axis=1, initial=1.0)))
    return Point(np.where(kept[:, None], there.volt, point.volt), np.where(kept[:, None], there.rest, point.rest))


def operating(task: Task, start: Point, load: Floats, *, most: int = 25) -> tuple[Point, Flags]:
    """The potentials at a load, from a start above them, and which samples arrived; one that stalls is given up."""
    return _walk(task, start, load, most, _damped, patience=_PATIENCE)


def corrected(task: Task, start: Point, load: Floats) -> tuple[Point, Flags]:
    """The potentials at a load, from a start close by, and which samples arrived; a sample that stalls is given up."""
    return _walk(task, start, load, _PATIENCE, _damped, patience=1)


@frozen(eq=False)
class _Stride:
    """A Newton step that is about to be made."""

    task: Task
    here: Point
    load: Floats
    flow: Flows
    unbalance: Floats
    step: Floats
    count: int

    def unbalance_after(self, length: Floats) -> Floats:
        """What Kirchhoff's law would miss after so much of the step [A]."""
        ahead = self.here.moved(self.step * length[:, None])
        return self.task.unbalance(self.task.at(ahead, self.load))


def _walk(
    task: Task, start: Point, load: Floats, most: int, pace: Callable[[_Stride], Floats], *, patience: int
) -> tuple[Point, Flags]:
    """Newton steps until every sample balances or `most` are done; a sample that balances is left alone, and so is one
    that a step after the first `patience` does not bring to half of what it missed."""
    point = Point(start.volt.copy(), start.rest.copy())
    rows = np.arange(len(load))
    arrived = np.zeros(len(load), dtype=np.bool_)
    here, before = point, np.full(len(load), np.inf)
    for count in range(most + 1):
        flow = task.at(here, load)
        unbalance = task.unbalance(flow)
        largest = np.abs(flow.i).max(axis=1, initial=1.0)
        worst, now = np.abs(unbalance).max(axis=1, initial=0.0), np.abs(unbalance).sum(axis=1)
        close = worst <= (_CLOSE_A if count < most else _NEAR_A) * largest
        stalled = (count > patience) & (now > 0.5 * before) & (worst > _NEAR_A * largest)
        left, before = ~close & np.isfinite(now) & ~stalled, now
        if not left.all() or count == most:
            point.volt[rows], point.rest[rows] = here.volt, here.rest
            arrived[rows] = close
            if not left.any() or count == most:
                break
            rows, task, load, here = rows[left], task.take(left), load[left], here.take(left)
            flow, unbalance, before = task.at(here, load), unbalance[left], before[left]
        step = _step(task, here, flow, unbalance)
        length = pace(_Stride(task, here, load, flow, unbalance, step, count))
        here = here.moved(step * length[:, None])
    return point, arrived


def _within_reach(task: Task, here: Point, adrift: Adrift, step: Floats) -> Floats:
    """The step, with groups of nets that nothing holds at present shifted back to voltages that sources can make.

    Past a blocked element the ground is flat: there a group moves by the leak, which says where to but not how far.
    """
    label, loose = adrift.label, adrift.loose
    reach_v = np.maximum(task.reach_v()[:, None], np.abs(here.volt).max(axis=1, keepdims=True, initial=0.0))
    ahead = here.volt + step
    beyond = np.where(loose, np.maximum(ahead - reach_v, 0.0) - np.maximum(-reach_v - ahead, 0.0), 0.0)
    if not beyond.any():
        return step
    highest, lowest = np.zeros_like(step), np.zeros_like(step)
    rows = np.arange(len(step))[:, None]
    np.maximum.at(highest, (rows, label), beyond)
    np.minimum.at(lowest, (rows, label), beyond)
    back: Floats = (highest + lowest)[rows, label]
    return step - back * loose


def _descended(stride: _Stride) -> Floats:
    """The part of a step after which the convex function of the unloaded network is lowest, nearly."""
    slope = np.abs((stride.unbalance * stride.step).sum(axis=1))

    def ahead(length: Floats) -> Floats:
        along: Floats = (stride.unbalance_after(length) * stride.step).sum(axis=1)
        return along

    return length_of(ahead, slope)


def _damped(stride: _Stride) -> Floats:
    """The whole step, shortened so that no constant-power branch loses its voltage in it."""
    ports = stride.task.circuit.ports
    change = stride.step[:, stride.task.circuit.a[ports]] - stride.step[:, stride.task.circuit.b[ports]]
    u = stride.flow.u[:, ports]
    falls = (stride.flow.watt[:, ports] > 0.0) & (change < -(1.0 - _LEAST_U) * u)
    share = np.divide((_LEAST_U - 1.0) * u, change, out=np.ones_like(u), where=falls)
    length: Floats = share.min(axis=1, initial=1.0)
    if stride.count >= _PATIENCE:
        before = np.abs(stride.unbalance).sum(axis=1)
        for _ in range(6):
            worse = ~(np.abs(stride.unbalance_after(length)).sum(axis=1) < before)
            if not worse.any():
                break
            length = np.where(worse, length / 2.0, length)
    return length


def operates(task: Task, point: Point, load: Floats) -> tuple[Point, Flags]:
    """The point with one last step, and in which samples it is an operating point.

    With all constant-power currents linearised at the point, raising them together from nothing must meet no singular
    matrix: no real eigenvalue of ``Z diag(P / u**2)`` is 1 or more, Z being the resistances between the ports. For
    resistive networks that holds at one solution at most, the one that unloading leads back to no load, since the set
    of voltages where it holds is convex. Besides, every load that draws a current of its own has a positive voltage.
    """
    circuit = task.circuit
    flow = task.at(point, load)
    ports = circuit.ports
    a, b = circuit.a[ports], circuit.b[ports]
    right = np.zeros((len(load), circuit.size, 1 + len(ports)))
    right[:, :, 0] = -task.unbalance(flow)
    column = 1 + np.arange(len(ports))
    right[:, a, column] += 1.0
    right[:, b, column] -= 1.0
    right *= task.parts.free[:, :, None]
    answer = solved(circuit, task.linearised(flow, task.adrift(flow)), right)
    u = flow.u[:, ports]
    steep = np.divide(load * flow.watt[:, ports], u * u, out=np.zeros_like(u), where=u != 0.0)
    seen = (answer[:, a, 1:] - answer[:, b, 1:]) * steep[:, None, :]
    good: Flags = np.abs(seen).sum(axis=2).max(axis=1, initial=0.0) < 1.0
    unsure = np.flatnonzero(~good)
    if len(unsure):
        good[unsure] = ~_folded(seen[unsure])
    good &= ~somewhere((flow.watt + task.law.amp > 0.0) & (flow.u <= LEAST_V))
    return point.moved(answer[:, :, 0]), good


def _folded(seen: Floats) -> Flags:
    """Whether ``W diag(P / u**2)`` has a real eigenvalue of -1 or less, W being the ports seen with their loads.

    Its eigenvalues are ``k / (1 - k)`` for those k of the ports without them.
    """
    finite = ~somewhere(~np.isfinite(np.abs(seen).sum(axis=2)))
    values = np.linalg.eigvals(np.where(finite[:, None, None], seen, 0.0))
    real: Flags = np.abs(values.imag) <= 1e-9 * np.abs(values)
    folded: Flags = real & (values.real <= -1.0)
    return ~finite | somewhere(folded)
