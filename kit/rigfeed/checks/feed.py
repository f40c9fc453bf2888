"""What arrives at the equipment: enough volts, not too many, and how much the leads eat."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rigfeed.checks.check import Check, Finding, NotChecked
from rigfeed.checks.offers import number
from rigfeed.checks.survey import optional
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.parts.interfaces import SourceDevice
from rigfeed.path import Path
from rigfeed.practice import Threshold
from rigfeed.studies.feeds import FEEDS, Feed
from rigfeed.studies.operating import OPERATING
from rigfeed.studies.sections import SECTIONS
from rigfeed.view import View

DROP_SHARE = Threshold("lead-drop-high.share", "%", "greatest drop in both leads, as a share of the system voltage")
CABLE_ALONE = Threshold("lead-drop-high.cable-alone", "", "1: the cable alone counts")  # only some practice has it

# Only some practice has these two: the least volts at a device of a 12 V system, and at which volts of its battery.
DEVICE_V = Threshold("volts-below-minimum.device", "V", "least voltage at a device with the battery low")
BATTERY_V = Threshold("volts-below-minimum.battery", "V", "voltage of the battery at which that is asked for")
RULED_SYSTEM_V = 12.0


def volts_below_minimum(view: View) -> Iterator[Finding | NotChecked]:
    operating = view[OPERATING]
    for feed in view[FEEDS]:
        subject = Path("nodes", feed.load.id)
        state = view.installation.states[feed.state].title
        if feed.load.id in operating.without_operating_point(feed.state):
            yield Finding(
                subject=subject, state=state, excess=1e9, numbers=Keyed({"load": feed.load.title}),
                message="{load} cannot run at all in state {state}: the leads and the source cannot deliver its power "
                "at any voltage.",
                remedy="Shorten the way, use a larger cross-section, or feed it from a nearer or stronger source.",
            )
        elif feed.load_v is None:
            if _is_switched_off(view, feed):
                continue
            yield NotChecked("volts-below-minimum", f"nothing feeds {feed.load.title} in state {state}", subject)
        else:
            if feed.part.least_v is not None and feed.load_v < feed.part.least_v:
                yield _too_low(feed, feed.load_v, feed.part.least_v, subject, state)
            yield from _below_on_low_battery(view, feed, subject, state)


def _is_switched_off(view: View, feed: Feed) -> bool:
    """Whether an equipment that nobody uses in this state has lost its feed to a switch: in another state it has it."""
    asleep = view.installation.states[feed.state].modes.get(feed.load.id) == "standby"
    return asleep and any(other.load.id == feed.load.id and other.load_v is not None for other in view[FEEDS])


def _too_low(feed: Feed, volts: float, least_v: float, subject: Path, state: str) -> Finding:
    where = (
        " Of {source_v} at {source}, {positive} go in the positive lead and {negative} in the return."
        if feed.source else ""
    )
    return Finding(
        subject=subject, state=state, value=Measure(volts, "V"), limit=Measure(least_v, "V"), excess=least_v - volts,
        numbers=Keyed({
            "load": feed.load.title, "source": feed.source.title if feed.source else "",
            "source_v": Measure(feed.source_v, "V"), "positive": Measure(feed.positive_drop_v, "V"),
            "negative": Measure(feed.return_drop_v, "V"), "short": Measure(least_v - volts, "V"),
        }),
        message="{load} gets {value} in state {state} and needs {limit}: it drops out just when it is keyed." + where,
        remedy="Win back {short}: a larger cross-section or a shorter way in the lead that loses most, fewer joints, "
        "or an auxiliary battery close to the set.",
    )


def _below_on_low_battery(view: View, feed: Feed, subject: Path, state: str) -> Iterator[Finding]:
    """The rule of a practice that names the volts at a device for those of a low battery.

    The drop is that of the state: right for constant currents, somewhat low for constant powers.
    """
    device, battery = optional(view, DEVICE_V), optional(view, BATTERY_V)
    source = feed.source.part if feed.source else None
    if device is None or battery is None or view.installation.system_v != RULED_SYSTEM_V:
        return
    volts = battery[0] - feed.drop_v
    if isinstance(source, SourceDevice) and source.stores and volts < device[0]:
        yield Finding(
            subject=subject, state=state, value=Measure(volts, "V"), limit=Measure(device[0], "V"),
            excess=device[0] - volts, authority=device[1],
            numbers=Keyed({
                "load": feed.load.title, "battery": Measure(battery[0], "V"), "drop": Measure(feed.drop_v, "V"),
                "short": Measure(device[0] - volts, "V"), "wanted": Measure(device[0] + feed.drop_v, "V"),
            }),
            message="With the battery down at {battery}, {load} gets {value} in state {state} and needs {limit}: its "
            "leads take {drop}.",
            remedy="Win back {short} with a larger cross-section or a shorter way; or have an alarm or a change-over "
            "of the battery at {wanted}.",
        )


def volts_above_maximum(view: View) -> Iterator[Finding | NotChecked]:
    for feed in view[FEEDS]:
        volts, most_v = feed.load_v, feed.part.most_v
        if volts is not None and most_v is not None and volts > most_v:
            yield Finding(
                subject=Path("nodes", feed.load.id), state=view.installation.states[feed.state].title,
                value=Measure(volts, "V"), limit=Measure(most_v, "V"), excess=volts - most_v,
                numbers=Keyed({"load": feed.load.title}),
                message="{load} gets {value} in state {state} and stands {limit}: too many volts end a set at once or "
                "age it early.",
                remedy="Feed it through a converter with a steady output, or find out why the charging voltage is so "
                "high (cold charging, an equalising charge, a battery of another chemistry).",
            )


def lead_drop_high(view: View) -> Iterator[Finding | NotChecked]:
    share, setting = view.threshold(DROP_SHARE)
    limit_v = share / 100 * view.installation.system_v
    alone = bool((optional(view, CABLE_ALONE) or (0.0, ""))[0])
    for feed in view[FEEDS]:
        if not feed.source:
            continue
        positive_v, return_v = _cable_drops_v(view, feed) if alone else (feed.positive_drop_v, feed.return_drop_v)
        if positive_v + return_v > limit_v:
            yield Finding(
                subject=Path("nodes", feed.load.id), state=view.installation.states[feed.state].title,
                value=Measure(positive_v + return_v, "V"), limit=Measure(limit_v, "V"), excess=positive_v + return_v,
                authority=setting.authority,
                numbers=Keyed({
                    "load": feed.load.title, "share": Measure(share, "%"), "what": "cables" if alone else "leads",
                    "positive": Measure(positive_v, "V"), "negative": Measure(return_v, "V"),
                    "rest": " Fuses and joints come on top." if alone else "",
                }),
                message="The {what} of {load} lose {value} in state {state}, more than {limit} ({share} of the system "
                "voltage): {positive} in the positive lead, {negative} in the return.{rest} There is little left for a "
                "tired battery or a bad joint.",
                remedy="Enlarge the lead that loses most, shorten it, or move the point where power is taken.",
            )


def _cable_drops_v(view: View, feed: Feed) -> tuple[float, float]:
    """What the metal of the cables takes on the way out and on the way back, without fuses and joints [V]."""
    operating, sections = view[OPERATING], view[SECTIONS]
    drops = []
    for pole in feed.part.poles:
        way = sections.feed(f"{feed.load.id}.{pole}", to_body=True)
        metal_c = operating.metal_c[feed.state]
        drops.append(math.fsum(
            abs(operating.current(feed.state, core.id)) * conductor.length_m * core.core.ohm_per_m_20
            * (1 + core.core.alpha_per_k * (metal_c[core.id] - 20.0))
            for conductor, core in (way.wires if way else ())
        ))
    return drops[0], drops[1]


def drop_above_equipment_limit(view: View) -> Iterator[Finding | NotChecked]:
    for feed in view[FEEDS]:
        limit_v = number(feed.load.part, "most_drop_v")
        if feed.source and limit_v is not None and feed.drop_v > limit_v:
            yield Finding(
                subject=Path("nodes", feed.load.id), state=view.installation.states[feed.state].title,
                value=Measure(feed.drop_v, "V"), limit=Measure(limit_v, "V"), excess=feed.drop_v / limit_v,
                numbers=Keyed({"load": feed.load.title}),
                message="The leads of {load} lose {value} in state {state}, and its maker allows {limit}: what it does "
                "below that, nobody promises.",
                remedy="Enlarge or shorten the leads until they lose no more than {limit}.",
            )


CHECKS = (
    Check(
        "drop-above-equipment-limit", "conductor", "warning", drop_above_equipment_limit, needs=(FEEDS,),
        authority="the equipment's maker, as its catalog row states",
    ),
    Check(
        "volts-below-minimum", "conductor", "error", volts_below_minimum, needs=(OPERATING, FEEDS),
        authority="the equipment's own limit; where its maker states none, by analogy with 47 CFR 24.135",
    ),
    Check(
        "volts-above-maximum", "conductor", "error", volts_above_maximum, needs=(FEEDS,),
        authority="the equipment's own limit; where its maker states none, by analogy with 47 CFR 24.135",
    ),
    Check(
        "lead-drop-high", "conductor", "warning", lead_drop_high, needs=(FEEDS, OPERATING, SECTIONS),
        thresholds=(DROP_SHARE,),
    ),
)
