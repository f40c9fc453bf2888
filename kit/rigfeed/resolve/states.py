"""States: the mode of every node in each, the engine, the air, the charge of the batteries."""

from __future__ import annotations

from rigfeed.design.model import State
from rigfeed.errors import Place, UnknownName
from rigfeed.installation import Air, Assumption, LaidState, PlacedNode
from rigfeed.keyed import Keyed
from rigfeed.parts.interfaces import SourceDevice
from rigfeed.path import Path
from rigfeed.practice import KeyedState
from rigfeed.resolve.ledger import Ledger

Nodes = Keyed[PlacedNode]


def laid_states(nodes: Nodes, ledger: Ledger) -> Keyed[LaidState]:
    """The states of the design; where it has none, those of the practice, counted as assumptions."""
    design = ledger.design
    if design.states:
        return Keyed({name: _own(name, design.states[name], nodes, ledger) for name in sorted(design.states)})
    if not ledger.practice.states:
        why = f"neither the design nor practice {ledger.practice.name!r} gives a state: nothing is computed"
        ledger.missing("states", why, Path("states"))
    for name, state in ledger.practice.states.items():
        what = f"state {name}: {state.title}"
        ledger.assumptions.append(Assumption(Path("states"), what, None, f"practice {ledger.practice.name}"))
    return Keyed({name: _supplied(name, state, nodes) for name, state in sorted(ledger.practice.states.items())})


def _own(name: str, state: State, nodes: Nodes, ledger: Ledger) -> LaidState:
    path = Path("states", name)
    modes = {id_: node.part.default_mode for id_, node in nodes.items() if node.part and node.part.modes}
    for id_, mode in state.modes.items():
        part = nodes[id_].part
        if part is not None and mode not in part.modes:
            error = UnknownName(f"mode of {part.short_key}", mode, part.modes, place=Place(path=path / "modes" / id_))
            ledger.errors.append(error)
        elif part is not None:
            modes[id_] = mode
    for id_ in state.start:
        part = nodes[id_].part
        if part is not None and not (isinstance(part, SourceDevice) and part.stores):
            ledger.error(f"{id_!r} has no charge: it is no battery", path / "start" / id_, "name a battery")
    charge = Keyed({id_: quantity.si for id_, quantity in state.start.items()})
    title, air = state.title or name, state.air or "warmest"
    return LaidState(name, title, state.engine == "on", air, Keyed(modes), charge)


def _supplied(name: str, state: KeyedState, nodes: Nodes) -> LaidState:
    modes = {
        id_: next((mode for mode in state.modes if mode in node.part.modes), node.part.default_mode)
        for id_, node in nodes.items()
        if node.part and node.part.modes
    }
    air: Air = "coldest" if state.air == "coldest" else "warmest"
    return LaidState(name, state.title, state.engine == "on", air, Keyed(modes), Keyed())
