"""Resistance of a conductor: from its metal or its catalog row, warm or cold.

Every function takes floats or NumPy arrays, which broadcast; the first argument decides which of the two comes back.
Lengths here are lengths of metal: one way for one conductor, there and back for a loop.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import overload

from rigfeed.plugin import FloatArray, Floats, UnknownName, Value, above_zero, frozen, not_negative, within

__all__ = [
    "ALPHA_PER_K",
    "COPPER_OHM_MM2_PER_M",
    "MATERIALS",
    "Material",
    "corrected_resistance_ohm",
    "material_factor",
    "resistance_from_catalog_ohm",
    "resistance_ohm",
    "temperature_factor",
]

COPPER_OHM_MM2_PER_M = 1 / 58  # IEC 60028:1925, standard annealed copper at 20 degC
ALPHA_PER_K = 0.00393  # IEC 60028:1925, at 20 degC and constant mass
COLDEST_C, HOTTEST_C = -60.0, 260.0  # the span of the temperature ratings of wire


@frozen
class Material:
    """What a conductor is made of: its highest permitted resistance relative to plain copper of the same area."""

    factor: float
    source: str


MATERIALS: Mapping[str, Material] = MappingProxyType(
    {
        "plain copper": Material(1.0, "IEC 60028:1925"),
        "metal-coated copper": Material(1.030, "IEC 60228:2004 table 3: coated over plain, 1.018 to 1.030 by size"),
        "copper-clad aluminium 10 %": Material(1 / 0.629, "ASTM B566 class 10A: at least 62.9 % of the conductivity"),
        "copper-clad aluminium 15 %": Material(1 / 0.644, "ASTM B566 class 15A: at least 64.4 % of the conductivity"),
    }
)


@overload
def temperature_factor(conductor_c: float, alpha_per_k: float = ..., reference_c: float = ...) -> float: ...
@overload
def temperature_factor(conductor_c: FloatArray, alpha_per_k: Floats = ..., reference_c: Floats = ...) -> FloatArray: ...
@overload
def temperature_factor(conductor_c: Floats, alpha_per_k: Floats = ..., reference_c: Floats = ...) -> Floats: ...
def temperature_factor(conductor_c: Floats, alpha_per_k: Floats = ALPHA_PER_K, reference_c: Floats = 20.0) -> Floats:
    r"""Resistance at a temperature relative to that at the reference temperature.

    .. math:: k = 1 + \alpha \, (T - T_0)

    Parameters
    ----------
    conductor_c : float or array
        Temperature of the metal, not of the air [degC].
    alpha_per_k : float or array, optional
        Temperature coefficient at the reference temperature [1/K].
    reference_c : float or array, optional
        Temperature at which the resistance is known [degC].

    Returns
    -------
    factor : float or array
        What to multiply the resistance by [-].

    Raises
    ------
    OutOfRange
        If a temperature is outside of -60 to 260 degC, or the coefficient is not from 0 to 0.01 per kelvin.

    Notes
    -----
    The straight line is the convention of the trade. It is offered over the span of the temperature ratings of wire.
    A coefficient belongs to its reference temperature: 0.00393 at 20 degC is 0.00323 at 75 degC.

    References
    ----------
    .. [1] IEC 60028:1925, "International standard of resistance for copper": 0.00393 per kelvin at 20 degC.
    .. [2] NFPA 70, National Electrical Code, chapter 9 table 8, note 2: 0.00323 per kelvin at 75 degC.

    Examples
    --------
    >>> round(temperature_factor(70.0), 4)
    1.1965
    >>> round(temperature_factor(20.0, alpha_per_k=0.00323, reference_c=75.0), 3)
    0.822
    """
    within("conductor_c", conductor_c, COLDEST_C, HOTTEST_C)
    within("alpha_per_k", alpha_per_k, 0.0, 0.01)
    within("reference_c", reference_c, COLDEST_C, HOTTEST_C)
    factor = 1.0 + alpha_per_k * (conductor_c - reference_c)
    above_zero("temperature factor", factor)
    return factor


def resistance_ohm(
    length_m: Value,
    area_mm2: Value | float,
    conductor_c: Value | float = 20.0,
    *,
    alpha_per_k: Value | float = ALPHA_PER_K,
    resistivity_ohm_mm2_per_m: Value | float = COPPER_OHM_MM2_PER_M,
    factor: Value | float = 1.0,
) -> Value:
    r"""Direct-current resistance of a conductor from the area of its metal.

    .. math:: R = f \, \rho_{20} \, [1 + \alpha_{20} (T - 20)] \, l / A

    Parameters
    ----------
    length_m : float or array
        Length of the metal: one way for one conductor, there and back for a loop [m].
    area_mm2 : float or array
        Cross-section of the metal, above zero [mm2].
    conductor_c : float or array, optional
        Temperature of the metal, not of the air [degC].
    alpha_per_k : float or array, optional
        Temperature coefficient at 20 degC [1/K].
    resistivity_ohm_mm2_per_m : float or array, optional
        Resistivity at 20 degC, of standard annealed copper unless given [ohm mm2/m].
    factor : float or array, optional
        What the material adds, see `material_factor` [-].

    Returns
    -------
    resistance : float or array
        Resistance from end to end [ohm].

    Raises
    ------
    OutOfRange
        If the area, the resistivity or the factor is not above zero, the length is negative, or a temperature is
        outside of -60 to 260 degC.

    Notes
    -----
    Ideal metal without lay or tolerance. What a standard or a supplier prints as the maximum is higher and the better
    basis where there is one: `resistance_from_catalog_ohm`.

    References
    ----------
    .. [1] IEC 60028:1925, "International standard of resistance for copper": 1/58 ohm mm2/m at 20 degC, temperature
       coefficient 0.00393 per kelvin.

    Examples
    --------
    >>> round(resistance_ohm(58.0, 1.0, conductor_c=70.0), 4)
    1.1965
    """
    not_negative("length_m", length_m)
    above_zero("area_mm2", area_mm2)
    above_zero("resistivity_ohm_mm2_per_m", resistivity_ohm_mm2_per_m)
    above_zero("factor", factor)
    cold_ohm = length_m * resistivity_ohm_mm2_per_m * factor / area_mm2
    return corrected_resistance_ohm(cold_ohm, conductor_c, alpha_per_k)


def resistance_from_catalog_ohm(
    length_m: Value,
    ohm_per_km: Value | float,
    conductor_c: Value | float = 20.0,
    alpha_per_k: Value | float = ALPHA_PER_K,
) -> Value:
    r"""Resistance of a length of a cable whose resistance per length at 20 degC is printed.

    .. math:: R = R'_{20} \, l \, [1 + \alpha_{20} (T - 20)]

    Parameters
    ----------
    length_m : float or array
        Length of the metal: one way for one conductor, there and back for a loop [m].
    ohm_per_km : float or array
        Resistance per length at 20 degC as printed: the maximum of the standard, or the supplier's own [ohm/km].
    conductor_c : float or array, optional
        Temperature of the metal, not of the air [degC].
    alpha_per_k : float or array, optional
        Temperature coefficient at 20 degC [1/K].

    Returns
    -------
    resistance : float or array
        Resistance from end to end [ohm].

    Raises
    ------
    OutOfRange
        If the length is negative, the resistance per length is not above zero, or a temperature is outside of -60 to
        260 degC.

    Notes
    -----
    Coating, cladding and lay are in the printed figure already: no factor belongs here.

    References
    ----------
    .. [1] IEC 60228:2004, "Conductors of insulated cables", tables 1 to 3: maximum resistance at 20 degC.

    Examples
    --------
    >>> resistance_from_catalog_ohm(10.0, 3.3)
    0.033
    """
    not_negative("length_m", length_m)
    above_zero("ohm_per_km", ohm_per_km)
    return corrected_resistance_ohm(length_m * ohm_per_km / 1000.0, conductor_c, alpha_per_k)


def corrected_resistance_ohm(
    known_ohm: Value,
    conductor_c: Value | float,
    alpha_per_k: Value | float = ALPHA_PER_K,
    reference_c: Value | float = 20.0,
) -> Value:
    r"""A resistance known at one temperature, at another one.

    .. math:: R = R_0 \, [1 + \alpha \, (T - T_0)]

    Parameters
    ----------
    known_ohm : float or array
        Resistance at the reference temperature [ohm].
    conductor_c : float or array
        Temperature of the metal, not of the air [degC].
    alpha_per_k : float or array, optional
        Temperature coefficient at the reference temperature [1/K].
    reference_c : float or array, optional
        Temperature at which the resistance is known [degC].

    Returns
    -------
    resistance : float or array
        Resistance at the temperature of the metal [ohm].

    Raises
    ------
    OutOfRange
        If the resistance is negative or a temperature is outside of -60 to 260 degC.

    Notes
    -----
    See `temperature_factor` for the validity of the straight line.

    References
    ----------
    .. [1] NFPA 70, National Electrical Code, chapter 9 table 8, note 2.

    Examples
    --------
    >>> round(corrected_resistance_ohm(15.0, 35.0, alpha_per_k=0.004041), 3)
    15.909
    """
    not_negative("known_ohm", known_ohm)
    return known_ohm * temperature_factor(conductor_c, alpha_per_k, reference_c)


def material_factor(material: str) -> float:
    """How much more a conductor resists than plain copper of the same area: the highest that its standard allows.

    Parameters
    ----------
    material : str
        A key of `MATERIALS`, for instance "metal-coated copper" [name].

    Returns
    -------
    factor : float
        What to multiply the resistance of plain copper by [-].

    Raises
    ------
    UnknownName
        If no factor with a source is known for the material.

    Notes
    -----
    At 20 degC. The highest permitted resistance is taken because a drop that is promised too small is the harmful
    error: data sheets of copper-clad wire print about 3 % less. The temperature coefficient of clad wire has no source
    here; copper's 0.00393 is within 3 % of aluminium's 0.00403 (IEC 60287-1-1 table 1).

    References
    ----------
    .. [1] IEC 60228:2004, "Conductors of insulated cables", table 3, columns plain and metal-coated.
    .. [2] ASTM B566, "Copper-clad aluminum wire", classes 10A and 15A: minimum conductivity.

    Examples
    --------
    >>> round(material_factor("copper-clad aluminium 10 %"), 2)
    1.59
    """
    if material not in MATERIALS:
        raise UnknownName("conductor material", material, MATERIALS)
    return MATERIALS[material].factor
