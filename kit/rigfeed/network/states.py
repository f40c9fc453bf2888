"""What switches itself: contacts, lock-outs, loads below their minimum; solved again until nothing moves any more.

A sample that comes back to a state it was in before is hunting: what moves in that circle is named, left open or off
for good, and the rest goes on to a state that holds. That ends, because every round of it leaves less to move.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from rigfeed.network.circuit import Circuit
from rigfeed.network.fold import raised, runaway
from rigfeed.network.laws import Flows, law
from rigfeed.network.newton import LEAST_V, Task, operates, operating, unloaded
from rigfeed.network.parts import Parts
from rigfeed.network.ranges import Flags, Floats, Places, somewhere
from rigfeed.network.values import Values


@dataclass(eq=False)
class States:
    """How everything that can switch stands in each sample, and what is barred from coming back.

    `barred` sinks and converters have no operating point; `hunting` ones (with switches) were caught in a circle.
    """

    closed: Flags
    running: Flags
    on: Flags
    barred_sinks: Flags
    barred_converters: Flags
    hunting: Flags

    @classmethod
    def first(cls, values: Values) -> States:
        """As the values say it stood before; every load asked for is on."""
        closed, running, on = (np.array(v) for v in (values.switch_closed, values.converter_on, values.sink_asked))
        hunting = np.zeros_like(_joined(closed, running, on))
        return cls(closed, running, on, np.zeros_like(on), np.zeros_like(running), hunting)

    def take(self, rows: Any) -> States:
        """The states of some samples, as a copy."""
        return States(*(np.array(getattr(self, field.name)[rows]) for field in fields(self)))

    def put(self, rows: Places, states: States, chosen: Flags) -> None:
        """Take over the chosen samples of `states`, which stand at `rows` here."""
        for field in fields(self):
            getattr(self, field.name)[rows[chosen]] = getattr(states, field.name)[chosen]

    @property
    def moving(self) -> Flags:
        """Everything that can move, side by side."""
        return _joined(self.closed, self.running, self.on)

    def settle_at(self, moving: Flags) -> None:
        """Take over what has moved; what is barred or hunting stays off."""
        moving = moving & ~self.hunting
        switches, converters = self.closed.shape[1], self.running.shape[1]
        self.closed = moving[:, :switches]
        self.running = moving[:, switches : switches + converters] & ~self.barred_converters
        self.on = moving[:, switches + converters :] & ~self.barred_sinks


@dataclass(eq=False)
class Outcome:
    """The state that holds in each sample, and what flows in it."""

    states: States
    parts: Parts
    volt: Floats
    u: Floats
    i: Floats
    limited: Flags

    @classmethod
    def empty(cls, circuit: Circuit, states: States) -> Outcome:
        """Room for the outcome of these samples."""
        nets, branches = (len(states.on), circuit.size), (len(states.on), len(circuit.a))
        off, no = np.zeros(nets, np.bool_), np.zeros(branches, np.bool_)
        parts = Parts(np.zeros(nets, np.intp), off, off.copy(), no)
        return cls(states, parts, np.zeros(nets), np.zeros(branches), np.zeros(branches), no.copy())

    def put(self, rows: Places, other: Outcome, chosen: Flags) -> None:
        """Take over the chosen samples of another outcome, which stand at `rows` here."""
        to = rows[chosen]
        self.states.put(rows, other.states, chosen)
        for name in ("volt", "u", "i", "limited"):
            getattr(self, name)[to] = getattr(other, name)[chosen]
        for name in ("label", "live", "free", "fed"):
            getattr(self.parts, name)[to] = getattr(other.parts, name)[chosen]


def settled(
    circuit: Circuit, values: Values, start: States, *, shedding: bool, tell: Callable[[float], None]
) -> Outcome:
    """Solve, move what the voltages move, and again, until nothing moves.

    Parameters
    ----------
    shedding : bool
        Whether loads switch off below their minimum voltage (and come back), or all that are asked for run.
    tell : callable
        Called before every round with the share of samples that are done.
    """
    outcome = Outcome.empty(circuit, start.take(slice(None)))
    rows = np.arange(values.samples)
    states = start.take(rows)
    seen = [states.moving]
    since = np.zeros(len(rows), dtype=np.intp)
    while len(rows):
        tell(1.0 - len(rows) / values.samples)
        here, before = values.take(rows), states.moving
        found, stuck, barred = _solved(circuit, here, states)
        after = states.take(slice(None))
        after.settle_at(np.where(stuck[:, None], states.moving, _moved(circuit, here, found, shedding)))
        changed = somewhere(after.moving != before) | barred
        outcome.put(rows, found, ~changed)
        circling = _circle(seen, after.moving, since) & (changed & ~barred)[:, None]
        after.hunting |= circling
        after.settle_at(after.moving)
        since = np.where(somewhere(circling) | barred, len(seen), since)
        left = changed
        rows, states, since = rows[left], after.take(left), since[left]
        seen = [*(old[left] for old in seen), states.moving]
    return outcome


def _circle(seen: list[Flags], now: Flags, since: Places) -> Flags:
    """What moved since the state was last as it is now; nothing where it never was."""
    moved = np.zeros_like(now)
    start = np.full(len(now), len(seen))
    for number in reversed(range(len(seen))):
        met = (seen[number] == now).all(axis=1) & (number >= since)
        start = np.where(met, number, start)
    for number, old in enumerate(seen):
        moved |= (old != now) & (number >= start)[:, None]
    return moved


def _solved(circuit: Circuit, values: Values, states: States) -> tuple[Outcome, Flags, Flags]:
    """The operating point in these states, which samples are stuck without one, and which of those for good.

    What has no operating point is barred in `states`; a converter without input voltage is only switched off there.
    """
    parts = Parts.of(circuit, states.closed, states.running)
    task = Task.of(circuit, law(circuit, values, parts, states.closed, states.on), parts)
    start = unloaded(task)
    full = np.ones((values.samples, 1))
    before = task.at(start, np.zeros_like(full))
    draws = (task.law.amp > 0.0) | (task.law.watt > 0.0)
    draws[:, circuit.inputs] = parts.fed[:, circuit.inputs]
    flat = draws & (before.u <= LEAST_V)
    states.running &= ~flat[:, circuit.inputs]
    stuck = somewhere(flat)
    barred = flat.copy()
    barred[:, circuit.inputs] = False
    clear = np.flatnonzero(~stuck)
    point = start
    if len(clear):
        now = task.take(clear)
        there, arrived = operating(now, start.take(clear), full[clear])
        there, good = operates(now, there, full[clear])
        bad = np.flatnonzero(~(arrived & good))
        if len(bad):
            hard, begin = now.take(bad), start.take(clear[bad])
            end = raised(hard, begin)
            there.volt[bad], there.rest[bad] = end.point.volt, end.point.rest
            barred[clear[bad]] = runaway(hard, begin, end)
        point.volt[clear], point.rest[clear] = there.volt, there.rest
    for_good = somewhere(barred)
    states.barred_sinks |= barred[:, circuit.span["sink"]]
    states.barred_converters |= barred[:, circuit.inputs]
    flow = task.at(point, full)
    found = Outcome(states, parts, point.volt + point.rest, flow.u, flow.i, _limited(circuit, task, flow))
    return found, stuck | for_good, for_good


def _limited(circuit: Circuit, task: Task, flow: Flows) -> Flags:
    """The sources and converters that give all the current they may."""
    may = np.zeros(len(circuit.a), dtype=np.bool_)
    may[circuit.span["source"]] = True
    may[circuit.outputs] = True
    return may & task.parts.fed & (flow.i <= task.law.low + task.law.edge_a)


def _moved(circuit: Circuit, values: Values, found: Outcome, shedding: bool) -> Flags:
    """Where switches, converters and (when shedding) sinks go at these voltages."""
    states, fed = found.states, found.parts.fed
    sensed = _sensed(circuit, found)
    senses = circuit.network.sense[:, 0] >= 0
    closed = (states.closed & (sensed >= values.switch_open_v)) | (sensed >= values.switch_close_v)
    closed = np.where(senses, closed, states.closed)
    inputs = _alive_u(circuit, found, circuit.inputs)
    running = (states.running & (inputs >= values.converter_cutoff_v)) | (inputs >= values.converter_restart_v)
    running &= inputs > LEAST_V
    on = states.on
    if shedding:
        span = circuit.span["sink"]
        u = found.u[:, span]
        shed = (on & (u >= values.sink_min_v)) | (values.sink_asked & (u >= values.sink_restart_v))
        on = np.where(fed[:, span], shed, on)
    return _joined(closed, running, on)


def _alive_u(circuit: Circuit, found: Outcome, branches: Places) -> Floats:
    """The voltage of each branch, 0 where its nets are dead or do not belong together [V]."""
    a, b = circuit.a[branches], circuit.b[branches]
    alive = found.parts.live[:, a] & (found.parts.label[:, a] == found.parts.label[:, b])
    return np.where(alive, found.u[:, branches], 0.0)


def _sensed(circuit: Circuit, found: Outcome) -> Floats:
    a, b = circuit.network.sense[:, 0], circuit.network.sense[:, 1]
    alive = found.parts.live[:, a] & (found.parts.label[:, a] == found.parts.label[:, b])
    return np.where(alive, found.volt[:, a] - found.volt[:, b], 0.0)


def _joined(closed: Flags, running: Flags, on: Flags) -> Flags:
    return np.concatenate([closed, running, on], axis=1)
