"""What only an eye sees of batteries, of how equipment is held, and of noise."""

from __future__ import annotations

from rigfeed.checks.check import Fact
from rigfeed.checks.facts import Subject
from rigfeed.checks.returns import is_body_point, tie_to_body
from rigfeed.checks.survey import Survey, survey_checks
from rigfeed.installation import PlacedNode
from rigfeed.parts.interfaces import ConverterDevice, Joint, LoadDevice, SourceDevice


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


def _has_live_metal(subject: Subject) -> bool:
    """Whether bare metal of a pole that is not on the body may stand open: posts, studs, busbars; not what the vehicle
    came with, and no bolt on the body."""
    node = subject.thing
    if not isinstance(node, PlacedNode) or not subject.ours or is_body_point(node):
        return False
    if isinstance(node.part, Joint):
        return tie_to_body(f"{node.id}.x", subject.installation) is None
    battery = isinstance(node.part, SourceDevice) and node.part.stores
    studs = getattr(node.part, "stud_mm", None), getattr(node.settings, "stud", None)
    return battery or any(stud is not None for stud in studs)


ROWS = (
    Survey(
        "live-metal-exposed", "fault", "error",
        Fact("live-metal-covered", "node", "Are its live posts, studs and lugs covered, so that no tool and no cargo "
             "can touch them?", only=_has_live_metal),
        True,
        "Bare live metal of {subject} can be touched by a tool or by cargo: a spanner across it carries hundreds of "
        "amps, burns and welds itself on.",
        "Put boots or a cover over posts, studs and lugs, or move it to where nothing can fall on it.",
        authority="fire-apparatus purchase specifications (public)",
    ),
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
