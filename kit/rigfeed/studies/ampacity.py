"""The ampacity study: what every core may carry on every stretch of its way, and where it may carry least."""

from __future__ import annotations

from collections.abc import Iterable

from rigfeed.frozen import frozen
from rigfeed.installation import Installation, LaidConductor, LaidCore, LaidZone, Stretch
from rigfeed.keyed import Keyed
from rigfeed.parts.interfaces import Ampacity, ConductorType, FeederType, Surroundings
from rigfeed.studies.sections import SECTIONS, Sections
from rigfeed.view import Study, View


@frozen
class Rating:
    """What a core may carry on one stretch: a figure for each basis that has one. `bundled` counts the cores that carry
    current there side by side, itself included."""

    conductor: LaidConductor
    core: LaidCore
    stretch: Stretch
    bundled: int
    figures: tuple[Ampacity, ...]

    @property
    def lowest(self) -> Ampacity | None:
        """The figure that governs; None where the cable has none at all."""
        return min(self.figures, key=lambda figure: (figure.amps, figure.basis), default=None)

    @property
    def zone(self) -> LaidZone:
        """Where it lies."""
        return self.stretch.zone


@frozen
class Governing:
    """The weakest stretch of a core and the figure that governs there."""

    rating: Rating
    figure: Ampacity

    @property
    def amps(self) -> float:
        """What the core may carry for hours [A]."""
        return self.figure.amps

    @property
    def zone(self) -> LaidZone:
        """Where it may carry least."""
        return self.rating.zone


@frozen
class Ampacities:
    """The ratings of every core, along its way."""

    ratings: Keyed[tuple[Rating, ...]]

    def governing(self, core: str) -> Governing | None:
        """The lowest figure of the weakest stretch of a core; None while one of its stretches has no figure, or the
        core has no way."""
        found = [(rating, rating.lowest) for rating in self.ratings[core]]
        known = [Governing(rating, figure) for rating, figure in found if figure is not None]
        if not found or len(known) < len(found):
            return None
        return min(known, key=lambda governing: (governing.amps, governing.zone.id))

    def weakest(self, cores: Iterable[str]) -> Governing | None:
        """The governing figure of the weakest of some cores; None if none of them has one."""
        known = [governing for core in cores if (governing := self.governing(core)) is not None]
        return min(known, key=lambda governing: (governing.amps, governing.rating.core.id), default=None)


def rate(view: View) -> Ampacities:
    """Rate every core in the warmest air of each of its zones, beside what shares the run and carries current.

    Cores of feeders and of control wires carry too little to warm a bundle: they are rated, but not counted.
    """
    installation, counts = view.installation, together(view.installation, view[SECTIONS])
    known: dict[tuple[str, float, int], tuple[Ampacity, ...]] = {}

    def figures(cable: ConductorType, air_c: float, count: int) -> tuple[Ampacity, ...]:
        key = cable.key, air_c, count
        if key not in known:
            known[key] = cable.ampacities(Surroundings(air_c, count, installation.system_v))
        return known[key]

    ratings: dict[str, tuple[Rating, ...]] = {}
    for conductor in installation.conductors.values():
        for core in conductor.cores:
            ratings[core.id] = tuple(
                Rating(conductor, core, stretch, count, figures(conductor.cable, stretch.zone.warmest_c, count))
                for stretch, count in zip(conductor.stretches, counts[conductor.id], strict=True)
            )
    return Ampacities(Keyed(ratings))


def together(installation: Installation, sections: Sections) -> dict[str, tuple[int, ...]]:
    """By conductor, how many cores that carry current lie together on each of its stretches, its own included."""
    bundled = _bundled(installation, sections)
    return {
        conductor.id: tuple(max(1, own, bundled.get(stretch.run or "", 0)) for stretch in conductor.stretches)
        for conductor in installation.conductors.values()
        for own in (_loaded(conductor, sections),)
    }


def _bundled(installation: Installation, sections: Sections) -> dict[str, int]:
    """By run, how many cores on it carry current."""
    counts: dict[str, int] = {}
    for conductor in installation.conductors.values():
        loaded = _loaded(conductor, sections)
        for run in {stretch.run for stretch in conductor.stretches if stretch.run is not None}:
            counts[run] = counts.get(run, 0) + loaded
    return counts


def _loaded(conductor: LaidConductor, sections: Sections) -> int:
    """How many cores of a conductor carry current that warms it."""
    if isinstance(conductor.cable, FeederType):
        return 0
    return sum(not sections.is_control((conductor, core)) for core in conductor.cores)


AMPACITY: Study[Ampacities] = Study("ampacity", rate, needs=(SECTIONS,))
