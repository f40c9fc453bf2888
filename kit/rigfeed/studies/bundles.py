"""The bundles study: how thick the cables on each run are together, what passes each hole, and the order of work.

A cable is drawn through holes with one end in front. What is stiff on that end has to pass every hole on the way; what
is on the other end stays behind and passes none. So a conductor can be fitted at both ends before it is drawn if one of
them passes everything; if none does, one end is drawn bare and fitted afterwards: the one away from the equipment.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Literal

from rigfeed.errors import UnknownName
from rigfeed.frozen import frozen
from rigfeed.installation import Installation, LaidConductor, LaidEnd, LaidPassage, PlacedNode
from rigfeed.keyed import Keyed
from rigfeed.packing import enclosing_diameter
from rigfeed.parts.interfaces import Accessory, EndFitting, FeederType, LoadDevice
from rigfeed.view import Study, View

Side = Literal["from", "to"]
Action = Literal["take off", "fit before", "pull", "fit after", "fit holder", "fuses in last"]
SIDES: tuple[Side, Side] = ("from", "to")


@frozen
class RunBundle:
    """The cables on a run. `power_cores` counts the cores that can carry supply current: all but those of feeders.

    `cables_mm2` is what the cables take, each over everything; `g_per_m` is None while the mass of one is not known. A
    flat cable counts as round, as thick as it is wide.
    """

    run: str
    conductors: tuple[str, ...]
    power_cores: int
    diameter_mm: float
    cables_mm2: float
    g_per_m: float | None

    @property
    def section_mm2(self) -> float:
        """The area of the circle around them."""
        return math.pi / 4 * self.diameter_mm**2


@frozen
class PassageBundle:
    """What passes a hole, and how thick it is together with what was in it before.

    `hole_mm` is None while the hole is not measured; `fill` is the share of its area that cables take.
    """

    passage: str
    run: str
    hole_mm: float | None
    existing_mm: tuple[float, ...]
    conductors: tuple[str, ...]
    diameter_mm: float
    fill: float | None

    @property
    def fits(self) -> bool | None:
        """Whether all of it finds room in the hole; None while that is not measured."""
        return None if self.hole_mm is None else self.diameter_mm <= self.hole_mm * (1 + 1e-9)


@frozen
class Passing:
    """Whether something stiff passes a hole: alone, and beside what was in it before. None: something is not measured.

    `hole_mm` is the bore of its grommet or gland where that is known: rubber gives way to a cable, not to a lug. Beside
    others it counts as round, with the diameter of the smallest hole that it passes.
    """

    passage: str
    hole_mm: float | None
    alone: bool | None
    beside: bool | None


@frozen
class RigidItem:
    """Something stiff at an end of a conductor: the end fitting, or the holder of the node that the end goes to."""

    conductor: str
    side: Side
    node: str
    part: EndFitting | Accessory
    passings: tuple[Passing, ...]

    @property
    def needs_mm(self) -> float | None:
        """The smallest round hole that it passes; None where its part does not say."""
        return self.part.rigid.hole_mm if self.part.rigid else None

    @property
    def is_holder(self) -> bool:
        """Whether it belongs to the node rather than to the conductor."""
        return isinstance(self.part, Accessory)

    @property
    def passes(self) -> bool | None:
        """Whether it passes every hole on the way beside what was there; None if that is not known of one."""
        return _all(passing.beside for passing in self.passings)

    @property
    def blocked_at(self) -> tuple[str, ...]:
        """The holes that it does not pass even alone, in the order of the way."""
        return tuple(passing.passage for passing in self.passings if passing.alone is False)


@frozen
class Pull:
    """How a conductor gets to its place.

    `leads` is the end that goes first through the holes; None if there are none, or either end may. An end in `before`
    may be fitted before, one in `after` is terminated when it is through. A supplied lead comes with its fittings on:
    those at an end in `off` have to come off first.
    """

    conductor: str
    supplied: bool
    od_mm: float
    passages: tuple[str, ...]
    items: tuple[RigidItem, ...]
    leads: Side | None
    before: tuple[Side, ...]
    after: tuple[Side, ...]
    off: tuple[Side, ...]

    def at(self, side: Side) -> tuple[RigidItem, ...]:
        """What is stiff at an end."""
        return tuple(item for item in self.items if item.side == side)

    @property
    def unknown(self) -> tuple[RigidItem, ...]:
        """What may or may not pass, because it or a hole is not measured."""
        return tuple(item for item in self.items if item.passes is None)

    @property
    def stiff_mm(self) -> float:
        """The hole that the leading end of a supplied lead needs with its fittings on; 0 for all other conductors."""
        if not self.supplied or not self.passages or self.off:
            return 0.0
        sides = (self.leads,) if self.leads else SIDES
        return min(max((item.needs_mm or 0.0 for item in self.at(side)), default=0.0) for side in sides)


@frozen
class WorkStep:
    """A step of the order of work: what to do, to which conductor, at or with which end in front, through which holes.

    `items` are the titles of the parts that come off or on, `nodes` the holders or fuses that the step is about.
    """

    action: Action
    conductor: str | None = None
    side: Side | None = None
    passages: tuple[str, ...] = ()
    items: tuple[str, ...] = ()
    nodes: tuple[str, ...] = ()


@frozen
class Bundles:
    """Bundles by run, holes by passage, and how each conductor that is not the vehicle's own gets to its place."""

    runs: Keyed[RunBundle]
    passages: Keyed[PassageBundle]
    pulls: Keyed[Pull]
    order: tuple[WorkStep, ...]

    def run(self, name: str) -> RunBundle:
        """The bundle on a run. Raises UnknownName."""
        if name not in self.runs:
            raise UnknownName("run", name, self.runs)
        return self.runs[name]

    def passage(self, name: str) -> PassageBundle:
        """What passes a hole. Raises UnknownName."""
        if name not in self.passages:
            raise UnknownName("passage", name, self.passages)
        return self.passages[name]

    def pull(self, conductor: str) -> Pull:
        """How a conductor gets to its place. Raises UnknownName, of the vehicle's own conductors too."""
        if conductor not in self.pulls:
            raise UnknownName("conductor to lay", conductor, self.pulls)
        return self.pulls[conductor]

    def steps(self, action: Action) -> tuple[WorkStep, ...]:
        """The steps of one sort, in order."""
        return tuple(step for step in self.order if step.action == action)

    @property
    def blocked(self) -> tuple[RigidItem, ...]:
        """Everything stiff that does not pass some hole on the way of its conductor."""
        return tuple(item for pull in self.pulls.values() for item in pull.items if item.blocked_at)


