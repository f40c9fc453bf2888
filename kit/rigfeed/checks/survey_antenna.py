"""What only an eye sees of antennas, their feeders, and who may touch them."""

from __future__ import annotations

from rigfeed.checks.check import Fact
from rigfeed.checks.facts import End, Subject
from rigfeed.checks.offers import is_antenna, is_feeder, is_hf_antenna, lowest_hz, mount_of
from rigfeed.checks.survey import Survey
from rigfeed.checks.survey_record import FLEET
from rigfeed.installation import PlacedNode


def is_radiator(subject: Subject) -> bool:
    """Whether a node is an antenna."""
    return isinstance(subject.thing, PlacedNode) and is_antenna(subject.thing)


def _is_hf(subject: Subject) -> bool:
    return isinstance(subject.thing, PlacedNode) and is_hf_antenna(subject.thing)


def has_band(subject: Subject) -> bool:
    """Whether a node is an antenna whose bands are known."""
    return is_radiator(subject) and isinstance(subject.thing, PlacedNode) and lowest_hz(subject.thing) is not None


def _is_on_magnet(subject: Subject) -> bool:
    return isinstance(subject.thing, PlacedNode) and getattr(mount_of(subject.thing), "form", None) == "magnet"


def _is_on_panel(subject: Subject) -> bool:
    return is_radiator(subject) and not _is_on_magnet(subject)


def _works_against_metal(subject: Subject) -> bool:
    """Whether a node is an antenna that works against the metal below it, with a band that is known."""
    node = subject.thing
    return has_band(subject) and isinstance(node, PlacedNode) and getattr(node.part, "needs_panel", None) is not False


def _wants_choke(subject: Subject) -> bool:
    """Whether a node is an antenna for short wave, or one whose mount may not meet the body."""
    return _is_hf(subject) or _is_on_magnet(subject)


def is_outside(subject: Subject) -> bool:
    """Whether an end of a coaxial cable is at an antenna or in a wet zone, and has no sealed connector."""
    end = subject.thing
    if not isinstance(end, End) or not is_feeder(end.conductor):
        return False
    sealed = all(getattr(laid.fitting, "sealed", None) is True for laid in end.ends)
    return not sealed and (is_antenna(end.node) or end.node.zone.wet is True)


NEAR_SUNROOF = Survey(
    "near-sunroof", "antenna", "warning",
    Fact("clear-of-sunroof", "node", "Is the antenna a quarter of its wave away from any sunroof (see the practice)?",
         only=has_band),
    True,
    "{subject} stands nearer than {limit} to the opening of a sunroof: the metal that it works against ends there, and "
    "who sits below is in its field.",
    "Move it at least {limit} from the opening, or use an antenna that needs no metal below it.",
    "FCS 1362:2010 4.2.3.1",
)

METAL_BELOW = Survey(
    "ground-plane-small", "antenna", "warning",
    Fact("metal-below", "node", "Is there bonded sheet metal for a quarter of its wave to every side (see the "
         "practice)?", only=_works_against_metal),
    True,
    "The metal under {subject} ends nearer than {limit} from it, or there is glass or plastic: it has too little to "
    "work against, radiates askew, and the feeder becomes a part of it.",
    "Mount it with {limit} of metal to every side, or take one that needs no metal below it, such as a half wave.",
    "FCS 1362:2010 4.2.4.1",
)

