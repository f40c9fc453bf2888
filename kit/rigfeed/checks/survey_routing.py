"""What only an eye sees of runs and holes: airbags, pedals, hinges, seals, clips, drilled holes."""

from __future__ import annotations

from rigfeed.checks.check import Fact
from rigfeed.checks.facts import Subject
from rigfeed.checks.offers import is_feeder, is_power, mount_of, number
from rigfeed.checks.survey import Survey
from rigfeed.design.model import Run
from rigfeed.installation import LaidPassage, PlacedNode
from rigfeed.parts.interfaces import Accessory, Joint

PIPES = ("brake-line", "fuel-line")
HIGH_VOLTAGE = ("high-voltage", "ignition")


def is_used(subject: Subject) -> bool:
    """Whether something of ours lies on a run or passes a hole."""
    return bool(subject.ours)


def passes(subject: Subject, *things: str) -> bool:
    """Whether a run that we use is written down to lie beside one of these."""
    return isinstance(subject.thing, Run) and is_used(subject) and not set(things).isdisjoint(subject.thing.beside)


def loom_on(subject: Subject) -> Accessory | None:
    """The conduit that is chosen for a run."""
    return subject.installation.looms.get(str(subject.path[1])) if isinstance(subject.thing, Run) else None


def _may_lie_bare(subject: Subject) -> bool:
    """Whether something on a run may get wet, and no conduit is chosen for it; an answer that was given stands."""
    zone = subject.thing.zone if isinstance(subject.thing, Run) else None
    dry = zone is not None and subject.installation.zones[zone].wet is False
    covered = loom_on(subject) is not None and subject.facts.get("bare-under-floor") is None
    return is_used(subject) and not dry and not covered


def is_drilled(subject: Subject) -> bool:
    """Whether a node is an antenna whose mount asks for a hole."""
    return isinstance(subject.thing, PlacedNode) and number(mount_of(subject.thing), "hole_mm") is not None


def _has_grommet(subject: Subject) -> bool:
    """Whether a hole has a grommet of unknown bore; an answer that was given stands."""
    hole = subject.thing
    if not isinstance(hole, LaidPassage) or hole.edge not in ("grommet", "gland") or not is_used(subject):
        return False
    return hole.bore_mm is None or subject.facts.get("grommet-grips") is not None


def has_feeder_and_power(subject: Subject) -> bool:
    """Whether a coaxial cable and a wire for power of ours lie on one run."""
    feeders = any(is_feeder(conductor) for conductor in subject.ours)
    return feeders and any(is_power(subject.installation, conductor) for conductor in subject.ours)


def _is_bundle(subject: Subject) -> bool:
    """Whether several things of ours lie on a run, and no conduit is chosen; an answer that was given stands."""
    known = number(loom_on(subject), "bore_mm") is not None and subject.facts.get("loom-fits") is None
    return len(subject.ours) > 1 and not known


def _is_our_joint(subject: Subject) -> bool:
    return isinstance(subject.thing, PlacedNode) and isinstance(subject.thing.part, Joint) and is_used(subject)


DANGERS_NOTED = Fact(
    "dangers-noted", "vehicle",
    "Is whatever a run passes closely (exhaust, moving parts, brake and fuel lines, battery cases, high voltage, the "
    "vehicle's looms) written beside it with its distance?",
)
HEAT_SHIELD = Fact(
    "heat-shield", "run", "Is there a heat shield between run and exhaust?", only=lambda s: passes(s, "exhaust")
)
CROSSES_SQUARE = Fact(
    "crosses-square", "run", "Does the run only cross the high-voltage cable, at a right angle?",
    only=lambda s: passes(s, *HIGH_VOLTAGE),
)
SWITCHER_CHOKED = Fact(
    "switcher-choked", "run", "Has the switching device beside this run a choke on both of its sides?",
    only=lambda s: passes(s, "switcher") and any(is_feeder(conductor) for conductor in s.ours),
)
FEEDER_APART = Fact(
    "feeder-apart", "run", "Are coaxial cables kept apart from the wires for power (see the practice)?",
    only=has_feeder_and_power,
)
CROSSES_HINGE = Fact(
    "crosses-hinge", "run", "Does the run cross a hinge, a door or the joint of a tilt cab?", only=is_used
)
THROUGH_SEAL = Fact("through-seal", "run", "Does the run pass the seal of a door, a lid or a window?", only=is_used)

