"""Calculators of antennas: lengths, gain, short whips and their coils, wind."""

from __future__ import annotations

from typing import Annotated, NamedTuple

from rigfeed.plugin import In, Out, calculator
from rigfeed_antennas import gain, inductors, mechanics, whip
from rigfeed_antennas.bands import MHZ

Frequency = Annotated[float, In("MHz", 0.1, 6000, "frequency")]


class RodLength(NamedTuple):
    quarter: Annotated[float, Out("m", "quarter-wave rod")]
    five_eighths: Annotated[float, Out("m", "five-eighths rod, not shortened; it needs a matching coil")]
    half: Annotated[float, Out("m", "half-wave rod")]
    plane_radius: Annotated[float, Out("m", "quarter of a wave in free space: radius of metal wanted below it")]


@calculator(
    "quarter-wave-length", "antennas", formula="l = n s c / f", validity="thin rods; cut longer and trim",
    source="wavelength in free space; shortening of 0.95 is common practice, no source",
)
def quarter_wave_length(
    frequency: Frequency,
    shortening: Annotated[float, In("", 0.8, 1.0, "length of the real rod over that in free space")] = whip.SHORTEST,
) -> RodLength:
    """Length of a resonant rod, and of the metal that it wants below it."""
    hertz = frequency * MHZ
    return RodLength(
        whip.rod_length_m(hertz, 0.25, shortening), whip.rod_length_m(hertz, 0.625, 1.0),
        whip.rod_length_m(hertz, 0.5, shortening), whip.rod_length_m(hertz, 0.25, 1.0),
    )


class Gain(NamedTuple):
    dbi: Annotated[float, Out("dB", "gain over an isotropic source, towards the horizon")]
    dbd: Annotated[float, Out("dB", "gain over a half-wave dipole in free space")]


@calculator(
    "monopole-gain", "antennas", formula="G = 2 U(90 deg) / integral of U sin over the upper half",
    validity="a straight rod without loss and without coil over an endless perfect plane",
    source="image theory, C. A. Balanis, Antenna theory",
)
def monopole_gain(
    height: Annotated[float, In("", 0.01, 0.7, "height over the wavelength: 0.25 is a quarter wave")],
) -> Gain:
    """Gain of a rod over perfect ground: the most that a rod on a roof can come near to."""
    dbi = gain.monopole_gain_dbi(height)
    return Gain(dbi, dbi - gain.DIPOLE_DBI)


class Whip(NamedTuple):
    radiation: Annotated[float, Out("ohm", "radiation resistance at the base")]
    reactance: Annotated[float, Out("ohm", "reactance of the rod without a coil")]
    coil_uh: Annotated[float, Out("", "loading coil [uH]")]
    coil_resistance: Annotated[float, Out("ohm", "resistance of the coil")]
    feed: Annotated[float, Out("ohm", "resistance at the base, in resonance")]
    efficiency: Annotated[float, Out("%", "share of the power that is radiated")]
    gain_dbi: Annotated[float, Out("dB", "gain over an isotropic source, towards the horizon")]
    bandwidth: Annotated[float, Out("kHz", "bandwidth between the ratios given")]


