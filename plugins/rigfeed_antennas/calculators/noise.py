"""Calculators of noise: straps, whine, filters, chokes."""

from __future__ import annotations

from typing import Annotated, NamedTuple

from rigfeed.plugin import In, Out, calculator
from rigfeed_antennas import inductors, noise

NAVY = "US Navy electricity and electronics training series, module 5 (NAVEDTRA 14177), section 3"
SPREAD = 0.3  # of cores of one type


class Strap(NamedTuple):
    inductance_nh: Annotated[float, Out("", "inductance [nH]")]
    reactance: Annotated[float, Out("ohm", "reactance at the frequency")]
    slenderness: Annotated[float, Out("", "length over width; at most 5 is wanted")]


@calculator(
    "strap-inductance", "noise", formula="L = 0.002 l (ln(2 l/(w+t)) + 0.5 + 0.2235 (w+t)/l)  [uH, cm]",
    validity="straight and by itself, longer than wide; less close over metal",
    source="F. E. Terman, Radio engineers' handbook, 1943; 5 to 1 is common practice",
)
def strap_inductance(
    length: Annotated[float, In("mm", 1, 10_000, "length of the strap")],
    width: Annotated[float, In("mm", 0.1, 1000, "width of the strap")],
    thickness: Annotated[float, In("mm", 0.01, 50, "thickness of the strap")],
    frequency: Annotated[float, In("MHz", 0.001, 6000, "frequency")] = 7.1,
) -> Strap:
    """Inductance of a bonding strap, and what it is worth at a frequency.

    For direct current a bond is good below 2.5 mohm; at radio frequency its reactance is what counts.
    """
    inductance = inductors.strap_inductance_h(length, width, thickness)
    reactance = inductors.reactance_ohm(inductance, frequency * 1e6)
    return Strap(inductance * 1e9, reactance, length / width)


class Speed(NamedTuple):
    rpm: Annotated[float, Out("", "speed of the alternator [rpm]")]
    turns_per_second: Annotated[float, Out("Hz", "turns in a second")]


@calculator(
    "alternator-speed", "noise", formula="N2 = N1 D1 / D2", validity="a belt that does not slip",
    source="ratio of the pulleys",
)
def alternator_speed(
    engine_rpm: Annotated[float, In("", 1, 20_000, "speed of the engine [rpm]")],
    engine_pulley: Annotated[float, In("mm", 10, 1000, "pulley on the crankshaft")],
    alternator_pulley: Annotated[float, In("mm", 10, 1000, "pulley on the alternator")],
) -> Speed:
    """Speed of an alternator from that of the engine."""
    rpm = noise.alternator_rpm(engine_rpm, engine_pulley, alternator_pulley)
    return Speed(rpm, rpm / 60.0)


class Whine(NamedTuple):
    phase: Annotated[float, Out("Hz", "frequency of each phase")]
    whine: Annotated[float, Out("Hz", "lowest frequency of the ripple, healthy bridge")]


@calculator(
    "whine-frequency", "noise", formula="f = P N / 120; whine = 6 f",
    validity="three phases and six diodes, all healthy; a lower tone points to a diode", source=NAVY,
)
def whine_frequency(
    poles: Annotated[float, In("", 2, 100, "poles of the alternator, an even number; 12 and 16 are usual")],
    rpm: Annotated[float, In("", 1, 50_000, "speed of the alternator itself [rpm]")],
) -> Whine:
    """Where the whine of an alternator lies."""
    return Whine(noise.alternator_frequency_hz(poles, rpm), noise.whine_hz(poles, rpm))


class Filter(NamedTuple):
    corner: Annotated[float, Out("Hz", "corner of the filter")]
    attenuation: Annotated[float, Out("dB", "what it takes from the noise; negative: it makes it worse")]


@calculator(
    "lc-filter-corner", "noise", formula="f0 = 1 / (2 pi sqrt(L C)); A = 20 lg |(f/f0)^2 - 1|",
    validity="no losses, low source and high load impedance; inductance at the direct current that flows",
    source="resonance and divider of two reactances",
)
def lc_filter_corner(
    inductance_mh: Annotated[float, In("", 1e-6, 10_000, "inductance in the lead [mH]")],
    capacitance_uf: Annotated[float, In("", 1e-6, 1e6, "capacitance across it [uF]")],
    noise: Annotated[float, In("Hz", 1, 1e9, "frequency of the noise")] = 3000.0,
) -> Filter:
    """Corner of a power filter, and what it does to a noise."""
    corner = inductors.filter_corner_hz(inductance_mh * 1e-3, capacitance_uf * 1e-6)
    return Filter(corner, inductors.filter_attenuation_db(noise, corner))


class Choke(NamedTuple):
    inductance_uh: Annotated[float, Out("", "inductance [uH]")]
    least_uh: Annotated[float, Out("", "with the poorest core of the type [uH]")]
    most_uh: Annotated[float, Out("", "with the best core of the type [uH]")]
    reactance: Annotated[float, Out("ohm", "reactance at the frequency, by the inductance alone")]


@calculator(
    "ferrite-choke-inductance", "noise", formula="L = AL n^2, +-30 %",
    validity="below about 1 MHz for materials of noise suppression; above, the core loses: read its maker's curve",
    source="definition of AL; the spread is that of the trade",
)
def ferrite_choke_inductance(
    turns: Annotated[float, In("", 0.5, 1000, "times that the wire passes the hole")],
    al_nh: Annotated[float, In("", 0.1, 1e6, "inductance of one turn, AL [nH]")],
    frequency: Annotated[float, In("MHz", 0.001, 1, "frequency")] = 0.5,
) -> Choke:
    """Inductance of turns through a ferrite core."""
    inductance = inductors.ferrite_inductance_h(turns, al_nh)
    return Choke(
        inductance * 1e6, inductance * 1e6 * (1.0 - SPREAD), inductance * 1e6 * (1.0 + SPREAD),
        inductors.reactance_ohm(inductance, frequency * 1e6),
    )
