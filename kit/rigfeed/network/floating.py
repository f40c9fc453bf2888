"""Where nets stand that nothing holds: behind blocked one-way elements the laws leave a range of voltages.

No current flows there, so any voltage within the range obeys every law. The one that is answered is that of a trace of
leakage from every net to 0 V, in the limit of none: of all voltages that the laws allow the nearest to 0 V. A net that
one-way sources feed thus stands at the open-circuit voltage of the highest of them, one that can only be drained at
0 V, and so does one whose only source has a limit of 0 A.
Loads that are about to draw a current count as far stronger leaks: they pull the net to whatever will feed them.

The nets that carrying branches tie together move as one. Where no bound and no load lies between two such groups, each
goes to where its pulls balance or to the bound in its way. Else their shifts minimise a quadratic form between bounds
on differences, by the method of multipliers: its steps are convex and piecewise quadratic, and it ends on the bounds
exactly, not beside them.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from rigfeed.frozen import frozen
from rigfeed.network.circuit import Circuit
from rigfeed.network.descent import length_of
from rigfeed.network.laws import Flows, Law, Point
from rigfeed.network.parts import Parts, merge
from rigfeed.network.ranges import Flags, Floats, Places, distinct, somewhere

_LOAD = 1e3  # how much stronger a load pulls than a leak
_STIFF = 1e8  # of a bound, against a leak of 1
_ROUNDS = 12  # of multipliers; each brings the bounds nearer by a factor of _STIFF / _LOAD at least
_STEPS = 40
_DIGITS = 1e-15
_TRACE_V = 1e-20
_HARDLY_V = 1e-18  # a shift that no current could show


@frozen(eq=False)
class _Afloat:
    """The groups of nets that nothing holds, for the samples that have any.

    `share` of shape (samples, nets, groups) says which net belongs to which group. `limits` and `pulls` are the
    branches that bound the shifts and those that load them, as sums of shifts of shape (samples, branches, groups):
    ``limits @ shift <= room_v``, and ``pulls @ shift + pull_v`` is the voltage of a load.
    """

    share: Floats
    volt: Floats
    limits: Floats
    room_v: Floats
    pulls: Floats
    pull_v: Floats

    def take(self, rows: Places) -> _Afloat:
        """Some of the samples."""
        return _Afloat(*(array[rows] for array in vars(self).values()))


def brought_down(
    circuit: Circuit, law: Law, parts: Parts, held: Places, flow: Flows, draws: Flags, point: Point
) -> tuple[Point, Flags]:
    """The point with every group of nets that nothing holds as near to 0 V as the laws allow, and which samples moved.

    Parameters
    ----------
    held : array of int, shape (samples, nets)
        Labels of what hangs together by branches that never cease to conduct.
    flow : Flows
        The branches at the point.
    draws : array of bool, shape (samples, branches)
        The loads that draw a current of their own.
    """
    moved = np.zeros(len(held), dtype=np.bool_)
    idle = _idle(law, flow)
    rows = np.flatnonzero(somewhere(idle))
    label, loose = _groups(circuit, law, parts, held, idle, rows)
    adrift = somewhere(loose)
    rows, label, loose = rows[adrift], label[adrift], loose[adrift]
    if not len(rows):
        return point, moved
    afloat = _afloat(circuit, law.take(rows), flow, idle, draws, point, rows, label, loose)
    shift = np.zeros_like(point.volt)
    shift[rows] = (afloat.share @ _shifts(afloat)[:, :, None])[:, :, 0]
    moved = somewhere(np.abs(shift) > _HARDLY_V)
    shift[~moved] = 0.0
    return (_lifted(point, shift) if moved.any() else point), moved


def _idle(law: Law, flow: Flows) -> Flags:
    """The one-way branches that carry nothing; a source at its limit carries, and stays where it is."""
    bends: Flags = (law.g > 0.0) & np.isfinite(law.low)
    below = (law.low > -law.edge_a) & (flow.i <= law.edge_a)
    above = (law.high < law.edge_a) & (flow.i >= -law.edge_a)
    return bends & (below | above)


def _groups(circuit: Circuit, law: Law, parts: Parts, held: Places, idle: Flags, rows: Places) -> tuple[Places, Flags]:
    """The label of the group of each net in these samples, and which nets are in one that nothing holds."""
    label = held[rows]
    bends = np.flatnonzero(np.isfinite(law.low).any(axis=0))
    where = np.ix_(rows, bends)
    merge(label, circuit.ends[bends], (law.g[where] > 0.0) & ~idle[where])
    loose: Flags = (label != parts.label[rows]) & parts.free[rows]
    return label, loose


def _afloat(
    circuit: Circuit, law: Law, flow: Flows, idle: Flags, draws: Flags, point: Point,
    rows: Places, label: Places, loose: Flags,
) -> _Afloat:
    groups = distinct(label[loose])
    share = (loose[:, :, None] & (label[:, :, None] == groups)).astype(np.float64)
    idle, draws, u = idle[rows], draws[rows], flow.u[rows]
    pulling = np.flatnonzero(draws.any(axis=0))
    ceiling, ceiling_v = _bounds(law, idle, u, low=True)
    floor, floor_v = _bounds(law, idle, u, low=False)
    up, down = np.flatnonzero(ceiling.any(axis=0)), np.flatnonzero(floor.any(axis=0))

    def change(branches: Places, chosen: Flags) -> Floats:
        """How the voltage of each of these branches follows the shifts."""
        ends: Floats = share[:, circuit.a[branches]] - share[:, circuit.b[branches]]
        ends *= chosen[:, branches, None]
        return ends

    return _Afloat(
        share=share,
        volt=point.volt[rows],
        limits=np.concatenate([change(up, ceiling), -change(down, floor)], axis=1),
        room_v=np.concatenate([ceiling_v[:, up], floor_v[:, down]], axis=1),
        pulls=change(pulling, draws),
        pull_v=u[:, pulling] * draws[:, pulling],
    )


def _bounds(law: Law, idle: Flags, u: Floats, *, low: bool) -> tuple[Flags, Floats]:
    """Which idle branches allow no more (`low`) or no less than their corner, and how far they are from it [V].

    What may give nothing at all, a converter with a limit of 0, bounds nothing.
    """
    bound = law.low if low else law.high
    other = law.high if low else law.low
    chosen: Flags = idle & (np.abs(bound) <= law.edge_a) & (np.abs(other) > law.edge_a)
    room_v = np.where(chosen, (law.e - u) if low else (u - law.e), 0.0)
    return chosen, room_v


def _shifts(afloat: _Afloat) -> Floats:
    """The shift of each group in each sample [V]."""
    fixed = _square(afloat.share, np.ones(afloat.volt.shape))
    fixed += _LOAD * _square(afloat.pulls, np.ones(afloat.pull_v.shape))
    fixed += np.eye(fixed.shape[1]) * (afloat.share.sum(axis=1) == 0.0)[:, :, None]
    pull = _back(afloat.share, afloat.volt) + _LOAD * _back(afloat.pulls, afloat.pull_v)
    shift, force = _apart(afloat, fixed, pull), np.zeros(afloat.room_v.shape)
    left = np.flatnonzero(_coupled(afloat))
    shift[left] = 0.0
    for _ in range(_ROUNDS):
        if not len(left):
            break
        here, before = afloat.take(left), shift[left]
        shift[left] = _least(here, fixed[left], pull[left], before, force[left])
        force[left] = _pressed(here, shift[left], force[left])
        left = left[somewhere(np.abs(shift[left] - before) > _noise_v(before))]
    return shift


def _coupled(afloat: _Afloat) -> Flags:
    """In which samples a bound or a load lies between two groups."""
    between = [somewhere(np.count_nonzero(ends, axis=2) > 1) for ends in (afloat.limits, afloat.pulls)]
    return np.logical_or(*between)


def _apart(afloat: _Afloat, fixed: Floats, pull: Floats) -> Floats:
    """The shifts of groups that have nothing to do with each other: each to where its pulls balance, or to the bound in
    its way; half way between two bounds that rounding has made to cross."""
    room_v = afloat.room_v[:, :, None]
    most = np.where(afloat.limits > 0.0, room_v, np.inf).min(axis=1, initial=np.inf)
    least = np.where(afloat.limits < 0.0, -room_v, -np.inf).max(axis=1, initial=-np.inf)
    freely = -pull / np.diagonal(fixed, axis1=1, axis2=2)
    apart: Floats = np.where(least > most, (least + most) / 2.0, np.minimum(np.maximum(freely, least), most))
    return apart


def _least(afloat: _Afloat, fixed: Floats, pull: Floats, shift: Floats, force: Floats) -> Floats:
    """The shifts at which pulls and bounds balance, the bounds being springs with a force at rest."""
    shift, left = shift.copy(), np.arange(len(shift))
    for _ in range(_STEPS):
        springs = _Springs(afloat.take(left), fixed[left], pull[left], force[left])
        here = shift[left]
        slope = springs.gradient(here)
        step = np.empty_like(here)
        step[:] = np.linalg.solve(springs.curvature(here), -slope[:, :, None])[:, :, 0]
        length = length_of(partial(springs.along, here, step), np.abs((slope * step).sum(axis=1)))
        shift[left] = here + step * length[:, None]
        left = left[somewhere(np.abs(step) > _noise_v(here))]
        if not len(left):
            break
    return shift


def _noise_v(shift: Floats) -> Floats:
    noise: Floats = _DIGITS * np.abs(shift) + _TRACE_V
    return noise


@frozen(eq=False)
class _Springs:
    """A convex function of the shifts, quadratic where no bound begins or ends to press."""

    afloat: _Afloat
    fixed: Floats
    pull: Floats
    force: Floats

    def gradient(self, shift: Floats) -> Floats:
        """Its derivative by the shifts."""
        pressed = _pressed(self.afloat, shift, self.force)
        return self.pull + _on(self.fixed, shift) + _back(self.afloat.limits, pressed)

    def along(self, shift: Floats, step: Floats, length: Floats) -> Floats:
        """Its derivative along a step after a part of it."""
        along: Floats = (self.gradient(shift + step * length[:, None]) * step).sum(axis=1)
        return along

    def curvature(self, shift: Floats) -> Floats:
        """Its second derivative."""
        presses = (_pressed(self.afloat, shift, self.force) > 0.0).astype(np.float64)
        return self.fixed + _STIFF * _square(self.afloat.limits, presses)


def _pressed(afloat: _Afloat, shift: Floats, force: Floats) -> Floats:
    """The forces of the bounds at a shift."""
    pressed: Floats = np.maximum(0.0, force + _STIFF * (_on(afloat.limits, shift) - afloat.room_v))
    return pressed


def _on(matrix: Floats, column: Floats) -> Floats:
    product: Floats = (matrix @ column[:, :, None])[:, :, 0]
    return product


def _back(matrix: Floats, column: Floats) -> Floats:
    product: Floats = (column[:, None, :] @ matrix)[:, 0, :]
    return product


def _square(matrix: Floats, weight: Floats) -> Floats:
    product: Floats = matrix.transpose(0, 2, 1) @ (matrix * weight[:, :, None])
    return product


def _lifted(point: Point, shift: Floats) -> Point:
    """The point moved by shifts as large as its potentials, the rounding error kept: groups move without strain."""
    volt = point.volt + shift
    back = volt - point.volt
    lost = (point.volt - (volt - back)) + (shift - back)
    return Point(volt, point.rest + lost).moved(np.zeros_like(shift))