ROWS = (
    Survey(
        "magnet-on-nonferrous", "antenna", "error",
        Fact("magnet-on-steel", "node", "Does a magnet hold on the panel: steel, no aluminium, glass or plastic?",
             only=_is_on_magnet),
        True,
        "The magnet of {subject} sits on something that it does not hold on: it flies off at the first gust.",
        "Use a mount that is screwed or clamped, or a panel of steel.",
    ),
    Survey(
        "choke-missing", "feeder", "warning",
        Fact("feedpoint-choke", "node", "Is there a choke on the feeder at the antenna?", only=_wants_choke), True,
        "There is no choke on the feeder of {subject}: its shield radiates into the vehicle, and brings the vehicle's "
        "noise into the set.",
        "Put a choke on the feeder close to the antenna.",
    ),
    Survey(
        "whip-strikes", "antenna", "warning",
        Fact("clear-of-lids", "node", "Do lids, bonnet, tailgate and doors open without touching the whip?",
             only=is_radiator),
        True,
        "A lid or the bonnet strikes {subject} when it opens: the whip breaks, or the glass does.",
        "Move the mount, fold the whip, or limit the lid, and open everything once before the holes are drilled.",
        "FCS 1362:2010",
    ),
    Survey(
        "sharp-tip", "antenna", "warning",
        Fact("tip-capped", "node", "Is the tip blunt or capped, and not at the height of eyes?", only=is_radiator),
        True,
        "The tip of {subject} is sharp, or at the height of eyes.",
        "Cap the tip with a ball or a loop, and mount it where nobody walks into it.", "FCS 1362:2010 2.8.2",
    ),
    Survey(
        "blocks-view", "antenna", "error",
        Fact("clear-view", "node", "Is the antenna out of the driver's view and of what the wipers sweep?",
             only=is_radiator),
        True,
        "{subject} stands in the driver's view or in what the wipers sweep.",
        "Mount it elsewhere: the view of the driver stays as it left the works.", "FCS 1362:2010 2.3",
    ),
    Survey(
        "magnet-not-flat", "antenna", "warning",
        Fact("magnet-flat", "node", "Does the magnet sit flat on bare painted steel, no film or plate under it?",
             only=_is_on_magnet),
        True,
        "The magnet of {subject} does not sit flat on the steel, or something lies under it: it holds by its edge and "
        "flies off in a gust, and the antenna loses its ground.",
        "Set it flat on clean steel without any layer under it, and tie the antenna to the vehicle as well.",
        "FCS 1362:2010 2.8.2.4",
    ),
    Survey(
        "panel-too-weak", "antenna", "warning",
        Fact("panel-stiff", "node", "Does the panel stay still when the whip is bent back and let go?",
             only=_is_on_panel),
        True,
        "The panel under {subject} is too weak for the whip: it flexes with every gust, then it cracks round the hole.",
        "Put a plate under the panel, brace the whip higher up, or choose a shorter and lighter one.",
    ),
    Survey(
        "connector-unsealed", "feeder", "warning",
        Fact("weatherproof", "end", "Is the connector sealed against water (sealed type, or taped and covered)?",
             only=is_outside),
        True,
        "The connector of {subject} is not sealed: water creeps into the braid, and the loss rises from year to year.",
        "Use a sealed connector, or self-amalgamating tape under a cover, with a drip loop before it.",
    ),
    Survey(
        "swr-unrecorded", "feeder", "warning",
        Fact("vswr-recorded", "node", "Is the standing-wave ratio measured and recorded on the channels in use?",
             only=is_radiator),
        True,
        "The standing-wave ratio of {subject} is not recorded: nobody can tell later whether something has changed.",
        "Measure it at the set on the lowest, the middle and the highest channel, and record it.",
        "FCS 1362:2010 Table 5",
    ),
    Survey(
        "whip-touchable", "exposure", "warning",
        Fact("touchable", "node", "Can anyone touch the whip while it transmits?", only=_is_hf), False,
        "{subject} can be touched while it transmits: at short wave its top burns the skin, even through gloves.",
        "Mount it out of reach, guard it, or transmit only when nobody is near, and say so on a sign.",
    ),
    Survey(
        "placard-missing", "exposure", "warning",
        Fact("placard-fitted", "vehicle", "Is there a placard not to transmit near blasting and medical equipment?"),
        True,
        "There is no placard against transmitting near blasting work and medical equipment: drivers of a fleet change, "
        "and the next one does not know.",
        "Fix the placard where the set is keyed.", gate=FLEET,
    ),
)
