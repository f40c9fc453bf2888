"""What only an eye sees of batteries, of how equipment is held, and of noise."""

from __future__ import annotations

from rigfeed.checks.check import Fact
from rigfeed.checks.facts import Subject
from rigfeed.checks.survey import Survey, survey_checks
from rigfeed.installation import PlacedNode
from rigfeed.parts.interfaces import ConverterDevice, LoadDevice, SourceDevice


def _is_our_battery(subject: Subject) -> bool:
    """Whether a node is a battery that the vehicle did not come with: none of the vehicle's own wires ends on it."""
    node = subject.thing
    is_battery = isinstance(node, PlacedNode) and isinstance(node.part, SourceDevice) and node.part.stores
    return is_battery and not any(conductor.origin == "vehicle" for conductor in subject.conductors)


def _gives_off_gas(subject: Subject) -> bool:
    node = subject.thing
    return isinstance(node, PlacedNode) and getattr(node.part, "needs_vented_box", False) is True


def _is_equipment(subject: Subject) -> bool:
    node = subject.thing
    return isinstance(node, PlacedNode) and isinstance(node.part, LoadDevice | ConverterDevice)


ROWS = (
    Survey(
        "battery-unvented-or-loose", "charging", "error",
        Fact("vented", "node", "Does it stand outside the space for people, or in a closed box with a vent hose?",
             only=_gives_off_gas),
        True,
        "{subject} gives off hydrogen and acid mist into the space where people sit.",
        "Put it into a closed box with a vent hose to the outside, or use a battery that gives off no gas.",
    ),
    Survey(
        "battery-unvented-or-loose", "charging", "error",
        Fact("strapped", "node", "Is it strapped or clamped so that it stays where it is in a crash?",
             only=_is_our_battery),
        True,
        "{subject} is not strapped down: in a crash it flies, and its posts find metal.",
        "Strap it into a tray that is bolted to the body, with its posts covered.",
    ),
    Survey(
        "equipment-loose", "charging", "warning",
        Fact("fixed", "node", "Is it fixed so that it stays where it is in a crash?", only=_is_equipment), True,
        "{subject} is not fixed: in a crash it is a projectile.",
        "Bolt its bracket to the body, or lock it into a holder that is bolted to it.",
    ),
    Survey(
        "filter-on-data-bus", "noise", "error",
        Fact("filter-on-bus", "vehicle", "Was a ferrite or a capacitor put on a data-bus loom of the vehicle?"), False,
        "A ferrite or a capacitor sits on a data bus of the vehicle: it rounds the edges of the data, and brakes or "
        "steering may drop out.",
        "Take it off, and treat the noise at its source or on the leads of the set.",
    ),
    Survey(
        "noise-baseline-missing", "noise", "advice",
        Fact("noise-recorded", "vehicle", "Is the noise of the receiver recorded with engine off, ignition on and "
             "engine running?"),
        True,
        "The noise of the receiver was not recorded: nobody can say later whether the vehicle has become noisier.",
        "Record the reading of the meter with the engine off, with the ignition on and with the engine running.",
    ),
)

CHECKS = survey_checks(ROWS)
