"""Batteries, and what charges them."""

from __future__ import annotations

from collections.abc import Iterable

from rigfeed.plugin import Default, PartKind, Resource, Threshold, hookimpl
from rigfeed_batteries.alternator import AlternatorSchema, AlternatorSettingsSchema
from rigfeed_batteries.battery import BatterySchema, BatterySettingsSchema

CHARGE = Threshold("battery.charge", "%", "charge of a battery at the start of a state")


@hookimpl
def register_part_kinds() -> Iterable[PartKind]:
    yield PartKind(
        "battery", "battery", row=BatterySchema, settings=BatterySettingsSchema,
        defaults=(Default("charge", CHARGE, unless=("rest_voltage",)),),
    )  # fmt: skip
    yield PartKind("alternator", "alternator", row=AlternatorSchema, settings=AlternatorSettingsSchema)


@hookimpl
def register_catalogs() -> Iterable[Resource]:
    yield Resource("rigfeed_catalogs", "batteries/demo-batteries.csv")
    yield Resource("rigfeed_catalogs", "batteries/demo-alternators.csv")
