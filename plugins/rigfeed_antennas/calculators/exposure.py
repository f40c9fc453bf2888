"""Calculators of exposure: power density, averages, distances, limits, and what a rule exempts."""

from __future__ import annotations

from typing import Annotated, Literal, NamedTuple

from rigfeed.plugin import Choice, In, Out, calculator
from rigfeed_antennas import exposure, exposure_rules, nearfield
from rigfeed_antennas.bands import MHZ
from rigfeed_antennas.gain import DIPOLE_DBI, eirp_w

Power = Annotated[float, In("W", 1e-6, 100_000, "power into the antenna, averaged as the limit asks for")]
Gain = Annotated[float, In("dB", -40, 30, "gain over an isotropic source towards the place meant [dBi]")]
Distance = Annotated[float, In("m", 0.01, 10_000, "distance from the antenna")]
Frequency = Annotated[float, In("MHz", 0.1, 100_000, "frequency")]
Reflection = Annotated[Literal["1", "2.56", "4"], Choice("what reflections do: 1 none, 2.56 usual ground, 4 the worst")]
Radiation = Annotated[float, In("ohm", 1e-4, 1000, "radiation resistance at the base, see short-whip")]
Feed = Annotated[float, In("ohm", 1e-3, 10_000, "whole resistance at the base, in resonance, see short-whip")]
OET = "FCC OET Bulletin 65, edition 97-01"


class Density(NamedTuple):
    density_w_per_m2: Annotated[float, Out("", "power density [W/m2]")]
    density_mw_per_cm2: Annotated[float, Out("", "power density [mW/cm2]")]
    field_v_per_m: Annotated[float, Out("", "electric field of a plane wave of that density [V/m]")]


@calculator(
    "power-density", "exposure", formula="S = P G r / (4 pi d^2)",
    validity="far field: beyond a wavelength over 2 pi; closer it is unsafe, see near-field-of-short-whip",
    source=f"{OET}, equations 3, 6 and 7",
)
def power_density(power: Power, gain_dbi: Gain, distance: Distance, reflection: Reflection = "1") -> Density:
    """Power density at a distance from an antenna."""
    density = exposure.power_density_w_per_m2(power, gain_dbi, distance, float(reflection))
    return Density(density, density / 10.0, (density * nearfield.VACUUM_OHM) ** 0.5)


class Average(NamedTuple):
    average: Annotated[float, Out("W", "power averaged over the averaging time")]


@calculator(
    "average-power", "exposure", formula="average = P d t / T",
    validity="t is the longest time keyed in any stretch of T: 6 min where people know, 30 min for all others",
    source="FCC OET Bulletin 65, supplement B, pages 12 to 14 and table 2",
)
def average_power(
    peak: Annotated[float, In("W", 1e-6, 100_000, "power while keyed, peak envelope power of SSB")],
    keyed: Annotated[float, In("s", 0, 3600, "longest time keyed in any stretch of the averaging time")],
    averaging: Annotated[float, In("s", 1, 3600, "averaging time: 6 min or 30 min")] = 360.0,
    mode_share: Annotated[
        float, In("%", 0, 100, "average over peak: FM 100, CW 40, SSB 20, SSB heavily processed 50")
    ] = 100.0,
) -> Average:
    """Power averaged over the time that a limit is averaged over."""
    return Average(exposure.average_power_w(peak, mode_share / 100.0, keyed, averaging))


class KeepAway(NamedTuple):
    distance: Annotated[float, Out("m", "distance at which the limit is met")]
    near_field_edge: Annotated[float, Out("m", "wavelength over 2 pi: a smaller distance is not to be trusted")]


@calculator(
    "exposure-distance", "exposure", formula="d = sqrt(P G r / (4 pi S))",
    validity="far field; a result below the edge of the near field is unsafe",
    source=f"{OET}, equations 3, 5 and 7",
)
def exposure_distance(
    power: Power,
    gain_dbi: Gain,
    frequency: Frequency,
    limit_w_per_m2: Annotated[float, In("", 0.001, 10_000, "limit [W/m2]; ten times one in mW/cm2")],
    reflection: Reflection = "2.56",
) -> KeepAway:
    """How far to keep away from an antenna.

    Not for short whips of HF: their near field reaches further than this says. See near-field-distance.
    """
    distance = exposure.exposure_distance_m(power, gain_dbi, limit_w_per_m2, float(reflection))
    return KeepAway(distance, exposure.near_field_edge_m(frequency * MHZ))


class Limits(NamedTuple):
    electric_v_per_m: Annotated[float, Out("", "electric field [V/m]; not a number where the rule has none")]
    magnetic_a_per_m: Annotated[float, Out("", "magnetic field [A/m]; not a number where the rule has none")]
    density_w_per_m2: Annotated[float, Out("", "power density [W/m2]; not a number where the rule has none")]
    averaging: Annotated[float, Out("min", "averaging time")]


