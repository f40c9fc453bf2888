"""What lies between two sources, and what a source may be asked for."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from rigfeed.checks.check import Check, Finding, NotChecked
from rigfeed.checks.offers import number
from rigfeed.installation import PlacedNode
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.parts.interfaces import ConverterDevice, LoadDevice, ProtectiveDevice, SourceDevice
from rigfeed.path import Path
from rigfeed.practice import Threshold
from rigfeed.quantity import Quantity
from rigfeed.studies.operating import OPERATING
from rigfeed.studies.sections import SECTIONS
from rigfeed.view import View
from rigfeed.wiring import WIRING, Way

NEAR_M = Threshold("fuse-far-from-source.error", "m", "cable from the source to the first fuse: error")
CHARGE_RATE = Threshold("battery-limit-exceeded.charge-rate", "", "greatest charge current in A per Ah of capacity")


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


def battery_limit_exceeded(view: View) -> Iterator[Finding | NotChecked]:
    for battery, part in view.installation.sources:
        if part.stores:
            yield from _gives_too_much(view, battery, part.disconnects_a or number(part, "discharge_a"))
            yield from _takes_too_much(view, battery)


def _gives_too_much(view: View, battery: PlacedNode, limit_a: float | None) -> Iterator[Finding]:
    if limit_a is None:
        return
    operating = view[OPERATING]
    for name, state in view.installation.states.items():
        amps = operating.current(name, battery.id) if name in operating.solutions else 0.0
        if amps > limit_a:
            yield Finding(
                subject=Path("nodes", battery.id), state=state.title, value=Measure(amps, "A"),
                limit=Measure(limit_a, "A"), excess=amps / limit_a, numbers=Keyed({"battery": battery.title}),
                message="{battery} gives {value} in state {state}, and may give {limit}: its management unit switches "
                "everything off at once, or the cells suffer. What flows for a moment at switching on comes on top.",
                remedy="Keep the largest loads from running together, or take a battery that may give more.",
            )


def _takes_too_much(view: View, battery: PlacedNode) -> Iterator[Finding]:
    """What the chargers that reach a battery can give together, against what it takes."""
    limit_a, authority = number(battery.part, "charge_a"), "the battery's data sheet, as its catalog row states"
    capacity_ah = number(battery.part, "capacity_ah")
    if limit_a is None:
        rate, setting = view.threshold(CHARGE_RATE)
        limit_a, authority = rate * (capacity_ah or float("inf")), setting.authority
    wired = _wired_to(view, battery)
    chargers = [
        node for node, part in view.installation.sources
        if isinstance(part, ConverterDevice) and f"{node.id}.{part.poles[0]}" in wired
    ]
    amps = sum(_set_to_a(node) for node in chargers)
    if amps > limit_a:
        yield Finding(
            subject=Path("nodes", battery.id), also=tuple(Path("nodes", node.id) for node in chargers),
            value=Measure(amps, "A"), limit=Measure(limit_a, "A"), excess=amps / limit_a, authority=authority,
            numbers=Keyed({"battery": battery.title, "chargers": ", ".join(node.title for node in chargers)}),
            message="{battery} may be charged with {limit}, and {chargers} can give it {value}.",
            remedy="Set the charger to {limit} or less, or take a smaller one.",
        )


def _wired_to(view: View, source: PlacedNode) -> Collection[str]:
    """Every net that wires, fuses and relays join to the positive pole of a source; no converter is passed."""
    assert isinstance(source.part, SourceDevice)
    return view[SECTIONS].reached(f"{source.id}.{source.part.poles[0]}", lambda *_: True)


def _set_to_a(charger: PlacedNode) -> float:
    """The current that a charger is set to, or all that it can give [A]."""
    current = getattr(charger.settings, "current", None)
    assert isinstance(charger.part, ConverterDevice)
    return current.si if isinstance(current, Quantity) else charger.part.limit_a


def traction_converter_overloaded(view: View) -> Iterator[Finding | NotChecked]:
    for source, part in view.installation.sources:
        limit_a = number(part, "accessory_a")
        if limit_a is not None:
            yield from _adds_too_much(view, source, limit_a)


def _adds_too_much(view: View, source: PlacedNode, limit_a: float) -> Iterator[Finding]:
    """All that is added, against what the maker of the vehicle allows to be added to the 12 V side."""
    wired = _wired_to(view, source)
    for name, state in view.installation.states.items():
        if not state.engine_on or name not in view[OPERATING].solutions:
            continue
        amps = {node.title: _drawn_a(view, name, node, wired) for node in view.installation.nodes.values()}
        drawn = {title: a for title, a in amps.items() if a > 0.0}
        if sum(drawn.values()) > limit_a:
            yield Finding(
                subject=Path("nodes", source.id), state=state.title, value=Measure(sum(drawn.values()), "A"),
                limit=Measure(limit_a, "A"), excess=sum(drawn.values()) / limit_a,
                numbers=Keyed({"source": source.title, "loads": ", ".join(drawn)}),
                message="What is added ({loads}) takes {value} in state {state}, and the vehicle's maker allows "
                "{limit} of {source}: it switches off or is overheated, and with it goes all that drives on 12 V.",
                remedy="Send with less power, or put a battery of its own between, charged with less than the limit.",
            )


def _drawn_a(view: View, state: str, node: PlacedNode, wired: Collection[str]) -> float:
    """What an equipment, or the input of a converter, takes through its positive leads if it is wired there [A]."""
    part = node.part
    if isinstance(part, ConverterDevice):
        pole = part.input_poles[0]
    elif isinstance(part, LoadDevice):
        pole = part.poles[0]
    else:
        return 0.0
    net, operating = f"{node.id}.{pole}", view[OPERATING]
    return 0.0 if net not in wired else sum(
        operating.current(state, core.id) * (1 if core.end.net == net else -1)
        for core in view.installation.cores if net in (core.start.net, core.end.net)
    )


CHECKS = (
    Check("charge-link-unfused", "charging", "error", charge_link_unfused, needs=(WIRING,), thresholds=(NEAR_M,)),
    Check(
        "battery-limit-exceeded", "charging", "error", battery_limit_exceeded, needs=(OPERATING, SECTIONS),
        thresholds=(CHARGE_RATE,), authority="the battery's data sheet, as its catalog row states",
    ),
    Check(
        "traction-converter-overloaded", "charging", "error", traction_converter_overloaded,
        needs=(OPERATING, SECTIONS), authority="FCS 1362:2010 2.9.1",
    ),
)
