"""Charts that others have printed: fuse for a wire, breaking capacity for a battery, way to the first fuse."""

from __future__ import annotations

from collections.abc import Mapping
from math import inf, pi
from types import MappingProxyType
from typing import Literal

from rigfeed.plugin import OutOfRange, UnknownName, above_zero, frozen

__all__ = [
    "PLACING",
    "WIRE_CHART",
    "breaking_capacity_a",
    "furthest_fuse_m",
    "protection_for_wire_a",
]

Protection = Literal["fuse", "breaker"]
Rule = Literal["33 CFR 183.455", "ABYC E-11", "road habit"]
Start = Literal["source", "battery"]


@frozen
class ChartRow:
    """The largest breaker and fuse for a gauge; None where the chart leaves the cell empty."""

    gauge: int
    breaker_a: float | None
    fuse_a: float | None


# FAA AC 43.13-1B, table 11-3; gauge 0 is 1/0. The breaker column ends at 2 AWG.
WIRE_CHART = (
    ChartRow(22, 5.0, 5.0), ChartRow(20, 7.5, 5.0), ChartRow(18, 10.0, 10.0), ChartRow(16, 15.0, 10.0),
    ChartRow(14, 20.0, 15.0), ChartRow(12, 30.0, 20.0), ChartRow(10, 40.0, 30.0), ChartRow(8, 50.0, 50.0),
    ChartRow(6, 80.0, 70.0), ChartRow(4, 100.0, 70.0), ChartRow(2, 125.0, 100.0), ChartRow(1, None, 150.0),
    ChartRow(0, None, 150.0),
)

# ABYC E-11, table V-A of an older edition: cold-cranking amperes up to, main device, branch device
BREAKING = ((650.0, 1500.0, 750.0), (1100.0, 3000.0, 1500.0), (inf, 5000.0, 2500.0))


@frozen
class Placing:
    """How far along the conductor the first fuse may be: bare, in a sheath all the way, and sheathed from a battery."""

    bare_m: float
    sheathed_m: float
    from_battery_m: float
    authority: str


PLACING: Mapping[str, Placing] = MappingProxyType(
    {
        "33 CFR 183.455": Placing(
            0.178, 1.016, 1.016, "33 CFR 183.455(b): at the source; where impractical within 7 in, 40 in in a sheath"
        ),
        "ABYC E-11": Placing(
            0.178, 1.016, 1.829, "ABYC E-11 as summarised by the trade: 7 in, 40 in sheathed, 72 in from a battery"
        ),
        "road habit": Placing(0.254, 0.254, 0.254, "common practice on the road, no source: within 8 to 10 in"),
    }
)
NEARLY = 0.995  # an area that was rounded to three digits is still its gauge


def protection_for_wire_a(area_mm2: float, sort: Protection = "fuse") -> float:
    """Largest fuse or breaker for an aircraft's copper wire.

    Parameters
    ----------
    area_mm2 : float
        Cross-section of the metal; one between two gauges counts as the smaller [mm2].
    sort : str, optional
        Which column of the chart: a word, "fuse" or "breaker" [-].

    Returns
    -------
    rating : float
        Largest rating that the chart allows [A].

    Raises
    ------
    OutOfRange
        If the wire is thinner than 22 AWG, or the chart has no entry for it: it names no breaker above 2 AWG.
    UnknownName
        If the column does not exist.

    Notes
    -----
    The chart is on the safe side; a single wire in free air may take the next larger breaker. Above 1/0 AWG the figure
    of 1/0 AWG is given. Areas of the gauge by ASTM B258.

    References
    ----------
    .. [1] FAA AC 43.13-1B with change 1, table 11-3.

    Examples
    --------
    >>> protection_for_wire_a(5.26), protection_for_wire_a(6.0, "breaker")
    (30.0, 40.0)
    """
    above_zero("area_mm2", area_mm2)
    if sort not in ("fuse", "breaker"):
        raise UnknownName("column of the chart", sort, ("fuse", "breaker"))
    thick_enough = [row for row in WIRE_CHART if _area_mm2(row.gauge) * NEARLY <= area_mm2]
    if not thick_enough:
        raise OutOfRange("area_mm2", area_mm2, f"{_area_mm2(WIRE_CHART[0].gauge):.3f} (22 AWG) or more")
    found = thick_enough[-1].breaker_a if sort == "breaker" else thick_enough[-1].fuse_a
    if found is None:
        raise OutOfRange("area_mm2", area_mm2, "up to 2 AWG for a breaker: the chart names none for larger wires")
    return found


def _area_mm2(gauge: int) -> float:
    diameter_mm: float = 0.127 * 92 ** ((36 - gauge) / 39)  # ASTM B258
    return pi / 4 * diameter_mm**2


def breaking_capacity_a(cranking_a: float) -> tuple[float, float]:
    """Breaking capacity that a boat's main and branch devices need, by the size of its battery.

    Parameters
    ----------
    cranking_a : float
        Cold-cranking current of all batteries in parallel together [A].

    Returns
    -------
    capacity : tuple of float
        Least breaking capacity of the main device and of the branch devices [A].

    Raises
    ------
    OutOfRange
        If the cranking current is not above zero.

    Notes
    -----
    For lead-acid starter batteries of 12 and 24 V. Later editions differ, and ask for the battery's own short-circuit
    current above 2200 A or 500 Ah. A lithium battery can deliver more than the table supposes: compute it.

    References
    ----------
    .. [1] ABYC E-11, table V-A of an older edition, as reproduced by the trade.

    Examples
    --------
    >>> breaking_capacity_a(650.0), breaking_capacity_a(651.0)
    ((1500.0, 750.0), (3000.0, 1500.0))
    """
    above_zero("cranking_a", cranking_a)
    return next((main_a, branch_a) for up_to_a, main_a, branch_a in BREAKING if cranking_a <= up_to_a)


def furthest_fuse_m(rule: Rule, start: Start = "source", sheathed: bool = False) -> float:
    """Longest way along the conductor from the source to the first fuse that a rule allows.

    Parameters
    ----------
    rule : str
        Which rule: a word, a key of `PLACING` [-].
    start : str, optional
        Where the conductor begins: a word, "battery" for a battery's own post, else "source" [-].
    sheathed : bool, optional
        Whether it lies in a sheath or an enclosure all the way: true or false [-].

    Returns
    -------
    length : float
        Longest way [m].

    Raises
    ------
    UnknownName
        If there is no such rule, or no such start.

    Notes
    -----
    All of them want the fuse at the source and allow the way only where that is impractical. Whether the 72 in of ABYC
    E-11 need a sheath is not said in what was seen of it; they are given only for a sheathed conductor.

    References
    ----------
    .. [1] 33 CFR 183.455(b).
    .. [2] ABYC E-11, the "7-40-72" rule, as summarised by the trade.

    Examples
    --------
    >>> furthest_fuse_m("33 CFR 183.455"), furthest_fuse_m("ABYC E-11", "battery", sheathed=True)
    (0.178, 1.829)
    """
    placing = PLACING.get(rule)
    if placing is None:
        raise UnknownName("rule for the place of a fuse", rule, PLACING)
    if start not in ("source", "battery"):
        raise UnknownName("start of a conductor", start, ("source", "battery"))
    if not sheathed:
        return placing.bare_m
    return placing.from_battery_m if start == "battery" else placing.sheathed_m
