"""Whether conductors and what they end in stand the current and the heat of the place."""

from __future__ import annotations

from collections.abc import Iterator

from rigfeed.checks.check import Check, Fact, Finding, NotChecked
from rigfeed.checks.facts import Subject
from rigfeed.checks.offers import is_feeder, number
from rigfeed.checks.said import is_added, listed, solved_states, unanswered
from rigfeed.checks.survey import optional
from rigfeed.errors import OutOfRange
from rigfeed.installation import Installation, LaidConductor, LaidCore, LaidEnd, LaidZone
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.path import Path
from rigfeed.practice import Threshold
from rigfeed.studies.ampacity import AMPACITY, Rating
from rigfeed.studies.feeds import FEEDS
from rigfeed.studies.operating import OPERATING
from rigfeed.studies.ratings.window import LOADED_SHARE
from rigfeed.studies.sections import SECTIONS
from rigfeed.view import View

Said = Iterator[Finding | NotChecked]

ENGINE_BAY_C = Threshold("insulation-class-low.engine-bay", "degC", "least class of insulation in the engine bay")
CABIN_C = Threshold("insulation-class-low.cabin", "degC", "least class of insulation in the cabin")
NEAR_EXHAUST_C = Threshold("insulation-class-low.near-exhaust-least", "degC", "least class of insulation near exhaust")
PVC_C = Threshold("insulation-class-low.ordinary-pvc", "degC", "class that ordinary PVC is taken to have")
EXHAUST_M = Threshold("near-exhaust.distance", "m", "least distance from the exhaust without a heat shield")
MARGIN_DROP = Threshold("apparatus-margin.drop", "%", "drop at any device, as a share of the system voltage")
MARGIN_AMPACITY = Threshold("apparatus-margin.ampacity", "%", "ampacity of a conductor, as a share of its protection")

HOT_THINGS = ("exhaust", "turbo", "turbocharger")


def _is_ours(subject: Subject) -> bool:
    return any(is_added(conductor) for conductor in subject.conductors)


UNDER_BONNET = Fact("under-bonnet", "run", "Does this run lie under the bonnet, with the engine?", only=_is_ours)


def bonnet_zones(installation: Installation) -> set[str]:
    """The zones of which a run is known to lie under the bonnet."""
    runs = installation.design.runs.values()
    return {run.zone for run in runs if run.zone is not None and run.facts.get(UNDER_BONNET.name)}


# the current


def over_ampacity(view: View) -> Said:
    operating, ampacities = view[OPERATING], view[AMPACITY]
    added = [conductor for conductor in view.installation.conductors.values() if is_added(conductor)]
    unknown = []
    for core in (core for conductor in added for core in conductor.cores):
        governing = ampacities.governing(core.id)
        if governing is None:
            unknown.append(core.id)
            continue
        conductor = governing.rating.conductor
        for name, state in solved_states(view.installation, operating):
            amps = abs(operating.current(name, core.id))
            if amps > governing.amps:
                yield Finding(
                    subject=Path("conductors", conductor.id), state=state.title, value=Measure(amps, "A"),
                    limit=Measure(governing.amps, "A"), excess=amps - governing.amps,
                    numbers=Keyed({
                        "wire": conductor.label, "within": governing.zone.within, "basis": governing.figure.basis,
                        "others": _others(governing.rating),
                    }),
                    message="{wire} carries {value} in state {state}; {within} it may carry {limit} for hours "
                    "({basis}; {others}): its insulation ages in weeks or melts.",
                    remedy="Take a larger cross-section or a higher class of insulation, lead it where it is cooler, "
                    "or take it out of the bundle.",
                )
    if unknown:
        why = f"no ampacity is known for {listed(unknown)}: its cable has no temperature class in the catalog, or no "
        "way"
        yield NotChecked("over-ampacity", why)


def _others(rating: Rating) -> str:
    """The other bases in words."""
    lowest = rating.lowest
    others = [f"{Measure(figure.amps, 'A')} by {figure.basis}" for figure in rating.figures if figure is not lowest]
    return "; ".join(others) if others else "no other basis has a figure"


