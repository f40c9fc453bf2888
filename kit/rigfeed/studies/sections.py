"""What each protective device protects, what a core serves, and which way an equipment is fed: the wiring, walked.

A section is all wire that hangs together without a protective device in between: it ends at such devices, at sources,
at a maker's point and on the body.
"""

from __future__ import annotations

import heapq
import itertools
from collections.abc import Callable, Iterable, Iterator
from dataclasses import field

from rigfeed.frozen import frozen
from rigfeed.installation import Installation, LaidConductor, LaidCore, PlacedNode, node_of
from rigfeed.network.elements import BODY, Resistor
from rigfeed.parts.interfaces import (
    Condition,
    ConverterDevice,
    FeederType,
    Joint,
    LoadDevice,
    MakerPoint,
    ProtectiveDevice,
    SourceDevice,
)
from rigfeed.view import Study, View
from rigfeed.wiring import Leg, legs_of, passes_of

Wire = tuple[LaidConductor, LaidCore]
Crosses = Callable[[str, Leg], bool]


@frozen
class Feed:
    """The shortest way from a pole of an equipment to a source or the body, beginning at the equipment."""

    legs: tuple[Leg, ...]

    @property
    def wires(self) -> tuple[Wire, ...]:
        """The cores on it."""
        return tuple((leg.conductor, leg.core) for leg in self.legs if leg.conductor and leg.core)

    @property
    def end(self) -> str:
        """The net where it arrives."""
        return self.legs[-1].net

    @property
    def length_m(self) -> float:
        """Of the cable along it."""
        return sum(conductor.length_m for conductor, _ in self.wires)


