"""Where the current goes back."""

from __future__ import annotations

from collections.abc import Iterator

from rigfeed.checks.check import Check, Fact, Finding, NotChecked
from rigfeed.checks.facts import SUBJECTS, Subject
from rigfeed.checks.offers import is_feeder, is_hf_antenna, number
from rigfeed.checks.returns import BodyReturn, body_returns, is_body_point, strap_points, tie_to_body
from rigfeed.checks.survey import ask, facts_of, survey_checks
from rigfeed.checks.survey_ground import BONDS_FLAT, INSULATION_TESTED, ROWS, SECOND_GROUND
from rigfeed.installation import Installation, LaidConductor, PlacedNode, net_of, node_of
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.parts.interfaces import ConverterDevice
from rigfeed.path import Path
from rigfeed.practice import Threshold
from rigfeed.studies.feeds import FEEDS
from rigfeed.view import View

RETURN_FAR_M = Threshold("return-far.distance", "m", "greatest distance of the return point from the equipment")
RETURN_DROP_V = Threshold("return-drop-high.drop", "V", "greatest drop in the return at transmit peak")
BOND_M = Threshold("bond-poor-at-rf.length", "m", "greatest length of a bond for radio frequency")
BOND_SLIMNESS = Threshold("bond-poor-at-rf.slimness", "", "greatest length against width of such a bond")

Said = Iterator[Finding | NotChecked]


def sensor_bypassed(view: View) -> Iterator[Finding | NotChecked]:
    installation = view.installation
    has_sensor = installation.design.vehicle.battery_sensor
    if has_sensor is None:
        why = "needs to know whether a sensor sits on the battery's negative post (vehicle.battery_sensor)"
        yield NotChecked("sensor-bypassed", why, Path("vehicle"))
    if not has_sensor:
        return
    for battery, post in _vehicle_batteries(installation):
        for conductor in installation.conductors.values():
            if conductor.origin != "vehicle" and any(end.net == post for end in conductor.ends):
                yield Finding(
                    subject=Path("conductors", conductor.id), also=(Path("nodes", battery.id),),
                    numbers=Keyed({"wire": conductor.label, "battery": battery.title}),
                    message="{wire} ends on the negative post of {battery}, on the battery's side of the sensor. The "
                    "sensor does not see that current, the vehicle takes the battery to be fuller than it is, and "
                    "charges and starts by a wrong figure.",
                    remedy="Take the return to the body, at the body end of the battery strap, so that the current "
                    "passes the sensor.",
                )


def _vehicle_batteries(installation: Installation) -> list[tuple[PlacedNode, str]]:
    """The batteries on the vehicle's own wiring with the net of their negative post; all where none is marked so."""
    batteries = [
        (node, net_of(f"{node.id}.{part.poles[1]}", part), net_of(f"{node.id}.{part.poles[0]}", part))
        for node, part in installation.sources
        if part.stores
    ]
    own = {end.net for c in installation.conductors.values() if c.origin == "vehicle" for end in c.ends}
    marked = [(node, negative) for node, negative, positive in batteries if own & {negative, positive}]
    return marked or [(node, negative) for node, negative, _ in batteries]


# over the body


def return_far(view: View) -> Said:
    limit_m, setting = view.threshold(RETURN_FAR_M)
    straps = strap_points(view.installation)
    for back in body_returns(view.installation):
        if back.length_m <= limit_m or back.point.id in straps:
            continue
        yield Finding(
            subject=Path("nodes", back.node.id), also=_places(back), value=Measure(back.length_m, "m"),
            limit=Measure(limit_m, "m"), excess=back.length_m, authority=setting.authority,
            numbers=Keyed({"load": back.node.title, "point": back.point.title}),
            message="The negative of {load} goes {value} to {point}, more than {limit}, and that is not the body end "
            "of the battery strap: the wire drops volts, and it loops with the body.",
            remedy="Return it within {limit} of the equipment, or go all the way to the body end of the battery strap.",
        )


