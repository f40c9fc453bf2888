"""Coaxial cables as parts: two metal paths for direct current, a loss and a power limit for radio frequency."""

from __future__ import annotations

from math import exp, isfinite, log
from typing import Any

from marshmallow import ValidationError

from rigfeed.plugin import Core, FeederType, Number, OneOf, PointsField, RowSchema, Text, above_zero, frozen
from rigfeed_antennas.bands import MHZ
from rigfeed_antennas.coax import LossFit, fitted_loss

COPPER_ALPHA_PER_K = 0.00393  # IEC 60028: annealed copper at 20 degC
POWER_AIR_C = 40.0  # the air of the power ratings of coaxial cable

CENTRES = ("solid", "stranded")
METALS = ("copper", "tinned copper", "copper-clad steel", "copper-clad aluminium")
DIELECTRICS = ("solid PE", "foam PE", "semi-air PE", "solid PTFE")


@frozen(kw_only=True, eq=False)
class Feeder(FeederType):
    """A coaxial cable: inner conductor and shield.

    `bend_mm` is the least radius when laid once, `bend_long_mm` the one to aim for. `loss_points` are published pairs
    of MHz and dB per 100 m, as they stand in the source; the fit through them is made here. `power_points` are pairs of
    MHz and W in air of 40 degC. `coverage` is the share of the dielectric that the shield covers.
    """

    inner_mm2: float
    inner_ohm_per_km: float
    shield_mm2: float
    shield_ohm_per_km: float
    loss_points: tuple[tuple[float, float], ...]
    loss_source: str = ""
    loss_confidence: str = ""
    centre: str | None = None
    centre_metal: str | None = None
    dielectric: str | None = None
    bend_long_mm: float | None = None
    coverage: float | None = None
    power_points: tuple[tuple[float, float], ...] | None = None
    most_v: float | None = None

    @property
    def cores(self) -> tuple[Core, ...]:
        """Inner conductor and shield."""
        return (
            Core("inner", self.inner_mm2, self.inner_ohm_per_km / 1000, COPPER_ALPHA_PER_K),
            Core("shield", self.shield_mm2, self.shield_ohm_per_km / 1000, COPPER_ALPHA_PER_K),
        )

    @property
    def loss(self) -> LossFit:
        """The curve through its published points."""
        return fitted_loss(self.loss_points)

    def loss_db(self, frequency_hz: float, length_m: float) -> float:
        """Loss of a matched length [dB]."""
        return self.loss.loss_db(frequency_hz, length_m)

    def power_w(self, frequency_hz: float, air_c: float = POWER_AIR_C) -> float | None:
        """Continuous power into a match [W]; None where the catalog has no figure.

        Straight between points on logarithmic scales. Below the first point the figure of the first; above the last it
        falls with the frequency, which no cable exceeds. It falls with the room that the air leaves below the class of
        the insulation, and never rises above the figure for 40 degC.
        """
        above_zero("frequency_hz", frequency_hz)
        if not self.power_points:
            return None
        watts = _on_log_scales(self.power_points, frequency_hz / MHZ)
        if self.insulation_c is None:
            return watts
        return watts * min(1.0, max(0.0, (self.insulation_c - air_c) / (self.insulation_c - POWER_AIR_C)))


def _on_log_scales(points: tuple[tuple[float, float], ...], x: float) -> float:
    low, low_y = points[0]
    if x <= low:
        return low_y
    for high, high_y in points[1:]:
        if x <= high:
            return low_y * exp(log(high_y / low_y) * log(x / low) / log(high / low))
        low, low_y = high, high_y
    return low_y * low / x


class LossPointsField(Text):
    """Pairs of MHz and dB per 100 m, ``10 4.59; 50 10.8; 50 10.9``; two sources may print one frequency."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Any:
        try:
            points = tuple(tuple(float(number) for number in point.split()) for point in str(value).split(";"))
        except ValueError:
            points = ()
        good = all(len(point) == 2 and all(isfinite(n) and n > 0 for n in point) for point in points)
        if not good or len({point[0] for point in points}) < 2:
            raise ValidationError([f"{value!r} is no list of at least two points: write it like 10 4.59; 50 10.8"])
        return points


class FeederSchema(RowSchema):
    """A row of a feeder catalog."""

    builds = Feeder
    impedance_ohm = Number(above=0, most=500, required=True)
    velocity_factor = Number(least=0.3, most=1, required=True)
    od_mm = Number(above=0, most=100, required=True)
    insulation_c = Number(least=40, most=400, load_default=None)
    bend_mm = Number(above=0, most=5000, load_default=None)
    bend_long_mm = Number(above=0, most=5000, load_default=None)
    g_per_m = Number(above=0, most=10_000, load_default=None)
    inner_mm2 = Number(above=0, most=1000, required=True)
    inner_ohm_per_km = Number(above=0, most=10_000, required=True)
    shield_mm2 = Number(above=0, most=1000, required=True)
    shield_ohm_per_km = Number(above=0, most=10_000, required=True)
    loss_points = LossPointsField(required=True, data_key="loss_db_per_100m")
    loss_source = Text(load_default="")
    loss_confidence = Text(load_default="")
    centre = OneOf(CENTRES, load_default=None)
    centre_metal = OneOf(METALS, load_default=None)
    dielectric = OneOf(DIELECTRICS, load_default=None)
    coverage = Number(above=0, most=100, scale=1e-2, load_default=None, data_key="coverage_percent")
    power_points = PointsField(2, like="10 550; 100 160", load_default=None, data_key="power_w")
    most_v = Number(above=0, most=100_000, load_default=None)
