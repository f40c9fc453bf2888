"""Nodes: the part of each, its settings loaded by the schema of its kind, its place."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from marshmallow import ValidationError

from rigfeed.complaints import complaints
from rigfeed.design.model import Node
from rigfeed.fields import PartField, one_of, thaw
from rigfeed.installation import Assumption, LaidZone, PlacedNode
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.parts.interfaces import Device, LoadDevice
from rigfeed.parts.part import PartKind
from rigfeed.path import Path
from rigfeed.practice import Threshold
from rigfeed.quantity import Quantity
from rigfeed.resolve.ledger import Ledger
from rigfeed.resolve.zones import zone_at

LEAST = Threshold("load.least", "%", "least voltage at the equipment, as a share of its nominal voltage")
MOST = Threshold("load.most", "%", "greatest voltage at the equipment, as a share of its nominal voltage")


def placed_node(name: str, zones: Keyed[LaidZone], ledger: Ledger) -> PlacedNode:
    """A node with its part and settings."""
    node, path = ledger.design.nodes[name], Path("nodes", name)
    part = _device(node, path, ledger)
    settings = _settings(node, ledger.shelf.kinds[part.kind], path / "settings", ledger) if part else None
    if part is not None:
        _stood_in(part, settings, ledger.shelf.kinds[part.kind], path / "settings", ledger)
    if isinstance(part, LoadDevice):
        part = _with_limits(part, path, ledger)
    title = node.title or (part.title if part else name)
    return PlacedNode(name, title, part, settings, node.at, zone_at(node.at, zones, path / "at", ledger), node.facts)


def _device(node: Node, path: Path, ledger: Ledger) -> Device | None:
    if node.part is None:
        ledger.missing("parts", "no part is chosen yet", path)
        return None
    part = ledger.part(node.part, path / "part")
    if part is None or isinstance(part, Device):
        return part
    ledger.error(f"{node.part!r} cannot be a node: it has no terminals", path / "part", "name a device")
    return None


def _with_limits(load: LoadDevice, path: Path, ledger: Ledger) -> LoadDevice:
    """The volts that an equipment needs: its maker's, else the practice's share of its nominal voltage."""
    least_v, most_v = load.least_v, load.most_v
    if least_v is None:
        least_v = ledger.default(LEAST, path) * load.nominal_v / 100
    if most_v is None:
        most_v = ledger.default(MOST, path) * load.nominal_v / 100
    return replace(load, least_v=least_v, most_v=most_v)


def _settings(node: Node, kind: PartKind, path: Path, ledger: Ledger) -> Any:
    if kind.settings is None:
        for key in node.settings:
            ledger.error(f"unknown key {key!r}", path / key, f"a {kind.name} has no settings")
        return None
    schema = one_of(kind.settings)
    try:
        settings = schema.load(thaw(node.settings))
    except ValidationError as error:
        for inner, complaint in complaints(error.messages, path):
            ledger.error(complaint, inner, complaint.remedy)
        return None
    except Exception as error:
        what = f"the settings of part kind {kind.name!r} failed: {type(error).__name__}: {error}"
        ledger.error(what, path, "tell whoever made the plugin of this kind")
        return None
    parts = {
        name: ledger.part(key, path / (field.data_key or name))
        for name, field in schema.fields.items()
        if isinstance(field, PartField) and (key := getattr(settings, name)) is not None
    }
    return _filled(replace(settings, **parts), kind, path, ledger)


def _stood_in(part: Device, settings: Any, kind: PartKind, path: Path, ledger: Ledger) -> None:
    """What the row of a part says in the place of a measurement is an assumption about the thing that is fitted."""
    for stand_in in kind.stand_ins:
        number = stand_in.of(part) if settings is not None and getattr(settings, stand_in.setting) is None else None
        if number is not None:
            come_from = part.provenance
            authority = " ".join(filter(None, (come_from.source, f"({come_from.confidence})")))
            measure = Measure(number, stand_in.unit)
            ledger.assumptions.append(Assumption(path / stand_in.setting, stand_in.what, measure, authority))


def _filled(settings: Any, kind: PartKind, path: Path, ledger: Ledger) -> Any:
    """The settings with what the practice gives where the design gives nothing."""
    for default in kind.defaults:
        missing = all(getattr(settings, key) is None for key in (default.setting, *default.unless))
        if missing and all(getattr(settings, key) is not None for key in default.beside):
            unit = default.threshold.unit
            number = ledger.default(default.threshold, path / default.setting)
            settings = replace(settings, **{default.setting: Quantity.parse(f"{number!r} {unit}", unit)})
    return settings
