"""The calculators of this plugin: thin, over the formulas and the file of families."""

from __future__ import annotations

from math import isinf
from typing import Annotated, Literal, NamedTuple

from rigfeed.plugin import Calculator, Choice, In, Out, OutOfRange, calculator
from rigfeed_fuses import charts, letthrough, opening, resistance, window
from rigfeed_fuses.families import BreakerFamily, FuseFamily, family, opening_s

GROUP = "fuses"
GATES_SOURCE = (
    "the catalog of families (fuses/families.toml), each gate with its source: DIN 72581-3 form E and UL 248-14 as "
    "reproduced; most others from memory, unconfirmed"
)
COMMON = "common practice, no source"


class Window(NamedTuple):
    """Answer of fuse-window."""

    lowest: Annotated[float, Out("A", "lowest rating that carries the load (take the next standard one up)")]
    highest: Annotated[float, Out("A", "highest rating that still protects (take the next standard one down)")]
    most_load: Annotated[float, Out("A", "greatest lasting load of the highest rating")]


@calculator(
    "fuse-window", GROUP,
    formula="lowest = load / (share x factor); highest = least of ampacity x allowed and the maker's stated fuse",
    validity="loads that last; the ampacity is that of the weakest conductor in its place, up to the next fuse. No "
    "rating fits where the lowest is above the highest: take a thicker cable",
    source=f"33 CFR 183.455(a); FCS 1362:2010, 4.6; share: {COMMON}",
)
def fuse_window(
    load: Annotated[float, In("A", 0, 1000, "greatest current that lasts")],
    ampacity: Annotated[float, In("A", 0, 1000, "what the weakest conductor carries where it lies")],
    *,
    stated: Annotated[float | None, In("A", 0.1, 1000, "fuse that the maker of the equipment states")] = None,
    share: Annotated[float, In("%", 10, 100, "share of its rating that a fuse may carry for good")] = 80.0,
    factor: Annotated[float, In("%", 10, 200, "what it carries in its air, of its rating (fuse-rerating)")] = 100.0,
    allowed: Annotated[float, In("%", 10, 150, "of the ampacity; above 100 % is a rule for boats below 50 V")] = 100.0,
) -> Window:
    """The ratings between which a fuse must lie.

    From below it must carry the load without ageing, from above it must open before the cable or the equipment suffers.
    """
    highest = window.highest_rating_a(ampacity, allowed / 100, stated)
    return Window(
        window.lowest_rating_a(load, share / 100, factor / 100),
        highest,
        window.most_load_a(highest, share / 100, factor / 100),
    )


class Opening(NamedTuple):
    """Answer of fuse-opening-time."""

    shortest: Annotated[float, Out("s", "shortest time to open (inf where it carries this for good)")]
    longest: Annotated[float, Out("s", "longest time to open (inf where it need not open at all)")]


@calculator(
    "fuse-opening-time", GROUP,
    formula="straight between the gates of the family in log time over log current; above the last gate constant I2t",
    validity="from zero to 1000 times the rating; the air only widens the window; a shortest time of 0 is not known",
    source=GATES_SOURCE,
)
def fuse_opening_time(
    kind: Annotated[FuseFamily | BreakerFamily, Choice("family of fuse or breaker")],
    multiple: Annotated[float, In("", 0, 1000, "current over the rated current")],
    rating: Annotated[float, In("A", 0.1, 1000, "rated current: some families have other gates for large ones")] = 10.0,
    air: Annotated[float, In("degC", -40, 125, "temperature of the air around it")] = 25.0,
) -> Opening:
    """The shortest and the longest time in which a fuse may open.

    A good fuse may lie anywhere between the two: use the longest for the cable that it protects, the shortest for
    whether it opens before another one. Below about 1.35 times its rating it need not open at all.
    """
    return Opening(*opening_s(kind, multiple * rating, rating, air))


