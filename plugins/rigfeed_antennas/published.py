"""The types of coaxial cable of the shipped catalog, for the calculators, which take a type by name."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from rigfeed.plugin import Resource, UnknownName
from rigfeed_antennas.feeder import Feeder, FeederSchema

FEEDERS = Resource("rigfeed_catalogs", "feeders/feeders.csv")


@cache
def feeders() -> Mapping[str, Feeder]:
    """The feeders of the catalog by the name of their row."""
    lines = [line for line in FEEDERS.text().splitlines() if line.strip() and not line.startswith("#")]
    found: dict[str, Feeder] = {}
    for row in csv.DictReader(lines):
        key = row.pop("part").removeprefix("feeder:")
        found[key] = FeederSchema().load({name: cell for name, cell in row.items() if cell})
    return MappingProxyType(found)


def feeder(name: str) -> Feeder:
    """A feeder by the name of its row.

    Raises
    ------
    UnknownName
        If the catalog has none of that name.
    """
    if name not in feeders():
        raise UnknownName("type of coaxial cable", name, feeders())
    return feeders()[name]
