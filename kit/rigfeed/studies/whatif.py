"""What if: the body strap opens, the negative of a set opens, the master switch is turned off, a plug is the wrong way
round, the engine is cranked through a charging relay. Each is one change of the network, solved as it then is.

Ways back that nobody may rely on count here: over the shield of a feeder and the mount of its antenna into the body.
Devices that a current opens are opened, the quickest first, until none opens any more.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Literal

from rigfeed.frozen import frozen
from rigfeed.installation import Installation, PlacedNode
from rigfeed.network.elements import BODY, Diode, Element, Resistor
from rigfeed.parts.interfaces import FeederType, LoadDevice
from rigfeed.path import Path
from rigfeed.practice import Threshold
from rigfeed.studies.operating import OPERATING
from rigfeed.studies.sections import SECTIONS, Sections
from rigfeed.studies.whatif_network import (
    Change,
    Changed,
    Outcome,
    elements_in,
    follow,
    opened_at_once,
    tell_state,
)
from rigfeed.studies.whatif_places import Bond, bonds, isolators, links, negative_cores
from rigfeed.view import Study, View

Kind = Literal["strap-open", "negative-open", "isolator-open", "reversed", "cranked"]

CRANK_A = Threshold("vehicle.crank", "A", "current of a 12 V starter that begins to turn, half of it at 24 V")
OWN_W = Threshold("vehicle.own-loads", "W", "what the vehicle's own equipment takes with the ignition on")
HAS_STARTER = "has-starter"  # a fact of the vehicle; not known counts as yes
STARTER, OWN = "@starter", "@own"
GUARD_V, GUARD_OHM = 0.8, 0.01  # of the one-way part across the input of a set that protects it: common practice


@frozen
class WhatIf:
    """One question and its answer.

    `subject` is what is changed, `state` the id of the state in which it happens. `first` is what happens at once,
    `last` what is left when every device that the currents open is open; `before` is the same network unchanged.
    Amps and volts are those with everything keyed; `working` is who works.
    """

    kind: Kind
    subject: Path
    title: str
    state: str
    change: Change
    before: Outcome
    first: Outcome
    last: Outcome
    opened: tuple[tuple[str, float], ...] = ()

    @property
    def devices(self) -> tuple[str, ...]:
        """The devices that open, in their order."""
        return tuple(device for device, _ in self.opened)

    @property
    def stops(self) -> tuple[str, ...]:
        """The loads that worked before and do not work in the end."""
        return tuple(sorted(set(self.before.working) - set(self.last.working)))

    def risen(self, core: str) -> float:
        """How much more a core carries at once than before [A]."""
        return abs(self.first.core_a.get(core, 0.0)) - abs(self.before.core_a.get(core, 0.0))


@frozen
class WhatIfs:
    """All answers of a study, by kind and subject; `crank_a` is the starter's current that was taken [A]."""

    cases: tuple[WhatIf, ...]
    crank_a: float | None = None

    def of(self, kind: Kind) -> tuple[WhatIf, ...]:
        """The answers of one kind."""
        return tuple(case for case in self.cases if case.kind == kind)


@frozen
class _Question:
    kind: Kind
    subject: Path
    title: str
    change: Change


@frozen
class _Bench:
    """What all questions of one installation share: the state in which most is taken, the starter, the vehicle's own
    loads as resistances."""

    installation: Installation
    sections: Sections
    state: str
    whole: tuple[Element, ...]
    crank_ohm: float | None
    own_ohm: float | None

    @classmethod
    def of(cls, view: View) -> _Bench | None:
        """The bench of a view; None where nothing conducts in any state."""
        state = tell_state(view[OPERATING], engine_on=False)
        if state is None:
            return None
        crank, own, system_v = view.practice.default(CRANK_A), view.practice.default(OWN_W), view.installation.system_v
        starter = view.installation.design.vehicle.facts.get(HAS_STARTER) is not False
        crank_ohm = system_v / (crank[0] * 12.0 / system_v) if starter and crank and crank[0] else None
        own_ohm = system_v**2 / own[0] if own and own[0] else None
        whole = elements_in(view[OPERATING], state)
        return cls(view.installation, view[SECTIONS], state, whole, crank_ohm, own_ohm)

    def answers(self, questions: Iterable[_Question]) -> Iterator[WhatIf]:
        """All questions; those that only open wires or add a load in one solve."""
        asked = list(questions)
        plain = [q.change for q in asked if q.change.is_plain]
        opens = [(), *(change.open_cores for change in plain)]
        extras = [(), *(change.resistors for change in plain)]
        outcomes = iter(opened_at_once(self.installation, self.whole, opens, extras))
        before = next(outcomes)
        for q in asked:
            changed = Changed(self.installation, q.change, self.whole)
            first = next(outcomes) if q.change.is_plain else changed.after()
            last, opened = follow(changed, first)
            yield WhatIf(q.kind, q.subject, q.title, self.state, q.change, before, first, last, opened)