def _places(back: BodyReturn) -> tuple[Path, ...]:
    return (Path("nodes", back.point.id), *(Path("conductors", name) for name in back.conductors))


def return_drop_high(view: View) -> Said:
    limit_v, setting = view.threshold(RETURN_DROP_V)
    installation = view.installation
    over_body = {back.node.id: back for back in body_returns(installation)}
    straps = strap_points(installation)
    points = {*straps, *(back.point.id for back in over_body.values())}
    assumed = {point for point in points if "resistance" not in installation.design.nodes[point].settings}
    for feed in view[FEEDS]:
        back = over_body.get(feed.load.id)
        if back is None or feed.source is None or feed.return_drop_v <= limit_v:
            continue
        yield Finding(
            subject=Path("nodes", feed.load.id), also=_places(back), state=installation.states[feed.state].title,
            value=Measure(feed.return_drop_v, "V"), limit=Measure(limit_v, "V"), excess=feed.return_drop_v,
            authority=setting.authority,
            numbers=Keyed({
                "load": feed.load.title, "source": feed.source.title,
                "basis": "the body path is assumed" if assumed & {back.point.id, *straps} else "the body was measured",
            }),
            message="{value} are lost between the negative of {load} and that of {source} in state {state}, more than "
            "{limit} ({basis}): a joint or a strap is poor, or the wire is thin.",
            remedy="Measure it piece by piece with the set keyed: wire, bolt, body, strap; mend what loses most.",
        )
    if over_body and assumed:
        why = f"needs the measured resistance into the body at {', '.join(sorted(assumed))} (settings.resistance)"
        yield NotChecked("return-drop-high", why)


def body_return_not_allowed(view: View) -> Said:
    isolated = view.installation.design.vehicle.isolated_return
    over_body = body_returns(view.installation)
    if isolated is None and over_body:
        why = "needs to know whether both poles are kept off the body (vehicle.isolated_return)"
        yield NotChecked("body-return-not-allowed", why, Path("vehicle"))
    for back in over_body if isolated else ():
        yield Finding(
            subject=Path("nodes", back.node.id), also=_places(back),
            numbers=Keyed({"load": back.node.title, "point": back.point.title}),
            message="The negative of {load} goes to the body at {point}, and both poles of this vehicle are kept off "
            "the body: its current returns where nobody expects it, and eats or ignites what it passes.",
            remedy="Run two wires back to the battery, protect both poles, and test the insulation before and after.",
        )
    yield from ask(view, INSULATION_TESTED)


# radio frequency, loops, isolation


def bond_poor_at_rf(view: View) -> Said:
    (length_m, setting), (slimness, _) = view.threshold(BOND_M), view.threshold(BOND_SLIMNESS)
    limits = {"limit": Measure(length_m, "m"), "slimness": Measure(slimness)}
    nodes = view.installation.nodes
    if any(is_hf_antenna(node) for node in nodes.values()):
        for bond in _bonds(view.installation):
            fault = _bond_fault(bond, length_m, slimness)
            if fault:
                yield Finding(
                    subject=Path("conductors", bond.id), value=Measure(bond.length_m, "m"), limit=limits["limit"],
                    excess=bond.length_m, authority=setting.authority,
                    numbers=Keyed({"bond": bond.label, "fault": fault, "slimness": limits["slimness"]}),
                    message="The bond {bond} of {value} {fault}: at radio frequency it is a coil, not a bond.",
                    remedy="Use flat strap or braid, no longer than {limit} and no longer than {slimness} times its "
                    "width.",
                )
    yield from ask(view, BONDS_FLAT, numbers=lambda subject: limits)


def _bonds(installation: Installation) -> Iterator[LaidConductor]:
    """The wires of ours that join the body to itself."""
    for conductor in installation.conductors.values():
        if conductor.origin != "vehicle" and all(is_body_point(installation.nodes[end.node]) for end in conductor.ends):
            yield conductor


