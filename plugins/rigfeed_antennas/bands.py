"""Bands of radio frequency as a catalog writes them: ``144 148; 430 440``, in megahertz."""

from __future__ import annotations

from typing import Any

from marshmallow import ValidationError

from rigfeed.plugin import PointsField

MHZ = 1e6
LEAST_MHZ, MOST_MHZ = 0.1, 10_000.0
SPEED_OF_LIGHT_M_PER_S = 299_792_458.0  # exact, by the definition of the metre

Bands = tuple[tuple[float, float], ...]  # lowest and highest frequency of each [Hz]


class BandsField(PointsField):
    """Lowest and highest frequency of each band [MHz], rising; the part gets them in hertz."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(2, least=1, like="144 148; 430 440", **kwargs)

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Any:
        bands = super()._deserialize(value, attr, data, **kwargs)
        edges = [edge for band in bands for edge in band]
        if edges != sorted(edges) or any(low == high for low, high in bands):
            raise ValidationError([f"{value!r}: each band goes from its lower to its upper edge, and none overlap"])
        if not all(LEAST_MHZ <= edge <= MOST_MHZ for edge in edges):
            raise ValidationError([f"{value!r} is not in megahertz: allowed are {LEAST_MHZ:g} to {MOST_MHZ:g}"])
        return tuple((low * MHZ, high * MHZ) for low, high in bands)


def covers(bands: Bands, frequency_hz: float) -> bool:
    """Whether a frequency lies in one of the bands, edges included."""
    return any(low <= frequency_hz <= high for low, high in bands)


def wavelength_m(frequency_hz: float) -> float:
    """Length of a wave in free space [m]."""
    return SPEED_OF_LIGHT_M_PER_S / frequency_hz
