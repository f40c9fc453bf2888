"""Why a rating may be no larger: what wires carry, what a short asks for, what equipment and holder are made for."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from rigfeed.frozen import frozen
from rigfeed.installation import Air, Installation, PlacedNode
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.network.ranges import Floats
from rigfeed.parts.interfaces import FeederType, ProtectiveDevice
from rigfeed.path import Path
from rigfeed.practice import Setting
from rigfeed.studies.ampacity import Ampacities
from rigfeed.studies.faults.heat import bears_s
from rigfeed.studies.faults.result import TRACE_A, CaseFaults, Faults, rows_of
from rigfeed.studies.faults.shorts import Short
from rigfeed.studies.ratings.window import Bound
from rigfeed.studies.sections import Sections, Wire, nets_of
from rigfeed.wiring import Wiring

ADIABATIC = "IEC 60364-5-54, 543.1.2; the longest times of its family"


@frozen(eq=False)
class Limits:
    """What stands behind the devices of an installation. `share` is that of an ampacity which a rating may have, and
    `cleared_s` the longest time that a short may last; `faults` is None where they could not be computed."""

    installation: Installation
    sections: Sections
    ampacities: Ampacities
    wiring: Wiring
    share: float
    setting: Setting
    faults: Faults | None
    cleared_s: float
    cleared: Setting

    def wires(self, node: PlacedNode) -> tuple[Wire, ...]:
        """The added wires that a device protects."""
        return tuple(
            (conductor, core)
            for conductor, core in self.sections.protected(node)
            if conductor.origin != "vehicle" and not isinstance(conductor.cable, FeederType)
        )

    def bounds(self, node: PlacedNode, stock: Sequence[ProtectiveDevice]) -> Iterator[Bound]:
        """The reasons for no more, in no order."""
        yield from self._ampacity(node)
        yield from self._stated(node)
        yield from self._holder(node)
        yield from self._short(node, stock)

    def _ampacity(self, node: PlacedNode) -> Iterator[Bound]:
        weakest = self.ampacities.weakest(core.id for _, core in self.wires(node))
        if weakest is not None:
            conductor = weakest.rating.conductor
            yield Bound(
                self.share * weakest.amps,
                "{wire} carries {amps} for hours {within} ({basis}), and {share} of that is allowed",
                Path("conductors", conductor.id), self.setting.authority,
                Keyed({
                    "wire": conductor.label, "amps": Measure(weakest.amps, "A"), "within": weakest.zone.within,
                    "basis": weakest.figure.basis, "share": Measure(100 * self.share, "%"),
                }),
            )

    def _stated(self, node: PlacedNode) -> Iterator[Bound]:
        """The maker of an equipment states a fuse, and of those on its way this one is the smallest, or the nearest of
        those that are as small."""
        for load, part in self.installation.loads:
            stated_a = part.stated_fuse_a
            guards = self.wiring.protections_of(f"{load.id}.{part.poles[0]}")
            smallest, _ = min(guards, key=lambda pair: pair[1].rated_a, default=(None, None))
            if stated_a is not None and smallest is not None and smallest.id == node.id:
                yield Bound(
                    stated_a, "the maker of {load} states a fuse of {stated}", Path("nodes", load.id),
                    "FCS 1362:2010 4.6.3", Keyed({"load": load.title, "stated": Measure(stated_a, "A")}),
                )

    def _holder(self, node: PlacedNode) -> Iterator[Bound]:
        holder = getattr(node.settings, "holder", None)
        for name, what, authority in (
            ("most_a", "its holder ({title}) is made for {limit}", "the catalog of its holder"),
            ("lead_a", "the leads of its holder ({title}) are good for {limit}", "FAA AC 43.13-1B, table 11-3"),
        ):
            limit_a = getattr(holder, name, None)
            if holder is not None and limit_a is not None:
                numbers = Keyed({"title": holder.title, "limit": Measure(limit_a, "A")})
                yield Bound(float(limit_a), what, Path("nodes", node.id), authority, numbers)

    def _short(self, node: PlacedNode, stock: Sequence[ProtectiveDevice]) -> Iterator[Bound]:
        """The largest rating of the shelf that opens in time in every short behind it, and before any wire passes what
        it bears. Nothing where even the largest one does, or no short drives anything through it."""
        wires = self.wires(node)
        shorts = [_Shorts.of(found, node, wires, self.cleared_s) for found in self.faults.cases] if self.faults else []
        larger: _Failure | None = None
        for part in sorted(stock, key=lambda part: (-part.rated_a, part.key)):
            failures = [failure for found in shorts if (failure := found.failure(part)) is not None]
            if not failures:
                break
            larger = max(failures, key=lambda failure: failure.excess)
        if larger is not None:
            smaller = [part.rated_a for part in stock if part.rated_a < larger.part.rated_a]
            yield self._bound(larger, max(smaller, default=0.0))

    def _bound(self, failure: _Failure, rating_a: float) -> Bound:
        late = not failure.time_s > failure.bears_s
        wire = next(conductor for conductor, core in self._wires_by_id(failure.core))
        opens = "may take {time} to open" if math.isfinite(failure.time_s) else "need not open at all"
        why = "{longest} is the longest time" if late else "{wire} bears that for {bears}"
        return Bound(
            rating_a, f"in a short {{place}} {{amps}} flow: {{larger}} of its family {opens}, and {why}",
            Path("conductors", wire.id), self.cleared.authority if late else ADIABATIC,
            Keyed({
                "place": failure.short.place, "amps": Measure(failure.amps, "A"), "wire": wire.label,
                "larger": Measure(failure.part.rated_a, "A"), "time": Measure(failure.time_s, "s"),
                "longest": Measure(self.cleared_s, "s"), "bears": Measure(failure.bears_s, "s"),
            }),
        )

    def _wires_by_id(self, core: str) -> Iterator[Wire]:
        for conductor in self.installation.conductors.values():
            yield from ((conductor, own) for own in conductor.cores if own.id == core)


@frozen
class _Failure:
    """A short in which a device of some rating is too late for a core: what flows, when it opens, what is borne."""

    part: ProtectiveDevice
    short: Short
    core: str
    amps: float
    time_s: float
    bears_s: float
    excess: float


@frozen(eq=False)
class _Shorts:
    """The shorts of a case behind a device: its own current in each, and what it brings to each core that it protects.
    What other sources bring is the affair of their devices."""

    shorts: tuple[Short, ...]
    cores: tuple[str, ...]
    device_a: Floats
    core_a: Floats
    bears_s: Floats
    ampacity_a: Floats
    air_c: float
    cleared_s: float

    @classmethod
    def of(cls, found: CaseFaults, node: PlacedNode, wires: Sequence[Wire], cleared_s: float) -> _Shorts:
        """Those of a case; they lie on the cores that the device protects, or at their ends."""
        known = [core.id for _, core in wires if core.id in found.core_ids]
        columns = np.array([found.core_ids.index(core) for core in known], dtype=np.intp)
        nets = nets_of(wires)
        rows = rows_of(found, lambda short: short.core in known if short.core is not None else short.at in nets)
        device_a = np.abs(found.course.device_a[0, rows, found.device_ids.index(node.id)])
        core_a = np.abs(found.course.core_a[0][np.ix_(rows, columns)])
        own_a = np.minimum(core_a, device_a[:, None])
        is_lowest = found.case == "lowest"
        air: Air = "warmest" if is_lowest else "coldest"
        return cls(
            tuple(found.shorts[row] for row in rows), tuple(known), device_a, own_a,
            bears_s(own_a, found.metal, columns), found.metal.ampacity_a[columns], node.zone.air_c(air),
            cleared_s if is_lowest else np.inf,  # at the highest current only the heat counts
        )

    def failure(self, part: ProtectiveDevice) -> _Failure | None:
        """The short in which a device of the same place is latest for a core; None where it never is."""
        if not self.core_a.size:
            return None
        time_s = part.openings_s(self.device_a, self.air_c)[1][:, None]
        harms = (self.core_a > TRACE_A) & ~(self.core_a <= self.ampacity_a)
        with np.errstate(divide="ignore", invalid="ignore"):
            excess = np.maximum(_over(time_s, self.bears_s), _over(time_s, np.asarray(self.cleared_s)))
        excess = np.where(harms, excess, 0.0)
        row, column = np.unravel_index(int(np.argmax(excess)), excess.shape)
        if excess[row, column] <= 1.0:
            return None
        return _Failure(
            part, self.shorts[row], self.cores[column], float(self.device_a[row]), float(time_s[row, 0]),
            float(self.bears_s[row, column]), float(excess[row, column]),
        )


def _over(time_s: Floats, allowed_s: Floats) -> Floats:
    """A time as a multiple of what is allowed, 0 where that has no end."""
    return np.where(np.isinf(allowed_s), 0.0, time_s / allowed_s)
