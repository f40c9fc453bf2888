"""Limits of exposure to radio fields, and powers below which a rule asks for no evaluation, as functions of frequency.

Each rule is a table of spans of frequency, with the document that it stands in; the limits are for whole bodies.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from rigfeed.plugin import OutOfRange, UnknownName, above_zero, frozen
from rigfeed_antennas.bands import MHZ
from rigfeed_antennas.exposure import near_field_edge_m

__all__ = ["LIMITS", "Limit", "Rule", "exempt_erp_w", "exposure_limit"]

OfMhz = Callable[[float], float]


@frozen
class Limit:
    """What a rule allows at a frequency; None where it has no limit of that sort."""

    electric_v_per_m: float | None
    magnetic_a_per_m: float | None
    density_w_per_m2: float | None
    averaging_s: float


@frozen
class Span:
    """One row of a rule: from `low_mhz` up to `high_mhz`, the fields and the power density as functions of MHz."""

    low_mhz: float
    high_mhz: float
    electric: OfMhz | None
    magnetic: OfMhz | None
    density: OfMhz | None


@frozen
class Rule:
    """A set of limits with its averaging time and its source."""

    averaging_s: float
    spans: tuple[Span, ...]
    source: str


def _always(value: float) -> OfMhz:
    return lambda mhz: value


_FCC = "47 CFR 1.1310(e)(1) table 1"
LIMITS: Mapping[str, Rule] = MappingProxyType(
    {
        "fcc-general": Rule(
            1800.0,
            (  # below 30 MHz the densities are those of a plane wave, for comparison; 10 W/m2 are 1 mW/cm2
                Span(0.3, 1.34, _always(614.0), _always(1.63), _always(1000.0)),
                Span(1.34, 30.0, lambda f: 824.0 / f, lambda f: 2.19 / f, lambda f: 1800.0 / f**2),
                Span(30.0, 300.0, _always(27.5), _always(0.073), _always(2.0)),
                Span(300.0, 1500.0, None, None, lambda f: f / 150.0),
                Span(1500.0, 100_000.0, None, None, _always(10.0)),
            ),
            _FCC,
        ),
        "fcc-occupational": Rule(
            360.0,
            (
                Span(0.3, 3.0, _always(614.0), _always(1.63), _always(1000.0)),
                Span(3.0, 30.0, lambda f: 1842.0 / f, lambda f: 4.89 / f, lambda f: 9000.0 / f**2),
                Span(30.0, 300.0, _always(61.4), _always(0.163), _always(10.0)),
                Span(300.0, 1500.0, None, None, lambda f: f / 30.0),
                Span(1500.0, 100_000.0, None, None, _always(50.0)),
            ),
            _FCC,
        ),
        "icnirp-general": Rule(
            1800.0,
            (
                Span(0.1, 30.0, lambda f: 300.0 / f**0.7, lambda f: 2.2 / f, None),
                Span(30.0, 400.0, _always(27.7), _always(0.073), _always(2.0)),
                Span(400.0, 2000.0, lambda f: 1.375 * f**0.5, lambda f: 0.0037 * f**0.5, lambda f: f / 200.0),
                Span(2000.0, 300_000.0, None, None, _always(10.0)),
            ),
            "ICNIRP 2020, table 5, general public, whole body",
        ),
    }
)

_EXEMPT = (  # 47 CFR 1.1307(b)(3)(i)(C) table 1: megahertz, and watts for each square metre of the distance
    (0.3, 1.34, _always(1920.0)),
    (1.34, 30.0, lambda f: 3450.0 / f**2),
    (30.0, 300.0, _always(3.83)),
    (300.0, 1500.0, lambda f: 0.0128 * f),
    (1500.0, 100_000.0, _always(19.2)),
)


def exposure_limit(rule: str, frequency_hz: float) -> Limit:
    """What a rule allows at a frequency.

    Parameters
    ----------
    rule : str
        One of the rules in `LIMITS` [-].
    frequency_hz : float
        Frequency [Hz].

    Returns
    -------
    limit : Limit
        Electric and magnetic field, power density, averaging time [V/m, A/m, W/m2, s].

    Raises
    ------
    UnknownName
        If there is no such rule.
    OutOfRange
        If the rule has no limit at that frequency.

    Notes
    -----
    Of two spans that meet, the lower one counts at the edge. Below 30 MHz both fields are to be held against their
    limits separately. Limits for the limbs and the head, and for contact currents, are not here.

    References
    ----------
    .. [1] 47 CFR 1.1310(e)(1), table 1.
    .. [2] ICNIRP, "Guidelines for limiting exposure to electromagnetic fields (100 kHz to 300 GHz)", 2020, table 5.

    Examples
    --------
    >>> limit = exposure_limit("fcc-general", 146e6)
    >>> limit.density_w_per_m2, limit.electric_v_per_m
    (2.0, 27.5)
    """
    if rule not in LIMITS:
        raise UnknownName("rule of exposure", rule, LIMITS)
    above_zero("frequency_hz", frequency_hz)
    mhz, chosen = frequency_hz / MHZ, LIMITS[rule]
    for span in chosen.spans:
        if span.low_mhz <= mhz <= span.high_mhz:
            electric, magnetic, density = (of and of(mhz) for of in (span.electric, span.magnetic, span.density))
            return Limit(electric, magnetic, density, chosen.averaging_s)
    low, high = chosen.spans[0].low_mhz, chosen.spans[-1].high_mhz
    raise OutOfRange("frequency_hz", frequency_hz, f"{low * MHZ:g} to {high * MHZ:g}")


def exempt_erp_w(frequency_hz: float, distance_m: float) -> float:
    r"""Effective radiated power up to which no evaluation is asked for, from the distance to people.

    .. math:: ERP = c(f) \, R^2, \quad R \ge \frac{\lambda}{2 \pi}

    Parameters
    ----------
    frequency_hz : float
        Frequency, from 0.3 MHz to 100 GHz [Hz].
    distance_m : float
        Least distance between people and the antenna, at least a wavelength over 2 pi [m].

    Returns
    -------
    power : float
        Effective radiated power, averaged over time, relative to a dipole [W].

    Raises
    ------
    OutOfRange
        If the frequency is not in the table, or people come closer than a wavelength over 2 pi, where this paragraph
        of the rule exempts nothing.

    Notes
    -----
    Exempt from evaluation, not from the limit. The coefficients are those of the limit for the general public with full
    reflection. With several transmitters the shares of each add up, and must stay below 1.

    References
    ----------
    .. [1] 47 CFR 1.1307(b)(3)(i)(C), table 1.

    Examples
    --------
    >>> round(exempt_erp_w(144e6, 1.0), 2)
    3.83
    """
    edge_m = near_field_edge_m(frequency_hz)
    # the edge itself, from here or from a slide rule, is not closer
    if not distance_m >= edge_m * (1.0 - 1e-9):
        raise OutOfRange("distance_m", distance_m, f"at least {edge_m:.3g}, a wavelength over 2 pi")
    mhz = frequency_hz / MHZ
    for low, high, coefficient in _EXEMPT:
        if low <= mhz <= high:
            return coefficient(mhz) * distance_m**2
    raise OutOfRange("frequency_hz", frequency_hz, f"{_EXEMPT[0][0] * MHZ:g} to {_EXEMPT[-1][1] * MHZ:g}")
