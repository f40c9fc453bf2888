"""What switches itself: contacts, lock-outs, loads below their minimum; solved again until nothing moves any more.

A sample that comes back to a state it was in before is hunting: what moves in that circle is named, left open or off
for good, and the rest goes on to a state that holds. That ends, because every round of it leaves less to move.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from rigfeed.network.circuit import Circuit
from rigfeed.network.newton import LEAST_V
from rigfeed.network.operate import solved, tried
from rigfeed.network.ranges import Flags, Floats, Places, somewhere
from rigfeed.network.states import Near, Outcome, States, joined
from rigfeed.network.values import Values


def settled(
    circuit: Circuit, values: Values, start: States, *, shedding: bool, tell: Callable[[float], None],
    near: Near | None = None,
) -> Outcome:
    """Solve, move what the voltages move, and again, until nothing moves.

    Parameters
    ----------
    shedding : bool
        Whether loads switch off below their minimum voltage (and come back), or all that are asked for run.
    tell : callable
        Called before every round with the share of samples that are done.
    near : Near, optional
        Where to look first.

    Returns
    -------
    outcome : Outcome
        What has no operating point is barred in its states, and nothing more than must be: one that could run after
        all with what the others left over is back on.
    """
    outcome = Outcome.empty(circuit, start.take(slice(None)))
    rows = np.arange(values.samples)
    states = start.take(rows)
    seen = [states.moving]
    since = np.zeros(len(rows), dtype=np.intp)
    while len(rows):
        tell(1.0 - len(rows) / values.samples)
        here, before = values.take(rows), states.moving
        found, stuck, barred = solved(circuit, here, states, near)
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
        near = near.take(left) if near is not None else None
        seen = [*(old[left] for old in seen), states.moving]
    _readmit(circuit, values, outcome, start.barred, shedding)
    return outcome


def _readmit(circuit: Circuit, values: Values, outcome: Outcome, before: Flags, shedding: bool) -> None:
    """Let back in, one by one, whatever was barred only because of another that was barred after it.

    What was barred `before` stays so: in both answers the same loads are without an operating point.
    """
    barred = outcome.states.barred
    for place in range(barred.shape[1]):
        rows = np.flatnonzero((barred & ~before)[:, place] & (barred.sum(axis=1) > 1))
        if not len(rows):
            continue
        trial, here = outcome.states.take(rows), values.take(rows)
        trial.admit(place)
        found, good = tried(circuit, here, trial)
        after = trial.take(slice(None))
        after.settle_at(_moved(circuit, here, found, shedding))
        good &= ~somewhere(after.moving != trial.moving)
        outcome.put(rows, found, good)
        barred[rows[good], place] = False


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
        shed = (on & ~below_minimum(values, u)) | (values.sink_asked & (u >= values.sink_restart_v))
        on = np.where(fed[:, span], shed, on)
    return joined(closed, running, on)


def below_minimum(values: Values, u: Floats) -> Flags:
    """Which loads are below their minimum at these voltages, by more than rounding: 0 V are not below 0 V."""
    below: Flags = u < values.sink_min_v - LEAST_V
    return below


def _alive_u(circuit: Circuit, found: Outcome, branches: Places) -> Floats:
    """The voltage of each branch, 0 where its nets are dead or do not belong together [V]."""
    a, b = circuit.a[branches], circuit.b[branches]
    alive = found.parts.live[:, a] & (found.parts.label[:, a] == found.parts.label[:, b])
    return np.where(alive, found.u[:, branches], 0.0)


def _sensed(circuit: Circuit, found: Outcome) -> Floats:
    a, b = circuit.network.sense[:, 0], circuit.network.sense[:, 1]
    alive = found.parts.live[:, a] & (found.parts.label[:, a] == found.parts.label[:, b])
    return np.where(alive, found.volt[:, a] - found.volt[:, b], 0.0)
