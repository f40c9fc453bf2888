"""Which of two devices in series opens first, over the whole range of currents of the shorts behind the second."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from rigfeed.checks.check import Check, Finding, NotChecked
from rigfeed.frozen import frozen
from rigfeed.installation import Air, Installation, PlacedNode
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.network.ranges import Floats
from rigfeed.parts.interfaces import ProtectiveDevice
from rigfeed.path import Path
from rigfeed.studies.faults import FAULTS, Faults, Short
from rigfeed.studies.sections import SECTIONS, Sections, nets_of
from rigfeed.studies.whatif_outages import TURNS, Turns
from rigfeed.view import View
from rigfeed.wiring import sides_of

STEPS = 200  # currents between the lowest and the highest that are tried
ALIKE = 0.02  # two currents that differ by no more are one: the devices are in series
DEAD_A = 0.1
AIRS: tuple[Air, ...] = ("warmest", "coldest")  # both devices in the same: warmth hurries one, cold delays the other


@frozen
class Pair:
    """Two devices in series, and the currents that shorts behind the second drive through both [A]."""

    up: PlacedNode
    down: PlacedNode
    least_a: float
    most_a: float


def pairs_of(faults: Faults, installation: Installation, sections: Sections) -> Iterator[Pair]:
    """Every pair that some short finds in series."""
    nearest = _Nearest(installation, sections)
    found: dict[tuple[int, int], tuple[float, float]] = {}
    for case in faults.cases:
        for number, short in enumerate(case.shorts):
            near = nearest.devices(short)
            amps = case.course.device_a[0, number]
            for down in near:
                own_a = float(amps[down])
                for up in map(int, np.flatnonzero(np.abs(amps - own_a) <= ALIKE * own_a)):
                    if up not in near and own_a > DEAD_A:
                        least, most = found.get((up, down), (np.inf, 0.0))
                        found[up, down] = min(least, own_a), max(most, own_a)
    nodes = [node for node, _ in installation.protections]
    for (front, behind), (least, most) in sorted(found.items()):
        yield Pair(nodes[front], nodes[behind], least, most)


class _Nearest:
    """The devices that stand at the edge of the section in which a short lies."""

    def __init__(self, installation: Installation, sections: Sections) -> None:
        self._sections = sections
        self._found: dict[str, tuple[int, ...]] = {}
        self._sides = [sides_of(node) for node, _ in installation.protections]
        self._net = {core.id: core.start.net for core in installation.cores}

    def devices(self, short: Short) -> tuple[int, ...]:
        """Their places among the devices of the installation."""
        net = self._net[short.core] if short.core is not None else short.at
        if net not in self._found:
            nets = nets_of(self._sections.section(net)) | {net}
            self._found[net] = tuple(number for number, sides in enumerate(self._sides) if sides & nets)
        return self._found[net]


def poor_selectivity(view: View) -> Iterator[Finding | NotChecked]:
    for pair in pairs_of(view[FAULTS], view.installation, view[SECTIONS]):
        steps_a = np.geomspace(pair.least_a, pair.most_a, STEPS)
        amps = np.tile(steps_a, len(AIRS))
        first_s = np.concatenate([times_s(pair.up, steps_a, air)[0] for air in AIRS])
        last_s = np.concatenate([times_s(pair.down, steps_a, air)[1] for air in AIRS])
        bad = np.flatnonzero(first_s < last_s)
        if len(bad) and not _is_indifferent(pair, view[TURNS], view[SECTIONS]):  # dear: asked last
            yield _finding(pair, amps[bad], first_s[bad], last_s[bad])


def _is_indifferent(pair: Pair, turns: Turns, sections: Sections) -> bool:
    """Whether it is all one which of the two opens: at both ends of a link that nothing lives on, or in the two poles
    of one circuit."""
    up, down = _dark(turns, pair.up), _dark(turns, pair.down)
    return up <= down and (not up or _poles(pair.up, sections).isdisjoint(_poles(pair.down, sections)))


def _poles(device: PlacedNode, sections: Sections) -> set[str]:
    """The poles of the sources that a device is wired to."""
    return {pole for net in sides_of(device) for pole in sections.sources_of(net)}


def _dark(turns: Turns, device: PlacedNode) -> set[tuple[str, str]]:
    """What stops working without a device, and in which state."""
    return {(outage.state, load) for outage in turns.of(device.id) for load in outage.stops}


def times_s(node: PlacedNode, amps: Floats, air: Air) -> tuple[Floats, Floats]:
    """The shortest and the longest times of a device in the warmest or the coldest air of its zone [s]."""
    assert isinstance(node.part, ProtectiveDevice)
    return node.part.openings_s(amps, node.zone.air_c(air))


def _finding(pair: Pair, amps: Floats, first_s: Floats, last_s: Floats) -> Finding:
    number = int(np.argmax(last_s / np.maximum(first_s, 1e-9)))
    least_a, most_a = float(amps.min()), float(amps.max())
    return Finding(
        subject=Path("nodes", pair.down.id), also=(Path("nodes", pair.up.id),),
        value=Measure(float(first_s[number]), "s"), limit=Measure(float(last_s[number]), "s"),
        excess=most_a - least_a,
        numbers=Keyed({
            "up": pair.up.id, "down": pair.down.id, "amps": Measure(float(amps[number]), "A"),
            "least": Measure(least_a, "A"), "most": Measure(most_a, "A"),
        }),
        message="A short behind {down} may open {up} in front of it first: at {amps} {up} may be through after "
        "{value}, and {down} may take {limit}. That holds from {least} to {most}; everything behind {up} goes dark.",
        remedy="Fit a larger or slower device as {up} if its wire allows it, or a smaller or faster one as {down}.",
    )


SELECTIVITY = Check("poor-selectivity", "fault", "warning", poor_selectivity, needs=(FAULTS, SECTIONS, TURNS))
