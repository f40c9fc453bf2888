"""Calculators of coaxial cable: loss, impedance, mismatch, and what arrives at the antenna."""

from __future__ import annotations

from typing import Annotated, Literal, NamedTuple

from rigfeed.plugin import Choice, In, Out, OutOfRange, calculator
from rigfeed_antennas import coax, gain, line, mechanics, mismatch
from rigfeed_antennas.bands import MHZ
from rigfeed_antennas.published import feeder

Type = Literal["rg58c", "rg213", "rg8x", "rg174", "rg316", "foam-10.3", "semi-air-10.3", "other"]
Cable = Annotated[Type, Choice("type of the catalog, or other with k1 and k2")]
Frequency = Annotated[float, In("MHz", 0.5, 6000, "frequency")]
Length = Annotated[float, In("m", 0.01, 1000, "length of the cable, one way")]
K1 = Annotated[float | None, In("", 0, 50, "loss in the metal of another cable [dB per 100 m and root MHz]")]
K2 = Annotated[float | None, In("", 0, 1, "loss in the dielectric of another cable [dB per 100 m and MHz]")]
Swr = Annotated[float, In("", 1, 1000, "standing wave ratio")]

CURVES = "points published for the type, see the catalog of feeders; the curve through them is fitted here"


def _coefficients(cable: Type, k1: float | None, k2: float | None) -> tuple[float, float]:
    """Those of the type, or those given for another one."""
    if cable == "other":
        if k1 is None or k2 is None:
            raise OutOfRange("k1" if k1 is None else "k2", float("nan"), "a number: another cable needs k1 and k2")
        return k1, k2
    fit = feeder(cable).loss
    return fit.k1, fit.k2


class CoaxLoss(NamedTuple):
    loss: Annotated[float, Out("dB", "loss of the length")]
    loss_per_100m: Annotated[float, Out("dB", "loss of 100 m")]
    loss_per_100ft: Annotated[float, Out("dB", "loss of 100 ft")]
    arrives: Annotated[float, Out("%", "share of the power that arrives")]


@calculator(
    "coax-loss", "feeders", formula="a = k1 sqrt(f) + k2 f  [dB per 100 m, f in MHz]; A = a l / 100",
    validity="matched ends, 20 degC, 0.5 MHz and up; types of one name differ by 10 to 20 % between makers",
    source=CURVES,
)
def coax_loss(cable: Cable, frequency: Frequency, length: Length, k1: K1 = None, k2: K2 = None) -> CoaxLoss:
    """Loss of a coaxial cable.

    With a mismatch at the antenna more is lost: see mismatched-line-loss.
    """
    metal, dielectric = _coefficients(cable, k1, k2)
    per_100m = coax.loss_db_per_100m(frequency * MHZ, metal, dielectric)
    loss = coax.loss_db(frequency * MHZ, length, metal, dielectric)
    return CoaxLoss(loss, per_100m, per_100m * 0.3048, 100.0 * gain.power_after_loss_w(1.0, loss))


class CoaxImpedance(NamedTuple):
    impedance: Annotated[float, Out("ohm", "characteristic impedance")]


@calculator(
    "coax-impedance", "feeders", formula="Z0 = 1 / (v c C')", validity="frequencies at which the loss is small",
    source="MIL-DTL-28830E, 4.7.10.2; printed there as 101670 / (VoP C) with percent and pF/ft",
)
def coax_impedance(
    velocity: Annotated[float, In("%", 10, 100, "speed on the cable over that of light")],
    capacitance: Annotated[float, In("", 1, 1000, "capacitance of a metre [pF/m]")],
) -> CoaxImpedance:
    """Characteristic impedance of a cable from its speed and its capacitance.

    Both can be measured on a coil of cable of unknown type: the capacitance with a meter, the speed from the frequency
    at which an open quarter wave looks short.
    """
    return CoaxImpedance(coax.impedance_from_capacitance_ohm(velocity / 100.0, capacitance))


class StandingWave(NamedTuple):
    swr: Annotated[float, Out("", "standing wave ratio at the load")]
    reflection: Annotated[float, Out("", "share of the voltage that is reflected")]
    reflected: Annotated[float, Out("%", "share of the power that is reflected")]


@calculator(
    "swr", "feeders", formula="S = R/Z0 or Z0/R, whichever is above 1", validity="a load without reactance",
    source="NCVEC question pool (public domain), G9A09 and G9A10",
)
def swr(
    load: Annotated[float, In("ohm", 0.01, 100_000, "resistance of the load")],
    impedance: Annotated[float, In("ohm", 1, 1000, "characteristic impedance of the line")] = 50.0,
) -> StandingWave:
    """Standing wave ratio at a load that is a pure resistance."""
    ratio = mismatch.swr_from_load(load, impedance)
    return StandingWave(ratio, mismatch.reflection(ratio), 100.0 * mismatch.reflected_share(ratio))


class Reflected(NamedTuple):
    reflection: Annotated[float, Out("", "share of the voltage that is reflected")]
    reflected: Annotated[float, Out("%", "share of the power that is reflected")]
    mismatch_loss: Annotated[float, Out("dB", "forward power over power taken")]
    return_loss: Annotated[float, Out("dB", "forward power over reflected power")]
    at_set: Annotated[float, Out("", "standing wave ratio at the set, if the ratio given is that at the antenna")]


