"""Other parts on the shelf that could stand in the place of one: of the same kind, of the same make."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeVar

from rigfeed.fields import PART_KEY
from rigfeed.parts.interfaces import ProtectiveDevice
from rigfeed.parts.part import Part
from rigfeed.parts.shelf import Shelf
from rigfeed.parts.tables import Want

P = TypeVar("P", bound=Part)
MOST_FOUND = 1000


def others(shelf: Shelf, part: Part, sort: type[P], wants: list[Want], *, by: str) -> list[P]:
    """Other parts of the same kind that have all that is wanted."""
    found = shelf.find(part.kind, *wants, by=by, most=MOST_FOUND)
    return [other for other in found if isinstance(other, sort) and other.key != part.key]


def same(part: Part, shelf: Shelf, *columns: str) -> list[Want]:
    """What a part has in some columns of its catalog, to be wanted of another."""
    match = PART_KEY.fullmatch(part.key)
    cells: Mapping[str, str] = {}
    for file, rows in shelf.catalogs():
        if match is not None and match["row"] and file.name == match["catalog"]:
            row = rows.get(match["kind"], match["row"])
            cells = row.cells if row else {}
    return [Want(column, equal=cells[column]) for column in columns if column in cells]


def family_of(
    device: ProtectiveDevice, shelf: Shelf, *, least_a: float | None = None, most_a: float | None = None,
    least_v: float | None = None,
) -> list[ProtectiveDevice]:
    """Other devices of the family of one, that stand its volts and break no less, by volts and key."""
    wants = [Want("rated_a", least_a, most_a), *same(device, shelf, "family")]
    found = others(shelf, device, ProtectiveDevice, wants, by="rated_a")  # type: ignore[type-abstract]
    least_v = max(device.rated_v or 0.0, least_v or 0.0)
    fit = [o for o in found if (o.rated_v or 0.0) >= least_v and (o.breaking_a or 0.0) >= (device.breaking_a or 0.0)]
    return sorted(fit, key=lambda other: (other.rated_v or 0.0, other.key))
