"""The topology of a network as integers: what is joined to what, which nets belong together, and where 0 V is."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property
from itertools import islice
from typing import cast

import numpy as np

from rigfeed.frozen import frozen
from rigfeed.network.elements import Element, Sink, SinkKind, Source, Switch
from rigfeed.network.errors import NetworkError
from rigfeed.network.ranges import KINDS, Kind, Places, check, gathered

ENDS: dict[Kind, tuple[str, ...]] = {
    "resistor": ("a", "b"),
    "source": ("pos", "neg"),
    "sink": ("pos", "neg"),
    "diode": ("a", "b"),
    "switch": ("a", "b"),
    "converter": ("in_pos", "in_neg", "out_pos", "out_neg"),
}
_SINK_KINDS: tuple[SinkKind, ...] = ("current", "power", "resistance")


@frozen(eq=False)
class Network:
    """One topology. Everything is sorted by name, so that the order in which elements came changes nothing.

    Attributes
    ----------
    nets : tuple of str
        All nets by name; every integer below is a position in it.
    elements : tuple of Element
        By kind, then by name.
    names : dict of tuples of str
        The elements of each kind by name; the last axis of all arrays of `Values` and of a solution is in this order.
    ends : dict of arrays, shape (count, 2), of converters (count, 4)
        The nets of each element in the order of `ENDS`.
    sense : array, shape (switches, 2)
        The nets whose voltage moves a switch; -1 where nothing does.
    island : array, shape (nets,)
        The galvanic island of each net: whatever is joined other than through a converter.
    zero : array, shape (islands,)
        The net that is 0 V in each island.
    rank : array, shape (nets,)
        How near a net is to being the 0 V of its part; the lowest of an island is its 0 V net.
    """

    nets: tuple[str, ...]
    elements: tuple[Element, ...]
    names: dict[Kind, tuple[str, ...]]
    ends: dict[Kind, Places]
    sense: Places
    sink_kinds: tuple[SinkKind, ...]
    island: Places
    zero: Places
    rank: Places

    @classmethod
    def build(cls, elements: Iterable[Element], zeros: Sequence[str] = ()) -> Network:
        """The topology of these elements.

        Parameters
        ----------
        elements : iterable of Element
            In any order.
        zeros : sequence of str, optional
            Nets to be 0 V, the most wanted first; in an island without any of them it is the `neg` of the first
            source by name, else the first net by name.

        Raises
        ------
        NetworkError
            If two elements have one name, a number is out of its range, or a switch has half a sense.
        """
        by_kind = _sorted(elements)
        names = {kind: tuple(element.name for element in group) for kind, group in by_kind.items()}
        sinks = cast("list[Sink]", by_kind["sink"])
        sink_kinds = tuple(sink.kind for sink in sinks)
        for kind, group in by_kind.items():
            check(kind, names[kind], sink_kinds, gathered(kind, group))
        nets = sorted({net for kind, group in by_kind.items() for element in group for net in _touched(kind, element)})
        number = {net: place for place, net in enumerate(nets)}
        ends = {
            kind: _frozen([[number[getattr(element, end)] for end in ENDS[kind]] for element in group], len(ENDS[kind]))
            for kind, group in by_kind.items()
        }
        sense = [[-1 if net is None else number[net] for net in _sense(switch)] for switch in by_kind["switch"]]
        rank = _ranked(nets, zeros, [number[cast("Source", source).neg] for source in by_kind["source"]])
        lowest = joined(rank, [pair for kind in ends for pair in pairs(ends[kind])])
        zero, island = np.unique(lowest, return_inverse=True)
        return cls(
            nets=tuple(nets),
            elements=tuple(element for group in by_kind.values() for element in group),
            names=names,
            ends=ends,
            sense=_frozen(sense, 2),
            sink_kinds=sink_kinds,
            island=_locked(island.astype(np.intp)),
            zero=_locked(np.argsort(rank)[zero].astype(np.intp)),
            rank=_locked(rank),
        )

    @cached_property
    def _number(self) -> dict[str, int]:
        return {net: place for place, net in enumerate(self.nets)}

    @cached_property
    def _where(self) -> dict[str, tuple[Kind, int]]:
        return {name: (kind, place) for kind, names in self.names.items() for place, name in enumerate(names)}

    def net(self, name: str) -> int:
        """The position of a net. Raises `NetworkError` if there is none of that name."""
        if name not in self._number:
            raise NetworkError.about(f"there is no net {name!r}", name)
        return self._number[name]

    def where(self, name: str) -> tuple[Kind, int]:
        """The kind of an element and its position among that kind. Raises `NetworkError` if there is none."""
        if name not in self._where:
            raise NetworkError.about(f"there is no element {name!r}", name)
        return self._where[name]

    @cached_property
    def _by_kind(self) -> dict[Kind, tuple[Element, ...]]:
        elements = iter(self.elements)
        return {kind: tuple(islice(elements, len(names))) for kind, names in self.names.items()}

    def of_kind(self, kind: Kind) -> tuple[Element, ...]:
        """The elements of one kind by name."""
        return self._by_kind[kind]

    def zero_of(self, net: str) -> str:
        """The 0 V net of the galvanic island in which a net lies."""
        return self.nets[int(self.zero[int(self.island[self.net(net)])])]


def pairs(ends: Places) -> Places:
    """The two-net branches of one kind: a converter has two, its input and its output."""
    return ends.reshape(-1, 2)


def joined(rank: Places, links: Iterable[Iterable[int]]) -> Places:
    """For each net the lowest rank among the nets that the links join it to."""
    parent = list(range(len(rank)))

    def root(net: int) -> int:
        while parent[net] != net:
            parent[net] = parent[parent[net]]
            net = parent[net]
        return net

    for a, b in links:
        first, second = sorted((root(int(a)), root(int(b))), key=rank.__getitem__)
        parent[second] = first
    return np.array([rank[root(net)] for net in range(len(rank))], dtype=np.intp)


def _sorted(elements: Iterable[Element]) -> dict[Kind, list[Element]]:
    by_kind: dict[Kind, list[Element]] = {kind: [] for kind in KINDS}
    known: set[str] = set()
    for element in elements:
        kind = next((kind for kind, sort in KINDS.items() if type(element) is sort), None)
        if kind is None:
            raise NetworkError.about(f"{element!r} is no element of a network")
        if element.name in known:
            raise NetworkError.about("two elements have this name", element.name, remedy="give each a name of its own")
        if isinstance(element, Sink) and element.kind not in _SINK_KINDS:
            raise NetworkError.about(f"a sink is one of {', '.join(_SINK_KINDS)}", element.name, "kind")
        known.add(element.name)
        by_kind[kind].append(element)
    return {kind: sorted(group, key=lambda element: element.name) for kind, group in by_kind.items()}


def _sense(element: Element) -> tuple[str | None, str | None]:
    switch = cast("Switch", element)
    if (switch.sense_pos is None) != (switch.sense_neg is None):
        raise NetworkError.about("a switch senses between two nets or not at all", switch.name, "sense_pos")
    return switch.sense_pos, switch.sense_neg


def _touched(kind: Kind, element: Element) -> list[str]:
    sensed = _sense(element) if kind == "switch" else ()
    return [getattr(element, end) for end in ENDS[kind]] + [net for net in sensed if net is not None]


def _ranked(nets: list[str], zeros: Sequence[str], negatives: list[int]) -> Places:
    number = {net: place for place, net in enumerate(nets)}
    wanted = [number[net] for net in zeros if net in number]
    order = list(dict.fromkeys([*wanted, *negatives, *range(len(nets))]))
    rank = np.empty(len(nets), dtype=np.intp)
    rank[order] = np.arange(len(nets))
    return rank


def _frozen(rows: list[list[int]], width: int) -> Places:
    return _locked(np.array(rows, dtype=np.intp).reshape(-1, width))


def _locked(array: Places) -> Places:
    array.setflags(write=False)
    return array
