"""What only an eye sees of returns and bonds: paint, trim, paste, straps."""

from __future__ import annotations

from rigfeed.checks.check import Fact
from rigfeed.checks.ends import is_our_body_point
from rigfeed.checks.facts import Subject
from rigfeed.checks.offers import is_hf_antenna
from rigfeed.checks.survey import Survey
from rigfeed.installation import PlacedNode
from rigfeed.parts.interfaces import LoadDevice


def is_hf(subject: Subject) -> bool:
    """Whether a node is an antenna for short wave."""
    return isinstance(subject.thing, PlacedNode) and is_hf_antenna(subject.thing)


def _is_load(subject: Subject) -> bool:
    return isinstance(subject.thing, PlacedNode) and isinstance(subject.thing.part, LoadDevice)


def _is_isolated(subject: Subject) -> bool:
    return subject.installation.design.vehicle.isolated_return is True


INSULATION_TESTED = Survey(
    "body-return-not-allowed", "ground", "error",
    Fact("insulation-tested", "vehicle", "Was the insulation between both poles and the body tested, before and after?",
         only=_is_isolated),
    True,
    "The insulation between the poles and the body was not tested: the first fault to the body shows nothing, and the "
    "second one is a short.",
    "Measure each pole against the body with everything connected, before and after the work, and write it down.",
    "FCS 1362:2010 4.7.2",
)
BONDS_FLAT = Survey(
    "bond-poor-at-rf", "ground", "warning",
    Fact("bonds-flat", "node", "Is every bond that this antenna works against a short flat strap (see the practice)?",
         only=is_hf),
    True,
    "A bond that {subject} works against is round, long or narrow: at radio frequency it is a coil, not a bond.",
    "Use flat strap or braid, no longer than {limit} and no longer than {slimness} times its width.",
)
SECOND_GROUND = Survey(
    "ground-loop", "ground", "warning",
    Fact("second-ground", "node", "Is its case, or an accessory with a signal cable to it, grounded elsewhere than its "
         "negative?", only=_is_load),
    False,
    "{subject} is grounded at two places with a signal cable between: what drops along the body is heard as whine and "
    "upsets data.",
    "Ground it at one place, or put a transformer or an isolator into the signal cable.",
)

ROWS = (
    Survey(
        "bad-return-point", "ground", "error",
        Fact("paint-removed", "node", "Is the paint off under the lug, down to bright metal?", only=is_our_body_point),
        True,
        "{subject} sits on paint: it measures well today and lets go under current.",
        "Take the paint off to bright metal as wide as the lug, bolt it down, and seal the joint.",
    ),
    Survey(
        "bad-return-point", "ground", "error",
        Fact("sound-metal", "node", "Is it sound body metal: no trim, no spot-welded brace, no seat or belt bolt, no "
             "ground point of airbags or control modules?", only=is_our_body_point),
        True,
        "{subject} is no place for a return: trim and spot-welded braces do not carry the current, seat and belt bolts "
        "must not be touched, and the grounds of airbags and control modules must stay theirs alone.",
        "Choose a bolt of the body's own structure, or weld or rivet a stud to it.",
    ),
    Survey(
        "antenna-panel-unbonded", "ground", "warning",
        Fact("panel-bonded", "node", "Is the panel under the antenna (lid, bed, hatch, bumper) bonded to the body?",
             only=is_hf),
        True,
        "The panel under {subject} is not bonded to the body: hinges and rubber are no ground, and the antenna has "
        "nothing to work against.",
        "Bond the panel with short flat straps, one at each hinge at least.",
    ),
    Survey(
        "frame-unbonded", "ground", "advice",
        Fact("frame-bonded", "vehicle", "Are cab, bed, frame and exhaust bonded to each other?"), True,
        "Cab, bed, frame and exhaust stand on rubber and are not bonded to each other: returns find their own way, and "
        "the exhaust radiates the ignition.",
        "Bond cab to frame, bed to frame, bed to cab, and the exhaust at several places.",
        gate=Fact("body-on-frame", "vehicle", "Does the body stand on a frame of its own?"),
    ),
    Survey(
        "washer-practice", "ground", "advice",
        Fact("washers-agreed", "vehicle", "Is it agreed whether grounds get serrated washers?"), True,
        "It is not agreed whether grounds get serrated washers: public apparatus specifications forbid them, others "
        "ask for serrated contact.",
        "Write down which of the two applies here, and keep to it in the whole vehicle.",
        "fire-apparatus purchase specifications (public) forbid them; others demand serrated contact",
    ),
    Survey(
        "contact-unsealed", "ground", "advice",
        Fact("contact-sealed", "node", "Was the bare metal round the contact sealed?", only=is_our_body_point),
        True,
        "The bare metal round {subject} is not sealed: it rusts from the edge, and the joint with it.",
        "Paint or wax over bolt, lug and bare metal once the resistance has been measured.",
    ),
)
