"""Coaxial connectors as parts: what they mate with, which cable they take, what they lose."""

from __future__ import annotations

from itertools import pairwise

from rigfeed.plugin import EndFitting, Number, OneOf, OutOfRange, PointsField, RigidField, RowSchema, above_zero, frozen
from rigfeed_antennas.answer import Answer
from rigfeed_antennas.bands import MHZ

SERIES = ("UHF", "mini-UHF", "BNC", "TNC", "N", "SMA", "FME", "solder")
GENDERS = ("plug", "socket", "none")


@frozen(kw_only=True, eq=False)
class Connector(EndFitting):
    """A coaxial plug or socket for cables of `least_od_mm` to `most_od_mm`.

    `loss_points` are pairs of MHz and dB of a mated pair. `sealed` tells whether it keeps water out by itself.
    """

    series: str | None = None
    gender: str | None = None
    least_od_mm: float | None = None
    most_od_mm: float | None = None
    impedance_ohm: float | None = None
    most_hz: float | None = None
    sealed: bool | None = None
    loss_points: tuple[tuple[float, float], ...] | None = None

    def takes(self, od_mm: float) -> bool | None:
        """Whether it fits a cable of a diameter; None where the catalog does not say."""
        if self.least_od_mm is None or self.most_od_mm is None:
            return None
        return self.least_od_mm <= od_mm <= self.most_od_mm

    def mates(self, other: Connector) -> bool | None:
        """Whether it goes together with another one; None where one of them does not say, or is a fixed joint."""
        if {None, "none"} & {self.series, self.gender, other.series, other.gender}:
            return None
        return self.series == other.series and {self.gender, other.gender} == {"plug", "socket"}

    def loss_db(self, frequency_hz: float) -> float | None:
        """Loss of a mated pair [dB], straight between the points of the catalog, below the first as at the first.

        Raises
        ------
        OutOfRange
            If the frequency is above the last point, or not above zero.
        """
        above_zero("frequency_hz", frequency_hz)
        if not self.loss_points:
            return None
        mhz = frequency_hz / MHZ
        if mhz > self.loss_points[-1][0]:
            raise OutOfRange("frequency_hz", frequency_hz, f"up to {self.loss_points[-1][0] * MHZ:g}")
        for (low, low_db), (high, high_db) in pairwise(self.loss_points):
            if low <= mhz <= high:
                return low_db + (high_db - low_db) * (mhz - low) / (high - low)
        return self.loss_points[0][1]


class ConnectorSchema(RowSchema):
    """A row of a connector catalog."""

    builds = Connector
    contact_ohm = Number(least=0, most=1000, scale=1e-3, required=True, data_key="contact_mohm")
    rigid = RigidField(load_default=None, data_key="rigid_mm")
    strip_mm = Number(least=0, most=100, load_default=None)
    series = OneOf(SERIES, load_default=None)
    gender = OneOf(GENDERS, load_default=None)
    least_od_mm = Number(above=0, most=100, load_default=None)
    most_od_mm = Number(above=0, most=100, load_default=None)
    impedance_ohm = Number(above=0, most=500, load_default=None)
    most_hz = Number(above=0, most=100_000, scale=MHZ, load_default=None, data_key="most_mhz")
    sealed = Answer(load_default=None)
    loss_points = PointsField(2, least=1, like="30 0.02; 450 0.2", load_default=None, data_key="loss_db")
