"""Voltage drop along conductors, and what it asks for: an area, a size, a longest run.

Every length here is a loop: the metal of both legs, out to the load and back. Where the current returns through the
body the loop is the cable alone, and the body's own resistance is added by whoever knows it. The functions take floats
or NumPy arrays, which broadcast; the first argument decides which of the two comes back.
"""

from __future__ import annotations

from collections.abc import Mapping

from rigfeed.plugin import OutOfRange, Value, above_zero, not_negative, refuse_unless
from rigfeed_cables.awg import CMIL_MM2, TRADE_GAUGES, area_mm2, gauge_name
from rigfeed_cables.resistance import (
    ALPHA_PER_K,
    COPPER_OHM_MM2_PER_M,
    corrected_resistance_ohm,
    resistance_from_catalog_ohm,
    resistance_ohm,
    temperature_factor,
)

__all__ = [
    "area_for_drop_mm2",
    "iso_drop_v",
    "longest_loop_m",
    "marine_area_mm2",
    "resistive_load_current_a",
    "smallest_gauge_for_drop",
    "voltage_drop_v",
]

ISO_OHM_MM2_PER_M = 0.0164  # ISO 10133
MARINE_K_OHM_CMIL_PER_FT = 10.75  # ABYC E-11
FOOT_M = 0.3048


def voltage_drop_v(current_a: Value, path_ohm: Value | float) -> Value:
    r"""Voltage lost along a path that carries a current.

    .. math:: U = I \, R

    Parameters
    ----------
    current_a : float or array
        Current through the path; a negative one flows the other way [A].
    path_ohm : float or array
        Resistance of the whole path: one leg gives the drop of that leg, the loop that of the circuit [ohm].

    Returns
    -------
    drop : float or array
        Voltage from the start to the end of the path, of the sign of the current [V].

    Raises
    ------
    OutOfRange
        If the resistance is negative or the current is not finite.

    Notes
    -----
    Steady direct current: no inductance, no skin effect.

    References
    ----------
    .. [1] FAA AC 43.13-1B change 1, "Acceptable methods, techniques, and practices", table 11-7, page 11-22.

    Examples
    --------
    >>> voltage_drop_v(20.0, 0.05)
    1.0
    """
    refuse_unless(abs(current_a) < float("inf"), "current_a", current_a, "a finite current")
    not_negative("path_ohm", path_ohm)
    return current_a * path_ohm


def resistive_load_current_a(source_v: Value, load_ohm: Value | float, path_ohm: Value | float) -> Value:
    r"""Current that a load of constant resistance takes at the end of its conductors.

    .. math:: I = \frac{U_0}{R_{load} + R_{path}}

    Parameters
    ----------
    source_v : float or array
        Voltage at the start of the conductors [V].
    load_ohm : float or array
        Resistance of the load, above zero [ohm].
    path_ohm : float or array
        Resistance of both legs together, the loop [ohm].

    Returns
    -------
    current : float or array
        Current around the loop [A].

    Raises
    ------
    OutOfRange
        If the load is not above zero, or the voltage or the path is negative.

    Notes
    -----
    For heaters and the like. A radio is no such load: its current stays or rises as its voltage falls.

    References
    ----------
    .. [1] T. R. Kuphaldt, "Lessons in electric circuits", volume 1, chapter 12, temperature coefficient of resistance.

    Examples
    --------
    >>> resistive_load_current_a(14.0, 250.0, 30.0)
    0.05
    """
    not_negative("source_v", source_v)
    above_zero("load_ohm", load_ohm)
    not_negative("path_ohm", path_ohm)
    return source_v / (load_ohm + path_ohm)


