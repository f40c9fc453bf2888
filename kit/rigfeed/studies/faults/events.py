"""What happens after a short begins: devices run up, the first one opens, and everything is solved again.

A device that sees the current `I` for `dt` has used up ``dt / t(I)`` of its life, with `t` the longest time that its
standard allows; it opens at 1. All shorts of a case go through this side by side, each with its own clock.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rigfeed.frozen import frozen
from rigfeed.installation import Air, PlacedNode
from rigfeed.network.ranges import Flags, Floats, Places
from rigfeed.parts.interfaces import ProtectiveDevice
from rigfeed.studies.faults.lowrank import Answer, Ports

DEAD_A = 0.01  # below it a fault counts as no longer fed: what an open contact leaks is far below
SAME_TIME = 1e-9  # relative: devices that are through at once
ROWS = 512  # shorts that are worked on at one time, for the sake of memory

Device = tuple[PlacedNode, ProtectiveDevice]


@frozen(eq=False)
class Course:
    """The steps of all shorts: between two of them a device opens. The first axis is that of the steps.

    Attributes
    ----------
    length_s : array, shape (steps, shorts)
        How long a step lasts; infinite for one that nothing ends, 0 where the fault is fed no more [s].
    core_a, device_a, source_a : array, shape (steps, shorts, count)
        Currents; of a core on which the short lies that of its stronger half [A].
    short_a, start_a, end_a : array, shape (steps, shorts)
        Through the short, and what its own core brings it from either end [A].
    opens : array of bool, shape (steps, shorts, devices)
        The devices that open at the end of a step.
    out : array of bool, shape (shorts, units)
        The batteries that their management unit has taken off, from the beginning.
    """

    length_s: Floats
    core_a: Floats
    device_a: Floats
    source_a: Floats
    short_a: Floats
    start_a: Floats
    end_a: Floats
    opens: Flags
    out: Flags


def run(ports: Ports, devices: Sequence[Device], rows: Places, ohm: Floats, out: Flags) -> Course:
    """Follow shorts until nothing feeds them or nothing moves any more.

    Parameters
    ----------
    rows : array of int
        Which shorts of the ports.
    ohm : array, shape (len(rows),)
        The resistance of each [ohm].
    out : array of bool, shape (len(rows), units)
        The batteries that are off from the beginning.
    """
    parts = [slice(start, start + ROWS) for start in range(0, max(1, len(rows)), ROWS)]
    courses = [_followed(ports, devices, rows[part], ohm[part], out[part]) for part in parts]
    if len(courses) == 1:
        return courses[0]
    steps = max(len(course.length_s) for course in courses)
    joined: dict[str, Any] = {"out": out}
    for name in (field.name for field in fields(Course) if field.name != "out"):
        joined[name] = np.concatenate([_padded(getattr(course, name), steps) for course in courses], axis=1)
    return Course(**joined)


def first_answer(ports: Ports, rows: Places, ohm: Floats) -> Answer:
    """The very first moment of shorts, everything still closed."""
    opened = np.zeros((len(rows), len(ports.port)), dtype=np.bool_)
    return ports.solved(rows, ohm, opened, _resting(ports, len(rows)))


def _resting(ports: Ports, count: int) -> Places:
    return np.zeros((count, len(ports.branches.bends)), dtype=np.intp)


def _padded(array: NDArray[Any], steps: int) -> NDArray[Any]:
    """More steps in which nothing flows and no time passes."""
    more = np.zeros((steps - len(array), *array.shape[1:]), dtype=array.dtype)
    return np.concatenate([array, more])


@dataclass(eq=False)
class _Clock:
    """The shorts that are still under way."""

    rows: Places
    opened: Flags  # of the devices
    used: Floats  # share of its life that each device has used up
    stands: Places


def _followed(ports: Ports, devices: Sequence[Device], rows: Places, ohm: Floats, out: Flags) -> Course:
    count, size = len(devices), len(rows)
    clock = _Clock(
        np.arange(size), np.zeros((size, count), dtype=np.bool_), np.zeros((size, count)), _resting(ports, size)
    )
    steps = []
    while len(clock.rows):
        here = clock.rows
        answer = ports.solved(rows[here], ohm[here], _open_ports(ports, clock.opened, out[here]), clock.stands)
        steps.append(_step(ports, devices, clock, answer, rows, size))
    if not steps:
        steps.append(_blank(ports, count, size))
    arrays: dict[str, Any] = {name: np.stack([step[name] for step in steps]) for name in steps[0]}
    return Course(**arrays, out=out)


def _open_ports(ports: Ports, opened: Flags, out: Flags) -> Flags:
    branches = ports.branches
    flags = np.zeros((len(opened), len(ports.port)), dtype=np.bool_)
    flags[:, np.searchsorted(ports.port, branches.guards)] = opened[:, branches.device]
    flags[:, np.searchsorted(ports.port, branches.units)] |= out
    return flags


def _blank(ports: Ports, devices: int, size: int) -> dict[str, Floats | Flags]:
    branches = ports.branches
    shapes = {"core_a": len(branches.cores), "device_a": devices, "source_a": len(branches.sources)}
    return {
        "length_s": np.zeros(size), "short_a": np.zeros(size), "start_a": np.zeros(size), "end_a": np.zeros(size),
        "opens": np.zeros((size, devices), dtype=np.bool_),
        **{name: np.zeros((size, width)) for name, width in shapes.items()},
    }


def _step(
    ports: Ports, devices: Sequence[Device], clock: _Clock, answer: Answer, rows: Places, size: int
) -> dict[str, Floats | Flags]:
    """Write down one step of every short under way, and move the clock on to the next one."""
    here = clock.rows
    device_a = device_currents(ports, answer, len(devices))
    fed = np.abs(answer.short_a) >= DEAD_A
    rate = _rates(devices, np.where(clock.opened, 0.0, device_a), ports.branches.air)
    with np.errstate(divide="ignore", invalid="ignore"):
        left_s = np.where(rate > 0.0, (1.0 - clock.used) / rate, np.inf)
    length_s = np.where(fed, left_s.min(axis=1, initial=np.inf), 0.0)
    opens = (left_s <= length_s[:, None] * (1.0 + SAME_TIME)) & fed[:, None] & np.isfinite(length_s)[:, None]
    start_a, end_a = ports.halves(rows[here], answer.core_a, answer.short_a)
    core_a = _stronger(ports, rows[here], answer.core_a, start_a, end_a)
    written = _blank(ports, len(devices), size)
    numbers = {
        "length_s": length_s, "short_a": answer.short_a, "start_a": start_a, "end_a": end_a, "opens": opens,
        "core_a": core_a, "device_a": device_a, "source_a": answer.source_a,
    }
    for name, array in numbers.items():
        written[name][here] = array
    goes_on = opens.any(axis=1)
    finite_s = np.where(np.isfinite(length_s), length_s, 0.0)
    used = np.where(opens, 1.0, clock.used + rate * finite_s[:, None])
    clock.rows, clock.used = here[goes_on], used[goes_on]
    clock.opened, clock.stands = (clock.opened | opens)[goes_on], answer.stands[goes_on]
    return written


def device_currents(ports: Ports, answer: Answer, count: int) -> Floats:
    """The greatest current of any of the ways through each device [A]."""
    amps = np.zeros((len(answer.short_a), count))
    places = np.searchsorted(ports.port, ports.branches.guards)
    for place, device in zip(places, ports.branches.device, strict=True):
        amps[:, device] = np.maximum(amps[:, device], np.abs(answer.port_a[:, place]))
    return amps


def _rates(devices: Sequence[Device], device_a: Floats, air: Air) -> Floats:
    """How much of its life each device uses up in a second [1/s]; equal devices in equal air are asked together."""
    rates = np.zeros_like(device_a)
    alike: dict[tuple[int, float], list[int]] = {}
    for number, (node, part) in enumerate(devices):
        alike.setdefault((id(part), node.zone.air_c(air)), []).append(number)
    for (_, air_c), numbers in alike.items():
        part = devices[numbers[0]][1]
        amps = device_a[:, numbers]
        above = amps > part.rated_a
        if above.any():
            _, longest_s = part.openings_s(amps[above], air_c)
            found = np.zeros_like(amps)
            found[above] = 1.0 / longest_s
            rates[:, numbers] = found
    return rates


def _stronger(ports: Ports, rows: Places, core_a: Floats, start_a: Floats, end_a: Floats) -> Floats:
    """The currents of the cores, of one on which the short lies that of its stronger half [A]."""
    own = ports.core_of[rows]
    on = np.flatnonzero(own >= 0)
    stronger = core_a.copy()
    stronger[on, own[on]] = np.where(np.abs(start_a) >= np.abs(end_a), start_a, -end_a)[on]
    return stronger
