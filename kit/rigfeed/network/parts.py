"""Which parts of a network hang together in each sample, where each is 0 V, and which of them a source feeds."""

from __future__ import annotations

from typing import Any

import numpy as np

from rigfeed.frozen import frozen
from rigfeed.network.circuit import Circuit
from rigfeed.network.network import pairs
from rigfeed.network.ranges import Flags, Places


@frozen(eq=False)
class Parts:
    """The conducting parts of a network, for each sample.

    Attributes
    ----------
    label : array of int, shape (samples, nets)
        The rank of the net that is 0 V in the part of each net.
    live : array of bool, shape (samples, nets)
        Whether there is a source, or the output of a converter that is fed, in that part.
    free : array of bool, shape (samples, nets)
        Live and not itself the 0 V net: the potential is unknown.
    fed : array of bool, shape (samples, branches)
        Whether both nets of a branch lie in one live part; the output of a converter also needs its input to be fed
        and switched on.
    """

    label: Places
    live: Flags
    free: Flags
    fed: Flags

    @classmethod
    def of(cls, circuit: Circuit, closed: Flags, running: Flags) -> Parts:
        """The parts with these switches closed and these converters switched on.

        Resistors, sources and diodes always join (a diode either way: what it does is for the solution to say); loads
        join nothing. Being fed is found from the sources outwards, so that two converters cannot feed each other.
        """
        network = circuit.network
        samples = closed.shape[0]
        label = np.broadcast_to(circuit.always, (samples, circuit.size)).copy()
        merge(label, network.ends["switch"], closed)
        outputs = pairs(network.ends["converter"])[1::2]
        giving = np.zeros_like(running)
        while True:
            live = _live(circuit, label, giving)
            fed = _both_ends(circuit, label, live)
            now = running & fed[:, circuit.inputs]
            if (now == giving).all():
                break
            giving = now
            merge(label, outputs, giving)
        fed[:, circuit.outputs] &= giving
        fed[:, circuit.inputs] &= giving
        return cls(label, live, live & (label != network.rank), fed)

    def take(self, rows: Any) -> Parts:
        """The parts of some samples."""
        return Parts(self.label[rows], self.live[rows], self.free[rows], self.fed[rows])


def merge(label: Places, ends: Places, joins: Flags) -> None:
    """Join, in place, the two parts at the ends of each branch where it joins them; the lower label stays."""
    for branch, (a, b) in enumerate(ends):
        rows = np.flatnonzero(joins[:, branch] & (label[:, a] != label[:, b]))
        if len(rows):
            here = label[rows]
            low = np.minimum(here[:, a], here[:, b])[:, None]
            high = np.maximum(here[:, a], here[:, b])[:, None]
            label[rows] = np.where(here == high, low, here)


def _live(circuit: Circuit, label: Places, giving: Flags) -> Flags:
    alive = np.zeros(label.shape, dtype=np.bool_)
    sources = circuit.a[circuit.span["source"]]
    np.put_along_axis(alive, label[:, sources], True, axis=1)
    rows, converters = np.nonzero(giving)
    alive[rows, label[rows, circuit.a[circuit.outputs][converters]]] = True
    live: Flags = np.take_along_axis(alive, label, axis=1)
    return live


def _both_ends(circuit: Circuit, label: Places, live: Flags) -> Flags:
    both: Flags = live[:, circuit.a] & (label[:, circuit.a] == label[:, circuit.b])
    return both