def apparatus_margin(view: View) -> Said:
    drop, ampacity = optional(view, MARGIN_DROP), optional(view, MARGIN_AMPACITY)
    if drop is None or ampacity is None:
        yield NotChecked("apparatus-margin", f"practice {view.practice.name!r} gives no margins")
        return
    limit_v = drop[0] / 100 * view.installation.system_v
    for feed in view[FEEDS]:
        if feed.source and feed.drop_v > limit_v:
            yield Finding(
                subject=Path("nodes", feed.load.id), state=view.installation.states[feed.state].title,
                value=Measure(feed.drop_v, "V"), limit=Measure(limit_v, "V"), excess=feed.drop_v, authority=drop[1],
                numbers=Keyed({"load": feed.load.title, "share": Measure(drop[0], "%")}),
                message="The leads of {load} lose {value} in state {state}, and this practice allows no device more "
                "than {limit} ({share} of the system voltage).",
                remedy="Enlarge or shorten the leads of {load}.",
            )
    for node, device in view.installation.protections:
        wanted_a = ampacity[0] / 100 * device.rated_a
        cores = [core.id for conductor, core in view[SECTIONS].protected(node) if is_added(conductor)]
        weakest = view[AMPACITY].weakest(cores)
        if weakest is not None and weakest.amps < wanted_a:
            conductor = weakest.rating.conductor
            yield Finding(
                subject=Path("conductors", conductor.id), also=(Path("nodes", node.id),),
                value=Measure(weakest.amps, "A"), limit=Measure(wanted_a, "A"), excess=wanted_a - weakest.amps,
                authority=ampacity[1],
                numbers=Keyed({
                    "wire": conductor.label, "fuse": node.id, "rated": Measure(device.rated_a, "A"),
                    "share": Measure(ampacity[0], "%"), "within": weakest.zone.within, "basis": weakest.figure.basis,
                }),
                message="{wire} carries {value} {within} ({basis}), and this practice wants {share} of its protection "
                "{fuse} ({rated}), that is {limit}.",
                remedy="Take a conductor that carries {limit} there, or a smaller fuse if the load allows it.",
            )


# the heat


def insulation_class_low(view: View) -> Said:
    pvc_c, _ = view.threshold(PVC_C)
    unknown = set()
    for conductor in view.installation.conductors.values():
        if conductor.origin == "vehicle":
            continue
        class_c = conductor.cable.insulation_c
        if class_c is None and getattr(conductor.cable, "insulation", None) == "pvc":
            class_c = pvc_c
        if class_c is None:
            unknown.add(conductor.id)
            continue
        for zone, limit_c, why, authority in _classes(view, conductor):
            if class_c < limit_c:
                yield Finding(
                    subject=Path("conductors", conductor.id), value=Measure(class_c, "degC"),
                    limit=Measure(limit_c, "degC"), excess=limit_c - class_c, authority=authority,
                    numbers=Keyed({"wire": conductor.label, "within": zone.within, "why": why}),
                    message="The insulation of {wire} is of class {value}, and {limit} is asked for {within}: {why}. "
                    "It grows hard and cracks, or softens until the strands come through.",
                    remedy="Take a cable of class {limit} or more there, or lead it another way.",
                )
    if unknown:
        yield NotChecked("insulation-class-low", f"the class of the insulation of {listed(unknown)} is not known")
    least_c = view.threshold(ENGINE_BAY_C)[0]
    low = {c.id for c in view.installation.conductors.values() if (c.cable.insulation_c or 0) < least_c and is_added(c)}
    yield from unanswered(
        view, "insulation-class-low", UNDER_BONNET, lambda subject: any(c.id in low for c in subject.conductors)
    )