class Rerated(NamedTuple):
    """Answer of fuse-rerating."""

    current: Annotated[float, Out("A", "what it carries in that air, without margin")]
    factor: Annotated[float, Out("%", "the same, of its rating")]


@calculator(
    "fuse-rerating", GROUP,
    formula="current = rating x f(T), f straight between the points of the family",
    validity="lasting currents, air within the points of the family; in a short the air hardly counts",
    source="the catalog of families (fuses/families.toml): common shapes, from memory, unconfirmed",
)
def fuse_rerating(
    kind: Annotated[FuseFamily | BreakerFamily, Choice("family of fuse or breaker")],
    rating: Annotated[float, In("A", 0.1, 1000, "rated current")],
    air: Annotated[float, In("degC", -40, 125, "temperature of the air around it")],
) -> Rerated:
    """What a fuse carries in hot or cold air, as it carries its rating in that of the standard.

    A share of it for continuous loads comes on top; see fuse-window.
    """
    factor = family(kind).curve(rating).factor(air)
    return Rerated(opening.rerated_a(rating, factor), 100 * factor)


class Breaking(NamedTuple):
    """Answer of breaking-capacity-by-battery."""

    main: Annotated[float, Out("A", "least breaking capacity of the main device")]
    branch: Annotated[float, Out("A", "least breaking capacity of branch devices")]


@calculator(
    "breaking-capacity-by-battery", GROUP,
    formula="table: to 650 A of cold-cranking current 1500 and 750 A, to 1100 A 3000 and 1500 A, above 5000 and 2500 A",
    validity="lead-acid batteries of 12 and 24 V on a boat; parallel ones add, series ones do not; not for lithium",
    source="ABYC E-11, table V-A of an older edition, as reproduced by the trade; later editions differ",
)
def breaking_capacity_by_battery(
    cranking: Annotated[float, In("A", 1, 20_000, "cold-cranking current of all batteries in parallel")],
) -> Breaking:
    """What a fuse must be able to break, by the size of the battery.

    A rule of thumb of the trade. Where the resistance of battery and leads is known, the prospective current says more.
    """
    return Breaking(*charts.breaking_capacity_a(cranking))


@calculator(
    "fuse-for-wire", GROUP,
    formula="table by gauge; a size between two gauges counts as the smaller",
    validity="aircraft copper wire from 22 AWG up, breakers to 2 AWG; on the safe side for a lone wire in free air",
    source="FAA AC 43.13-1B, table 11-3",
)
def fuse_for_wire(
    area: Annotated[float, In("mm2", 0.05, 500, "cross-section of the metal, or its gauge")],
    device: Annotated[Literal["fuse", "breaker"], Choice("what protects it")] = "fuse",
) -> Annotated[float, Out("A", "largest rating")]:
    """The largest fuse or breaker for a wire, by the aircraft chart."""
    return charts.protection_for_wire_a(area, device)


class Resistance(NamedTuple):
    """Answer of fuse-resistance."""

    hot: Annotated[float, Out("mohm", "resistance at the rated current")]
    cold: Annotated[float, Out("mohm", "resistance before it warms up")]
    loss: Annotated[float, Out("W", "heat at the rated current")]


@calculator(
    "fuse-resistance", GROUP,
    formula="hot = drop / rating; cold = hot / ratio; loss = rating^2 x hot",
    validity="the drop is the limit of the standard or a measured one; at part load the fuse lies between cold and hot",
    source=f"DIN 72581-3 form E: at most 125 mV for 20 A, 100 mV from 30 to 80 A; ratio 1.4 to 1.5: {COMMON}",
)
def fuse_resistance(
    rating: Annotated[float, In("A", 0.1, 1000, "rated current")],
    drop: Annotated[float, In("mV", 1, 2000, "drop at the rated current")] = 100.0,
    ratio: Annotated[float, In("", 1, 3, "hot over cold resistance")] = 1.45,
) -> Resistance:
    """The resistance of a fuse, warm and cold, and the heat that it makes."""
    hot_ohm = resistance.hot_resistance_ohm(drop / 1000, rating)
    cold_ohm = resistance.cold_resistance_ohm(hot_ohm, ratio)
    return Resistance(1000 * hot_ohm, 1000 * cold_ohm, resistance.loss_w(rating, hot_ohm))


