"""Radio sets and other equipment, antennas and their mounts, and the feeders between them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from rigfeed.plugin import PartKind, Resource, hookimpl
from rigfeed_antennas.antenna import AntennaSchema, AntennaSettingsSchema
from rigfeed_antennas.connector import ConnectorSchema
from rigfeed_antennas.equipment import EquipmentSchema
from rigfeed_antennas.feeder import FeederSchema
from rigfeed_antennas.mount import MountSchema
from rigfeed_antennas.radio import RadioSchema

if TYPE_CHECKING:
    from rigfeed.plugin import Calculator

CATALOGS = (
    "antennas/antennas.csv",
    "antennas/demo-antennas.csv",
    "antennas/demo-mounts.csv",
    "antennas/mounts.csv",
    "equipment/demo-equipment.csv",
    "equipment/demo-loads.csv",
    "equipment/equipment.csv",
    "equipment/radios.csv",
    "feeders/connectors.csv",
    "feeders/demo-connectors.csv",
    "feeders/demo-feeders.csv",
    "feeders/feeders.csv",
)


@hookimpl
def register_part_kinds() -> Iterable[PartKind]:
    yield PartKind("radio", "radio set", row=RadioSchema)
    yield PartKind("equipment", "equipment that takes power", row=EquipmentSchema)
    yield PartKind("antenna", "antenna", row=AntennaSchema, settings=AntennaSettingsSchema)
    yield PartKind("mount", "antenna mount", row=MountSchema)
    yield PartKind("feeder", "coaxial cable", row=FeederSchema)
    yield PartKind("connector", "coaxial connector", row=ConnectorSchema)


@hookimpl
def register_catalogs() -> Iterable[Resource]:
    for path in CATALOGS:
        yield Resource("rigfeed_catalogs", path)


@hookimpl
def register_calculators() -> Iterable[Calculator]:
    from rigfeed_antennas.calculators import ALL  # with formulas that nothing else needs

    yield from ALL