def study_whatif(view: View) -> WhatIfs:
    """The questions whose answers a check wants: strap, negative and master switch open."""
    bench = _Bench.of(view)
    if bench is None:
        return WhatIfs(())
    cases = bench.answers((*_straps_open(bench), *_negatives_open(bench), *_isolators_open(bench)))
    crank_a = view.installation.system_v / bench.crank_ohm if bench.crank_ohm else None
    return WhatIfs(tuple(cases), crank_a)


def study_mishaps(view: View) -> WhatIfs:
    """A plug the wrong way round, and the engine cranked through a charging relay that is closed."""
    bench = _Bench.of(view)
    return WhatIfs(tuple(bench.answers((*_reversed(bench), *_cranked(bench)))) if bench else ())


# the strap


def _straps_open(bench: _Bench) -> Iterator[_Question]:
    for bond in bonds(bench.installation, bench.sections):
        if bond.cranks:
            ohm = bench.crank_ohm
            extra = () if ohm is None else (Resistor(f"{STARTER}.{bond.battery.id}", bond.top, BODY, ohm),)
            change = Change(open_cores=bond.cores, extra=extra)
            title = f"the body strap of {bond.battery.title} is open" + (", the engine is cranked" if extra else "")
            yield _Question("strap-open", Path("nodes", bond.battery.id), title, change)


# the negative of a set


def _negatives_open(bench: _Bench) -> Iterator[_Question]:
    for node, part in bench.installation.loads:
        cores = negative_cores(bench.installation, f"{node.id}.{part.poles[1]}")
        if cores:
            title = f"the negative of {node.title} is open, everything is keyed"
            yield _Question("negative-open", Path("nodes", node.id), title, Change(open_cores=cores))


# the master switch


def _isolators_open(bench: _Bench) -> Iterator[_Question]:
    """With every load as a resistance: one that is reversed takes current through what protects it."""
    for node in isolators(bench.installation):
        extra = tuple(
            Resistor(f"{OWN}.{bond.battery.id}", bond.top, BODY, bench.own_ohm)
            for bond in bonds(bench.installation, bench.sections) if bond.cranks and bench.own_ohm is not None
        )
        change = Change(open_nodes=(node.id,), extra=extra, resistive=True)
        yield _Question("isolator-open", Path("nodes", node.id), f"{node.title} is turned off", change)


# a plug the wrong way round


def _reversed(bench: _Bench) -> Iterator[_Question]:
    for node, part in bench.installation.loads:
        if _has_both_leads(bench.installation, node, part):
            positive, negative = (f"{node.id}.{pole}" for pole in part.poles)
            guard = Diode(f"{node.id}.@guard", negative, positive, GUARD_V, GUARD_OHM)
            change = Change(swapped=(positive, negative), extra=(guard,), without_draw=(node.id,))
            title = f"positive and negative of {node.title} are swapped at its plug"
            yield _Question("reversed", Path("nodes", node.id), title, change)


def _has_both_leads(installation: Installation, node: PlacedNode, part: LoadDevice) -> bool:
    nets = {
        end.net for conductor in installation.conductors.values()
        if not isinstance(conductor.cable, FeederType) for end in conductor.ends
    }
    return {f"{node.id}.{pole}" for pole in part.poles} <= nets


# cranking through a relay


def _cranked(bench: _Bench) -> Iterator[_Question]:
    if bench.crank_ohm is None:
        return
    for bond in bonds(bench.installation, bench.sections):
        for node in links(bench.installation, bench.sections) if bond.cranks else ():
            starter = Resistor(f"{STARTER}.{bond.battery.id}", bond.top, BODY, bench.crank_ohm)
            change = Change(closed_nodes=(node.id,), extra=(starter,))
            title = f"the engine is cranked while {node.title} is closed"
            yield _Question("cranked", Path("nodes", node.id), title, change)


WHATIF: Study[WhatIfs] = Study("what-if", study_whatif, needs=(OPERATING, SECTIONS))
MISHAPS: Study[WhatIfs] = Study("mishaps", study_mishaps, needs=(OPERATING, SECTIONS))
__all__ = ["MISHAPS", "WHATIF", "Bond", "Outcome", "WhatIf", "WhatIfs"]
