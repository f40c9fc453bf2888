"""Which shorts are tried: at every place where conductors end, across everything that is supplied, and along every
conductor, each to its return and, where the body leads back, to the body.

Along a conductor three places are enough. What one end brings is greatest at that end and falls all the way to the
other, so that a device that lets the more through the less flows, and one that lets the more through the more flows,
are both met at their worst at the ends; half way stands for what two sides do to each other in between. Where a
device is at its worst in between, `peaks` finds the place.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rigfeed.frozen import frozen
from rigfeed.installation import Installation, LaidConductor, LaidCore, node_of
from rigfeed.network.elements import BODY
from rigfeed.parts.interfaces import FeederType, SourceDevice
from rigfeed.studies.sections import Sections, poles_of

SHARES = {0.0: "at its beginning", 0.5: "half way along", 1.0: "at its end"}  # of the way along a conductor


@frozen
class Short:
    """A dead short from a place to a net.

    The place is the net `at`; on a core it is the point at `share` of the metal of that core, counted from its `from`
    end, and `at` is the id of the core.
    """

    at: str
    to: str
    core: str | None = None
    share: float = 0.0

    @property
    def to_body(self) -> bool:
        """Whether it is one to the metal of the vehicle."""
        return self.to == BODY

    @property
    def place(self) -> str:
        """Where it lies, in words."""
        where = f"{self.where} ({self.core})" if self.core is not None else self.where
        return f"{where} to {'the body' if self.to_body else self.to}"

    @property
    def where(self) -> str:
        """Where on its conductor, or at which terminal."""
        return f"at {self.at}" if self.core is None else SHARES.get(self.share, f"{self.share:.0%} of the way along")


def shorts_of(installation: Installation, sections: Sections) -> tuple[Short, ...]:
    """All shorts of an installation, sorted."""
    lookup = _Returns(installation, sections)
    found = {*_at_ends(installation, lookup), *_across(installation, sections), *_along(installation, lookup)}
    return tuple(sorted(found, key=lambda short: (short.at, short.to, short.share)))


class _Returns:
    """Where the current of a short at a net wants to go."""

    def __init__(self, installation: Installation, sections: Sections) -> None:
        self._sections = sections
        self._nearest = _nearest_poles(sections)
        self._by_pole: dict[str, tuple[str, ...]] = {}

    def of(self, net: str) -> tuple[str, ...]:
        """The nets to short a place to that hangs on this net; none for what is on the negative side already."""
        pole = self._nearest.get(net)
        if pole is None:
            return ()
        if pole not in self._by_pole:
            self._by_pole[pole] = tuple(self._wanted(pole))
        return tuple(to for to in self._by_pole[pole] if to != net)

    def _wanted(self, pole: str) -> Iterator[str]:
        other = self._sections.other_pole(pole)
        if other is None or self._is_positive(other):
            return  # not fed, or itself a return
        yield other
        if self._sections.returns_over_body(other):
            yield BODY

    def _is_positive(self, net: str) -> bool:
        part = self._sections.installation.nodes[node_of(net)].part
        return isinstance(part, SourceDevice) and net.partition(".")[2] == part.poles[0]


def _nearest_poles(sections: Sections) -> dict[str, str]:
    """The pole of a source that each net is wired to by the fewest legs, of several the first by name; a walk from all
    poles at once, that goes on through none of them."""
    poles = sorted(net for net in sections.legs if sections.is_source(net))
    nearest, queue = {pole: pole for pole in poles}, list(poles)
    for here in queue:
        for leg in sections.legs[here]:
            if leg.net not in nearest:
                nearest[leg.net] = nearest[here]
                queue.append(leg.net)
    return nearest


def _wires(installation: Installation) -> Iterator[tuple[LaidConductor, LaidCore]]:
    """The cores that are meant to carry supply current and lead somewhere."""
    for conductor in installation.conductors.values():
        if not isinstance(conductor.cable, FeederType):
            yield from ((conductor, core) for core in conductor.cores if core.start.net != core.end.net)


def _at_ends(installation: Installation, returns: _Returns) -> Iterator[Short]:
    for net in {end.net for _, core in _wires(installation) for end in (core.start, core.end)}:
        yield from (Short(net, to) for to in returns.of(net))


def _across(installation: Installation, sections: Sections) -> Iterator[Short]:
    """Between the supply terminals of everything that is fed: this one the return wire has to stand as well."""
    nearest = _nearest_poles(sections)
    for node in installation.nodes.values():
        for positive, negative in poles_of(node):
            if positive in nearest and sections.wires_at(negative):
                yield Short(positive, negative)


def _along(installation: Installation, returns: _Returns) -> Iterator[Short]:
    """Along every conductor that was added: worn through on an edge, or crushed against its return."""
    for conductor, core in _wires(installation):
        if conductor.origin != "vehicle" and conductor.length_m > 0.0:
            for to in _either(returns, (core.start.net, core.end.net)):
                yield from (Short(core.id, to, core.id, share) for share in SHARES)


def _either(returns: _Returns, ends: Iterable[str]) -> tuple[str, ...]:
    """The returns of the first end that has any: a wire that ends in nothing is fed from its other end."""
    return next((found for net in ends if (found := returns.of(net))), ())
