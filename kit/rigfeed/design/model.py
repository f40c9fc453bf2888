"""What a person wrote, and nothing that can be computed from it. Frozen; changed by `rigfeed.design.edit` only.

An attribute that is None or empty was not given. `Quantity` values keep the text as written. The keys of the file are
the names of the attributes, except ``from`` and ``to``, which are `start` and `end` here.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from rigfeed.frozen import frozen
from rigfeed.keyed import Keyed
from rigfeed.quantity import Quantity

Facts = Keyed[bool]
NONE: Keyed[Any] = Keyed()  # a table that was not given
Origin = Literal["cut", "supplied", "vehicle"]

FORMAT = 1


@frozen
class Job:
    """What the design is for, and the practice it is held against.

    `customer`, `vehicle` (its name or registration), `by`, `revision` and `date` stand in the title block of papers.
    """

    title: str = ""
    practice: str | None = None
    customer: str | None = None
    vehicle: str | None = None
    by: str | None = None
    revision: str | None = None
    date: str | None = None
    note: str | None = None


@frozen
class Vehicle:
    """Facts of the vehicle; what is not known is left out and counted."""

    system_voltage: str | None = None
    battery_sensor: bool | None = None
    isolated_return: bool | None = None
    note: str | None = None
    facts: Facts = NONE


@frozen
class Zone:
    """A part of the vehicle with one worst air temperature."""

    title: str | None = None
    warmest: Quantity | None = None
    coldest: Quantity | None = None
    wet: bool | None = None


@frozen
class Point:
    """A place where cables start, bend or end."""

    title: str | None = None
    zone: str | None = None


@frozen
class Run:
    """A measured way between two points. No cable is led over one that is `closed`, unless a route names it.

    `loom` is the conduit around everything of ours that lies on it; it ends on both sides of a hole.
    """

    start: str
    end: str
    length: Quantity | None = None
    zone: str | None = None
    closed: bool | None = None
    loom: str | None = None
    beside: Keyed[Quantity] = NONE
    facts: Facts = NONE


@frozen
class Passage:
    """A hole on a run, and what is in it already. `bore` is that of the grommet or gland as it is fitted."""

    run: str
    diameter: Quantity | None = None
    bore: Quantity | None = None
    existing: tuple[Quantity, ...] = ()
    edge: str | None = None
    title: str | None = None
    facts: Facts = NONE


@frozen
class Node:
    """A device. `settings` are the keys of its part kind, kept as written until the part is known."""

    part: str | None = None
    at: str | None = None
    title: str | None = None
    settings: Keyed[Any] = NONE
    facts: Facts = NONE


@frozen
class Conductor:
    """One cable with one or more cores. `start` and `end` name one terminal per core.

    `ends` are the end fittings: at `start` and at `end`, one part key for all cores or one per core. `sleeves` are
    what is shrunk over them, in the same way, "" at an end that gets none. `origin` says whether it is cut for this
    installation, supplied with an equipment, or part of the vehicle as it came.
    """

    start: tuple[str, ...] = ()
    end: tuple[str, ...] = ()
    cable: str | None = None
    ends: tuple[str | tuple[str, ...], ...] = ()
    sleeves: tuple[str | tuple[str, ...], ...] = ()
    route: tuple[str, ...] = ()
    length: Quantity | None = None
    slack: Quantity | None = None
    colour: tuple[str, ...] = ()
    origin: Origin | None = None
    label: str | None = None
    note: str | None = None
    facts: Facts = NONE
    from_facts: Facts = NONE
    to_facts: Facts = NONE


@frozen
class State:
    """What is keyed, idle or off, the engine, the air, and the charge of batteries."""

    title: str | None = None
    engine: Literal["on", "off"] | None = None  # not given: off
    air: Literal["warmest", "coldest"] | None = None
    modes: Keyed[str] = NONE
    start: Keyed[Quantity] = NONE


@frozen
class Step:
    """A state and how long it lasts."""

    state: str
    time: Quantity


@frozen
class Duty:
    """A timeline of states."""

    title: str | None = None
    steps: tuple[Step, ...] = ()


@frozen
class Deviation:
    """A finding that a person accepted, with the reason and a name."""

    check: str
    subject: str
    reason: str
    by: str
    on: str | None = None


@frozen
class Design:
    """One vehicle and one installation, as written."""

    format: int = FORMAT
    job: Job = Job()
    vehicle: Vehicle = Vehicle()
    zones: Keyed[Zone] = NONE
    points: Keyed[Point] = NONE
    runs: Keyed[Run] = NONE
    passages: Keyed[Passage] = NONE
    nodes: Keyed[Node] = NONE
    conductors: Keyed[Conductor] = NONE
    states: Keyed[State] = NONE
    duty: Keyed[Duty] = NONE
    deviations: tuple[Deviation, ...] = ()
    drawing: Mapping[str, Any] = NONE

    def __repr__(self) -> str:
        sizes = ", ".join(f"{len(getattr(self, name))} {name}" for name in ("nodes", "conductors", "runs", "states"))
        return f"<Design {self.job.title!r}: {sizes}>"
