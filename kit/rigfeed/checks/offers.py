"""What a part may tell beyond its interface, by the names that catalogs use. A part that does not say gives None."""

from __future__ import annotations

from typing import Any

from rigfeed.installation import Installation, LaidConductor, PlacedNode
from rigfeed.parts.interfaces import Accessory, ConductorType, EndFitting, FeederType, LoadDevice, SourceDevice
from rigfeed.quantity import Quantity

BODY_POINT = "body-point"
BARE, FERRULE, BLADE = "bare", "ferrule", "blade"
HF_BELOW_HZ = 30e6  # the definition of the band


def number(part: Any, name: str) -> float | None:
    """An attribute that is a number."""
    value = getattr(part, name, None)
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else None


def barrel_mm2(fitting: EndFitting) -> tuple[float, float] | None:
    """The least and the greatest cross-section that a barrel takes [mm2]."""
    least, most = number(fitting, "least_mm2"), number(fitting, "most_mm2")
    return None if least is None or most is None else (least, most)


def is_solid(cable: ConductorType) -> bool:
    """Whether its conductor is known to be one wire; what does not say counts as stranded."""
    return getattr(cable, "strands", None) == 1 or getattr(cable, "centre", None) == "solid"


def stud_of(node: PlacedNode) -> float | None:
    """The diameter of the stud of a node [mm]: from its settings, else from its part."""
    own = getattr(node.settings, "stud", None)
    return own.to("mm") if isinstance(own, Quantity) else number(node.part, "stud_mm")


def torque_n_m(node: PlacedNode) -> float | None:
    """The torque for what ends on a node [N m]: from its settings, else from its part; None where neither says."""
    own = getattr(node.settings, "torque", None)
    return own.si if isinstance(own, Quantity) else number(node.part, "torque_n_m")


def sleeve_mm(sleeve: Accessory | None) -> tuple[float, float] | None:
    """The bore of a sleeve as supplied and after it has recovered freely [mm]."""
    supplied_mm, recovered_mm = number(sleeve, "supplied_mm"), number(sleeve, "recovered_mm")
    return None if supplied_mm is None or recovered_mm is None else (supplied_mm, recovered_mm)


def has_adhesive(sleeve: Accessory) -> bool:
    """Whether a sleeve seals: one that does not say so does not."""
    return getattr(sleeve, "adhesive", None) is True


def mount_of(node: PlacedNode) -> Any:
    """The mount of an antenna."""
    return getattr(node.settings, "mount", None)


def is_antenna(node: PlacedNode) -> bool:
    """Whether a node is an end of a feeder that radiates: inner and shield, and no supply."""
    if node.part is None or isinstance(node.part, LoadDevice | SourceDevice):
        return False
    return {"inner", "shield"} == {terminal.pole for terminal in node.part.terminals}


def lowest_hz(node: PlacedNode) -> float | None:
    """The lower edge of the lowest band of an antenna [Hz]."""
    bands = getattr(node.part, "bands", ())
    return min((low for low, _ in bands), default=None)


def is_hf_antenna(node: PlacedNode) -> bool:
    """Whether an antenna has a band below 30 MHz."""
    low_hz = lowest_hz(node) if is_antenna(node) else None
    return low_hz is not None and low_hz < HF_BELOW_HZ


def is_feeder(conductor: LaidConductor) -> bool:
    """Whether a conductor is a coaxial cable."""
    return isinstance(conductor.cable, FeederType)


def is_power(installation: Installation, conductor: LaidConductor) -> bool:
    """Whether a conductor is there to carry current: no feeder, and on no terminal for signals."""
    if is_feeder(conductor):
        return False
    poles = set()
    for end in conductor.ends:
        part = installation.nodes[end.node].part
        if part is not None:
            poles.add(part.terminal(end.terminal.partition(".")[2]).pole)
    return "signal" not in poles