def _classes(view: View, conductor: LaidConductor) -> Iterator[tuple[LaidZone, float, str, str]]:
    """What the places along a conductor ask of its insulation, why, and who says so."""
    (bay_c, bay), (cabin_c, cabin) = view.threshold(ENGINE_BAY_C), view.threshold(CABIN_C)
    bonnet, runs = bonnet_zones(view.installation), view.installation.design.runs
    for stretch in conductor.stretches:
        zone = stretch.zone
        yield zone, zone.warmest_c, "the air alone may be as hot as that", ""
        if is_feeder(conductor):
            continue  # the plastic of a feeder has a limit of its own
        if zone.id in bonnet:
            yield zone, bay_c, "that is what cable under the bonnet has", bay.authority
        else:
            yield zone, cabin_c, "that is the least that cable in a vehicle has", cabin.authority
        beside = runs[stretch.run].beside if stretch.run is not None else {}
        near = [distance.si for thing, distance in beside.items() if thing in HOT_THINGS]
        if near and min(near) < view.threshold(EXHAUST_M)[0]:
            exhaust_c, setting = view.threshold(NEAR_EXHAUST_C)
            yield zone, exhaust_c, "it passes the exhaust close by", setting.authority


def terminal_too_hot(view: View) -> Said:
    unknown: set[str] = set()
    yield from _hot_ends(view, unknown)
    yield from _hot_holders(view, unknown)
    yield from _hot_devices(view)
    if unknown:
        yield NotChecked("terminal-too-hot", f"the catalog gives no temperature limit for {listed(unknown)}")


def _hot_ends(view: View, unknown: set[str]) -> Said:
    for conductor in view.installation.conductors.values():
        if not is_added(conductor):
            continue
        for core, end, side in _ends(conductor):
            if end.fitting is None:
                continue
            limit_c = number(end.fitting, "limit_c")
            if limit_c is None:
                unknown.add(end.fitting.short_key)
                continue
            air_c, rise_k = _metal_c(view, conductor, core, end)
            if air_c + rise_k > limit_c:
                yield Finding(
                    subject=Path("conductors", conductor.id, "ends", side), also=(Path("nodes", end.node),),
                    value=Measure(air_c + rise_k, "degC"), limit=Measure(limit_c, "degC"),
                    excess=air_c + rise_k - limit_c,
                    numbers=Keyed({
                        "wire": conductor.label, "fitting": end.fitting.title, "terminal": end.terminal,
                        "air": Measure(air_c, "degC"), "rise": f"{rise_k:.0f} K",
                    }),
                    message="{wire} brings {value} to {fitting} at {terminal} ({air} of air and {rise} of its own "
                    "current), which may be at {limit} at most: its spring goes soft and the contact runs away.",
                    remedy="Use a terminal for that heat, a larger conductor, or a cooler place for the joint.",
                )


def _hot_holders(view: View, unknown: set[str]) -> Said:
    """The wires that end in a holder, or are clamped to its leads, against what its terminals may become."""
    wires: dict[str, list[tuple[LaidConductor, LaidCore, LaidEnd]]] = {}
    for conductor in view.installation.conductors.values():
        for core, end, _ in _ends(conductor) if is_added(conductor) else ():
            wires.setdefault(end.node, []).append((conductor, core, end))
    for node, _ in view.installation.protections:
        holder = getattr(node.settings, "holder", None)
        if holder is None or node.id not in wires:
            continue
        hottest_c = number(holder, "hottest_c")
        if hottest_c is None:
            unknown.add(holder.short_key)
            continue
        found = [(*_metal_c(view, *wire), wire[0]) for wire in wires[node.id]]
        air_c, rise_k, conductor = max(found, key=lambda item: (item[0] + item[1], item[2].id))
        if node.zone.warmest_c <= hottest_c < air_c + rise_k:  # in air that is too hot itself, that is said
            yield Finding(
                subject=Path("nodes", node.id), also=(Path("conductors", conductor.id),),
                value=Measure(air_c + rise_k, "degC"), limit=Measure(hottest_c, "degC"),
                excess=air_c + rise_k - hottest_c,
                numbers=Keyed({
                    "wire": conductor.label, "holder": holder.title, "id": node.id, "air": Measure(air_c, "degC"),
                    "rise": f"{rise_k:.0f} K",
                }),
                message="{wire} brings {value} to the holder of {id} ({holder}; {air} of air and {rise} of its own "
                "current), whose terminals may become {limit}: its springs go soft and its plastic with them.",
                remedy="Use a holder for that heat, a larger conductor, or a cooler place for the fuse.",
            )


def _ends(conductor: LaidConductor) -> Iterator[tuple[LaidCore, LaidEnd, int]]:
    for core in conductor.cores:
        yield core, core.start, 0
        yield core, core.end, 1