@calculator(
    "swr-reflected-power", "feeders", formula="rho = (S - 1) / (S + 1); reflected = rho^2; rho at the set = rho / a",
    validity="an identity; the ratio is that of one place", source="definition of the standing wave ratio",
)
def swr_reflected_power(
    swr: Swr,
    loss: Annotated[float, In("dB", 0, 60, "loss of the matched line between antenna and set")] = 0.0,
) -> Reflected:
    """What a standing wave ratio means, and how much better it looks at the set than it is at the antenna."""
    return Reflected(
        mismatch.reflection(swr), 100.0 * mismatch.reflected_share(swr), mismatch.mismatch_loss_db(swr),
        mismatch.return_loss_db(swr), mismatch.swr_at_set(swr, loss),
    )


class MismatchedLine(NamedTuple):
    loss: Annotated[float, Out("dB", "loss of this line with this load")]
    matched_loss: Annotated[float, Out("dB", "loss of the same line, matched")]
    handbook_loss: Annotated[float, Out("dB", "loss by the formula of the handbooks")]
    handbook_error: Annotated[float, Out("dB", "that less the loss of this line; negative: it hides loss")]
    swr_at_antenna: Annotated[float, Out("", "standing wave ratio at the antenna")]
    swr_at_set: Annotated[float, Out("", "standing wave ratio at the set")]
    set_resistance: Annotated[float, Out("ohm", "resistance that the set sees")]
    set_reactance: Annotated[float, Out("ohm", "reactance that the set sees")]
    half_waves: Annotated[float, Out("", "length of the line in half-waves")]


@calculator(
    "mismatched-line-loss", "feeders",
    formula="Zin = Zc (ZL + Zc tanh gl) / (Zc + ZL tanh gl); A = 10 lg (power in / power into ZL), all complex",
    validity="any length and load; the handbook's 10 lg ((a^2 - rho^2) / (a (1 - rho^2))) only for many half-waves",
    source="theory of lines with losses; curves: " + CURVES,
)
def mismatched_line_loss(
    cable: Cable,
    frequency: Frequency,
    length: Length,
    load: Annotated[float, In("ohm", 0.01, 100_000, "resistance of the antenna")],
    reactance: Annotated[float, In("ohm", -100_000, 100_000, "reactance of the antenna")] = 0.0,
    k1: K1 = None,
    k2: K2 = None,
    velocity: Annotated[float | None, In("%", 10, 100, "speed on another cable over that of light; else 66 %")] = None,
    impedance: Annotated[float | None, In("ohm", 1, 1000, "impedance of another cable; else 50 ohm")] = None,
) -> MismatchedLine:
    """Loss of a coaxial cable with an antenna that does not match it, exactly.

    The formula of the handbooks takes the mean over many half-waves. It fails on short lines: where the antenna has a
    low resistance, as a short whip has, the metal of the cable carries more current and more is lost than it says.
    """
    metal, dielectric = _coefficients(cable, k1, k2)
    known = None if cable == "other" else feeder(cable)
    result = line.loaded_line(
        frequency * MHZ, length, metal, dielectric, load_ohm=load, reactance_ohm=reactance,
        impedance_ohm=impedance or (known.impedance_ohm if known else 50.0),
        velocity_factor=velocity / 100.0 if velocity else known.velocity_factor if known else 0.66,
    )
    loss, matched, far = float(result.loss_db), float(result.matched_db), float(result.swr_at_load)
    handbook = mismatch.handbook_line_loss_db(far, matched)
    return MismatchedLine(
        loss, matched, handbook, handbook - loss, far, float(result.swr_at_input), float(result.input_ohm),
        float(result.input_reactance_ohm), float(result.half_waves),
    )


class Radiated(NamedTuple):
    loss: Annotated[float, Out("dB", "all losses on the way")]
    at_antenna: Annotated[float, Out("W", "power at the antenna")]
    erp: Annotated[float, Out("W", "effective radiated power, over a half-wave dipole")]
    eirp: Annotated[float, Out("W", "equivalent isotropically radiated power")]


@calculator(
    "power-at-antenna", "feeders", formula="P2 = P1 10^(-A/10); ERP = P2 10^(Gd/10); EIRP = ERP 10^(2.15/10)",
    validity="losses in decibels add; the gain is that towards the place meant",
    source="definition of the decibel; 47 CFR 2.1",
)
def power_at_antenna(
    power: Annotated[float, In("W", 0.001, 100_000, "power of the set")],
    feeder_loss: Annotated[float, In("dB", 0, 60, "loss of the cable, with its mismatch")],
    other_loss: Annotated[float, In("dB", 0, 60, "loss of connectors, filters, duplexer together")] = 0.0,
    gain_dbd: Annotated[float, In("dB", -40, 30, "gain over a half-wave dipole; that in dBi less 2.15")] = 0.0,
) -> Radiated:
    """What arrives at the antenna, and what it radiates."""
    loss = feeder_loss + other_loss
    return Radiated(
        loss, gain.power_after_loss_w(power, loss), gain.erp_w(power, loss, gain_dbd),
        gain.eirp_w(power, loss, gain_dbd + gain.DIPOLE_DBI),
    )


class BendRadius(NamedTuple):
    least: Annotated[float, Out("mm", "least radius, laid once")]
    optimum: Annotated[float, Out("mm", "radius to aim for")]
    flexing: Annotated[float, Out("mm", "radius where it is bent again and again")]


@calculator(
    "bend-radius", "feeders", formula="r = 6 D, 10 D, 20 D",
    validity="coaxial cable whose own data say nothing else; inside of the bend",
    source="NASA-STD-8739.4, 7.3, for 6 and 10; 20 is common practice",
)
def bend_radius(diameter: Annotated[float, In("mm", 0.5, 100, "outside diameter of the cable")]) -> BendRadius:
    """How tight a coaxial cable may be bent."""
    least, optimum, flexing = (mechanics.bend_radius_mm(diameter, times) for times in (6.0, 10.0, 20.0))
    return BendRadius(least, optimum, flexing)