def area_for_drop_mm2(
    current_a: Value,
    loop_length_m: Value | float,
    allowed_v: Value | float,
    conductor_c: Value | float = 20.0,
    *,
    alpha_per_k: Value | float = ALPHA_PER_K,
    resistivity_ohm_mm2_per_m: Value | float = COPPER_OHM_MM2_PER_M,
) -> Value:
    r"""Area of metal that keeps the drop of a loop within what is allowed.

    .. math:: A = \frac{\rho_{20} \, [1 + \alpha_{20} (T - 20)] \, l \, I}{U}

    Parameters
    ----------
    current_a : float or array
        Current around the loop, above zero [A].
    loop_length_m : float or array
        Length of the metal there and back, the loop, above zero [m].
    allowed_v : float or array
        Drop allowed around the loop, above zero [V].
    conductor_c : float or array, optional
        Temperature of the metal, not of the air [degC].
    alpha_per_k : float or array, optional
        Temperature coefficient at 20 degC [1/K].
    resistivity_ohm_mm2_per_m : float or array, optional
        Resistivity at 20 degC, of standard annealed copper unless given [ohm mm2/m].

    Returns
    -------
    area : float or array
        Least cross-section of each leg [mm2].

    Raises
    ------
    OutOfRange
        If current, length, allowed drop or resistivity is not above zero, or a temperature is outside of -60 to 260
        degC.

    Notes
    -----
    Ideal metal: a class 5 cable of that nominal area may resist up to 16 % more (IEC 60228:2004 table 3). Choose by the
    resistances of the cable where they are known.

    References
    ----------
    .. [1] IEC 60028:1925, "International standard of resistance for copper".

    Examples
    --------
    >>> round(area_for_drop_mm2(25.0, 11.6, 0.5), 2)
    10.0
    """
    above_zero("current_a", current_a)
    above_zero("loop_length_m", loop_length_m)
    above_zero("allowed_v", allowed_v)
    above_zero("resistivity_ohm_mm2_per_m", resistivity_ohm_mm2_per_m)
    cold_mm2 = current_a * loop_length_m * resistivity_ohm_mm2_per_m / allowed_v
    return corrected_resistance_ohm(cold_mm2, conductor_c, alpha_per_k)  # area and resistance grow by the same factor


def marine_area_mm2(current_a: Value, loop_length_m: Value | float, allowed_v: Value | float) -> Value:
    r"""Area of copper by the convention of the boating trade.

    .. math:: CM = \frac{K \, I \, L}{E}, \quad K = 10.75 \; \mathrm{ohm\,cmil/ft}

    Parameters
    ----------
    current_a : float or array
        Current around the loop, above zero [A].
    loop_length_m : float or array
        Length of the metal there and back, the loop, above zero [m].
    allowed_v : float or array
        Drop allowed around the loop, above zero [V].

    Returns
    -------
    area : float or array
        Least cross-section of each leg [mm2].

    Raises
    ------
    OutOfRange
        If an argument is not above zero.

    Notes
    -----
    The printed form counts in circular mils and in feet of loop; this is the same equation in metric units, with
    K = 0.01787 ohm mm2/m. That is ideal copper at about 29 degC, or at 20 degC with 3.7 % in reserve. Compare the
    result with the area that the cable's own standard requires: 12 AWG is 6530 cmil by ASTM B258, 5833 by SAE J1128.

    References
    ----------
    .. [1] ABYC E-11, "AC and DC electrical systems on boats", conductor sizing formula.

    Examples
    --------
    >>> round(marine_area_mm2(10.0, 6.4008, 0.36) / CMIL_MM2)
    6271
    """
    above_zero("current_a", current_a)
    above_zero("loop_length_m", loop_length_m)
    above_zero("allowed_v", allowed_v)
    return current_a * loop_length_m / allowed_v * (MARINE_K_OHM_CMIL_PER_FT * CMIL_MM2 / FOOT_M)


def iso_drop_v(current_a: Value, loop_length_m: Value | float, size_mm2: Value | float) -> Value:
    r"""Voltage drop around a loop by the convention of small craft.

    .. math:: E = \frac{0.0164 \, I \, L}{S}

    Parameters
    ----------
    current_a : float or array
        Current around the loop; a negative one flows the other way [A].
    loop_length_m : float or array
        Length of the metal there and back, the loop [m].
    size_mm2 : float or array
        Nominal cross-section of each leg, above zero [mm2].

    Returns
    -------
    drop : float or array
        Drop around the loop, of the sign of the current [V].

    Raises
    ------
    OutOfRange
        If the area is not above zero, the length is negative or the current is not finite.

    Notes
    -----
    About 5 % optimistic at 20 degC: ideal copper has 0.01724 ohm mm2/m, and 0.0164 is copper at about 8 degC. For
    comparison with papers that use it, not for a design.

    References
    ----------
    .. [1] ISO 10133, "Small craft - Electrical systems - Extra-low-voltage d.c. installations", conductor voltage drop.

    Examples
    --------
    >>> round(iso_drop_v(10.0, 10.0, 4.0), 2)
    0.41
    """
    refuse_unless(abs(current_a) < float("inf"), "current_a", current_a, "a finite current")
    not_negative("loop_length_m", loop_length_m)
    above_zero("size_mm2", size_mm2)
    return ISO_OHM_MM2_PER_M * current_a * loop_length_m / size_mm2