@frozen(eq=False)
class Sections:
    """The wiring of one installation as a graph; the body is no way in it."""

    installation: Installation
    legs: dict[str, list[Leg]]
    on_body: frozenset[str]
    _sections: dict[str, tuple[Wire, ...]] = field(default_factory=dict)
    _protected: dict[str, tuple[Wire, ...]] = field(default_factory=dict)
    _control: dict[str, bool] = field(default_factory=dict)

    @classmethod
    def of(cls, installation: Installation) -> Sections:
        """The graph of an installation."""
        grounded = (net for node in installation.nodes.values() for net in _on_body(node))
        return cls(installation, legs_of(installation), frozenset(grounded))

    # walking

    def node_at(self, net: str) -> PlacedNode:
        """The node that a net belongs to."""
        return self.installation.nodes[node_of(net)]

    def wires_at(self, net: str) -> tuple[Wire, ...]:
        """The cores that end on a net."""
        return tuple((leg.conductor, leg.core) for leg in self.legs.get(net, ()) if leg.conductor and leg.core)

    def reached(self, net: str, crosses: Crosses) -> dict[str, int]:
        """The nets reached from one, with the number of legs, over those legs that `crosses` lets pass."""
        seen, queue = {net: 0}, [net]
        for here in queue:
            for leg in self.legs.get(here, ()):
                if leg.net not in seen and crosses(here, leg):
                    seen[leg.net] = seen[here] + 1
                    queue.append(leg.net)
        return seen

    def is_source(self, net: str) -> bool:
        """Whether it is a pole that feeds: the input of a converter is none."""
        part = self.node_at(net).part
        return isinstance(part, SourceDevice) and net.partition(".")[2] in part.poles

    def sources_of(self, net: str, *, without: str = "") -> tuple[str, ...]:
        """The poles of sources that a net is wired to, nearest first; `without` is a device that is taken out."""

        def crosses(here: str, leg: Leg) -> bool:
            return not self.is_source(here) and not (leg.through and leg.node == without)

        reached = self.reached(net, crosses)
        return tuple(sorted((n for n in reached if self.is_source(n)), key=lambda n: (reached[n], n)))

    def feed(self, net: str, *, to_body: bool, unguarded: bool = False) -> Feed | None:
        """The shortest way by cable from a pole to a source, or (`to_body`) to where it ends on the body; of those
        through no protective device where it is to be `unguarded`."""
        turn = itertools.count()  # of two ways of one length the one that was found first
        queue: list[tuple[float, int, int, str, tuple[Leg, ...]]] = [(0.0, 0, next(turn), net, ())]
        done: set[str] = set()
        while queue:
            length_m, steps, _, here, so_far = heapq.heappop(queue)
            if so_far and (self.is_source(here) or (to_body and here in self.on_body)):
                return Feed(so_far)
            if here in done or here in self.on_body:
                continue
            done.add(here)
            for leg in self.legs.get(here, ()):
                if unguarded and leg.through and isinstance(leg.through.part, ProtectiveDevice):
                    continue
                if leg.net not in done and not (leg.conductor and isinstance(leg.conductor.cable, FeederType)):
                    more_m = leg.conductor.length_m if leg.conductor else 0.0
                    heapq.heappush(queue, (length_m + more_m, steps + 1, next(turn), leg.net, (*so_far, leg)))
        return None

    def other_pole(self, net: str, *, without: str = "") -> str | None:
        """The far pole of the nearest source that a net is wired to, or of the string of sources in series that it is
        one of; None where nothing feeds the net."""
        sources = self.sources_of(net, without=without)
        if not sources:
            return None
        here, seen = self._across(sources[0]), {node_of(sources[0])}
        while True:
            joined = nets_of(self.section(here))
            onward = sorted(n for n in joined if self.is_source(n) and self._is_first(n) != self._is_first(here))
            onward = [n for n in onward if node_of(n) not in seen]
            if not onward:
                return here
            seen.add(node_of(onward[0]))
            here = self._across(onward[0])

    def _across(self, pole: str) -> str:
        """The other pole of a source."""
        node = self.node_at(pole)
        assert isinstance(node.part, SourceDevice)
        return f"{node.id}.{node.part.poles[self._is_first(pole)]}"

    def _is_first(self, pole: str) -> bool:
        """Whether a pole of a source is its positive one."""
        part = self.node_at(pole).part
        return isinstance(part, SourceDevice) and pole.partition(".")[2] == part.poles[0]

    def returns_over_body(self, negative: str) -> bool:
        """Whether a wire leads from the negative pole of a source to the body."""
        reached = self.reached(negative, lambda here, leg: here not in self.on_body)
        return not self.on_body.isdisjoint(reached)

    # sections

    def section(self, net: str) -> tuple[Wire, ...]:
        """All wire that hangs on a net without a protective device, a source or the body in between, by id."""
        if net not in self._sections:
            reached = self.reached(net, lambda here, leg: self._in_section(here, leg, net))
            wires = {
                core.id: (conductor, core)
                for here in reached
                if here == net or not self._ends(here)
                for conductor, core in self.wires_at(here)
            }
            self._sections[net] = tuple(wires[id_] for id_ in sorted(wires))
        return self._sections[net]

    def _ends(self, net: str) -> bool:
        return self.is_source(net) or net in self.on_body

    def _in_section(self, here: str, leg: Leg, begin: str) -> bool:
        guarded = leg.through and isinstance(leg.through.part, ProtectiveDevice | MakerPoint)
        return not guarded and (here == begin or not self._ends(here))

    def fed_sides(self, node: PlacedNode) -> tuple[str, ...]:
        """The nets of a device that it feeds: those behind which, through it, a source stands."""
        sides = [side for pair in passes_of(node) for side in (pair, pair[::-1])]
        return tuple(there for here, there in sides if self.sources_of(here, without=node.id))

    def protected(self, node: PlacedNode) -> tuple[Wire, ...]:
        """The wire whose lasting current a device limits, by id: all behind it up to the next ones, the way back of
        what it feeds up to the next one on that way, and the wire in front of it if nothing else hangs on that."""
        if node.id not in self._protected:
            self._protected[node.id] = self._limited_by(node)
        return self._protected[node.id]

    def _limited_by(self, node: PlacedNode) -> tuple[Wire, ...]:
        found: dict[str, Wire] = {}
        fed = self.fed_sides(node)
        for side in (net for pair in passes_of(node) for net in pair):
            wires = self.section(side)
            nets = nets_of(wires) | {side}
            if side in fed or all(self._only_feeds(net, node) for net in nets):
                found |= {core.id: (conductor, core) for conductor, core in wires}
            for net in sorted(nets) if side in fed else ():
                found |= {core.id: (conductor, core) for conductor, core in self._back_from(net)}
        return tuple(found[id_] for id_ in sorted(found))

    def _only_feeds(self, net: str, device: PlacedNode) -> bool:
        """Whether a net takes nothing off the wire in front of a device."""
        node = self.node_at(net)
        takes = isinstance(node.part, ProtectiveDevice | LoadDevice) or self._sort(net) == "power"
        return node is device or not takes

    def _back_from(self, net: str) -> Iterator[Wire]:
        """The way back of an equipment that is fed at a net, up to a protective device."""
        node = self.node_at(net)
        for positive, negative in poles_of(node):
            way = self.feed(negative, to_body=True) if net == positive else None
            for leg in way.legs if way else ():
                if leg.through and isinstance(leg.through.part, ProtectiveDevice):
                    break
                if leg.conductor and leg.core:
                    yield leg.conductor, leg.core

    # what a core serves

    def is_control(self, wire: Wire) -> bool:
        """Whether a core carries a signal only: on one side of it there is no source, and nothing that is supplied."""
        _, core = wire
        if core.id not in self._control:
            self._control[core.id] = self._is_control(core)
        return self._control[core.id]

    def _is_control(self, core: LaidCore) -> bool:
        for net in (core.start.net, core.end.net):
            reached = self.reached(net, lambda here, leg: leg.core is not core and not self.is_source(here))
            sorts = {self._sort(here) for here in reached}
            if "control" in sorts and not sorts & {"source", "power"}:
                return True
        return False

    def _sort(self, net: str) -> str:
        """What a net means to a wire that ends on it: source, power, control, or nothing of its own."""
        node = self.node_at(net)
        part, name = node.part, net.partition(".")[2]
        if part is None or isinstance(part, ProtectiveDevice | Joint) or net in self.on_body:
            return ""
        if isinstance(part, MakerPoint) or self.is_source(net):
            return "source"
        pole = part.terminal(name).pole
        if pole == "signal":
            return "control"
        if isinstance(part, LoadDevice | ConverterDevice):
            return "power"
        return "control" if pole == "negative" else ""


