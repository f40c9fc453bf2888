"""What has to be on paper when the vehicle leaves, asked of whoever looks."""

from __future__ import annotations

from rigfeed.checks.check import Fact
from rigfeed.checks.facts import Subject
from rigfeed.checks.offers import is_antenna
from rigfeed.checks.survey import Survey
from rigfeed.installation import PlacedNode
from rigfeed.parts.interfaces import ConverterDevice, LoadDevice

APPARATUS = "fire-apparatus purchase specifications (public)"
FLEET = Fact("fleet", "vehicle", "Is the vehicle one of several that are fitted alike?")


def _is_equipment(subject: Subject) -> bool:
    node = subject.thing
    return isinstance(node, PlacedNode) and (isinstance(node.part, LoadDevice | ConverterDevice) or is_antenna(node))


def _has_deviations(subject: Subject) -> bool:
    return bool(subject.installation.design.deviations)


ROWS = (
    Survey(
        "label-missing", "record", "warning",
        Fact("labelled", "end", "Does the end bear its label?"), True,
        "{subject} bears no label: whoever looks for a fault in five years cuts the wrong wire.",
        "Label the wire at both ends with its name on the drawing, under clear sleeve.", APPARATUS,
    ),
    Survey(
        "fuse-not-scheduled", "record", "warning",
        Fact("fuse-schedule-in-vehicle", "vehicle", "Does the vehicle carry a schedule of every fuse that was added?"),
        True,
        "The vehicle carries no schedule of the added fuses: at the roadside nobody finds a fuse or its rating.",
        "Print the fuse schedule, with place, rating and what each fuse feeds, and leave it in the vehicle.",
    ),
    Survey(
        "equipment-unrecorded", "record", "warning",
        Fact("recorded", "node", "Are type, serial number and settings recorded (of a set: power; of an antenna: type "
             "and standing-wave ratio)?", only=_is_equipment),
        True,
        "{subject} is not on record: after a theft, a fault or an inspection nobody can say what was fitted.",
        "Write down type, serial number and settings; of a set the measured power, of an antenna its type and "
        "standing-wave ratio.",
        "FCS 1362:2010 5.2",
    ),
    Survey(
        "test-incomplete", "record", "warning",
        Fact("test-complete", "vehicle", "Does every line of the test sheet have a measured value, within its "
             "tolerance or explained?"),
        True,
        "The test sheet is not complete: a line without a value, or one out of tolerance that nobody explained, is a "
        "fault that the next user finds.",
        "Measure what is missing, and write the reason beside every value that is outside its tolerance.",
        "FCS 1362:2010 5.2",
    ),
    Survey(
        "drawing-outdated", "record", "warning",
        Fact("drawing-current", "vehicle", "Is the drawing in the vehicle of the revision that is on file?"), True,
        "The drawing in the vehicle is not of the revision on file: someone will trust the wrong one.",
        "Print the drawing again, mark it with the revision on file, and take the old one out.",
    ),
    Survey(
        "photos-missing", "record", "advice",
        Fact("photos-taken", "vehicle", "Were photographs taken of every hidden run before the trim went back?"), True,
        "There are no photographs of the hidden runs: the next hole may be drilled through one of them.",
        "Photograph the hidden runs when the trim is next off, with a rule in the picture, and file the pictures.",
    ),
    Survey(
        "deviation-unsigned", "record", "warning",
        Fact("deviations-signed", "vehicle", "Has whoever answers for them signed all deviations from the practice?",
             only=_has_deviations),
        True,
        "Deviations from the practice are not signed: nobody answers for them.",
        "Have each deviation signed by its name, or do the work by the practice.", "FCS 1362:2010 5.2",
    ),
    Survey(
        "removal-note-missing", "record", "advice",
        Fact("removal-note", "vehicle", "Are a note on how to take everything out, and a list of spare fuses, with the "
             "vehicle?"),
        True,
        "There is no note on taking the installation out, or no list of spare fuses.",
        "Write down what was drilled, cut and moved and how to make it good, and list the spare fuses by rating.",
        "FCS 1362:2010 4.11",
    ),
    Survey(
        "before-state-missing", "record", "warning",
        Fact("before-recorded", "vehicle", "Was the vehicle's state recorded before the work (warning lamps, stored "
             "faults, damage, battery)?"),
        True,
        "Nobody recorded the vehicle before the work began: every older fault of it is now the fitter's.",
        "Note warning lamps, stored faults, damage and the battery's state before the first panel comes off; now, note "
        "at least that it was not done.",
        "FCS 1362:2010 3.4",
    ),
    Survey(
        "kit-revision-unknown", "record", "warning",
        Fact("kit-revision-recorded", "vehicle", "Is it recorded which revision of the kit this vehicle has?"), True,
        "Which revision of the kit this vehicle has is not recorded: a recall cannot be traced to it.",
        "Record the revision of the kit with the vehicle's number.", gate=FLEET,
    ),
)