@calculator(
    "exposure-limit", "exposure", formula="table of the rule", validity="whole body; not limbs, not contact currents",
    source="47 CFR 1.1310(e)(1) table 1; ICNIRP 2020 table 5",
)
def exposure_limit(
    rule: Annotated[Literal["fcc-general", "fcc-occupational", "icnirp-general"], Choice("the rule")],
    frequency: Frequency,
) -> Limits:
    """What a rule allows at a frequency."""
    found = exposure_rules.exposure_limit(rule, frequency * MHZ)
    fields = (found.electric_v_per_m, found.magnetic_a_per_m, found.density_w_per_m2)
    electric, magnetic, density = (float("nan") if value is None else value for value in fields)
    return Limits(electric, magnetic, density, found.averaging_s / 60.0)


class Close(NamedTuple):
    electric_v_per_m: Annotated[float, Out("", "electric field [V/m]")]
    magnetic_a_per_m: Annotated[float, Out("", "magnetic field [A/m]")]
    far_formula_v_per_m: Annotated[float, Out("", "electric field that the formula of the far field would say [V/m]")]
    understated: Annotated[float, Out("", "how many times too small that is")]
    near_field_edge: Annotated[float, Out("m", "wavelength over 2 pi")]


@calculator(
    "near-field-of-short-whip", "exposure",
    formula="E = (377 I l / 4 pi) |jk/r + 1/r^2 + 1/(jk r^3)|, H = (I l / 4 pi) |jk/r + 1/r^2|",
    validity="up to a tenth of a wavelength over metal; closer than twice its height it says too much",
    source="C. A. Balanis, Antenna theory, infinitesimal dipole; held against wire-grid calculations",
)
def near_field_of_short_whip(
    power: Power, frequency: Frequency, distance: Distance, radiation: Radiation, feed: Feed
) -> Close:
    """Field close to a short whip of HF.

    Within a wavelength over 2 pi the formula of the far field is unsafe: at 1 m from a 2.4 m whip on 7 MHz the field is
    ten times what it says. There both fields must be held against their limits, each by itself.
    """
    found = nearfield.near_field(distance, frequency * MHZ, power, radiation, feed)
    electric, far = float(found.electric_v_per_m), float(found.far_formula_v_per_m)
    edge = exposure.near_field_edge_m(frequency * MHZ)
    return Close(electric, float(found.magnetic_a_per_m), far, electric / far, edge)


class Clear(NamedTuple):
    distance: Annotated[float, Out("m", "distance along the ground at which both fields are within their limits")]


@calculator(
    "near-field-distance", "exposure", formula="E(d) = E limit or H(d) = H limit, whichever is further",
    validity="up to a tenth of a wavelength over metal; errs to the safe side close in",
    source="as near-field-of-short-whip; limits: see exposure-limit",
)
def near_field_distance(
    power: Power,
    frequency: Frequency,
    radiation: Radiation,
    feed: Feed,
    electric_v_per_m: Annotated[float, In("", 0.01, 10_000, "limit of the electric field [V/m]")],
    magnetic_a_per_m: Annotated[float, In("", 1e-5, 100, "limit of the magnetic field [A/m]")],
) -> Clear:
    """How far to keep away from a short whip of HF."""
    return Clear(
        nearfield.near_field_distance_m(
            frequency * MHZ, power, radiation, feed, most_v_per_m=electric_v_per_m, most_a_per_m=magnetic_a_per_m
        )
    )


class Exempt(NamedTuple):
    erp: Annotated[float, Out("W", "effective radiated power, averaged, up to which no evaluation is asked for")]
    eirp: Annotated[float, Out("W", "the same as equivalent isotropically radiated power")]
    distance: Annotated[float, Out("m", "distance that it holds for")]
    least_distance: Annotated[float, Out("m", "wavelength over 2 pi: closer, this paragraph exempts nothing")]


@calculator(
    "exemption-threshold", "exposure", formula="ERP = c(f) R^2: 1920, 3450/f^2, 3.83, 0.0128 f, 19.2  [W/m2, f in MHz]",
    validity="0.3 MHz to 100 GHz, distance at least a wavelength over 2 pi; several transmitters: add their shares",
    source="47 CFR 1.1307(b)(3)(i)(C), table 1",
)
def exemption_threshold(
    frequency: Frequency,
    distance: Annotated[
        float | None, In("m", 0.001, 10_000, "least distance of people; a wavelength over 2 pi if left out")
    ] = None,
) -> Exempt:
    """Power up to which the US rule asks for no evaluation. It exempts from the evaluation, not from the limit."""
    least = exposure.near_field_edge_m(frequency * MHZ)
    away = least if distance is None else distance
    erp = exposure_rules.exempt_erp_w(frequency * MHZ, away)
    return Exempt(erp, eirp_w(erp, 0.0, DIPOLE_DBI), away, least)
