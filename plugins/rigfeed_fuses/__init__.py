"""Fuses and what holds them."""

from __future__ import annotations

from collections.abc import Iterable

from rigfeed.plugin import PartKind, Resource, hookimpl
from rigfeed_fuses.parts import FuseSchema, FuseSettingsSchema, HolderSchema


@hookimpl
def register_part_kinds() -> Iterable[PartKind]:
    yield PartKind("fuse", "fuse", row=FuseSchema, settings=FuseSettingsSchema)
    yield PartKind("holder", "fuse holder", row=HolderSchema)


@hookimpl
def register_catalogs() -> Iterable[Resource]:
    yield Resource("rigfeed_catalogs", "fuses/demo-fuses.csv")
    yield Resource("rigfeed_catalogs", "fuses/demo-holders.csv")