def longest_loop_m(
    allowed_v: Value,
    current_a: Value | float,
    ohm_per_km: Value | float,
    conductor_c: Value | float = 20.0,
    alpha_per_k: Value | float = ALPHA_PER_K,
) -> Value:
    r"""Longest loop of a cable that stays within the allowed drop.

    .. math:: l = \frac{U}{I \, R'_{20} \, [1 + \alpha_{20} (T - 20)]}

    Parameters
    ----------
    allowed_v : float or array
        Drop allowed around the loop, above zero [V].
    current_a : float or array
        Current around the loop, above zero [A].
    ohm_per_km : float or array
        Resistance per length of one leg at 20 degC, above zero [ohm/km].
    conductor_c : float or array, optional
        Temperature of the metal, not of the air [degC].
    alpha_per_k : float or array, optional
        Temperature coefficient at 20 degC [1/K].

    Returns
    -------
    length : float or array
        Length of the metal there and back; half of it one way [m].

    Raises
    ------
    OutOfRange
        If drop, current or resistance is not above zero, or a temperature is outside of -60 to 260 degC.

    Notes
    -----
    Joints, fuses and the source have their own drops, which come off the allowed one first.

    References
    ----------
    .. [1] FAA AC 43.13-1B change 1, "Acceptable methods, techniques, and practices", table 11-8, page 11-22.

    Examples
    --------
    >>> round(longest_loop_m(0.5, 20.0, 4.134), 2)
    6.05
    """
    above_zero("allowed_v", allowed_v)
    above_zero("current_a", current_a)
    above_zero("ohm_per_km", ohm_per_km)
    cold_length_m = 1000.0 * allowed_v / (current_a * ohm_per_km)
    return cold_length_m / temperature_factor(conductor_c, alpha_per_k)


def smallest_gauge_for_drop(
    current_a: float,
    loop_length_m: float,
    allowed_v: float,
    conductor_c: float = 20.0,
    ohm_per_km_of: Mapping[int, float] | None = None,
) -> int:
    """The thinnest American wire gauge that keeps the drop of a loop within what is allowed.

    Parameters
    ----------
    current_a : float
        Current around the loop, above zero [A].
    loop_length_m : float
        Length of the metal there and back, the loop, above zero [m].
    allowed_v : float
        Drop allowed around the loop, above zero [V].
    conductor_c : float, optional
        Temperature of the metal, not of the air [degC].
    ohm_per_km_of : mapping, optional
        Resistance per length at 20 degC by size number; unless given, ideal copper of the ASTM B258 areas of
        `TRADE_GAUGES` [ohm/km].

    Returns
    -------
    gauge : int
        Size number, 0 for 1/0 and -3 for 4/0 AWG [AWG].

    Raises
    ------
    OutOfRange
        If current, length or allowed drop is not above zero, the temperature is outside of -60 to 260 degC, no size of
        the series is enough, or the series is empty.

    Notes
    -----
    Says nothing about heat: the size must also carry the current. The resistances decide: stranded tin-plated wire
    resists up to 27 % more than ideal copper of its number (table 11-9), enough to change the answer by a size.

    References
    ----------
    .. [1] FAA AC 43.13-1B change 1, "Acceptable methods, techniques, and practices", paragraph 11-66, page 11-22.

    Examples
    --------
    >>> smallest_gauge_for_drop(20.0, 15.24, 1.0), smallest_gauge_for_drop(20.0, 15.24, 1.0, conductor_c=60.0)
    (10, 8)
    """
    above_zero("current_a", current_a)
    above_zero("loop_length_m", loop_length_m)
    above_zero("allowed_v", allowed_v)
    series = _ideal_ohm_per_km() if ohm_per_km_of is None else ohm_per_km_of
    above_zero("number of sizes to choose from", float(len(series)))
    drops_v = {
        gauge: voltage_drop_v(current_a, resistance_from_catalog_ohm(loop_length_m, ohm_per_km, conductor_c))
        for gauge, ohm_per_km in series.items()
    }
    enough = [(drop_v, gauge) for gauge, drop_v in drops_v.items() if drop_v <= allowed_v]
    if not enough:
        least_v, gauge = min((drop_v, gauge) for gauge, drop_v in drops_v.items())
        raise OutOfRange("allowed_v", allowed_v, f"at least {least_v:.3g} V, the drop of {gauge_name(gauge)}")
    return max(enough)[1]


def _ideal_ohm_per_km() -> dict[int, float]:
    """Resistance of ideal copper at 20 degC [ohm/km] by size number of `TRADE_GAUGES` with ASTM B258 areas."""
    return {gauge: resistance_ohm(1000.0, area_mm2(float(gauge))) for gauge in TRADE_GAUGES}
