"""Radio sets, their antennas, and the feeders between them."""

from __future__ import annotations

from collections.abc import Iterable

from rigfeed.plugin import PartKind, Resource, hookimpl
from rigfeed_antennas.antenna import AntennaSchema
from rigfeed_antennas.feeder import ConnectorSchema, FeederSchema
from rigfeed_antennas.radio import RadioSchema


@hookimpl
def register_part_kinds() -> Iterable[PartKind]:
    yield PartKind("radio", "radio set", row=RadioSchema)
    yield PartKind("antenna", "antenna on its mount", row=AntennaSchema)
    yield PartKind("feeder", "coaxial cable", row=FeederSchema)
    yield PartKind("connector", "coaxial connector", row=ConnectorSchema)


@hookimpl
def register_catalogs() -> Iterable[Resource]:
    yield Resource("rigfeed_catalogs", "antennas/demo-antennas.csv")
    yield Resource("rigfeed_catalogs", "equipment/demo-equipment.csv")
    yield Resource("rigfeed_catalogs", "feeders/demo-feeders.csv")
    yield Resource("rigfeed_catalogs", "feeders/demo-connectors.csv")
