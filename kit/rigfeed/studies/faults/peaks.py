"""Where along a conductor a device lets most through, if that is neither at its ends nor half way.

A fuse lets the more through the less flows, and from some current on always the same: the ends of a conductor show it
at its worst. A breaker that opens at once above some current lets most through just below that one; the place along
the conductor at which that flows has to be found.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from rigfeed.frozen import frozen
from rigfeed.network.ranges import Floats
from rigfeed.parts.interfaces import ProtectiveDevice
from rigfeed.studies.faults.cases import Branches
from rigfeed.studies.faults.events import Device, device_currents, first_answer
from rigfeed.studies.faults.lowrank import Ports
from rigfeed.studies.faults.shorts import Short

STEPS = 400  # currents that are tried, from the rating up
MOST_MULTIPLE = 200.0  # of the rating
LEVEL = 1e-6  # relative: a slope that counts as none
ROUNDS = 5  # of looking for a place
LEAST_SHARE = 1e-3  # of a peak: what flows where nothing does, as behind a diode that blocks
BELOW = 0.999  # of the current of a peak: beyond it the device may open at once


def peaks_a(part: ProtectiveDevice, air_c: float) -> tuple[float, ...]:
    """The currents at which a device lets more through than at those a little smaller or larger [A]."""
    amps = part.rated_a * np.geomspace(1.01, MOST_MULTIPLE, STEPS)
    longest_s = part.openings_s(amps, air_c)[1]
    opens = np.flatnonzero(np.isfinite(longest_s))
    slope = np.diff(np.log(amps[opens] ** 2 * longest_s[opens]))
    turns = np.flatnonzero(np.abs(slope) > LEVEL)
    tops = [after for before, after in pairwise(turns) if slope[before] > 0.0 > slope[after]]
    return tuple(_top_a(part, amps[opens[top] - 1], amps[opens[top] + 1], air_c) for top in tops)


def _top_a(part: ProtectiveDevice, low_a: float, high_a: float, air_c: float) -> float:
    """The peak between two currents, by finer steps [A]."""
    amps = np.linspace(low_a, high_a, STEPS)
    return BELOW * float(amps[int(np.argmax(amps**2 * part.openings_s(amps, air_c)[1]))])


def at_peaks(branches: Branches, shorts: Sequence[Short], ohm: Floats, devices: Sequence[Device]) -> tuple[Short, ...]:
    """The further shorts along conductors at which the current of some device has its peak."""
    known: dict[tuple[int, float], tuple[float, ...]] = {}
    for node, part in devices:
        key = id(part), node.zone.air_c(branches.air)
        known[key] = known[key] if key in known else peaks_a(part, key[1])
    wanted = [(number, amps) for number, (node, part) in enumerate(devices)
              for amps in known[id(part), node.zone.air_c(branches.air)]]
    if not wanted:
        return ()
    along = np.array([short.core is not None for short in shorts], dtype=np.bool_)
    chosen, chosen_ohm = [short for short in shorts if short.core is not None], ohm[along]
    amps = _first_a(branches, chosen, chosen_ohm, len(devices))
    brackets = [
        _Bracket(chosen[low], chosen[high], number, peak_a, amps[low, number], amps[high, number], chosen_ohm[low])
        for low, high in _neighbours(chosen)
        for number, peak_a in wanted
        if (amps[low, number] - peak_a) * (amps[high, number] - peak_a) < 0.0
    ]
    for _ in range(ROUNDS if brackets else 0):
        tried = [bracket.middle for bracket in brackets]
        found = _first_a(branches, tried, np.array([bracket.ohm for bracket in brackets]), len(devices))
        brackets = [
            bracket.narrowed(short, float(row[bracket.device]))
            for bracket, short, row in zip(brackets, tried, found, strict=True)
        ]
    return tuple(dict.fromkeys(bracket.middle for bracket in brackets))


def _first_a(branches: Branches, shorts: Sequence[Short], ohm: Floats, count: int) -> Floats:
    """The currents of the devices at the first moment of shorts [A]."""
    ports = Ports.of(branches, shorts)
    return device_currents(ports, first_answer(ports, np.arange(len(shorts)), ohm), count)


def _neighbours(shorts: Sequence[Short]) -> Iterator[tuple[int, int]]:
    """Places of shorts that follow each other along one core, to one net."""
    for number, (short, following) in enumerate(pairwise(shorts)):
        if (short.core, short.to) == (following.core, following.to):
            yield number, number + 1


@frozen
class _Bracket:
    """Two shorts along a core between which a device has its peak, and what it carries in them [A]."""

    low: Short
    high: Short
    device: int
    peak_a: float
    low_a: float
    high_a: float
    ohm: float

    @property
    def middle(self) -> Short:
        """Where its peak would flow if the resistance on its way grew evenly along the core."""
        low_a, high_a = (max(amps, LEAST_SHARE * self.peak_a) for amps in (self.low_a, self.high_a))
        part = (1 / self.peak_a - 1 / low_a) / (1 / high_a - 1 / low_a)
        return replace(self.low, share=self.low.share + part * (self.high.share - self.low.share))

    def narrowed(self, tried: Short, amps: float) -> _Bracket:
        """The part of it in which the peak still lies, now that one place has been tried."""
        if amps <= 0.0 or amps == self.peak_a:
            return self
        if (amps - self.peak_a) * (self.low_a - self.peak_a) > 0.0:
            return replace(self, low=tried, low_a=amps)
        return replace(self, high=tried, high_a=amps)