TIED_TO_PIPE = Survey(
    "near-moving-parts", "routing", "error",
    Fact("tied-to-pipe", "run", "Is anything on it tied to a brake or fuel pipe?", only=lambda s: passes(s, *PIPES)),
    False,
    "On {subject} something is tied to a brake or fuel pipe: it chafes the pipe, and a hot wire lies on it.",
    "Cut the ties and give the run clips of its own.", "FCS 1362:2010 4.3",
)
PIPE_IN_HOLE = Survey(
    "near-moving-parts", "routing", "error",
    Fact("pipe-in-hole", "passage", "Does a brake or fuel pipe pass the same hole?", only=is_used), False,
    "{subject} is shared with a brake or fuel pipe: cable and pipe chafe each other where nobody looks.",
    "Use another hole, with a grommet of its own.", "FCS 1362:2010 4.3",
)
GROMMET_GRIPS = Survey(
    "grommet-mismatch", "routing", "warning",
    Fact("grommet-grips", "passage", "Does the grommet grip what passes it, without being forced?", only=_has_grommet),
    True,
    "The grommet of {subject} does not fit what passes it: a loose one chafes and lets water in, a tight one is pulled "
    "out of the hole.",
    "Use a grommet with a bore of {least} to {most} for the {bundle} that pass it together.",
)
HOLE_SEALED = Survey(
    "grommet-mismatch", "routing", "warning",
    Fact("hole-sealed", "passage", "Is the hole sealed against water, noise and fumes?", only=is_used), True,
    "{subject} is not sealed: water, noise and, from an engine bay, fumes come through.",
    "Close it with a grommet that grips, or with sealing compound over one.",
)
CLIPPED = Survey(
    "clips-too-far", "routing", "warning",
    Fact("clipped", "run", "Is everything on the run held at least as often as the practice asks?", only=is_used), True,
    "On {subject} the clips are more than {limit} apart: the cable swings, chafes and pulls at its ends.",
    "Hold it at least every {limit}, and on both sides of every bend and hole.",
)
FLEX_LOOP = Survey(
    "hinge-without-loop", "routing", "warning",
    Fact("flex-loop", "run", "Is there a loop or a boot that takes up the movement of the hinge?"), True,
    "On {subject} the cable crosses a hinge without a loop: it is bent in the same place each time, and breaks there.",
    "Leave a loop that moves freely over the whole angle, under a boot, clipped on both sides.",
    "FCS 1362:2010 4.2.5.1", gate=CROSSES_HINGE,
)
BENDS_WIDE = Survey(
    "bend-too-tight", "routing", "warning",
    Fact("bends-wide", "run", "Is every bend of the run as wide as its cables ask for?", only=is_used), True,
    "On {subject} a bend is too tight for {cable}: a coaxial cable loses its impedance there, a power cable its "
    "insulation.",
    "Lay it with a radius of {limit} at least, measured on the inside.",
)
LOOM_FITS = Survey(
    "loom-bore-mismatch", "routing", "advice",
    Fact("loom-fits", "run", "If the bundle lies in conduit: has it some room in there, but not too much?",
         only=_is_bundle),
    True,
    "The conduit on {subject} does not fit its bundle: in a tight one nothing can be drawn or cooled, in a wide one it "
    "rattles.",
    "Take a conduit with a bore of {least} to {most} for the bundle of {bundle}.",
)

ROWS = (
    Survey(
        "in-airbag-zone", "routing", "error",
        Fact("clear-of-airbags", "run", "Is the run clear of every airbag and of the way that it unfolds, and of the "
             "airbag wiring of seats?", only=is_used),
        True,
        "On {subject} something lies in the way of an airbag, over a curtain airbag or on the airbag wiring of a seat: "
        "it keeps the bag from unfolding, or flies with it.",
        "Lay it elsewhere; the vehicle maker's body manual shows where the bags and their gas lines are.",
        "FCS 1362:2010",
    ),
    Survey(
        "near-controls", "routing", "error",
        Fact("clear-of-controls", "run", "Is the run clear of pedals, steering, seat rails and handbrake, in every "
             "position?", only=is_used),
        True,
        "On {subject} something is in the way of pedals, steering, seat rails or handbrake.",
        "Lay it behind trim or clip it away, and move everything to both ends of its travel before you close up.",
    ),
    Survey(
        "unsafe-drilling", "routing", "error",
        Fact("back-seen", "passage", "If the hole was drilled or is to be: was its back seen to be clear of traction "
             "battery, tank, brake lines and heater? (yes where it was there before)", only=is_used),
        True,
        "Nobody looked behind {subject} before drilling: a traction battery, a tank, a brake line or the heater may be "
        "there.",
        "Do not drill; look from the other side, or use a hole that is there. If it is drilled, inspect what is behind "
        "before the vehicle moves.",
        "FCS 1362:2010 2.11",
    ),
    Survey(
        "unsafe-drilling", "routing", "error",
        Fact("back-seen", "node", "Was the place under the hole seen to be clear of airbags, wiring and whatever a "
             "drill must not meet?", only=is_drilled),
        True,
        "Nobody looked under the hole for {subject} before drilling: a curtain airbag, wiring or a beam may be there.",
        "Lower the lining and look first, and drill with a stop.", "FCS 1362:2010 2.11",
    ),
    Survey(
        "underfloor-bare", "routing", "warning",
        Fact("bare-under-floor", "run", "Does any of it lie under the floor without conduit?", only=_may_lie_bare),
        False,
        "On {subject} something lies under the floor without conduit: stones, ice and the next jack find it.",
        "Put it into conduit that drains, clipped to the body and above the lowest metal.",
    ),
    Survey(
        "seal-leak", "routing", "warning",
        Fact("seal-closes", "run", "Does the seal close over the cable without crushing it?"), True,
        "The seal on {subject} does not close over the cable: it leaks, or it cuts the cable.",
        "Use a thinner cable for this piece, or another way in with a gland.", gate=THROUGH_SEAL,
    ),
    Survey(
        "seal-leak", "routing", "warning",
        Fact("drip-loop", "run", "Does the cable hang lower outside than where it passes the seal?"), True,
        "The cable on {subject} has no drip loop: water runs along it to the inside.",
        "Let it hang in a loop outside, lower than the seal.", gate=THROUGH_SEAL,
    ),
    Survey(
        "trim-or-chafe", "routing", "warning",
        Fact("chafe-free", "run", "Is the run clear of trim screws, and does nothing lie loose on what shakes?",
             only=is_used),
        True,
        "On {subject} something lies where a trim screw goes in, or loose on something that shakes: it is worn or "
        "pierced where nobody sees it.",
        "Move it off the line of the screws, and tie or sleeve it wherever it touches.", "FCS 1362:2010 4.10",
    ),
    Survey(
        "feed-not-continuous", "routing", "advice",
        Fact("joint-in-reach", "node", "Can the joint be reached without taking trim off?", only=_is_our_joint),
        True,
        "{subject} is a joint in a hidden place: when it fails, the trim comes off to find it.",
        "Run the feed in one piece through hidden places, and joint it where it can be reached.",
    ),
)
