"""Time and current: when the devices of a feed open, what its wires bear, and what shorts drive through them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from rigfeed.figures.figure import Axis, Band, Curve, Figure, Mark, Place
from rigfeed.figures.way import Device, Way, way_of
from rigfeed.network.ranges import Floats
from rigfeed.path import Path
from rigfeed.quantity import System, show
from rigfeed.studies.faults import FAULTS
from rigfeed.studies.faults.heat import ADIABATIC_S, Metal
from rigfeed.studies.sections import Wire

if TYPE_CHECKING:
    from rigfeed.assess import Assessment

LEAST_S, MOST_S = 1e-4, 1e4  # what is shown: below it contacts and arcs take longer
MOST_TIMES = 1e4  # a load that is less than the greatest fault current by more is not shown
STEPS = 60  # currents of a curve, besides those at which it bends
ROOM = 1.6  # so many times the greatest and below the least current is shown
ALIKE = 0.01  # curves that differ by no more are one


def time_current(assessment: Assessment, subject: str | None, system: System = "metric") -> Figure | None:
    """The figure of a feed (by the id of what it feeds) or of a conductor; None where no short drives anything.

    Raises
    ------
    UnknownName
        If there is no such feed or conductor.
    """
    way = way_of(assessment, subject or "")
    if way is None:
        return None
    metal = assessment[FAULTS].cases[0].metal
    core_ids = assessment[FAULTS].cases[0].core_ids
    from_a, to_a = _ends_a(way)
    bands = tuple(_bands(way.devices, from_a, to_a))
    curves, unknown = _withstands(way.wires, core_ids, metal, to_a)
    return Figure(
        "time-current", f"Time and current: {way.title}",
        Axis("current", "A", "log", from_a, to_a), Axis("time", "s", "log", LEAST_S, MOST_S),
        bands, curves, tuple(_marks(way, system)), notes=tuple(_notes(way, unknown, system)), subject=way.subject,
    )


def _ends_a(way: Way) -> tuple[float, float]:
    """The currents that are shown: from the load and the ratings to the greatest fault current."""
    rated_a = [part.rated_a for _, part in way.devices]
    small = [amps for amps in (way.load_a, *rated_a) if amps and amps > way.most_a / MOST_TIMES]
    return min((way.least_a, *small)) / ROOM, max(way.most_a, *(4.0 * amps for amps in rated_a), 0.0) * ROOM


# devices


def _bands(devices: tuple[Device, ...], from_a: float, to_a: float) -> Iterator[Band]:
    """When devices open, equal ones in equal air in one band."""
    alike: dict[tuple[str, tuple[Place, ...], tuple[Place, ...]], list[str]] = {}
    for node, part in devices:
        alike.setdefault((part.title, *_times((node, part), from_a, to_a)), []).append(node.id)
    for (title, low, high), ids in alike.items():
        tag, subject = ", ".join(ids), Path("nodes", ids[0]) if len(ids) == 1 else None
        yield Band(tag, f"{tag} {'opens' if len(ids) == 1 else 'open'}: {title}", low, high, subject)


def _times(device: Device, from_a: float, to_a: float) -> tuple[tuple[Place, ...], tuple[Place, ...]]:
    """When it opens: at the earliest in its warmest air, and at the latest in its coldest."""
    node, part = device
    warmest_c, coldest_c = node.zone.warmest_c, node.zone.coldest_c
    low, high = (
        _finite(amps, part.openings_s(amps, air_c)[side])
        for side, air_c, amps in (
            (side, air_c, _amps(from_a, to_a, part.bends_a(air_c))) for side, air_c in ((0, warmest_c), (1, coldest_c))
        )
    )
    return low, high


def _amps(from_a: float, to_a: float, bends_a: tuple[float, ...]) -> Floats:
    inside = [amps for amps in bends_a if from_a < amps < to_a]
    return np.unique(np.concatenate([np.geomspace(from_a, to_a, STEPS), inside]))


def _finite(amps: Floats, times_s: Floats) -> tuple[Place, ...]:
    """The places of a curve where it has a time, straight pieces without those in between."""
    known = np.isfinite(times_s) & (times_s > 0.0)
    x, y = amps[known], times_s[known]
    if len(x) < 3:
        return tuple(zip(map(float, x), map(float, y), strict=True))
    slope = np.diff(np.log(y)) / np.diff(np.log(x))
    bends = np.abs(np.diff(slope)) > 1e-6 * np.maximum(1.0, np.abs(slope[1:]))
    kept = np.concatenate([[True], bends, [True]])
    return tuple(zip(map(float, x[kept]), map(float, y[kept]), strict=True))


# wires


def _withstands(
    wires: tuple[Wire, ...], core_ids: tuple[str, ...], metal: Metal, to_a: float
) -> tuple[tuple[Curve, ...], tuple[str, ...]]:
    """What the wires bear, wires that bear the same in one curve; and those of which it is not known."""
    alike: list[tuple[list[str], str, tuple[float, float], tuple[Place, ...]]] = []
    unknown: list[str] = []
    for conductor, core in wires:
        place = core_ids.index(core.id) if core.id in core_ids else None
        if place is None or not metal.withstand_a2s[place] > 0.0:  # which not-a-number is not either
            unknown.append(core.id)
            continue
        key = float(metal.withstand_a2s[place]), metal.lasting_a(place)
        for ids, title, other, _ in alike:
            if title == conductor.cable.title and np.allclose(key, other, rtol=ALIKE, atol=0.0):
                ids.append(core.id)
                break
        else:
            alike.append(([core.id], conductor.cable.title, key, withstand(metal, place, to_a)))
    curves = tuple(
        Curve(", ".join(ids), f"limit of {', '.join(ids)}: {title}", places, "limit", _path(ids))
        for ids, title, _, places in alike
    )
    return curves, tuple(unknown)


def _path(cores: list[str]) -> Path | None:
    return Path("conductors", cores[0].partition(".")[0]) if len(cores) == 1 else None


def withstand(metal: Metal, core: int, to_a: float) -> tuple[Place, ...]:
    """How long a core bears each current, up to `to_a` [A] and down to what it bears for good."""
    energy_a2s, lasting_a = float(metal.withstand_a2s[core]), metal.lasting_a(core)
    from_a = max(np.sqrt(energy_a2s / MOST_S), lasting_a * (1.0 + 1e-9))
    near = lasting_a * (1.0 + np.geomspace(1e-6, 0.5, STEPS // 2)) if lasting_a else np.array([])
    turn_a = np.sqrt(energy_a2s / ADIABATIC_S)
    amps = np.unique(np.concatenate([
        np.geomspace(from_a, max(to_a, 2.0 * from_a), STEPS), near, [turn_a * (1.0 + 1e-9), turn_a * (1.0 - 1e-9)],
    ]))
    amps = amps[amps <= max(to_a, 2.0 * from_a)]
    times_s = metal.bears_s(core, amps)
    shown = times_s <= MOST_S
    return _finite(amps[shown], times_s[shown])


# words


def _marks(way: Way, system: System) -> Iterator[Mark]:
    if way.load_a:
        yield Mark(f"load {show(way.load_a, 'A', system)}", way.load_a)
    least, most = show(way.least_a, "A", system), show(way.most_a, "A", system)
    yield Mark(f"shorts {least}" if least == most else f"shorts {least} to {most}", way.least_a, way.most_a)


def _notes(way: Way, unknown: tuple[str, ...], system: System) -> Iterator[str]:
    if way.devices:
        yield (
            "A device opens within its band, at the latest at its upper right edge. Where the band lies below a limit "
            "over the whole range of the shorts, the device opens before that wire is past its limit."
        )
        airs = {(node.zone.coldest_c, node.zone.warmest_c) for node, _ in way.devices}
        coldest, warmest = min(cold for cold, _ in airs), max(warm for _, warm in airs)
        cold, warm = show(coldest, "degC", system), show(warmest, "degC", system)
        yield f"Devices in air from {cold} to {warm}; wires from the temperature at which they run."
    else:
        yield "No device sees a short here: nothing but the length of this wire protects it."
    if unknown:
        yield f"What {', '.join(unknown)} bears is not known."
    yield (
        f"Up to {show(ADIABATIC_S, 's', system)} no heat leaves a wire; beyond that, what it gives off counts. "
        "Nothing here says that a design is safe."
    )