@calculator(
    "short-whip", "antennas",
    formula="Rr = 40 pi^2 (h/lambda)^2 (1+x)^2; X = K2/tan(k h2) - K1 tan(k h1); efficiency = Rr/(Rr + X/Q + Rg)",
    validity="up to a tenth of a wavelength; radiation within 8 %, coil within 3 % of a wire-grid calculation",
    source="C. A. Balanis, Antenna theory; E. C. Jordan and K. G. Balmain; loss in the ground: low confidence",
)
def short_whip(
    height: Annotated[float, In("m", 0.1, 20, "height of the rod above its base")],
    rod: Annotated[float, In("mm", 0.5, 50, "diameter of the rod")],
    frequency: Frequency,
    coil_height: Annotated[float, In("", 0, 0.9, "height of the coil over that of the rod; 0 at the base")] = 0.0,
    coil_q: Annotated[float, In("", 10, 1000, "quality of the coil: 50 poor, 300 large and of thick wire")] = 200.0,
    ground: Annotated[
        float, In("ohm", 0, 100, "loss in vehicle and ground: 10-25 on 2 MHz, 5-12 on 7, 2-6 on 14, 1-3 above")
    ] = 8.0,
    swr: Annotated[float, In("", 1.01, 10, "standing wave ratio at the edges of the bandwidth")] = 2.0,
) -> Whip:
    """A short whip with a loading coil: how much of the power it radiates, and over which bandwidth.

    The loss in the vehicle and in the ground below it is known least and decides with the coil: try both ends of its
    range. The resistance at the base is below that of the cable, and wants a shunt coil or a transformer.
    """
    found = whip.short_whip(
        height, rod, frequency * MHZ, coil_height=coil_height, coil_q=coil_q, ground_ohm=ground, swr=swr
    )
    return Whip(
        found.radiation_ohm, found.reactance_ohm, found.coil_h * 1e6, found.coil_ohm, found.feed_ohm,
        100.0 * found.efficiency, found.gain_dbi, found.bandwidth_hz / 1e3,
    )


class Coil(NamedTuple):
    inductance_uh: Annotated[float, Out("", "inductance [uH]")]


@calculator(
    "coil-inductance", "antennas", formula="L = r^2 n^2 / (9 r + 10 l)  [uH, inches]",
    validity="single layer in air, at least 0.4 of its diameter long: within about 1 %",
    source="H. A. Wheeler, Proceedings of the IRE 16 (1928), page 1398",
)
def coil_inductance(
    turns: Annotated[float, In("", 0.5, 10_000, "turns")],
    diameter: Annotated[float, In("mm", 0.5, 1000, "mean diameter of the winding")],
    length: Annotated[float, In("mm", 0.5, 5000, "length of the winding")],
) -> Coil:
    """Inductance of a single-layer coil."""
    return Coil(inductors.coil_inductance_h(turns, diameter, length) * 1e6)


class CoilLoss(NamedTuple):
    reactance: Annotated[float, Out("ohm", "reactance")]
    resistance: Annotated[float, Out("ohm", "resistance")]


@calculator(
    "coil-resistance", "antennas", formula="R = 2 pi f L / Q", validity="well below the coil's own resonance",
    source="definition of the quality of a coil",
)
def coil_resistance(
    inductance_uh: Annotated[float, In("", 0.001, 100_000, "inductance [uH]")],
    frequency: Frequency,
    coil_q: Annotated[float, In("", 1, 2000, "quality of the coil at that frequency")],
) -> CoilLoss:
    """Resistance of a coil at a frequency."""
    resistance = inductors.coil_resistance_ohm(inductance_uh * 1e-6, frequency * MHZ, coil_q)
    return CoilLoss(resistance * coil_q, resistance)


class Wind(NamedTuple):
    force: Annotated[float, Out("N", "force of the wind")]
    moment: Annotated[float, Out("N m", "moment at the mount")]


@calculator(
    "wind-load", "antennas", formula="F = 0.5 rho v^2 Cd d l; M = F l / 2",
    validity="upright stiff round rod, 1e4 < Re < 2e5, air of 1.225 kg/m3",
    source="ISO 2533 for the air; drag coefficient of 1.2 from memory, unconfirmed",
)
def wind_load(
    speed_km_per_h: Annotated[float, In("", 0, 300, "speed of vehicle and wind together [km/h]")],
    rod: Annotated[float, In("mm", 0.5, 200, "mean diameter of the rod")],
    length: Annotated[float, In("m", 0.05, 20, "length of the rod")],
    drag: Annotated[float, In("", 0.1, 3, "drag coefficient")] = mechanics.CYLINDER_DRAG,
) -> Wind:
    """What the wind does to a rod and its mount."""
    force = mechanics.wind_force_n(speed_km_per_h / 3.6, rod, length, drag)
    return Wind(force, mechanics.wind_moment_n_m(force, length))
