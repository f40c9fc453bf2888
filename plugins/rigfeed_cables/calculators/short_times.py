"""Calculators of what a conductor stands for a short time."""

from __future__ import annotations

from typing import Annotated, Literal, NamedTuple

from rigfeed.plugin import Choice, In, Out, calculator
from rigfeed_cables import awg, short_time
from rigfeed_cables.calculators.sizes import GROUP, Area

Running = Annotated[float, In("degC", -60, 260, "temperature of the conductor when the fault begins")]
Final = Annotated[float, In("degC", 60, 2000, "what the insulation bears: PVC 160, XLPE 250 degC")]
Metal = Annotated[Literal["copper", "aluminium", "steel"], Choice("metal of the conductor")]


@calculator(
    "k-factor",
    GROUP,
    formula="k = K sqrt(ln(1 + (Tf - Ti) / (b + Ti))) in A s^0.5 per mm2; copper K = 226, b = 234.5",
    validity="up to about 5 s; on the safe side for longer",
    source="IEC 60364-5-54 annex A",
)
def k_factor(running: Running, final: Final, metal: Metal = "copper") -> Annotated[float, Out("", "k")]:
    """The factor of the adiabatic equation.

    Take the temperature at which the conductor really runs: the factors of the tables begin at their own.
    """
    return short_time.k_factor(running, final, metal)


class Limit(NamedTuple):
    """The adiabatic limit of a conductor, against a fault."""

    k: Annotated[float, Out("", "factor in A s^0.5 per mm2")]
    let_through: Annotated[float, Out("", "let-through of the fault in A2s")]
    withstand: Annotated[float, Out("", "let-through that the conductor bears in A2s")]
    smallest_area: Annotated[float, Out("mm2", "least cross-section that bears the fault")]
    longest: Annotated[float, Out("s", "how long the conductor bears the current")]


@calculator(
    "adiabatic-limit",
    GROUP,
    formula="I^2 t <= k^2 S^2, S_min = sqrt(I^2 t) / k",
    validity="up to about 5 s; on the safe side for longer",
    source="IEC 60364-5-54, 543.1.2",
)
def adiabatic_limit(
    *,
    current: Annotated[float, In("A", 0.1, 1e5, "steady fault current")],
    time: Annotated[float, In("s", 1e-4, 3600, "time until it is interrupted")],
    area: Area,
    running: Running,
    final: Final,
    metal: Metal = "copper",
) -> Limit:
    """Whether a conductor bears a fault until it is cleared, and the least cross-section that does."""
    factor, let_through = short_time.k_factor(running, final, metal), current**2 * time
    bears = short_time.withstand_a2s(area, factor)
    return Limit(factor, let_through, bears, short_time.smallest_area_mm2(let_through, factor), bears / current**2)


@calculator(
    "onderdonk-fusing-current",
    GROUP,
    formula="33 t (I / A)^2 = log10(1 + (1083 - Ta) / (234 + Ta)), A in circular mils",
    validity="bare copper, 0.001 to 10 s; a copied form with 234 - Ta is wrong",
    source="Onderdonk's equation as Stauffacher gave it, General Electric Review 31, 1928",
)
def onderdonk_fusing_current(
    area: Area,
    time: Annotated[float, In("s", 0.001, 10, "time until it melts")],
    ambient: Annotated[float, In("degC", -60, 260, "temperature of the wire before")] = 25.0,
) -> Annotated[float, Out("A", "melting current")]:
    """The current that melts a copper conductor within a time."""
    return short_time.onderdonk_current_a(area, time, ambient)


class Fusing(NamedTuple):
    """A wire that just melts."""

    diameter: Annotated[float, Out("mm", "diameter of the wire")]
    area: Annotated[float, Out("mm2", "its cross-section")]
    number: Annotated[float, Out("", "its number in the American wire gauge, not rounded")]


@calculator(
    "preece-fusing-diameter",
    GROUP,
    formula="I = 10244 d^1.5, d in inches",
    validity="long bare copper wire in free air, for minutes",
    source="W. H. Preece, 1884 to 1888",
)
def preece_fusing_diameter(
    current: Annotated[float, In("A", 0.1, 5000, "steady current")],
) -> Fusing:
    """The diameter of a bare copper wire that a current just melts."""
    diameter_mm = short_time.preece_diameter_mm(current)
    area_mm2 = awg.area_of_round_mm2(diameter_mm)
    return Fusing(diameter_mm, area_mm2, awg.gauge_from_area(area_mm2))


CALCULATORS = (k_factor, adiabatic_limit, onderdonk_fusing_current, preece_fusing_diameter)
