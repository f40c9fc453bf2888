"""What only an eye sees of ends and joints: solder, sleeves, latches, paste, torque."""

from __future__ import annotations

from rigfeed.checks.check import Fact
from rigfeed.checks.ends import (
    asks_whether_sealed,
    asks_whether_sleeve_grips,
    is_cut_by_length,
    is_of,
    is_our_body_point,
    is_stacked,
    lacks_torque,
    wants_a_look,
)
from rigfeed.checks.offers import BARE, BLADE, FERRULE
from rigfeed.checks.survey import Survey

APPARATUS = "fire-apparatus purchase specifications (public)"


SLEEVED = Fact(
    "sleeved", "end", "Is the joint under a sleeve with adhesive inside, or in a sealed housing?",
    only=asks_whether_sealed,
)
JOINT_UNSEALED = Survey(
    "joint-unsealed", "termination", "warning", SLEEVED, True,
    "{subject} lies where it gets wet, without an adhesive-lined sleeve: water creeps up the strands and the crimp "
    "rots out of sight.",
    "Shrink an adhesive-lined sleeve over barrel and insulation, or use a sealed connector.", APPARATUS,
)
STACKED = Survey(
    "too-many-on-stud", "termination", "warning",
    Fact("stacked-largest-first", "node", "Do the terminals on each stud lie with the largest at the bottom, no "
         "washer between them?", only=is_stacked),
    True,
    "The terminals on {subject} are not stacked with the largest at the bottom: the small ones bend, and the current "
    "of the large one passes through them.",
    "Take them off, clean them, and put the one with the largest current on first.",
)
RING_FITS = Survey(
    "ring-hole-mismatch", "termination", "warning",
    Fact("ring-fits", "end", "Does the ring go over its stud with little play?", only=wants_a_look), True,
    "The ring of {subject} does not fit its stud: a small one was reamed or forced, a large one rests on its rim only.",
    "Crimp a ring that is made for this stud.",
)
FERRULE_FITS = Survey(
    "ferrule-missing", "termination", "warning",
    Fact("ferrule-fits", "end", "Is the ferrule as long as the clamp is deep, and crimped?",
         only=lambda subject: is_of(subject, FERRULE)),
    True,
    "The ferrule of {subject} is not as long as its clamp is deep, or is not crimped: the screw holds its edge, or the "
    "plastic collar.",
    "Use a ferrule of the length of the clamp, crimp it with the tool for ferrules, and tighten the screw again.",
    "DIN 46228 for sizes",
)
SPARE_LENGTH = Survey(
    "no-spare-length", "termination", "advice",
    Fact("spare-length", "end", "Is there enough spare at the end to put on one new terminal?", only=is_cut_by_length),
    True,
    "There is no spare at {subject}: when the terminal has to be replaced, the whole wire has to be.",
    "Leave at least {limit} of spare at the end when the wire is next drawn.",
)
SLEEVE_GRIPS = Survey(
    "sleeve-mismatch", "termination", "warning",
    Fact("sleeve-grips", "end", "Did the sleeve pass over the terminal, and does it grip the insulation all round?",
         only=asks_whether_sleeve_grips),
    True,
    "The sleeve of {subject} does not grip: it seals nothing and slides away.",
    "Choose a sleeve that passes over the terminal before, and recovers to no more than {limit} after: {share} of "
    "the cable's diameter.",
)

ROWS = (
    Survey(
        "tinned-under-screw", "termination", "error",
        Fact("strands-tinned", "end", "Are the strands soldered together under the clamp?",
             only=lambda subject: is_of(subject, BARE)),
        False,
        "The strands of {subject} are soldered together under a clamp: solder creeps, the screw goes loose, and the "
        "joint runs hot.",
        "Cut the tinned piece off and crimp a ferrule on clean strands.",
    ),
    Survey(
        "crimp-tool-unrecorded", "termination", "warning",
        Fact("crimp-tools-recorded", "vehicle", "Are the ratchet tool and the die recorded for every sort of crimp?"),
        True,
        "It is not recorded with which tool and die the terminals were crimped: nobody can say whether they hold.",
        "Record tool and die for every sort of terminal, and pull a sample of each.",
    ),
    Survey(
        "crimp-tool-unrecorded", "termination", "error",
        Fact("crimped-with-pliers", "vehicle", "Was any terminal crimped with pliers, without a die?"), False,
        "Terminals were crimped with pliers: such a crimp passes a glance, then loses strands and runs hot.",
        "Cut these terminals off and crimp new ones with a ratchet tool and the die that belongs to them.",
    ),
    Survey(
        "forbidden-joint", "termination", "error",
        Fact("forbidden-joints", "vehicle", "Is there anywhere a tap that cuts into the insulation, a wire nut, or a "
             "joint that is twisted and taped?"),
        False,
        "There is a tap that cuts into the insulation, a wire nut, or a joint that is twisted and taped: each of them "
        "cuts strands or works loose, and it takes the circuit that it hangs on with it.",
        "Replace it by a crimped joint under an adhesive-lined sleeve, or by a fuse tap made for that fuse box.",
        "FCS 1362:2010 2.6.1.4; fire-apparatus purchase specifications (public)",
    ),
    Survey(
        "solder-unsupported", "termination", "warning",
        Fact("solder-supported", "vehicle", "Is every soldered joint also held mechanically, and relieved of strain?"),
        True,
        "A soldered joint holds by its solder alone: where the solder ends the strands are stiff, and break.",
        "Crimp it instead, or hold both sides of the joint so that nothing moves where the solder ends.",
        "FCS 1362:2010 p.21-22",
    ),
    Survey(
        "unlatched-blade", "termination", "warning",
        Fact("latched", "end", "Is the push-on terminal latched, or in a housing that holds it?",
             only=lambda subject: is_of(subject, BLADE)),
        True,
        "The push-on terminal of {subject} is held by its spring alone: it shakes off, or loosens and runs hot.",
        "Use a latched terminal in its housing, or a ring.",
    ),
    Survey(
        "galvanic-joint", "termination", "warning",
        Fact("barrier-paste", "node", "Is there barrier paste, or a tinned or bimetal washer, between the metals?"),
        True,
        "{subject} joins copper or tin to aluminium without barrier paste: in the wet the aluminium is eaten away and "
        "the joint goes open.",
        "Brush the aluminium bright under barrier paste, use a tinned lug, and seal the joint.",
        gate=Fact("aluminium", "node", "Is the body aluminium there?", only=is_our_body_point),
    ),
    Survey(
        "torque-missing", "termination", "advice",
        Fact("torques-recorded", "vehicle", "Is a torque given, and noted as done, for every stud and lug?",
             only=lacks_torque),
        True,
        "There is no torque for studs and lugs: too loose runs hot, too tight tears the stud.",
        "Write the torque beside every stud, from the data of the part, and mark each nut when it is done.",
    ),
    Survey(
        "loose-end-bare", "termination", "warning",
        Fact("unused-ends-insulated", "vehicle", "Is every unused conductor insulated at its end and tied back?"), True,
        "An unused conductor ends bare: it touches the body one day, or whatever else is near.",
        "Shrink a closed cap over each unused end and tie it back, or take the conductor out.",
        "FCS 1362:2010 4.5.1.2",
    ),
)