def _metal_c(view: View, conductor: LaidConductor, core: LaidCore, end: LaidEnd) -> tuple[float, float]:
    """The air at an end of a core [degC] and the rise of the metal above it in its worst state [K]: the class of the
    insulation is reached at the ampacity, and the rise goes with the square of the current."""
    air_c = view.installation.nodes[end.node].zone.warmest_c
    ratings = view[AMPACITY].ratings[core.id]
    if not ratings or conductor.cable.insulation_c is None:
        return air_c, 0.0
    here = ratings[0] if end is core.start else ratings[-1]
    air_c = max(air_c, here.zone.warmest_c)
    lowest = here.lowest
    if lowest is None or lowest.amps <= 0:
        return air_c, 0.0
    operating = view[OPERATING]
    states = solved_states(view.installation, operating)
    amps = max((abs(operating.current(name, core.id)) for name, _ in states), default=0.0)
    return air_c, (conductor.cable.insulation_c - here.zone.warmest_c) * (amps / lowest.amps) ** 2


def _hot_devices(view: View) -> Said:
    """Holders and breakers in air that is too hot for them, and fuses that carry less there than their load."""
    share, setting = view.threshold(LOADED_SHARE)
    operating = view[OPERATING]
    for node, device in view.installation.protections:
        air_c = node.zone.warmest_c
        for thing in (getattr(node.settings, "holder", None), device):
            hottest_c = number(thing, "hottest_c")
            if thing is not None and hottest_c is not None and air_c > hottest_c:
                yield Finding(
                    subject=Path("nodes", node.id), value=Measure(air_c, "degC"), limit=Measure(hottest_c, "degC"),
                    excess=air_c - hottest_c, numbers=Keyed({"thing": thing.title, "id": node.id}),
                    message="{thing} of {id} sits in air of {value} and is made for {limit}.",
                    remedy="Move it to a cooler place, or use one for that heat.",
                )
        carries_a = _carries_a(device, air_c)
        if carries_a is None or carries_a >= device.rated_a:
            continue
        for name, state in solved_states(view.installation, operating):
            amps = abs(operating.current(name, node.id))
            if share / 100 * carries_a < amps <= share / 100 * device.rated_a:
                yield Finding(
                    subject=Path("nodes", node.id), state=state.title, value=Measure(amps, "A"),
                    limit=Measure(share / 100 * carries_a, "A"), excess=amps, authority=setting.authority,
                    numbers=Keyed({
                        "fuse": node.id, "air": Measure(air_c, "degC"), "rated": Measure(device.rated_a, "A"),
                        "carries": Measure(carries_a, "A"), "share": Measure(share, "%"),
                    }),
                    message="Fuse {fuse} ({rated}) is good for {carries} in air of {air} and carries {value} in state "
                    "{state}, more than {share} of that ({limit}): it opens one hot day for no fault.",
                    remedy="Move the fuse to a cooler place, or take the next rating if the cable and the equipment "
                    "allow it.",
                )


def _carries_a(device: object, air_c: float) -> float | None:
    """What a device carries for good in some air [A]; None where its catalog does not say."""
    carries = getattr(device, "carries_a", None)
    if carries is None:
        return None
    try:
        return float(carries(air_c))
    except OutOfRange:
        return None


CHECKS = (
    Check(
        "over-ampacity", "conductor", "error", over_ampacity, needs=(OPERATING, AMPACITY),
        authority="33 CFR 183.425, the supplier's figure or the heat balance, whichever is lowest",
    ),
    Check(
        "apparatus-margin", "conductor", "error", apparatus_margin, needs=(OPERATING, FEEDS, AMPACITY, SECTIONS),
        authority="fire-apparatus purchase specifications (public)",
    ),
    Check(
        "insulation-class-low", "conductor", "error", insulation_class_low, facts=(UNDER_BONNET,),
        thresholds=(ENGINE_BAY_C, CABIN_C, NEAR_EXHAUST_C, PVC_C, EXHAUST_M),
    ),
    Check(
        "terminal-too-hot", "conductor", "warning", terminal_too_hot, needs=(OPERATING, AMPACITY),
        thresholds=(LOADED_SHARE,),
    ),
)
