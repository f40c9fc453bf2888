"""Calculators of bundles, holes and pairs."""

from __future__ import annotations

from typing import Annotated, NamedTuple

from rigfeed.plugin import In, Out, calculator
from rigfeed_cables import bundle, pair
from rigfeed_cables.calculators.sizes import GROUP

Few = Annotated[float, In("", 0, 200, "how many of this diameter")]
Wide = Annotated[float, In("mm", 0.1, 100, "diameter of each of them")]


@calculator(
    "bundle-diameter",
    GROUP,
    formula="D = d x c(n), c the smallest known ratio",
    validity="1 to 20 equal cables laid as tightly as can be; by hand 5 to 10 % more",
    source="proven by Graham, Pirl, Melissen, Fodor, Ekanayake and LaFountain to 14 and for 19; best known else",
)
def bundle_diameter(
    number: Annotated[float, In("", 1, 20, "how many cables")],
    diameter: Annotated[float, In("mm", 0.1, 100, "diameter of each")],
) -> Annotated[float, Out("mm", "diameter of the bundle")]:
    """The smallest diameter of a bundle of equal cables."""
    return bundle.equal_bundle_mm(int(number), diameter)


class Mixed(NamedTuple):
    """What is known of a mixed bundle."""

    least: Annotated[float, Out("mm", "no bundle of these is thinner")]
    trade: Annotated[float, Out("mm", "rule of the trade: 1.2 times the root of the sum of squares, within the bounds")]
    most: Annotated[float, Out("mm", "these always fit into a circle of this diameter")]


@calculator(
    "mixed-bundle-diameter",
    GROUP,
    formula="max(d1 + d2, root of the sum of d^2) <= D <= root of twice the sum of d^2",
    validity="round cables of any diameters",
    source="upper bound: worst-case density of one half, Fekete, Keldenich and Scheffer 2019; lower bound: area",
)
def mixed_bundle_diameter(
    first_number: Annotated[float, In("", 1, 200, "how many of the first diameter")],
    first: Wide,
    *,
    second_number: Few = 0.0,
    second: Wide = 1.0,
    third_number: Few = 0.0,
    third: Wide = 1.0,
) -> Mixed:
    """Bounds for the diameter of a bundle of up to three sorts of cables."""
    ods_mm = [first] * int(first_number) + [second] * int(second_number) + [third] * int(third_number)
    return Mixed(*bundle.bundle_bounds_mm(ods_mm))


class Inductance(NamedTuple):
    """A pair as a coil."""

    inductance: Annotated[float, Out("", "inductance of the loop in microhenry")]
    per_metre: Annotated[float, Out("", "the same for one metre of the pair, in microhenry")]
    rise_time: Annotated[float, Out("ms", "time constant with which a current rises")]


@calculator(
    "pair-inductance",
    GROUP,
    formula="L = (mu0 / pi) l (ln(s / r) + 1/4), tau = L / R",
    validity="two parallel round conductors; slow changes of the current",
    source="Grover, Inductance calculations",
)
def pair_inductance(
    length: Annotated[float, In("m", 0.001, 1000, "length of the pair, one way")],
    radius: Annotated[float, In("mm", 0.05, 50, "radius of the metal of each conductor")],
    spacing: Annotated[float, In("mm", 0.1, 10000, "from centre to centre, at least twice the radius")],
    resistance: Annotated[float, In("ohm", 1e-5, 1000, "resistance of the whole loop, source included")],
) -> Inductance:
    """Inductance of a go-and-return pair, and how fast a current rises in it."""
    whole_h = pair.pair_inductance_h(length, radius, spacing)
    return Inductance(whole_h * 1e6, whole_h / length * 1e6, pair.rise_time_constant_s(whole_h, resistance) * 1e3)


CALCULATORS = (bundle_diameter, mixed_bundle_diameter, pair_inductance)
