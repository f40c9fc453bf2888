"""The resolved design: every reference followed, every route walked, every length, zone and joint known.

Plain numbers with units in their names; nothing here reads files, parts are objects. `rigfeed.resolve` makes it.
"""

from __future__ import annotations

import math
from functools import cached_property
from typing import Any, Literal

from rigfeed.checks.check import NotChecked
from rigfeed.design.model import Design, Facts, Origin
from rigfeed.errors import UnknownName
from rigfeed.frozen import frozen
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.parts.interfaces import (
    Accessory,
    ConductorType,
    Core,
    Device,
    EndFitting,
    Joint,
    LoadDevice,
    ProtectiveDevice,
    SourceDevice,
)
from rigfeed.path import Path

PLACING = ("above", "at", "behind", "below", "beside", "in", "inside", "on", "outside", "over", "under")

Air = Literal["warmest", "coldest"]


@frozen
class Assumption:
    """A default that was used because the design gives nothing."""

    subject: Path
    what: str
    value: Measure | None
    authority: str


@frozen
class LaidZone:
    """A zone with the temperatures of its air."""

    id: str
    title: str
    warmest_c: float
    coldest_c: float
    wet: bool | None

    @property
    def within(self) -> str:
        """Its title as a place in a sentence: "in engine bay", but "under the bonnet" as it is."""
        first = self.title.partition(" ")[0].casefold()
        return self.title if first in PLACING else f"in {self.title}"

    def air_c(self, air: Air) -> float:
        """The temperature of the warmest or the coldest air."""
        return self.warmest_c if air == "warmest" else self.coldest_c


@frozen
class PlacedNode:
    """A node with its part and its loaded settings; `part` is None while none is chosen, or its plugin is absent."""

    id: str
    title: str
    part: Device | None
    settings: Any
    at: str | None
    zone: LaidZone
    facts: Facts


@frozen
class Stretch:
    """A piece of a conductor in one zone; `run` is None where the conductor has no route."""

    run: str | None
    length_m: float
    zone: LaidZone


@frozen
class LaidEnd:
    """Where a core ends: the terminal as written, the net it stands for, the fitting, the resistance of the joint.

    `sleeve` is what is shrunk over it; None while none is chosen.
    """

    terminal: str
    net: str
    node: str
    fitting: EndFitting | None
    contact_ohm: float
    sleeve: Accessory | None = None


@frozen
class LaidCore:
    """One core of a conductor. Its id is that of the conductor, with its own name behind it if there are more."""

    id: str
    core: Core
    start: LaidEnd
    end: LaidEnd


@frozen
class LaidConductor:
    """A conductor on its way.

    `length_m` is the way it lies, and what its resistance is computed from; the spare for later ends, `slack_m`, is cut
    on top of it (and that it is left out of the resistance is listed as an assumption).
    """

    id: str
    cable: ConductorType
    cores: tuple[LaidCore, ...]
    stretches: tuple[Stretch, ...]
    slack_m: float
    origin: Origin
    colour: tuple[str, ...]
    label: str
    facts: Facts
    from_facts: Facts
    to_facts: Facts

    @cached_property
    def length_m(self) -> float:
        """The length along its way."""
        return math.fsum(stretch.length_m for stretch in self.stretches)

    @property
    def cut_length_m(self) -> float:
        """What to cut."""
        return self.length_m + self.slack_m

    @cached_property
    def ends(self) -> tuple[LaidEnd, ...]:
        """All its ends, core by core."""
        return tuple(end for core in self.cores for end in (core.start, core.end))

    def air_c(self, air: Air) -> float:
        """The mean of the air along it: exact for a resistance that is linear in temperature."""
        total = self.length_m
        return math.fsum(s.length_m * s.zone.air_c(air) for s in self.stretches) / total if total else 20.0


@frozen
class LaidPassage:
    """A hole with what is in it. `bore_mm` is that of its grommet or gland, None while none is chosen."""

    id: str
    title: str
    run: str
    diameter_mm: float | None
    existing_mm: tuple[float, ...]
    edge: str | None
    conductors: tuple[str, ...]
    cable_mm: tuple[float, ...]
    facts: Facts
    bore_mm: float | None = None

    @property
    def clear_mm(self) -> float | None:
        """What is free for something stiff: the bore, else the hole; None while neither is measured."""
        return self.diameter_mm if self.bore_mm is None else self.bore_mm

    @property
    def fill(self) -> float | None:
        """Share of the hole's area that cables take, those that were there included; None while it is unmeasured."""
        if self.diameter_mm is None:
            return None
        taken = math.fsum(mm * mm for mm in (*self.existing_mm, *self.cable_mm))
        return taken / self.diameter_mm**2


@frozen
class LaidState:
    """A state with a mode for every node that has modes."""

    id: str
    title: str
    engine_on: bool
    air: Air
    modes: Keyed[str]
    charge: Keyed[float]


@frozen
class Installation:
    """Everything that is known of one design before anything is computed. `looms` are the conduits, by run."""

    design: Design
    title: str
    system_v: float
    nodes: Keyed[PlacedNode]
    conductors: Keyed[LaidConductor]
    passages: Keyed[LaidPassage]
    zones: Keyed[LaidZone]
    states: Keyed[LaidState]
    assumptions: tuple[Assumption, ...] = ()
    not_checked: tuple[NotChecked, ...] = ()
    looms: Keyed[Accessory] = Keyed()

    def __repr__(self) -> str:
        return f"<Installation {self.title!r}: {len(self.nodes)} nodes, {len(self.conductors)} conductors>"

    @cached_property
    def cores(self) -> tuple[LaidCore, ...]:
        """All cores of all conductors."""
        return tuple(core for conductor in self.conductors.values() for core in conductor.cores)

    @cached_property
    def sources(self) -> tuple[tuple[PlacedNode, SourceDevice], ...]:
        """The sources, batteries first, by id."""
        found = [(node, node.part) for node in self.nodes.values() if isinstance(node.part, SourceDevice)]
        return tuple(sorted(found, key=lambda pair: (not pair[1].stores, pair[0].id)))

    @cached_property
    def loads(self) -> tuple[tuple[PlacedNode, LoadDevice], ...]:
        """The equipment, by id."""
        found = [(node, node.part) for node in self.nodes.values() if isinstance(node.part, LoadDevice)]
        return tuple(sorted(found, key=lambda pair: pair[0].id))

    @cached_property
    def protections(self) -> tuple[tuple[PlacedNode, ProtectiveDevice], ...]:
        """The fuses and breakers, by id."""
        found = [(node, node.part) for node in self.nodes.values() if isinstance(node.part, ProtectiveDevice)]
        return tuple(sorted(found, key=lambda pair: pair[0].id))

    def net(self, terminal: str) -> str:
        """The net that a terminal stands for: a joint is one net, whatever the name of its terminal.

        Raises
        ------
        UnknownName
            If there is no such node, or its part has no such terminal.
        """
        node = node_of(terminal)
        if node not in self.nodes:
            raise UnknownName("node", node, self.nodes)
        part = self.nodes[node].part
        if part is not None:
            part.terminal(terminal.partition(".")[2])
        return net_of(terminal, part)


def node_of(net: str) -> str:
    """The id of the node that a terminal or a net belongs to."""
    return net.partition(".")[0]


def net_of(terminal: str, part: Device | None) -> str:
    """The net of a terminal on a part."""
    return node_of(terminal) if isinstance(part, Joint) else terminal
