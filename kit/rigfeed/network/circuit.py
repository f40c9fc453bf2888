"""A network as branches between two nets, and the sums over branches that its equations need.

A converter is two branches, its input and its output; every other element is one. All sums run over sorted lists, so
that the same numbers are added in the same order whatever the number of samples.
"""

from __future__ import annotations

from functools import cached_property
from typing import Any

import numpy as np

from rigfeed.frozen import frozen
from rigfeed.network.network import Network, joined, pairs
from rigfeed.network.ranges import KINDS, Flags, Floats, Kind, Places


@frozen(eq=False)
class Sums:
    """Adds signed columns of an array into target positions: ``out[:, target] = sum of sign * columns[:, source]``."""

    target: Places
    source: Places
    sign: Floats
    start: Places

    @classmethod
    def of(cls, target: Places, source: Places, sign: Floats) -> Sums:
        """The sums for these triples; the targets that occur are kept in rising order."""
        order = np.argsort(target, kind="stable")
        targets, start = np.unique(target[order], return_index=True)
        return cls(targets, source[order], sign[order], start)

    def __call__(self, columns: Floats) -> Floats:
        """One column for each target."""
        if not len(self.start):
            return np.zeros((columns.shape[0], 0))
        return np.add.reduceat(columns[:, self.source] * self.sign, self.start, axis=1)


@frozen(eq=False)
class Circuit:
    """The branches of a network and where each one enters the nodal equations and their Jacobian.

    `a` and `b` are the nets of each branch, in the order of the kinds; `span` is the place of each kind among the
    branches; `inputs` and `outputs` are those of the converters. `ports` are the branches whose current grows as their
    voltage falls: constant-power sinks and converter inputs.
    """

    network: Network
    a: Places
    b: Places
    span: dict[Kind, slice]
    inputs: Places
    outputs: Places
    ports: Places
    metal: Places
    always: Places
    kirchhoff: Sums
    stamps: Sums
    diagonal: Places

    @classmethod
    def of(cls, network: Network) -> Circuit:
        """The branches of a network."""
        ends = [pairs(network.ends[kind]) for kind in KINDS]
        edges = np.concatenate([[0], np.cumsum([len(part) for part in ends])])
        span = {kind: slice(int(edges[place]), int(edges[place + 1])) for place, kind in enumerate(KINDS)}
        both = np.concatenate(ends)
        a, b = np.ascontiguousarray(both[:, 0]), np.ascontiguousarray(both[:, 1])
        branch = np.arange(len(a))
        inputs, outputs = branch[span["converter"]][0::2], branch[span["converter"]][1::2]
        powers = np.array([kind == "power" for kind in network.sink_kinds], dtype=np.bool_)
        nets = len(network.nets)
        one = np.ones(len(a))
        stamps = _stamps(nets, a, b, inputs, outputs)
        links = {kind: network.ends[kind] for kind in KINDS}
        return cls(
            network=network,
            a=a,
            b=b,
            span=span,
            inputs=inputs,
            outputs=outputs,
            ports=np.concatenate([branch[span["sink"]][powers], inputs]),
            metal=joined(network.rank, links["resistor"]),
            always=joined(network.rank, [*links["resistor"], *links["source"], *links["diode"]]),
            kirchhoff=Sums.of(np.concatenate([a, b]), np.concatenate([branch, branch]), np.concatenate([one, -one])),
            stamps=stamps,
            diagonal=np.searchsorted(stamps.target, np.arange(nets) * (nets + 1)),
        )

    @cached_property
    def ends(self) -> Places:
        """The two nets of each branch, shape (branches, 2)."""
        return np.stack([self.a, self.b], axis=1)

    @property
    def size(self) -> int:
        """The number of nets."""
        return len(self.network.nets)

    def leaving(self, flow: Floats) -> Floats:
        """The sum of the branch currents that leave each net [A]."""
        total = np.zeros((flow.shape[0], self.size))
        total[:, self.kirchhoff.target] = self.kirchhoff(flow)
        return total

    def steepness(self, slope: Floats) -> Floats:
        """The sum of the sizes of the slopes of all branches at each net [S]."""
        both = Sums(self.kirchhoff.target, self.kirchhoff.source, np.abs(self.kirchhoff.sign), self.kirchhoff.start)
        total = np.zeros((slope.shape[0], self.size))
        total[:, both.target] = both(np.abs(slope))
        return total

    def jacobian(self, slope: Floats, across: Floats, free: Flags, extra: Floats | None = None) -> Floats:
        """The entries of the Jacobian at `stamps.target` [S]; a net that is not free has the equation "no step".

        `slope` is the derivative of each branch current by its own voltage, `across` that of each converter's input
        current by its output voltage, `extra` is added on the diagonal.
        """
        zeros = np.zeros((slope.shape[0], self.size))
        entries = self.stamps(np.concatenate([slope, across, zeros], axis=1))
        rows, columns = np.divmod(self.stamps.target, self.size)
        entries *= free[:, rows] & free[:, columns]
        if extra is not None:
            entries[:, self.diagonal] += extra
        entries[:, self.diagonal] += ~free
        return entries


def _stamps(nets: int, a: Places, b: Places, inputs: Places, outputs: Places) -> Sums:
    branch = np.arange(len(a))
    across = len(a) + np.arange(len(inputs))
    spare = len(a) + len(inputs) + np.arange(nets)
    parts: list[tuple[Any, Any, Any, float]] = [(np.arange(nets), np.arange(nets), spare, 1.0)]
    for row, row_sign in ((a, 1.0), (b, -1.0)):
        for column, sign in ((a, row_sign), (b, -row_sign)):
            parts.append((row, column, branch, sign))
            parts.append((row[inputs], column[outputs], across, sign))
    target = np.concatenate([row * nets + column for row, column, _, _ in parts])
    source = np.concatenate([value for _, _, value, _ in parts])
    signs = np.concatenate([np.full(len(value), sign) for _, _, value, sign in parts])
    return Sums.of(target, source, signs)
