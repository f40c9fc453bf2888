"""How everything that can switch stands in each sample, and what flows in such a state."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from rigfeed.frozen import frozen
from rigfeed.network.circuit import Circuit
from rigfeed.network.parts import Parts
from rigfeed.network.ranges import Flags, Floats, Places
from rigfeed.network.values import Values


@dataclass(eq=False)
class States:
    """How everything that can switch stands in each sample, and what is barred from coming back.

    `barred` sinks and converters have no operating point; `hunting` ones (with switches) were caught in a circle.
    `reached`, of shape (samples,), is the load up to which raising all of them has led, or 0 where none was raised.
    """

    closed: Flags
    running: Flags
    on: Flags
    barred_sinks: Flags
    barred_converters: Flags
    hunting: Flags
    reached: Floats

    @classmethod
    def first(cls, values: Values) -> States:
        """As the values say it stood before; every load asked for is on."""
        closed, running, on = (np.array(v) for v in (values.switch_closed, values.converter_on, values.sink_asked))
        hunting = np.zeros_like(joined(closed, running, on))
        return cls(closed, running, on, np.zeros_like(on), np.zeros_like(running), hunting, np.zeros(len(on)))

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
        return joined(self.closed, self.running, self.on)

    @property
    def barred(self) -> Flags:
        """What has no operating point, beside each other: sinks, converters."""
        return np.concatenate([self.barred_sinks, self.barred_converters], axis=1)

    def admit(self, place: int) -> None:
        """Switch on, everywhere, one that was barred; `place` is its column in `barred`."""
        sinks = self.on.shape[1]
        if place < sinks:
            self.barred_sinks[:, place], self.on[:, place] = False, True
        else:
            self.barred_converters[:, place - sinks], self.running[:, place - sinks] = False, True

    def settle_at(self, moving: Flags) -> None:
        """Take over what has moved; what is barred or hunting stays off."""
        moving = moving & ~self.hunting
        switches, converters = self.closed.shape[1], self.running.shape[1]
        self.closed = moving[:, :switches]
        self.running = moving[:, switches : switches + converters] & ~self.barred_converters
        self.on = moving[:, switches + converters :] & ~self.barred_sinks


@frozen(eq=False)
class Near:
    """Where everything stood and the potentials of the nets in a solution with nearly the same numbers, by sample."""

    moving: Flags
    volt: Floats

    def take(self, rows: Any) -> Near:
        """Some of the samples."""
        return Near(self.moving[rows], self.volt[rows])


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


def joined(closed: Flags, running: Flags, on: Flags) -> Flags:
    """Switches, converters and sinks side by side."""
    return np.concatenate([closed, running, on], axis=1)
