"""What leaves a source: a fuse on every positive, close to the post, of a rating that fits what hangs on it.

Where both poles are kept off the body, a fuse in a negative stands as close to its post.

All checks of the group stand in `CHECKS`: those of ratings, of devices in the wiring and of take-offs as well.
"""

from __future__ import annotations

from collections.abc import Iterator

from rigfeed.checks.check import Check, Finding, NotChecked
from rigfeed.checks.protection import CHECKS as PROTECTION
from rigfeed.checks.rating import CHECKS as RATING
from rigfeed.checks.said import other_rating
from rigfeed.checks.survey import optional, survey_checks
from rigfeed.checks.survey_source import ROWS
from rigfeed.checks.taps import CHECKS as TAPS
from rigfeed.installation import LaidConductor, PlacedNode
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.parts.interfaces import ProtectiveDevice, SourceDevice
from rigfeed.path import Path
from rigfeed.practice import Threshold
from rigfeed.studies.operating import OPERATING
from rigfeed.studies.ratings import RATINGS
from rigfeed.studies.ratings.window import LOADED_SHARE
from rigfeed.studies.sections import SECTIONS
from rigfeed.view import View
from rigfeed.wiring import WIRING, Way, sides_of

FAR_WARNING_M = Threshold("fuse-far-from-source.warning", "m", "cable from the source to the first fuse: warning")
FAR_ERROR_M = Threshold("fuse-far-from-source.error", "m", "cable from the source to the first fuse: error")
FAR_SHEATHED_M = Threshold("fuse-far-from-source.sheathed", "m", "the same where the cable is enclosed the whole way")
FAR_BATTERY_M = Threshold("fuse-far-from-source.battery", "m", "the same from a battery, enclosed the whole way")


POSITIVE, NEGATIVE = 0, 1


def _ways(view: View, *poles: int) -> Iterator[tuple[PlacedNode, Way]]:
    """The ways from these posts of every battery to the first fuse or to their end."""
    wiring = view[WIRING]
    for node, part in view.installation.sources:
        for pole in poles if part.stores else ():
            for way in wiring.ways_to_protection(f"{node.id}.{part.poles[pole]}"):
                if pole == POSITIVE or not _is_link_in_series(view, way):
                    yield node, way


def _is_link_in_series(view: View, way: Way) -> bool:
    """Whether what leaves a negative post goes on to the positive one of another battery: that post says where its fuse
    has to be, and it cannot be close to both."""
    nodes, last = view.installation.nodes, way[-1]
    beyond = sides_of(nodes[last.node]) - {last.net}
    poles = (pole.split(".") for net in beyond for pole in view[SECTIONS].sources_of(net, without=last.node))
    parts = [(nodes[node].part, name) for node, name in poles]
    return any(isinstance(part, SourceDevice) and part.stores and name == part.poles[POSITIVE] for part, name in parts)


def _is_the_vehicles(way: Way) -> bool:
    return all(leg.conductor.origin == "vehicle" for leg in way if leg.conductor)


def unfused_source(view: View) -> Iterator[Finding | NotChecked]:
    nodes = view.installation.nodes
    for source, way in _ways(view, POSITIVE):
        last, first = nodes[way[-1].node], way[0]
        if isinstance(last.part, ProtectiveDevice) or first.conductor is None:
            continue
        subject = Path("conductors", first.conductor.id)
        if _is_the_vehicles(way):
            if not isinstance(last.part, SourceDevice):
                why = "it is the vehicle's own wiring: see its maker's instructions"
                yield NotChecked("unfused-source", why, subject)
            continue
        yield Finding(
            subject=subject, also=(Path("nodes", source.id), Path("nodes", last.id)),
            numbers=Keyed({"source": source.title, "wire": first.conductor.label, "last": last.title}),
            message="{wire} leaves the positive post of {source} and reaches {last} without a fuse. In a short the "
            "battery drives hundreds of amperes and the cable is the only thing that limits them: it burns.",
            remedy="Put a fuse in {wire} as close to the post as it will go, no larger than the cable carries.",
        )


def fuse_far_from_source(view: View) -> Iterator[Finding | NotChecked]:
    isolated = view.installation.design.vehicle.isolated_return
    for source, way in _ways(view, POSITIVE, *((NEGATIVE,) if isolated else ())):
        warning_m, error_m, authority = _far_m(view, source, way)
        fuse = view.installation.nodes[way[-1].node]
        length_m = sum(leg.conductor.length_m for leg in way if leg.conductor)
        if not isinstance(fuse.part, ProtectiveDevice) or _is_the_vehicles(way) or length_m <= min(warning_m, error_m):
            continue
        is_error = length_m > error_m
        yield Finding(
            severity="error" if is_error else "warning", subject=Path("nodes", fuse.id),
            also=(Path("nodes", source.id),), value=Measure(length_m, "m"),
            limit=Measure(error_m if is_error else warning_m, "m"), excess=length_m,
            authority=authority, numbers=Keyed({"fuse": fuse.id, "source": source.title}),
            message="Fuse {fuse} sits behind {value} of cable from {source}; {limit} is the limit. Nothing protects "
            "the cable before the fuse, and that is where it lies closest to the battery and the body.",
            remedy="Move the fuse to within {limit} of the post, measured along the cable.",
        )


