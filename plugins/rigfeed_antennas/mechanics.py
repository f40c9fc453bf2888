"""Wind on a rod, and how tight a coaxial cable may be bent. The functions take floats or NumPy arrays, which broadcast;
the first argument decides which of the two comes back.
"""

from __future__ import annotations

from rigfeed.plugin import Value, above_zero, not_negative, within

__all__ = ["bend_radius_mm", "wind_force_n", "wind_moment_n_m"]

AIR_KG_PER_M3 = 1.225  # ISO 2533, standard atmosphere at sea level, 15 degC
CYLINDER_DRAG = 1.2  # long round rod, 1e4 < Re < 2e5; from memory, unconfirmed


def wind_force_n(
    speed_m_per_s: Value,
    rod_mm: Value | float,
    length_m: Value | float,
    drag: Value | float = CYLINDER_DRAG,
    air_kg_per_m3: Value | float = AIR_KG_PER_M3,
) -> Value:
    r"""Force of the wind on a round rod across it.

    .. math:: F = \tfrac{1}{2} \rho v^2 C_d \, d \, l

    Parameters
    ----------
    speed_m_per_s : float or array
        Speed of the air past the rod, that of the vehicle and the wind together, not negative [m/s].
    rod_mm : float or array
        Diameter of the rod, the mean one if it tapers, above zero [mm].
    length_m : float or array
        Length of the rod, above zero [m].
    drag : float or array, optional
        Drag coefficient, from 0.1 to 3 [-].
    air_kg_per_m3 : float or array, optional
        Density of the air, from 0.5 to 2 [kg/m3].

    Returns
    -------
    force : float or array
        Force, half way up the rod [N].

    Raises
    ------
    OutOfRange
        If the speed is negative, rod or length is not above zero, or one of the others is out of its range.

    Notes
    -----
    An upright, stiff rod; one that bends back takes less. Gusts and the flow over a roof can double it. The drag
    coefficient of 1.2 is the usual one of thin rods at road speeds.

    References
    ----------
    .. [1] ISO 2533, "Standard atmosphere"; the drag coefficient from memory, unconfirmed.

    Examples
    --------
    >>> round(wind_force_n(35.0, 10.0, 2.4), 1)
    21.6
    """
    not_negative("speed_m_per_s", speed_m_per_s)
    above_zero("rod_mm", rod_mm)
    above_zero("length_m", length_m)
    within("drag", drag, 0.1, 3.0)
    within("air_kg_per_m3", air_kg_per_m3, 0.5, 2.0)
    return 0.5 * air_kg_per_m3 * speed_m_per_s**2 * drag * rod_mm / 1000.0 * length_m


def wind_moment_n_m(force_n: Value, length_m: Value | float) -> Value:
    r"""Moment of the wind on a rod about its foot.

    .. math:: M = F \, l / 2

    Parameters
    ----------
    force_n : float or array
        Force of the wind on the rod, not negative [N].
    length_m : float or array
        Length of the rod, above zero [m].

    Returns
    -------
    moment : float or array
        Moment at the mount [N m].

    Raises
    ------
    OutOfRange
        If the force is negative, or the length is not above zero.

    Notes
    -----
    A rod of the same thickness all along. A coil half way up adds its own force at its own height.

    References
    ----------
    .. [1] Statics of a rod held at its foot.

    Examples
    --------
    >>> round(wind_moment_n_m(21.6, 2.4), 1)
    25.9
    """
    not_negative("force_n", force_n)
    above_zero("length_m", length_m)
    return force_n * length_m / 2.0


def bend_radius_mm(od_mm: Value, times: Value | float = 6.0) -> Value:
    r"""Radius of a bend from the diameter of the cable.

    .. math:: r = n \, D

    Parameters
    ----------
    od_mm : float or array
        Outside diameter of the cable, above zero [mm].
    times : float or array, optional
        Radius over diameter, from 1 to 50: 6 is the least for coaxial cable, 10 the one to aim for, 20 if it is bent
        again and again [-].

    Returns
    -------
    radius : float or array
        Radius of the inside of the bend [mm].

    Raises
    ------
    OutOfRange
        If the diameter is not above zero, or the ratio is not from 1 to 50.

    Notes
    -----
    The cable's own data come first. Foam gives way under a bend that solid dielectric bears.

    References
    ----------
    .. [1] NASA-STD-8739.4, "Crimping, interconnecting cables, harnesses, and wiring", paragraph 7.3: coaxial cable,
       6 times as the least, 10 times as the optimum.

    Examples
    --------
    >>> round(bend_radius_mm(4.95), 6), bend_radius_mm(4.95, 10.0)
    (29.7, 49.5)
    """
    above_zero("od_mm", od_mm)
    within("times", times, 1.0, 50.0)
    return od_mm * times
