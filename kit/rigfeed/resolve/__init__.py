"""Design + shelf + practice -> installation: the one place where references, routes, lengths and defaults are settled.

What is wrong (an unknown part, a terminal that the part does not have) raises, everything at once. What is merely
incomplete (no part yet, no length) is left out of the installation and listed as not checked.
"""

from __future__ import annotations

import math

from rigfeed.design.model import Design
from rigfeed.errors import known_or_raise
from rigfeed.installation import Assumption, Installation, LaidConductor, LaidPassage
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.parts.interfaces import Accessory
from rigfeed.parts.shelf import Shelf
from rigfeed.path import Path
from rigfeed.practice import Practice, Threshold
from rigfeed.quantity import parse
from rigfeed.resolve.conductors import laid_conductor
from rigfeed.resolve.ledger import Ledger
from rigfeed.resolve.loops import find_loops
from rigfeed.resolve.nodes import placed_node
from rigfeed.resolve.states import laid_states
from rigfeed.resolve.zones import laid_zone

SYSTEM_V = Threshold("vehicle.system-voltage", "V", "nominal voltage")


def resolve(design: Design, shelf: Shelf, practice: Practice) -> Installation:
    """The installation of a design.

    Raises
    ------
    DesignError, UnknownName, CatalogError, InputErrors
        All that stops, each with its path.
    """
    ledger = Ledger(design, shelf, practice)
    zones = Keyed({name: laid_zone(name, ledger) for name in sorted(design.zones)})
    nodes = Keyed({name: placed_node(name, zones, ledger) for name in sorted(design.nodes)})
    laid = {name: laid_conductor(name, nodes, zones, ledger) for name in sorted(design.conductors)}
    conductors = Keyed({name: conductor for name, conductor in laid.items() if conductor})
    find_loops(conductors.values(), ledger)
    states = laid_states(nodes, ledger)
    system_v = _system_v(ledger)
    looms = {name: loom for name in sorted(design.runs) if (loom := _loom(name, ledger))}
    _count_spare(conductors, ledger)
    known_or_raise(ledger.errors)
    return Installation(
        design=design,
        title=design.job.title or "untitled",
        system_v=system_v,
        nodes=nodes,
        conductors=conductors,
        passages=Keyed({name: _passage(name, design, conductors) for name in sorted(design.passages)}),
        zones=zones,
        states=states,
        assumptions=tuple(sorted(ledger.assumptions, key=lambda a: (str(a.subject), a.what))),
        not_checked=tuple(sorted(ledger.not_checked, key=lambda n: (str(n.subject), n.why))),
        looms=Keyed(looms),
    )


def _system_v(ledger: Ledger) -> float:
    text = ledger.design.vehicle.system_voltage
    return parse(text, "V") if text else ledger.default(SYSTEM_V, Path("vehicle", "system_voltage"))


def _count_spare(conductors: Keyed[LaidConductor], ledger: Ledger) -> None:
    spare_m = math.fsum(conductor.slack_m for conductor in conductors.values())
    if spare_m:
        what = "spare at the ends of the conductors, left out of their resistance"
        practice = "common practice, no source: a drop is reckoned on the way, not on the spare"
        ledger.assumptions.append(Assumption(Path("conductors"), what, Measure(spare_m, "m"), practice))


def _loom(name: str, ledger: Ledger) -> Accessory | None:
    key = ledger.design.runs[name].loom
    part = ledger.part(key, Path("runs", name, "loom")) if key else None
    return part if isinstance(part, Accessory) else None


def _passage(name: str, design: Design, conductors: Keyed[LaidConductor]) -> LaidPassage:
    passage = design.passages[name]
    through = [c for c in conductors.values() if passage.run in (stretch.run for stretch in c.stretches)]
    return LaidPassage(
        name, passage.title or name, passage.run, passage.diameter.to("mm") if passage.diameter else None,
        tuple(item.to("mm") for item in passage.existing), passage.edge, tuple(c.id for c in through),
        tuple(c.cable.od_mm for c in through), passage.facts, passage.bore.to("mm") if passage.bore else None,
    )
