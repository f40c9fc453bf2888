"""Why a rating may be no smaller: what lasts, what converters take at full output, what flows as something starts."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from rigfeed.errors import OutOfRange
from rigfeed.frozen import frozen
from rigfeed.installation import LaidState, PlacedNode
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.parts.interfaces import ProtectiveDevice
from rigfeed.path import Path
from rigfeed.practice import Setting
from rigfeed.studies.operating import Operating
from rigfeed.studies.ratings.full import Full
from rigfeed.studies.ratings.window import Bound
from rigfeed.wiring import Wiring

HALVINGS = 50
CLOSE = 1e-6
ALIKE = 0.01  # two currents that differ by no more are one reason
MOST_MULTIPLE = 1e4  # of a rating: beyond anything that flows


@frozen(eq=False)
class Carried:
    """What a device carries, from which its lower bounds follow. `share` is that of a rating that may last."""

    operating: Operating
    wiring: Wiring
    full: dict[str, Full]
    share: float
    setting: Setting

    def bounds(self, node: PlacedNode, device: ProtectiveDevice) -> Iterator[Bound]:
        """The reasons for no less, in no order."""
        worst = self._worst(node)
        if worst is not None:
            amps, state = worst
            yield Bound(
                amps / self.share, "carries {amps} in state {state}, which may be {share} of its rating at most",
                Path("nodes", node.id), self.setting.authority, self._numbers(amps, state.title),
            )
        full = self.full.get(node.id)
        if full is not None and (worst is None or full.peak_a > worst[0] * (1 + ALIKE)):
            state = self.operating.installation.states[full.state]
            yield Bound(
                full.peak_a / self.share,
                "carries {amps} when what converts behind it gives all it can, with flat batteries where the engine is "
                "off ({state}), which may be {share} of its rating at most",
                Path("nodes", node.id), self.setting.authority, self._numbers(full.peak_a, state.title),
            )
        yield from self._inrush(node, device)

    def wished(self, node: PlacedNode, device: ProtectiveDevice) -> Bound | None:
        """What lasts, in air that takes something off the rating; None where the air takes nothing, or nobody knows."""
        worst, air_c = self._worst(node), node.zone.warmest_c
        lasting_a = max(worst[0] if worst else 0.0, self.full[node.id].lasting_a if node.id in self.full else 0.0)
        carries = getattr(device, "carries_a", None)
        try:
            left = float(carries(air_c)) / device.rated_a if carries else 1.0
        except OutOfRange:
            left = 1.0
        if left >= 1.0 or lasting_a <= 0.0:
            return None
        return Bound(
            lasting_a / self.share / left,
            "carries {amps} for long, and air of {air} leaves {left} of the rating of its family: what warm air takes "
            "differs from maker to maker",
            Path("nodes", node.id), self.setting.authority,
            Keyed({"amps": Measure(lasting_a, "A"), "air": Measure(air_c, "degC"), "left": Measure(100 * left, "%")}),
        )

    def _numbers(self, amps: float, state: str) -> Keyed[Measure | str]:
        share = Measure(100 * self.share, "%")
        return Keyed({"amps": Measure(amps, "A"), "state": state, "share": share})

    def _worst(self, node: PlacedNode) -> tuple[float, LaidState] | None:
        """The greatest current in any state and the state; None where nothing flows in any."""
        states = self.operating.installation.states
        found = [(abs(self.operating.current(name, node.id)), states[name]) for name in self.operating.solutions]
        amps, state = max(found, key=lambda pair: pair[0], default=(0.0, None))
        return (amps, state) if state is not None and amps > 0.0 else None

    def _inrush(self, node: PlacedNode, device: ProtectiveDevice) -> Iterator[Bound]:
        """A start must not use up the shortest time in which the device may open."""
        for load, peak_a, time_s in self.starts(node):
            multiple = stands_multiple(device, time_s, node.zone.warmest_c)
            if multiple is not None:
                yield Bound(
                    peak_a / multiple, "stands {amps} for {time} as {load} is switched on, before it may open",
                    Path("nodes", load.id), "the shortest times of its family",
                    Keyed({"amps": Measure(peak_a, "A"), "time": Measure(time_s, "s"), "load": load.title}),
                )

    def starts(self, node: PlacedNode) -> Iterator[tuple[PlacedNode, float, float]]:
        """What draws more at first behind a device: how much and for how long, where the catalog says both [A, s]."""
        for load, part in self.operating.installation.loads:
            peak_a, time_s = getattr(part, "inrush_a", None), getattr(part, "inrush_s", None)
            if peak_a and time_s:
                guards = self.wiring.protections_of(f"{load.id}.{part.poles[0]}")
                if any(guard.id == node.id for guard, _ in guards):
                    yield load, peak_a, time_s

    def unknown(self, node: PlacedNode, device: ProtectiveDevice) -> Iterator[str]:
        """What would be wanted to know of what starts behind a device."""
        for load, _, time_s in self.starts(node):
            if stands_multiple(device, time_s, node.zone.warmest_c) is None:
                why = "the shortest times of its family are not known"
                yield f"whether it stands the first moment of {load.title}: {why}"


def stands_multiple(device: ProtectiveDevice, time_s: float, air_c: float) -> float | None:
    """The greatest multiple of its rating at which a device does not open before a time is over; None where its
    shortest times are not known so far."""
    low, high = 1.0, MOST_MULTIPLE
    for _ in range(HALVINGS):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if _shortest_s(device, middle, air_c) >= time_s else (low, middle)
    return low if _shortest_s(device, high * (1 + CLOSE), air_c) > 0.0 else None


def _shortest_s(device: ProtectiveDevice, multiple: float, air_c: float) -> float:
    return float(device.openings_s(np.array([multiple * device.rated_a]), air_c)[0][0])