def bundle(view: View) -> Bundles:
    """The bundles of an installation."""
    installation = view.installation
    on_run: dict[str, list[LaidConductor]] = {name: [] for name in sorted(installation.design.runs)}
    for conductor in installation.conductors.values():
        for run in dict.fromkeys(stretch.run for stretch in conductor.stretches):
            if run is not None:
                on_run[run].append(conductor)
    total = len(on_run) + len(installation.passages)
    runs: dict[str, RunBundle] = {}
    for number, (name, conductors) in enumerate(on_run.items()):
        view.tell(number / total, f"bundle on run {name}")
        runs[name] = _run_bundle(name, conductors)
    passages: dict[str, PassageBundle] = {}
    for number, passage in enumerate(installation.passages.values(), len(on_run)):
        view.tell(number / total, f"hole {passage.id}")
        passages[passage.id] = _passage_bundle(passage)
    pulls = {c.id: _pull(c, installation) for c in installation.conductors.values() if c.origin != "vehicle"}
    return Bundles(Keyed(runs), Keyed(passages), Keyed(pulls), tuple(_order(pulls.values(), installation)))


def _run_bundle(name: str, conductors: list[LaidConductor]) -> RunBundle:
    cables = [conductor.cable for conductor in conductors]
    masses = [cable.g_per_m for cable in cables if cable.g_per_m is not None]
    ods_mm = [cable.od_mm for cable in cables]
    return RunBundle(
        run=name,
        conductors=tuple(conductor.id for conductor in conductors),
        power_cores=sum(len(cable.cores) for cable in cables if not isinstance(cable, FeederType)),
        diameter_mm=enclosing_diameter(ods_mm),
        cables_mm2=math.pi / 4 * math.fsum(mm * mm for mm in ods_mm),
        g_per_m=math.fsum(masses) if len(masses) == len(cables) else None,
    )


def _passage_bundle(passage: LaidPassage) -> PassageBundle:
    return PassageBundle(
        passage.id, passage.run, passage.diameter_mm, passage.existing_mm, passage.conductors,
        enclosing_diameter((*passage.existing_mm, *passage.cable_mm)), passage.fill,
    )


# what is stiff, and whether it passes


def _all(answers: Iterable[bool | None]) -> bool | None:
    """False if one is false, else None if one is not known, else True."""
    found = set(answers)
    return False if False in found else None if None in found else True


def _on_the_way(conductor: LaidConductor, installation: Installation) -> tuple[LaidPassage, ...]:
    """The holes that a conductor passes, in the order of its way."""
    ways = dict.fromkeys(stretch.run for stretch in conductor.stretches)
    return tuple(passage for run in ways for passage in installation.passages.values() if passage.run == run)


def _items(
    conductor: LaidConductor, passages: tuple[LaidPassage, ...], installation: Installation
) -> Iterator[RigidItem]:
    """The fittings of each end, and the holders behind them; one that takes several cores is one thing."""
    for side, ends in zip(SIDES, _ends(conductor), strict=True):
        found: dict[tuple[str, str], EndFitting | Accessory] = {}
        for end in ends:
            if end.fitting is not None:
                found.setdefault((end.node, end.fitting.key), end.fitting)
        for node in dict.fromkeys(end.node for end in ends):
            holder = _holder(installation.nodes[node])
            if holder is not None:
                found.setdefault((node, holder.key), holder)
        for (node, _), part in found.items():
            yield RigidItem(conductor.id, side, node, part, tuple(_passing(part, passage) for passage in passages))


