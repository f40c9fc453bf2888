"""What hangs together in a list of elements, found without the solver: where ngspice needs a ground, and which loads no
source reaches, which it could not solve."""

from __future__ import annotations

from collections.abc import Iterable

from tests.kit.network.spice import terminals

from rigfeed.network.elements import Converter, Element, Sink, Source

FEEDS_OHM = 100.0  # what is behind more is a sense input, no feed: a few volts drive no set through it


class Islands:
    """Groups of nets: two terminals of one side of an element are one group, unless it is an open contact."""

    def __init__(self, elements: Iterable[Element]) -> None:
        self._above: dict[str, str] = {}
        for element in elements:
            ends = terminals(element)
            for one, two in (ends[:2], ends[2:]) if len(ends) > 2 else (ends,):
                roots = self.of(one), self.of(two)
                if getattr(element, "closed", True):
                    self._above[roots[0]] = roots[1]

    def of(self, net: str) -> str:
        """The name of the group of a net."""
        while self._above.setdefault(net, net) != net:
            net = self._above[net]
        return net

    def grounds(self, zeros: Iterable[str]) -> set[str]:
        """One net to ground in each group, of `zeros` where it has one of them."""
        chosen: dict[str, str] = {}
        for net in (*zeros, *sorted(self._above)):
            if net in self._above:
                chosen.setdefault(self.of(net), net)
        return set(chosen.values())


def fed(elements: Iterable[Element]) -> list[Element]:
    """The elements without the loads that have no way to a source and back, and without the converters that have none
    at their input, nor what hangs on these alone."""
    kept = list(elements)
    while True:
        wires = [e for e in kept if not isinstance(e, Sink | Converter) and getattr(e, "ohm_20", 0.0) < FEEDS_OHM]
        outputs = [Source(e.name, e.out_pos, e.out_neg, e.out_v, e.out_ohm) for e in kept if isinstance(e, Converter)]
        islands = Islands([*wires, *outputs])
        sources = {islands.of(e.pos) for e in (*wires, *outputs) if isinstance(e, Source)}
        left = [e for e in kept if not isinstance(e, Sink | Converter) or _lives(e, islands, sources)]
        if len(left) == len(kept):
            return kept
        kept = left


def _lives(element: Sink | Converter, islands: Islands, sources: set[str]) -> bool:
    one, two = (islands.of(net) for net in terminals(element)[:2])
    return one == two and one in sources
