"""Batteries, what charges them, what joins and parts them, and what feeds from one voltage to another."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from rigfeed.plugin import (
    Check,
    Default,
    PartKind,
    Resource,
    StandIn,
    StudSettingsSchema,
    Threshold,
    hookimpl,
)
from rigfeed_batteries.alternator import AlternatorSchema, AlternatorSettingsSchema
from rigfeed_batteries.battery import BatterySchema, BatterySettingsSchema
from rigfeed_batteries.charger import ChargerSchema, ChargerSettingsSchema
from rigfeed_batteries.checks import CHECKS
from rigfeed_batteries.convert import ConverterSchema
from rigfeed_batteries.links import IsolatorSchema, RelaySchema, SplitterSchema
from rigfeed_batteries.solar import SolarSchema, SolarSettingsSchema

if TYPE_CHECKING:
    from rigfeed.plugin import Calculator

CHARGE = Threshold("battery.charge", "%", "charge of a battery at the start of a state")
MEASURED_C = Threshold("battery.measured-at", "degC", "temperature of a battery when its resistance was measured")
CATALOGS = (
    "batteries", "alternators", "chargers", "converters", "relays", "splitters", "isolators", "solar",
    "demo-batteries", "demo-alternators", "demo-chargers", "demo-converters", "demo-solar",
)



def _aged_mohm(battery: Any) -> float:
    return 1000 * float(battery.aged_ohm)


@hookimpl
def register_part_kinds() -> Iterable[PartKind]:
    yield PartKind(
        "battery", "battery", row=BatterySchema, settings=BatterySettingsSchema,
        defaults=(
            Default("charge", CHARGE, unless=("rest_voltage",)),
            Default("resistance_at", MEASURED_C, beside=("resistance",)),
        ),
        stand_ins=(StandIn("resistance", "resistance of an aged battery of its sort", "mohm", _aged_mohm),),
    )
    yield PartKind("alternator", "alternator", row=AlternatorSchema, settings=AlternatorSettingsSchema)
    yield PartKind("charger", "charger fed by another battery", row=ChargerSchema, settings=ChargerSettingsSchema)
    yield PartKind("converter", "converter to another voltage", row=ConverterSchema, settings=StudSettingsSchema)
    yield PartKind("relay", "charging relay", row=RelaySchema, settings=StudSettingsSchema)
    yield PartKind("splitter", "diode splitter", row=SplitterSchema, settings=StudSettingsSchema)
    yield PartKind("solar", "solar panels and regulator", row=SolarSchema, settings=SolarSettingsSchema)
    yield PartKind("isolator", "master switch", row=IsolatorSchema, settings=StudSettingsSchema)


@hookimpl
def register_catalogs() -> Iterable[Resource]:
    for name in CATALOGS:
        yield Resource("rigfeed_catalogs", f"batteries/{name}.csv")


@hookimpl
def register_checks() -> Iterable[Check]:
    return CHECKS


@hookimpl
def register_calculators() -> Iterable[Calculator]:
    from rigfeed_batteries.calculators import CALCULATORS

    return CALCULATORS
