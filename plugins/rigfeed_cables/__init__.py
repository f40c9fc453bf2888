"""Cables and what ends, covers and guides them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from rigfeed.plugin import Check, PartKind, Resource, hookimpl
from rigfeed_cables.cable import CableSchema
from rigfeed_cables.checks import CHECKS
from rigfeed_cables.fittings import FittingSchema, LoomSchema, SleeveSchema

if TYPE_CHECKING:
    from rigfeed.plugin import Calculator, Intake

CATALOGS = {
    "cables": (
        "demo-cables", "iec-60228", "road-vehicle", "awg", "sae", "aircraft", "twins", "not-for-vehicles",
    ),
    "terminals": ("demo-terminals", "rings", "ferrules", "blades", "plugs", "sleeves", "looms"),
}


def _intake() -> Intake:
    from rigfeed_cables.supplier import INTAKE

    return INTAKE


@hookimpl
def register_part_kinds() -> Iterable[PartKind]:
    yield PartKind("cable", "cable for power and control", row=CableSchema, intake=_intake)
    for name, title in (
        ("ring", "ring terminal"), ("ferrule", "ferrule"), ("blade", "push-on blade"), ("plug", "plug or contact"),
        ("bare", "bare end under a clamp"),
    ):
        yield PartKind(name, title, row=FittingSchema)
    yield PartKind("sleeve", "heat-shrinkable sleeve", row=SleeveSchema)
    yield PartKind("loom", "conduit around a bundle", row=LoomSchema)


@hookimpl
def register_catalogs() -> Iterable[Resource]:
    for folder, names in CATALOGS.items():
        for name in names:
            yield Resource("rigfeed_catalogs", f"{folder}/{name}.csv")


@hookimpl
def register_calculators() -> Iterable[Calculator]:
    from rigfeed_cables.calculators import CALCULATORS

    yield from CALCULATORS


@hookimpl
def register_checks() -> Iterable[Check]:
    return CHECKS