def nets_of(wires: Iterable[Wire]) -> set[str]:
    """The nets where cores end."""
    return {end.net for _, core in wires for end in (core.start, core.end)}


def poles_of(node: PlacedNode) -> tuple[tuple[str, str], ...]:
    """The nets where an equipment is supplied: its positive and its negative; none of what takes nothing."""
    part = node.part
    if isinstance(part, LoadDevice):
        pair = part.poles
    elif isinstance(part, ConverterDevice):
        pair = part.input_poles
    else:
        return ()
    return ((f"{node.id}.{pair[0]}", f"{node.id}.{pair[1]}"),)


def _on_body(node: PlacedNode) -> Iterator[str]:
    """The nets of a node that it joins to the body: those of a bolt, not the case of a generator."""
    if node.part is None or isinstance(node.part, SourceDevice | LoadDevice | ProtectiveDevice):
        return
    for element in node.part.elements(node.settings, Condition(mode=node.part.default_mode)):
        if isinstance(element, Resistor) and BODY in (element.a, element.b):
            yield f"{node.id}.{element.b if element.a == BODY else element.a}"


def find_sections(view: View) -> Sections:
    """The wiring of the installation of a view."""
    return Sections.of(view.installation)


SECTIONS: Study[Sections] = Study("sections", find_sections)
