"""The studs of a device, for whatever kind of part has some: how thick they are and how tight the nut goes.

A row of a catalog states them for every device of its sort, the settings of a node for the one that is fitted; what is
set wins. One size stands for all studs of a device.
"""

from __future__ import annotations

from rigfeed.fields import QuantityField, TableSchema
from rigfeed.frozen import frozen
from rigfeed.parts.part import Number, RowSchema
from rigfeed.quantity import Quantity


@frozen(kw_only=True)
class StudSettings:
    """`stud` is the thread's diameter as measured, `torque` what the maker of the stud states for its nut."""

    stud: Quantity | None = None
    torque: Quantity | None = None


class StudSettingsSchema(TableSchema):
    """What every device with studs may carry in a design; a kind with more settings adds them to these."""

    builds = StudSettings
    stud = QuantityField("mm", above=0, most=40, load_default=None)
    torque = QuantityField("N m", above=0, most=200, load_default=None)


@frozen(kw_only=True, eq=False)
class Studded:
    """What a part with studs knows of them: thread [mm] and torque of the nut [N m]; None where its row does not say.

    It stands before the class of the device: ``class Battery(Studded, SourceDevice)``.
    """

    stud_mm: float | None = None
    torque_n_m: float | None = None


class StudRowSchema(RowSchema):
    """A row of a catalog of parts with studs."""

    stud_mm = Number(above=0, most=40, load_default=None)
    torque_n_m = Number(above=0, most=200, load_default=None)
