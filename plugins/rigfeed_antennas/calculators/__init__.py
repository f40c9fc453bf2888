"""The formulas of this plugin as calculators, by group: feeders, antennas, exposure, noise."""

from __future__ import annotations

from rigfeed.plugin import Calculator
from rigfeed_antennas.calculators import antennas, exposure, feeders, noise

ALL: tuple[Calculator, ...] = tuple(
    thing
    for module in (antennas, exposure, feeders, noise)
    for thing in vars(module).values()
    if isinstance(thing, Calculator)
)
