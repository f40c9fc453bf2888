"""Fuses, breakers and what holds them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from rigfeed.plugin import Check, PartKind, Resource, StudSettingsSchema, hookimpl
from rigfeed_fuses.checks import CHECKS
from rigfeed_fuses.parts import BreakerSchema, FuseSchema, FuseSettingsSchema, HolderSchema

if TYPE_CHECKING:
    from rigfeed.plugin import Calculator

CATALOGS = ("demo-fuses", "demo-holders", "blade-fuses", "strip-fuses", "cartridge-fuses", "breakers", "holders")


@hookimpl
def register_part_kinds() -> Iterable[PartKind]:
    yield PartKind("fuse", "fuse", row=FuseSchema, settings=FuseSettingsSchema)
    yield PartKind("breaker", "breaker", row=BreakerSchema, settings=StudSettingsSchema)
    yield PartKind("holder", "fuse holder", row=HolderSchema)


@hookimpl
def register_catalogs() -> Iterable[Resource]:
    for name in CATALOGS:
        yield Resource("rigfeed_catalogs", f"fuses/{name}.csv")


@hookimpl
def register_calculators() -> Iterable[Calculator]:
    from rigfeed_fuses.calculators import CALCULATORS

    yield from CALCULATORS


@hookimpl
def register_checks() -> Iterable[Check]:
    return CHECKS
