"""What only an eye sees of sources, fuses and take-offs."""

from __future__ import annotations

from rigfeed.checks.check import Fact
from rigfeed.checks.facts import Subject
from rigfeed.checks.survey import Survey
from rigfeed.checks.taps import CODE, is_tap
from rigfeed.installation import PlacedNode, net_of
from rigfeed.parts.interfaces import ProtectiveDevice, SourceDevice


def _is_our_fuse(subject: Subject) -> bool:
    node = subject.thing
    return isinstance(node, PlacedNode) and isinstance(node.part, ProtectiveDevice) and bool(subject.ours)


def _has_both_lugs(subject: Subject) -> bool:
    """Whether we put a lug on either post of a battery."""
    node = subject.thing
    if not (isinstance(node, PlacedNode) and isinstance(node.part, SourceDevice) and node.part.stores):
        return False
    nets = {end.net for conductor in subject.ours for end in conductor.ends}
    return all(net_of(f"{node.id}.{pole}", node.part) in nets for pole in node.part.poles)


ROWS = (
    Survey(
        "forbidden-tap", "source", "error",
        Fact("safety-circuit", "node", "Does this circuit feed a control unit of engine, airbag or brakes?",
             only=is_tap),
        False,
        "{subject} feeds a control unit of engine, airbag or brakes: a load of ours may disturb it, and a fault in "
        "ours may switch it off on the road.",
        "Take the feed from the battery or from a point that the vehicle's maker allows.", CODE,
    ),
    Survey(
        "isolator-bypassed", "source", "warning",
        Fact("fed-around-isolator", "vehicle",
             "Is any radio fed around a master isolation switch, without a recorded reason?"),
        False,
        "A radio is wired around the master isolation switch, and nobody wrote down why: whoever turns the switch off "
        "takes the vehicle to be dead, and it is not.",
        "Feed it from behind the switch, or write the reason and the fuse to pull into the record and onto a label.",
        "FCS 1362:2010 2.9.3",
    ),
    Survey(
        "lugs-can-be-swapped", "source", "advice",
        Fact("lugs-can-be-swapped", "node", "Could the positive and the negative lug be swapped here?",
             only=_has_both_lugs),
        False,
        "The positive and the negative lug at {subject} can be swapped: somebody will, in the dark, and the set pays.",
        "Cut one lead so short that it reaches its own post only, or use lugs for two sizes of stud.",
        "FCS 1362:2010 4.6.2",
    ),
    Survey(
        "fuse-out-of-reach", "source", "warning",
        Fact("reachable-without-tools", "node", "Can the fuse be reached and changed without tools?",
             only=_is_our_fuse),
        True,
        "{subject} cannot be reached without tools: at the roadside it will not be changed, or it will be bridged.",
        "Move it to where a hand reaches it, and enter it in the fuse schedule.",
    ),
)