def _far_m(view: View, source: PlacedNode, way: Way) -> tuple[float, float, str]:
    """How far the first fuse may be: warning, error, and who says so. A practice may allow more to what is enclosed."""
    (warning_m, _), (error_m, setting) = view.threshold(FAR_WARNING_M), view.threshold(FAR_ERROR_M)
    if all(_is_enclosed(leg.conductor, view) for leg in way if leg.conductor):
        is_battery = isinstance(source.part, SourceDevice) and source.part.stores
        allowed = (FAR_BATTERY_M, FAR_SHEATHED_M) if is_battery else (FAR_SHEATHED_M,)
        found = next((found for threshold in allowed if (found := optional(view, threshold))), None)
        if found is not None:
            return found[0], found[0], found[1]
    return warning_m, error_m, setting.authority


def _is_enclosed(conductor: LaidConductor, view: View) -> bool:
    """Whether a cable has a sheath over its cores, or lies in conduit that is not slit the whole way."""
    looms = [view.installation.looms.get(stretch.run or "") for stretch in conductor.stretches]
    closed = all(loom is not None and getattr(loom, "slit", None) is False for loom in looms)
    return len(conductor.cores) > 1 or closed


def fuse_above_equipment_limit(view: View) -> Iterator[Finding | NotChecked]:
    wiring = view[WIRING]
    for node, part in view.installation.loads:
        subject = Path("nodes", node.id)
        if part.stated_fuse_a is None:
            yield NotChecked("fuse-above-equipment-limit", "its maker's fuse is not in the catalog", subject)
            continue
        protections = wiring.protections_of(f"{node.id}.{part.poles[0]}")
        if not protections or min(device.rated_a for _, device in protections) <= part.stated_fuse_a:
            continue  # without any fuse, that is the finding
        fuse, device = min(protections, key=lambda pair: (pair[1].rated_a, pair[0].id))
        yield Finding(
            subject=Path("nodes", fuse.id), also=(subject,), value=Measure(device.rated_a, "A"),
            limit=Measure(part.stated_fuse_a, "A"), excess=device.rated_a / part.stated_fuse_a,
            numbers=Keyed({"fuse": fuse.id, "load": node.title, "others": other_rating(view, fuse)}),
            message="Fuse {fuse} is {value}, but the maker of {load} states {limit}: its own leads and its reverse "
            "protection count on that fuse.",
            remedy="Fit a fuse of {limit}, or add one of that rating close to the set. {others}",
        )


def fuse_loaded_too_close(view: View) -> Iterator[Finding | NotChecked]:
    share, setting = view.threshold(LOADED_SHARE)
    operating = view[OPERATING]
    for node, device in view.installation.protections:
        limit_a = share / 100 * device.rated_a
        for state, laid in view.installation.states.items():
            amps = abs(operating.current(state, node.id))
            if amps <= limit_a:
                continue
            yield Finding(
                subject=Path("nodes", node.id), state=laid.title, value=Measure(amps, "A"), limit=Measure(limit_a, "A"),
                excess=amps, authority=setting.authority,
                numbers=Keyed({
                    "fuse": node.id, "rated": Measure(device.rated_a, "A"), "share": Measure(share, "%"),
                    "wanted": Measure(amps / share * 100, "A"), "others": other_rating(view, node),
                }),
                message="Fuse {fuse} ({rated}) carries {value} in state {state}, more than {share} of its rating "
                "({limit}): it ages, its holder runs hot, and one day it opens for no fault.",
                remedy="Choose the next rating from {wanted} up, if the cable carries it and the equipment's maker "
                "allows it; else split the load. {others}",
            )


CHECKS = (
    *survey_checks(ROWS),
    *RATING,
    *PROTECTION,
    *TAPS,
    Check(
        "unfused-source", "source", "error", unfused_source, needs=(WIRING,),
        authority="33 CFR 183.455; common practice on the road",
    ),
    Check(
        "fuse-far-from-source", "source", "error", fuse_far_from_source, needs=(WIRING, SECTIONS),
        thresholds=(FAR_WARNING_M, FAR_ERROR_M),
    ),
    Check(
        "fuse-above-equipment-limit", "source", "error", fuse_above_equipment_limit, needs=(WIRING, RATINGS),
        authority="FCS 1362:2010 4.6.3",
    ),
    Check(
        "fuse-loaded-too-close", "source", "warning", fuse_loaded_too_close, needs=(OPERATING, RATINGS),
        thresholds=(LOADED_SHARE,),
    ),
)
