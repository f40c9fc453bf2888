"""Batteries where they lie, and what charges them."""

from __future__ import annotations

from collections.abc import Iterator

from rigfeed.plugin import OPERATING, Check, Finding, Keyed, Measure, NotChecked, Path, Threshold, View
from rigfeed_batteries.alternator import Alternator
from rigfeed_batteries.battery import Battery
from rigfeed_batteries.charger import Charger
from rigfeed_batteries.convert import DirectConverter
from rigfeed_batteries.links import Relay, Splitter

CHARGE_C = Threshold("lithium-too-hot.charge", "degC", "warmest zone in which LiFePO4 is charged")
DISCHARGE_C = Threshold("lithium-too-hot.discharge", "degC", "warmest zone in which LiFePO4 is discharged")


def lithium_too_hot(view: View) -> Iterator[Finding | NotChecked]:
    (charge_c, charging), (discharge_c, discharging) = view.threshold(CHARGE_C), view.threshold(DISCHARGE_C)
    for node in view.installation.nodes.values():
        battery = node.part
        if not isinstance(battery, Battery) or battery.chemistry != "LiFePO4":
            continue
        # the data sheet before the practice
        limits = (
            (battery.warmest_charge_c or charge_c, "charged", charging.authority),
            (battery.warmest_c or discharge_c, "discharged", discharging.authority),
        )
        for limit_c, what, authority in limits:
            if node.zone.warmest_c > limit_c:
                yield Finding(
                    subject=Path("nodes", node.id), value=Measure(node.zone.warmest_c, "degC"),
                    limit=Measure(limit_c, "degC"), excess=node.zone.warmest_c - limit_c, authority=authority,
                    numbers=Keyed({"battery": node.title, "within": node.zone.within, "what": what}),
                    message="{battery} lies {within}, which reaches {value}, and may be {what} up to {limit}: it ages "
                    "in months, and its management unit switches it off just when it is hot.",
                    remedy="Put it where the air stays below {limit}: in the cabin, out of the sun.",
                )


def lithium_charged_frozen(view: View) -> Iterator[Finding | NotChecked]:
    """Whatever charges it: behind a wire there is always something that one day does."""
    unknown = []
    for node in view.installation.nodes.values():
        battery = node.part
        if not isinstance(battery, Battery) or battery.chemistry != "LiFePO4":
            continue
        limit_c = 0.0 if battery.coldest_charge_c is None else battery.coldest_charge_c
        if node.zone.coldest_c >= limit_c or battery.frost_lock is True:
            continue
        if battery.frost_lock is None:
            unknown.append(node.id)
            continue
        yield Finding(
            subject=Path("nodes", node.id), value=Measure(node.zone.coldest_c, "degC"), limit=Measure(limit_c, "degC"),
            excess=limit_c - node.zone.coldest_c, numbers=Keyed({"battery": node.title, "within": node.zone.within}),
            message="{battery} lies {within}, which goes down to {value}, and nothing keeps it from being charged "
            "below {limit}: lithium plates out in the cells, for good.",
            remedy="Take a battery that refuses charge when it is cold, a charger that is told its temperature, or a "
            "warmer place.",
        )
    if unknown:
        why = f"the catalog does not say whether {', '.join(unknown)} refuses charge in the cold (frost_lock)"
        yield NotChecked("lithium-charged-frozen", why)


def charger_type_mismatch(view: View) -> Iterator[Finding | NotChecked]:
    parts = {node.id: node for node in view.installation.nodes.values()}
    variable = [n for n in parts.values() if isinstance(n.part, Alternator) and n.part.least_v is not None]
    chargers = [n for n in parts.values() if isinstance(n.part, Charger)]
    if not variable or chargers:
        return
    for node in parts.values():
        by_volts = isinstance(node.part, Relay) and node.part.sense == "volts"
        if not by_volts and not isinstance(node.part, Splitter):
            continue
        alternator = variable[0]
        assert isinstance(alternator.part, Alternator)
        yield Finding(
            subject=Path("nodes", node.id), also=(Path("nodes", alternator.id),),
            value=Measure(alternator.part.least_v or 0.0, "V"),
            numbers=Keyed({"link": node.title, "alternator": alternator.title}),
            message="{link} is the only thing that charges the auxiliary, and {alternator} goes down to {value} to "
            "save fuel: a relay that senses volts drops out, a diode takes away what is left, and the auxiliary stays "
            "empty.",
            remedy="Use a charger from battery to battery, started by the engine signal.",
        )


def charger_lockout(view: View) -> Iterator[Finding | NotChecked]:
    operating = view[OPERATING]
    for node in view.installation.nodes.values():
        device = node.part
        if not isinstance(device, DirectConverter):
            continue
        stops_v = device.stops_below_v(node.settings) if isinstance(device, Charger) else device.lockout_v
        for name, state in view.installation.states.items():
            positive, negative = (f"{node.id}.{pole}" for pole in device.input_poles)
            volts = operating.between(name, positive, negative)
            if not stops_v or volts is None or volts >= stops_v or state.modes.get(node.id) == "off":
                continue
            yield Finding(
                subject=Path("nodes", node.id), state=state.title, value=Measure(volts, "V"),
                limit=Measure(stops_v, "V"), excess=stops_v - volts, numbers=Keyed({"device": node.title}),
                message="{device} would have {value} at its input in state {state}, and locks out below {limit}: it "
                "stops, the volts come back, it starts again, and so on to and fro.",
                remedy="Start it by the engine signal, set a lower current, or take a larger cross-section or a "
                "return of its own.",
            )


CHECKS = (
    Check("charger-lockout", "charging", "warning", charger_lockout, needs=(OPERATING,)),
    Check("lithium-too-hot", "charging", "error", lithium_too_hot, thresholds=(CHARGE_C, DISCHARGE_C)),
    Check("lithium-charged-frozen", "charging", "error", lithium_charged_frozen),
    Check("charger-type-mismatch", "charging", "error", charger_type_mismatch),
)