def _ends(conductor: LaidConductor) -> tuple[tuple[LaidEnd, ...], tuple[LaidEnd, ...]]:
    return tuple(core.start for core in conductor.cores), tuple(core.end for core in conductor.cores)


def _holder(node: PlacedNode) -> Accessory | None:
    holder = getattr(node.settings, "holder", None)
    return holder if isinstance(holder, Accessory) else None


def _passing(part: EndFitting | Accessory, passage: LaidPassage) -> Passing:
    hole_mm = passage.clear_mm
    if part.rigid is None or hole_mm is None:
        return Passing(passage.id, hole_mm, None, None)
    needs_mm = part.rigid.hole_mm
    alone = needs_mm <= hole_mm
    beside = alone and enclosing_diameter((needs_mm, *passage.existing_mm)) <= hole_mm * (1 + 1e-9)
    return Passing(passage.id, hole_mm, alone, beside)


# the order of work


def _pull(conductor: LaidConductor, installation: Installation) -> Pull:
    """Which end leads, and what may be on the ends meanwhile."""
    passages = _on_the_way(conductor, installation)
    items = tuple(_items(conductor, passages, installation))
    passes = {side: _all(item.passes for item in items if item.side == side) for side in SIDES}
    supplied = conductor.origin == "supplied"
    leads: Side | None = None
    after: tuple[Side, ...] = ()
    if not all(passes.values()):
        first = min(SIDES, key=lambda side: (_RANK[passes[side]], *_stays(conductor, side, items, installation)))
        leads, after = first, () if passes[first] else (first,)
    return Pull(
        conductor.id, supplied, conductor.cable.od_mm, tuple(passage.id for passage in passages), items, leads,
        before=tuple(side for side in SIDES if side not in after), after=after,
        off=tuple(side for side in after if supplied and passes[side] is False),
    )


_RANK = {True: 0, None: 1, False: 2}


def _stays(
    conductor: LaidConductor, side: Side, items: tuple[RigidItem, ...], installation: Installation
) -> tuple[bool, bool]:
    """What speaks for an end to stay behind with its fittings on: that it is at an equipment, that it has no holder."""
    nodes = {end.node for end in _ends(conductor)[SIDES.index(side)]}
    at_load = any(isinstance(installation.nodes[node].part, LoadDevice) for node in nodes)
    return at_load, not any(item.is_holder for item in items if item.side == side)


def _order(pulls: Iterable[Pull], installation: Installation) -> Iterator[WorkStep]:
    """Take off, fit on the bench, draw, fit in place, holders, fuses."""
    by_id = sorted(pulls, key=lambda pull: pull.conductor)
    for pull in by_id:
        for side in pull.off:
            yield WorkStep("take off", pull.conductor, side, items=_titles(pull.at(side)))
    for pull in by_id:
        for side in pull.before if not pull.supplied else ():
            if _fittings(pull, side):
                yield WorkStep("fit before", pull.conductor, side, items=_titles(_fittings(pull, side)))
    # what is stiff goes first, while there is room in the holes; then thick before thin
    for pull in sorted(by_id, key=lambda pull: (-pull.stiff_mm, -pull.od_mm, pull.conductor)):
        yield WorkStep("pull", pull.conductor, pull.leads, passages=pull.passages)
    for pull in by_id:
        for side in pull.after if not pull.supplied or pull.off else ():
            yield WorkStep("fit after", pull.conductor, side, items=_titles(_fittings(pull, side)))
    yield from _holder_steps(by_id)
    yield WorkStep("fuses in last", nodes=tuple(node.id for node, _ in installation.protections))


def _holder_steps(pulls: list[Pull]) -> Iterator[WorkStep]:
    """A holder that came on a supplied lead, and stayed on it, is in place; all others are fitted when cables lie."""
    holders = [(pull, item) for pull in pulls for item in pull.items if item.is_holder]
    in_place = {item.node for pull, item in holders if pull.supplied and item.side not in pull.off}
    titles = {item.node: item.part.title for _, item in holders if item.node not in in_place}
    for node, title in sorted(titles.items()):
        yield WorkStep("fit holder", items=(title,), nodes=(node,))


def _fittings(pull: Pull, side: Side) -> tuple[RigidItem, ...]:
    return tuple(item for item in pull.at(side) if not item.is_holder)


def _titles(items: Iterable[RigidItem]) -> tuple[str, ...]:
    return tuple(item.part.title for item in items)


BUNDLES: Study[Bundles] = Study("bundles", bundle)
