"""Which symbol a node has: from what its part says of itself, so that parts of any plugin are drawn."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Literal

from rigfeed.frozen import frozen
from rigfeed.installation import PlacedNode
from rigfeed.network.elements import BODY, Diode, Element, Switch
from rigfeed.parts.interfaces import (
    Condition,
    ConverterDevice,
    Device,
    Joint,
    LoadDevice,
    MakerPoint,
    ProtectiveDevice,
    SourceDevice,
)

Form = Literal["inline", "upright", "bar", "mast", "box"]
VEHICLE_DASH = (1.6, 0.8, 0.3, 0.8)


@frozen
class Look:
    """The form of a node with its symbol; `terminals` are the two of an inline or upright one; `on_body` are terminals
    that the part itself joins to the body."""

    form: Form
    symbol: str = ""
    terminals: tuple[str, ...] = ()
    on_body: frozenset[str] = frozenset()
    dash: tuple[float, ...] = ()


def look(node: PlacedNode, wired: Collection[str]) -> Look:
    """How a node looks that has wires on the terminals `wired`."""
    part = node.part
    if part is None:
        return Look("box")
    found = _elements(node, part)
    on_body = frozenset(_body_terminals(found))
    if isinstance(part, Joint) or (len(part.terminals) == 1 and on_body):
        return Look("bar", "frame" if on_body else "")
    if isinstance(part, ConverterDevice):
        return Look("box", "converter")
    if isinstance(part, SourceDevice) and set(wired) <= set(part.poles):
        return Look("upright", "battery" if part.stores else "generator", part.poles, on_body)
    return _other(part, found, wired)


def _other(part: Device, found: Sequence[Element], wired: Collection[str]) -> Look:
    """Antennas, loads, and what the feed passes through."""
    poles = {terminal.pole for terminal in part.terminals}
    if poles <= {"inner", "shield"}:
        return Look("mast", "antenna")
    if isinstance(part, LoadDevice):
        return Look("box")
    symbol = _symbol(part, found)
    dash = VEHICLE_DASH if isinstance(part, MakerPoint) else ()
    if len(part.through) == 1 and set(wired) <= set(part.through[0]):
        return Look("inline", symbol or "resistor", part.through[0])
    return Look("box", symbol, dash=dash)


def _symbol(part: Device, found: Sequence[Element]) -> str:
    if isinstance(part, MakerPoint):
        return "take-off"
    if isinstance(part, ProtectiveDevice):
        return "breaker" if part.kind == "breaker" else "fuse"
    if any(isinstance(element, Diode) for element in found):
        return "diode"
    switches = [element for element in found if isinstance(element, Switch)]
    if switches:
        return "switch" if part.modes else "relay"
    return ""


def _elements(node: PlacedNode, part: Device) -> Sequence[Element]:
    """What the part is made of, as far as it can be told without a state."""
    try:
        return part.elements(node.settings, Condition(mode=part.default_mode))
    except Exception:  # of a plugin, or for want of a setting: a picture is drawn all the same
        return ()


def _body_terminals(found: Sequence[Element]) -> Collection[str]:
    """The terminals of the part that one of its elements joins to the body."""
    nets = [[net for name in ("a", "b", "pos", "neg") if (net := getattr(e, name, None)) is not None] for e in found]
    return {net for ends in nets if BODY in ends for net in ends if net != BODY}
