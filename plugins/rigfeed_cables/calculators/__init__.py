"""The calculators of this plugin, by subject; each is a thin function over the formulas."""

from __future__ import annotations

from rigfeed.plugin import Calculator
from rigfeed_cables.calculators import ampacities, bundles, drops, heat, short_times, sizes

CALCULATORS: tuple[Calculator, ...] = (
    *sizes.CALCULATORS,
    *drops.CALCULATORS,
    *ampacities.CALCULATORS,
    *heat.CALCULATORS,
    *short_times.CALCULATORS,
    *bundles.CALCULATORS,
)