def _bond_fault(bond: LaidConductor, most_m: float, slimness: float) -> str:
    """What is wrong with a bond, beginning with a verb; nothing if it is short, flat and wide."""
    if number(bond.cable, "height_mm") is None:
        return "is round wire"
    if bond.length_m > most_m:
        return "is too long"
    return "is too narrow for its length" if 1000 * bond.length_m > slimness * bond.cable.od_mm else ""


def ground_loop(view: View) -> Said:
    installation = view.installation
    for node, part in installation.loads:
        negative = f"{node.id}.{part.poles[1]}"
        points = {
            node_of(other)
            for conductor in installation.conductors.values() if not is_feeder(conductor)
            for core in conductor.cores if negative in (core.start.net, core.end.net)
            for other in (core.start.net, core.end.net) if is_body_point(installation.nodes[node_of(other)])
        }
        if len(points) > 1:
            yield Finding(
                subject=Path("nodes", node.id), also=tuple(Path("nodes", id_) for id_ in sorted(points)),
                numbers=Keyed({"load": node.title, "points": " and ".join(sorted(points))}),
                message="The negative of {load} goes to the body at {points}: what flows in the body flows through "
                "these wires as well, and is heard as whine.",
                remedy="Keep the nearer of them and take the others off.",
            )
    yield from ask(view, SECOND_GROUND)


def _is_isolated_converter(subject: Subject) -> bool:
    node = subject.thing
    return isinstance(node, PlacedNode) and isinstance(node.part, ConverterDevice) and node.part.isolated


ISOLATION_REQUIRED = Fact(
    "isolation-required", "node", "Must its output be kept off the body?", only=_is_isolated_converter
)


def isolation_lost(view: View) -> Said:
    installation = view.installation
    for subject in view[SUBJECTS].asked(ISOLATION_REQUIRED):
        node = installation.nodes[str(subject.path[1])]
        answer, isolated = subject.answer(ISOLATION_REQUIRED), installation.design.vehicle.isolated_return
        required = isolated if answer is None else answer
        tie = tie_to_body(f"{node.id}.{_out_negative(node)}", installation)
        if tie is None or required is False:
            continue
        if required is None:
            why = f"its negative meets the body at {tie.title}: {ISOLATION_REQUIRED.question}"
            yield NotChecked("isolation-lost", why, subject.path)
            continue
        yield Finding(
            subject=subject.path, also=(Path("nodes", tie.id),),
            numbers=Keyed({"converter": node.title, "tie": tie.title}),
            message="The output of {converter} has to be kept off the body, and meets it at {tie}: by a case, a mount "
            "or the shield of a feeder the isolation is gone.",
            remedy="Mount the set and its antenna insulated, put a break for direct current into the feeder, or feed "
            "another set that does not join its negative to its case.",
        )


def _out_negative(node: PlacedNode) -> str:
    assert isinstance(node.part, ConverterDevice)
    return node.part.poles[1]


CHECKS = (
    *survey_checks(ROWS),
    Check("sensor-bypassed", "ground", "error", sensor_bypassed),
    Check("return-far", "ground", "warning", return_far, thresholds=(RETURN_FAR_M,), authority="FCS 1362:2010 4.6.4"),
    Check(
        "return-drop-high", "ground", "warning", return_drop_high, needs=(FEEDS,), thresholds=(RETURN_DROP_V,),
    ),
    Check(
        "body-return-not-allowed", "ground", "error", body_return_not_allowed, authority="FCS 1362:2010 4.7.2",
        facts=facts_of(INSULATION_TESTED),
    ),
    Check(
        "bond-poor-at-rf", "ground", "warning", bond_poor_at_rf, thresholds=(BOND_M, BOND_SLIMNESS),
        facts=facts_of(BONDS_FLAT),
    ),
    Check("ground-loop", "ground", "warning", ground_loop, facts=facts_of(SECOND_GROUND)),
    Check(
        "isolation-lost", "ground", "error", isolation_lost, authority="FCS 1362:2010 4.7.2.1",
        facts=(ISOLATION_REQUIRED,),
    ),
)
