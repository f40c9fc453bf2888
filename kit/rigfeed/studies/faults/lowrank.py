"""Many variants of one network from one inverse: each short and each opened device changes it by one branch.

With the conductance matrix ``G`` of the network before the short, ``Z`` its inverse and ``A`` the ends of the k
branches that are changed, the potentials afterwards are (Sherman, Morrison and Woodbury)::

    v = v0 + Z A y,    (1 + dg A' Z A) y = ds - dg A' v0

where `dg` and `ds` are what each changed branch gains in conductance and in current of its own: a system of k unknowns
instead of one for every net, and k counts the short, what has opened, and what is at its limit.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from rigfeed.frozen import frozen
from rigfeed.network.ranges import Flags, Floats, Places, distinct
from rigfeed.studies.faults.cases import OPEN_S, Branches
from rigfeed.studies.faults.shorts import Short

LINEAR, AT_LOW, AT_HIGH = 0, 1, 2  # how a limited or one-way branch stands
MOST_FLIPS = 200
EAGER_FLIPS = 12  # after so many rounds only the first branch that is wrong is turned, which cannot go round in circles
EDGE_A = 1e-7
LEAK_S = 1e-9  # of every net: what hangs on a load that is left out, or on nothing, has a potential too
ALIVE_V = 1.0  # below it no converter runs, whatever its lock-out: that one may take its time


@frozen(eq=False)
class Answer:
    """The currents of some variants [A], the first axis that of the variants. `stands` tells how each bend stands."""

    core_a: Floats
    port_a: Floats
    source_a: Floats
    short_a: Floats
    stands: Places


@frozen(eq=False)
class Ports:
    """A network, its inverse as seen from the branches that may change (`port`) and from the shorts.

    Attributes
    ----------
    port : array of int
        The branches that may change or decide of a change: bends, devices, disconnecting units, inputs of converters.
    watch : array of int
        The branches whose voltage is wanted: the cores, then the sources, then the ports.
    u0 : array, shape (watch,)
        Their voltage before any short [V].
    by_port : array, shape (ports, watch)
        Volts at each for an ampere fed into a port.
    by_short : array, shape (shorts, watch)
        The same for a short.
    short_v, short_z : array, shape (shorts,)
        Open-circuit voltage of a short [V], and the resistance that it sees [ohm].
    """

    branches: Branches
    port: Places
    watch: Places
    bend: Places
    u0: Floats
    by_port: Floats
    by_short: Floats
    short_v: Floats
    short_z: Floats
    core_of: Places
    share: Floats

    @classmethod
    def of(cls, branches: Branches, shorts: Sequence[Short]) -> Ports:
        """The ports of a network for some shorts; every net of a short must be one of the network."""
        z, v0 = _inverse(branches)
        port = distinct(np.concatenate([branches.bends, branches.guards, branches.units, branches.inputs]))
        watch = np.concatenate([branches.cores, branches.sources, port])
        a, b = branches.a[watch], branches.b[watch]
        by_net = z[:, a] - z[:, b]
        near, far, to, share, core_of = _ends(branches, shorts)
        near_weight = (1.0 - share)[:, None]
        by_short = near_weight * by_net[near] + share[:, None] * by_net[far] - by_net[to]
        column = near_weight * z[near] + share[:, None] * z[far] - z[to]
        rows = np.arange(len(shorts))
        own = (1.0 - share) * column[rows, near] + share * column[rows, far] - column[rows, to]
        ohm = np.where(core_of >= 0, 1.0 / branches.g[branches.cores[core_of]] if len(branches.cores) else 0.0, 0.0)
        return cls(
            branches=branches, port=port, watch=watch, bend=np.searchsorted(port, branches.bends),
            u0=v0[a] - v0[b], by_port=by_net[branches.a[port]] - by_net[branches.b[port]], by_short=by_short,
            short_v=(1.0 - share) * v0[near] + share * v0[far] - v0[to],
            short_z=own + ohm * share * (1.0 - share), core_of=core_of, share=share,
        )

    @property
    def first_port(self) -> int:
        """Where the ports begin among what is watched."""
        return len(self.watch) - len(self.port)

    def solved(self, rows: Places, ohm: Floats, opened: Flags, stands: Places) -> Answer:
        """The variants of some shorts.

        Parameters
        ----------
        rows : array of int
            The short of each variant.
        ohm : array, shape (variants,)
            The resistance of the short itself [ohm].
        opened : array of bool, shape (variants, ports)
            The ports that have opened.
        stands : array of int, shape (variants, bends)
            How the bends may stand: where the search begins.
        """
        stands, opened = stands.copy(), opened.copy()
        inputs, outputs = (np.searchsorted(self.port, part) for part in (self.branches.inputs, self.branches.outputs))
        left = np.arange(len(rows))
        while len(left):
            u = self._settle(rows, ohm, opened, stands, left)
            dead = (u[:, inputs] < ALIVE_V) & ~opened[np.ix_(left, outputs)]
            opened[np.ix_(left, outputs)] |= dead
            left = left[dead.any(axis=1)]
        return self._answer(rows, ohm, opened, stands)

    def _settle(self, rows: Places, ohm: Floats, opened: Flags, stands: Places, chosen: Places) -> Floats:
        """Let the bends of the chosen variants fall into place, in `stands`; the volts at the ports then."""
        ports, left = slice(self.first_port, None), np.arange(len(chosen))
        u = np.zeros((len(chosen), len(self.port)))
        for count in range(MOST_FLIPS):
            now = chosen[left]
            u[left] = self.volts(rows[now], ohm[now], opened[now], stands[now], ports)[0]
            wanted = self._wanted(u[np.ix_(left, self.bend)], opened[now], stands[now])
            wrong = wanted != stands[now]
            if count >= EAGER_FLIPS:
                wrong &= np.cumsum(wrong, axis=1) == 1
            stands[now] = np.where(wrong, wanted, stands[now])
            left = left[wrong.any(axis=1)]
            if not len(left):
                break
        return u

    def _wanted(self, u: Floats, opened: Flags, stands: Places) -> Places:
        """How each bend would have to stand at its voltage; from one limit to the other only over what is between."""
        bends = self.branches.bends
        raw = self.branches.g[bends] * (u - self.branches.e[bends])
        shut = opened[:, self.bend]
        low = (raw < self.branches.low[bends] - EDGE_A) & ~shut & (stands != AT_HIGH)
        high = (raw > self.branches.high[bends] + EDGE_A) & ~shut & (stands != AT_LOW)
        return np.where(low, AT_LOW, np.where(high, AT_HIGH, LINEAR))

    def _changes(self, opened: Flags, stands: Places) -> tuple[Floats, Floats]:
        """What each port gains in conductance [S] and in current fed into its first net [A]."""
        branches, g = self.branches, self.branches.g[self.port]
        own_a = g * branches.e[self.port]
        siemens = np.where(opened, OPEN_S - g, 0.0)
        amps = np.where(opened, -own_a, 0.0)
        fixed = ~opened[:, self.bend] & (stands != LINEAR)
        limit = np.where(stands == AT_LOW, branches.low[branches.bends], branches.high[branches.bends])
        # a branch at its limit keeps a trace of its slope, so that nothing behind it loses its hold
        given = np.where(fixed, -np.where(np.isfinite(limit), limit, 0.0) - own_a[self.bend], amps[:, self.bend])
        siemens[:, self.bend] = np.where(fixed, OPEN_S - g[self.bend], siemens[:, self.bend])
        amps[:, self.bend] = given
        return siemens, amps

    def volts(
        self, rows: Places, ohm: Floats, opened: Flags, stands: Places, wanted: slice
    ) -> tuple[Floats, Floats]:
        """The voltage of the watched branches that are wanted [V], and the current through the short [A], with the
        bends as they are said to stand."""
        siemens, amps = self._changes(opened, stands)
        changed = (siemens != 0.0) | (amps != 0.0)
        most = int(changed.sum(axis=1).max(initial=0))
        chosen = np.argsort(~changed, axis=1, kind="stable")[:, :most]
        dg, ds = np.take_along_axis(siemens, chosen, 1), np.take_along_axis(amps, chosen, 1)
        start = self.first_port
        by_short = self.by_short[rows]
        count = np.arange(len(rows))
        matrix = np.empty((len(rows), most + 1, most + 1))
        matrix[:, :most, :most] = self.by_port[chosen[:, :, None], start + chosen[:, None, :]]
        matrix[:, :most, most] = by_short[count[:, None], start + chosen]
        matrix[:, most, :most] = matrix[:, :most, most]
        matrix[:, most, most] = self.short_z[rows]
        before = np.concatenate([self.u0[start + chosen], self.short_v[rows, None]], axis=1)
        gained = np.concatenate([dg, 1.0 / ohm[:, None]], axis=1)
        right = np.concatenate([ds, np.zeros((len(rows), 1))], axis=1) - gained * before
        matrix = gained[:, :, None] * matrix + np.eye(most + 1)
        y = np.linalg.solve(matrix, right[:, :, None])[:, :, 0]
        moved = (y[:, None, :most] @ self.by_port[:, wanted][chosen])[:, 0] if most else 0.0
        return self.u0[wanted] + moved + y[:, most:] * by_short[:, wanted], -y[:, most]

    def _answer(self, rows: Places, ohm: Floats, opened: Flags, stands: Places) -> Answer:
        branches = self.branches
        u, short_a = self.volts(rows, ohm, opened, stands, slice(None))
        amps = branches.g[self.watch] * (u - branches.e[self.watch])
        amps = np.minimum(np.maximum(amps, branches.low[self.watch]), branches.high[self.watch])
        port_a = np.where(opened, OPEN_S * u[:, self.first_port:], amps[:, self.first_port:])
        cores = len(branches.cores)
        source_a = -amps[:, cores : self.first_port]
        also_port = np.searchsorted(self.port, branches.sources)
        for number, place in enumerate(also_port):
            if place < len(self.port) and self.port[place] == branches.sources[number]:
                source_a[:, number] = -port_a[:, place]
        return Answer(amps[:, :cores], port_a, source_a, short_a, stands)

    def halves(self, rows: Places, core_a: Floats, short_a: Floats) -> tuple[Floats, Floats]:
        """The current that the core on which a short lies brings to it from its `from` end and from its `to` end [A];
        not-a-number where the short lies at an end."""
        own, share = self.core_of[rows], self.share[rows]
        through = core_a[np.arange(len(rows)), own] if core_a.shape[1] else np.zeros(len(rows))
        start = np.where(own >= 0, through + (1.0 - share) * short_a, np.nan)
        return start, np.where(own >= 0, share * short_a - through, np.nan)


def _inverse(branches: Branches) -> tuple[Floats, Floats]:
    """The inverse of the conductance matrix with zeros for the grounded nets, and the potentials before any short with
    every bend conducting."""
    size = len(branches.nets)
    matrix, right = np.zeros((size, size)), np.zeros(size)
    for near, far, sign in ((branches.a, branches.a, 1.0), (branches.b, branches.b, 1.0),
                            (branches.a, branches.b, -1.0), (branches.b, branches.a, -1.0)):
        np.add.at(matrix, (near, far), sign * branches.g)
    np.add.at(right, branches.a, branches.g * branches.e)
    np.add.at(right, branches.b, -branches.g * branches.e)
    free = ~branches.grounded
    matrix[np.diag_indices(size)] += LEAK_S
    inverse = np.zeros((size, size))
    inverse[np.ix_(free, free)] = np.linalg.inv(matrix[np.ix_(free, free)])
    return inverse, inverse @ np.where(free, right, 0.0)


def _ends(branches: Branches, shorts: Sequence[Short]) -> tuple[Places, Places, Places, Floats, Places]:
    """The nets between which each short lies, its share of the way and its to-net; the place of its core or -1.

    The share is that of the resistance: the joints at both ends count.
    """
    places = {name: number for number, name in enumerate(branches.nets)}
    core_places = {id_: number for number, id_ in enumerate(branches.core_ids)}
    near, far, to, core_of = [], [], [], []
    for short in shorts:
        own = core_places[short.core] if short.core is not None else -1
        branch = branches.cores[own] if own >= 0 else None
        near.append(places[short.at] if branch is None else int(branches.a[branch]))
        far.append(places[short.at] if branch is None else int(branches.b[branch]))
        to.append(places[short.to])
        core_of.append(own)
    share = np.array([short.share for short in shorts], dtype=np.float64)
    return (
        np.array(near, dtype=np.intp), np.array(far, dtype=np.intp), np.array(to, dtype=np.intp), share,
        np.array(core_of, dtype=np.intp),
    )
