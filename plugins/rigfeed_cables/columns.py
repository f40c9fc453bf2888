"""Columns of the catalogs of this plugin that the kit has no field for."""

from __future__ import annotations

from typing import Any

from marshmallow import ValidationError

from rigfeed.plugin import Number, OneOf
from rigfeed_cables.awg import gauge_name

GAUGE_NAMES = {gauge_name(gauge).removesuffix(" AWG"): gauge for gauge in range(-3, 41)}


class Whole(Number):
    """A whole number within bounds."""

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> int:
        number = super()._deserialize(value, attr, data, **kwargs)
        if number != int(number):
            raise ValidationError(f"{value!r} is not a whole number")
        return int(number)


class Flag(OneOf):
    """``yes`` or ``no``; the part gets True or False."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(("yes", "no"), **kwargs)

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> bool:  # type: ignore[override]
        return super()._deserialize(value, attr, data, **kwargs) == "yes"


class Gauge(OneOf):
    """A size of the American wire gauge, ``10`` or ``1/0``; the part gets its number, 0 for 1/0 and -3 for 4/0."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(tuple(GAUGE_NAMES), **kwargs)

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> int:  # type: ignore[override]
        return GAUGE_NAMES[super()._deserialize(value, attr, data, **kwargs)]