class LetThrough(NamedTuple):
    """Answer of fuse-size-for-let-through."""

    time: Annotated[float, Out("s", "longest time to open")]
    let_through: Annotated[float, Out("", "square of the current times that time in A2 s")]
    area: Annotated[float, Out("mm2", "smallest cross-section (take the next larger size)")]


@calculator(
    "fuse-size-for-let-through", GROUP,
    formula="S = I sqrt(t) / k, t the longest time of the fuse at I",
    validity="exact to about 5 s, on the safe side beyond; k belongs to the running temperature (k-factor). "
    "Ask for the lowest fault current as well as the highest: the slow one is often the worse",
    source=f"IEC 60364-5-54:2011, 543.1.2 and annex A; BS 7671, 543.1.3; times: {GATES_SOURCE}",
)
def fuse_size_for_let_through(
    kind: Annotated[FuseFamily | BreakerFamily, Choice("family of fuse or breaker")],
    rating: Annotated[float, In("A", 0.1, 1000, "rated current")],
    current: Annotated[float, In("A", 0, 100_000, "current of the fault")],
    k: Annotated[float, In("", 20, 300, "constant of metal, insulation and running temperature, A s0.5/mm2")] = 115.0,
    air: Annotated[float, In("degC", -40, 125, "temperature of the air around the fuse")] = 25.0,
) -> LetThrough:
    """The smallest wire that stands a fault until its fuse has opened.

    The constant 115 is copper in PVC that starts from 70 degC; from 105 degC it is 88, and a wire that passes with the
    first may fail with the second.
    """
    _, longest_s = opening_s(kind, current, rating, air)
    if isinf(longest_s):
        raise OutOfRange("current", current, f"so much that {kind} {rating:g} A must open, about 1.35 times its rating")
    let_through = letthrough.let_through_a2s(current, longest_s)
    return LetThrough(longest_s, let_through, letthrough.smallest_area_mm2(let_through, k))


class Distance(NamedTuple):
    """Answer of distance-to-first-fuse."""

    cfr: Annotated[float, Out("m", "33 CFR 183.455 (boats)")]
    abyc: Annotated[float, Out("m", "ABYC E-11 (boats)")]
    road: Annotated[float, Out("m", "habit on the road, 8 to 10 inches")]


@calculator(
    "distance-to-first-fuse", GROUP,
    formula="table of rules: at the source; else 7 in bare, 40 in in a sheath, 72 in in a sheath from a battery (ABYC)",
    validity="measured along the conductor; every rule wants the fuse at the source and allows a way where that is "
    "impractical. Your practice decides which rule counts",
    source=f"33 CFR 183.455(b); ABYC E-11 as summarised by the trade; on the road {COMMON}",
)
def distance_to_first_fuse(
    start: Annotated[charts.Start, Choice("where the conductor begins: at a battery, or elsewhere")] = "battery",
    cover: Annotated[Literal["bare", "sheathed"], Choice("sheathed: in a sheath or enclosure all the way")] = "bare",
) -> Distance:
    """How far from the source the first fuse may sit, by each rule."""
    rules: tuple[charts.Rule, ...] = ("33 CFR 183.455", "ABYC E-11", "road habit")
    return Distance(*(charts.furthest_fuse_m(rule, start, cover == "sheathed") for rule in rules))


CALCULATORS: tuple[Calculator, ...] = (
    breaking_capacity_by_battery, distance_to_first_fuse, fuse_for_wire, fuse_opening_time, fuse_rerating,
    fuse_resistance, fuse_size_for_let_through, fuse_window,
)
