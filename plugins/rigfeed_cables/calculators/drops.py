"""Calculators of voltage drop and of what it asks for."""

from __future__ import annotations

from typing import Annotated, NamedTuple

from rigfeed.plugin import In, Out, calculator
from rigfeed_cables import awg, drop, hot_run, resistance
from rigfeed_cables.calculators.sizes import GROUP, Area

Current = Annotated[float, In("A", 0.001, 5000, "current around the loop")]
Loop = Annotated[float, In("m", 0.01, 1000, "length of the loop: the metal there and back")]
Allowed = Annotated[float, In("V", 0.001, 100, "drop that is allowed around the loop")]
Metal = Annotated[float, In("degC", -60, 260, "temperature of the metal, not of the air")]


class Drop(NamedTuple):
    """A drop and what is left."""

    drop: Annotated[float, Out("V", "drop around the loop")]
    share: Annotated[float, Out("%", "drop, as a share of the supply")]
    left: Annotated[float, Out("V", "voltage at the load")]


@calculator(
    "voltage-drop",
    GROUP,
    formula="U = I x 0.01724 x [1 + 0.00393 (T - 20)] x loop / area",
    validity="direct current; the cable alone, without fuses, joints and the source",
    source="Ohm's law with the copper of IEC 60028:1925",
)
def voltage_drop(
    current: Current,
    loop: Loop,
    area: Area,
    supply: Annotated[float, In("V", 1, 1000, "voltage at the start of the loop")] = 12.0,
    temperature: Metal = 20.0,
) -> Drop:
    """What a loop of wire loses."""
    lost_v = drop.voltage_drop_v(current, resistance.resistance_ohm(loop, area, temperature))
    return Drop(lost_v, 100.0 * lost_v / supply, supply - lost_v)


class ConductorSize(NamedTuple):
    """An area, and the sizes of the gauge that have it."""

    area: Annotated[float, Out("mm2", "least cross-section of each leg")]
    circular_mils: Annotated[float, Out("cmil", "the same in circular mils")]
    size: Annotated[float, Out("", "thinnest size number that has it by ASTM B258; 0 is 1/0, -3 is 4/0")]
    size_sae: Annotated[float, Out("", "the same by the least areas of SAE J1127 and J1128")]


@calculator(
    "marine-conductor-size",
    GROUP,
    formula="CM = K I L / E with K = 10.75, L the loop in feet",
    validity="copper; it is ideal copper of 29 degC, or of 20 degC with 3.7 % in reserve; heat is not looked at",
    source="ABYC E-11, conductor sizing formula; areas of SAE sizes thicker than 10 AWG from memory",
)
def marine_conductor_size(current: Current, loop: Loop, allowed: Allowed) -> ConductorSize:
    """Cross-section by the convention of the boating trade.

    A cable to SAE J1127 or J1128 holds less metal than the gauge has: which standard counts can change the answer.
    """
    needed_mm2 = drop.marine_area_mm2(current, loop, allowed)
    return ConductorSize(
        needed_mm2,
        awg.cmil_from_mm2(needed_mm2),
        float(awg.smallest_gauge(needed_mm2)),
        float(awg.smallest_gauge(needed_mm2, awg.SAE_LEAST_MM2)),
    )


@calculator(
    "drop-iso-10133",
    GROUP,
    formula="E = 0.0164 I L / S, L the loop",
    validity="to compare with papers that use it; about 5 % optimistic for copper of 20 degC",
    source="ISO 10133, conductor voltage drop",
)
def drop_iso_10133(current: Current, loop: Loop, area: Area) -> Annotated[float, Out("V", "drop")]:
    """Voltage drop by the convention for small craft."""
    return drop.iso_drop_v(current, loop, area)


class Run(NamedTuple):
    """A longest run, both ways of counting it."""

    loop: Annotated[float, Out("m", "longest loop: the metal there and back")]
    one_way: Annotated[float, Out("m", "half of it, where both legs are equal")]


@calculator(
    "longest-run",
    GROUP,
    formula="l = U / (I R' [1 + 0.00393 (T - 20)])",
    validity="direct current; the cable alone",
    source="Ohm's law; FAA AC 43.13-1B change 1 table 11-8 for examples",
)
def longest_run(
    allowed: Allowed,
    current: Current,
    resistance_per_length: Annotated[float, In("ohm/km", 0.01, 10000, "resistance of one leg at 20 degC")],
    temperature: Metal = 20.0,
) -> Run:
    """The longest loop of a cable that stays within an allowed drop."""
    loop_m = drop.longest_loop_m(allowed, current, resistance_per_length, temperature)
    return Run(loop_m, loop_m / 2)


class HotRun(NamedTuple):
    """A hot conductor and how far it reaches."""

    temperature: Annotated[float, Out("degC", "estimated temperature of the metal")]
    length: Annotated[float, Out("m", "longest run at that temperature, one way or loop as it was given")]


@calculator(
    "hot-run-length",
    GROUP,
    formula="T2 = T1 + (TR - T1) sqrt(I2 / Imax), L2 = 254.5 L1 / (234.5 + T2)",
    validity="copper; the temperature is estimated high, and serves the drop only",
    source="FAA AC 43.13-1B change 1, paragraph 11-66d",
)
def hot_run_length(
    cold_length: Annotated[float, In("m", 0, 1000, "longest run at 20 degC, one way or loop")],
    current: Annotated[float, In("A", 0, 5000, "current of the circuit, at most the largest allowed one")],
    most_current: Annotated[float, In("A", 0.001, 5000, "current that brings the cable to its rating there")],
    ambient: Annotated[float, In("degC", 20, 259, "temperature of the air")],
    rated: Annotated[float, In("degC", 21, 260, "temperature for which the cable is rated")],
) -> HotRun:
    """The longest run of a conductor that is hot, from the longest run of a cold one."""
    hot_c = hot_run.estimated_conductor_c(current, most_current, ambient, rated)
    return HotRun(hot_c, hot_run.hot_run_length_m(cold_length, hot_c))


CALCULATORS = (voltage_drop, marine_conductor_size, drop_iso_10133, longest_run, hot_run_length)
