"""What lies between two sources."""

from __future__ import annotations

from collections.abc import Iterator

from rigfeed.checks.check import Check, Finding, NotChecked
from rigfeed.installation import PlacedNode
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.parts.interfaces import ProtectiveDevice, SourceDevice
from rigfeed.path import Path
from rigfeed.practice import Threshold
from rigfeed.view import View
from rigfeed.wiring import WIRING, Way

NEAR_M = Threshold("fuse-far-from-source.error", "m", "cable from the source to the first fuse: error")


def charge_link_unfused(view: View) -> Iterator[Finding | NotChecked]:
    """From every battery towards every other source: a device near this battery, or the link burns from here."""
    near_m, setting = view.threshold(NEAR_M)
    wiring = view[WIRING]
    for battery, part in view.installation.sources:
        for way in wiring.ways_to_protection(f"{battery.id}.{part.poles[0]}") if part.stores else ():
            last = view.installation.nodes[way[-1].node]
            length_m = sum(leg.conductor.length_m for leg in way if leg.conductor)
            if way[0].conductor is None or all(leg.conductor.origin == "vehicle" for leg in way if leg.conductor):
                continue
            if isinstance(last.part, SourceDevice):
                yield _finding(way, battery, last, length_m, near_m, setting.authority)
            elif isinstance(last.part, ProtectiveDevice) and length_m > near_m:
                behind = [source for source in wiring.sources_of(way[-1].net) if source.id != battery.id]
                if behind:
                    yield _finding(way, battery, behind[0], length_m, near_m, setting.authority)


def _finding(
    way: Way, battery: PlacedNode, other: PlacedNode, length_m: float, near_m: float, authority: str
) -> Finding:
    first = way[0].conductor
    assert first is not None
    return Finding(
        subject=Path("conductors", first.id), also=(Path("nodes", battery.id), Path("nodes", other.id)),
        value=Measure(length_m, "m"), limit=Measure(near_m, "m"), excess=length_m, authority=authority,
        numbers=Keyed({"wire": first.label, "battery": battery.title, "other": other.title}),
        message="{wire} joins {battery} with {other} and has no fuse within {limit} of this battery: a short in the "
        "link is fed from here, whatever the fuse at the other end does.",
        remedy="Put a second fuse, of this circuit's own size, within {limit} of the post of {battery}.",
    )


CHECKS = (
    Check("charge-link-unfused", "charging", "error", charge_link_unfused, needs=(WIRING,), thresholds=(NEAR_M,)),
)
