"""The ends of conductors: what is on them, on which stud they sit, how much spare they have."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from rigfeed.checks.facts import End, Subject
from rigfeed.checks.offers import BODY_POINT, number, sleeve_mm, stud_of, torque_n_m
from rigfeed.frozen import frozen
from rigfeed.installation import Installation, LaidConductor, LaidCore, LaidEnd, PlacedNode, node_of
from rigfeed.parts.interfaces import EndFitting, FeederType, Joint
from rigfeed.path import Path


@frozen
class OurEnd:
    """One end of one core that is not part of the vehicle."""

    conductor: LaidConductor
    core: LaidCore
    end: LaidEnd
    path: Path


def our_ends(installation: Installation) -> Iterator[OurEnd]:
    """Every end of every core that is not part of the vehicle."""
    for conductor in installation.conductors.values():
        if conductor.origin != "vehicle":
            path = Path("conductors", conductor.id, "ends")
            for core in conductor.cores:
                yield OurEnd(conductor, core, core.start, path / 0)
                yield OurEnd(conductor, core, core.end, path / 1)


def ring_mm(end: LaidEnd) -> float | None:
    """The stud that the ring at an end is made for [mm]; None where there is no ring."""
    return number(end.fitting, "stud_mm")


def has_stud(node: PlacedNode) -> bool:
    """Whether what ends on a node without a known fitting sits on a stud."""
    return isinstance(node.part, Joint) or (node.part is not None and node.part.kind == BODY_POINT)


def rings_by_stud(conductors: Iterable[LaidConductor]) -> dict[str, list[float]]:
    """What the rings of some conductors are made for [mm], by the terminal that they sit on."""
    found: dict[str, list[float]] = {}
    for conductor in conductors:
        for end in conductor.ends:
            if (made_for := ring_mm(end)) is not None:
                found.setdefault(end.terminal, []).append(made_for)
    return found


def stud_under(node: PlacedNode, rings: Iterable[float]) -> float | None:
    """The stud that some rings sit on [mm]: as its node says, else the smallest of different rings does."""
    own = stud_of(node)
    if own is not None:
        return own
    sizes = set(rings)
    return min(sizes) if len(sizes) > 1 else None


# sleeves


def sleeved(subject: Subject) -> tuple[LaidEnd, ...]:
    """The cores of an end if a sleeve is chosen for each of them."""
    end = subject.thing
    chosen = isinstance(end, End) and all(laid.sleeve is not None for laid in end.ends)
    return end.ends if isinstance(end, End) and chosen else ()


def under_sleeve_mm(conductor: LaidConductor, laid: LaidEnd) -> float | None:
    """The thickest thing that a sleeve is drawn over [mm]; None where no figure tells it.

    A sleeve lies on the cable before the terminal is crimped, so it is the barrel: the smaller side of what is stiff. A
    supplied lead has its terminals on: there the sleeve has to go round the whole of it, and gives way in shape but not
    in girth. The body of a connector is no barrel, and of a jacketed cable nobody knows how thick one core is.
    """
    rigid = laid.fitting.rigid if laid.fitting else None
    if rigid is None or not is_one(conductor):
        return None
    if conductor.origin == "supplied":
        whole_mm = rigid.width_mm if rigid.is_round else 2 * (rigid.width_mm + rigid.height_mm) / math.pi
        return max(conductor.cable.od_mm, whole_mm)
    if rigid.is_round:
        return None
    return max(conductor.cable.od_mm, min(rigid.width_mm, rigid.height_mm))


def is_one(conductor: LaidConductor) -> bool:
    """Whether a sleeve at its end lies on the whole cable: on one core, or on a coaxial cable."""
    return len(conductor.cores) == 1 or isinstance(conductor.cable, FeederType)


def asks_whether_sealed(subject: Subject) -> bool:
    """Whether an end gets wet and no sleeve is chosen for it; an answer that was given stands."""
    return is_wet(subject) and (subject.facts.get("sleeved") is not None or not sleeved(subject))


def asks_whether_sleeve_grips(subject: Subject) -> bool:
    """Whether an end has a sleeve, and its figures do not tell whether it fits; an answer that was given stands."""
    laid, seen = sleeved(subject), subject.facts.get("sleeved")
    if not laid or seen is False:
        return is_wet(subject) and seen is True
    (conductor,) = subject.conductors
    known = all(sleeve_mm(end.sleeve) and under_sleeve_mm(conductor, end) is not None for end in laid)
    return not known or subject.facts.get("sleeve-grips") is not None


# on which subjects a question is asked


def fittings(subject: Subject) -> tuple[EndFitting, ...]:
    """The end fittings of an end that are chosen."""
    end = subject.thing
    return tuple(laid.fitting for laid in end.ends if laid.fitting) if isinstance(end, End) else ()


def is_of(subject: Subject, *kinds: str) -> bool:
    """Whether a fitting of an end is of one of these kinds."""
    return any(fitting.kind in kinds for fitting in fittings(subject))


def wants_a_look(subject: Subject) -> bool:
    """Whether an end has a ring and no figure tells on what stud it sits."""
    end = subject.thing
    if not isinstance(end, End) or all(ring_mm(laid) is None for laid in end.ends):
        return False
    rings = rings_by_stud(end.beside)
    return any(stud_under(end.node, rings[laid.terminal]) is None for laid in end.ends if ring_mm(laid) is not None)


def is_wet(subject: Subject) -> bool:
    """Whether an end lies where it gets wet."""
    return isinstance(subject.thing, End) and subject.thing.node.zone.wet is True


def is_our_body_point(subject: Subject) -> bool:
    """Whether a node is a bolt on the body that we use."""
    node = subject.thing
    on_body = isinstance(node, PlacedNode) and node.part is not None and node.part.kind == BODY_POINT
    return on_body and bool(subject.ours)


def is_stacked(subject: Subject) -> bool:
    """Whether two or more terminals sit on one stud of a node, one of them ours."""
    node = subject.thing
    if len(subject.conductors) < 2 or not subject.ours or not isinstance(node, PlacedNode):
        return False
    studs = rings_by_stud(subject.conductors)
    return any(len(rings) > 1 for stud, rings in studs.items() if node_of(stud) == node.id)


def lacks_torque(subject: Subject) -> bool:
    """Whether a ring of ours sits on a stud for which no torque is given; an answer that was given stands."""
    rings = [ours for ours in our_ends(subject.installation) if ring_mm(ours.end) is not None]
    nodes = subject.installation.nodes
    unknown = any(torque_n_m(nodes[ours.end.node]) is None for ours in rings)
    return unknown or subject.facts.get("torques-recorded") is not None


def spare_of(conductor: LaidConductor, installation: Installation) -> float | None:
    """What a conductor is cut longer than its way [m]; None where it is not cut, or nobody knows its way."""
    if conductor.origin != "cut":
        return None
    written, runs = installation.design.conductors[conductor.id], installation.design.runs
    if written.length is None:
        return conductor.slack_m
    lengths = [runs[name].length for name in written.route]
    known = [length.si for length in lengths if length is not None]
    if not lengths or len(known) < len(lengths):
        return None if written.slack is None else written.slack.si
    return conductor.cut_length_m - sum(known)


def is_cut_by_length(subject: Subject) -> bool:
    """Whether an end is ours to cut and no figure tells how much spare it has."""
    (conductor,) = subject.conductors
    return conductor.origin == "cut" and spare_of(conductor, subject.installation) is None
