"""The one door of the network: a topology and the numbers of its samples in, a solution out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import fields
from typing import Any, TypeVar

import numpy as np

from rigfeed.network.circuit import Circuit
from rigfeed.network.errors import NetworkError
from rigfeed.network.network import Network
from rigfeed.network.ranges import Flags
from rigfeed.network.settle import below_minimum, settled
from rigfeed.network.solution import Answer, Solution
from rigfeed.network.states import Outcome, States
from rigfeed.network.values import Values

__all__ = ["Answer", "Solution", "Tell", "solve"]

Tell = Callable[[float, str], None]
_T = TypeVar("_T", Answer, Solution)
_MOST_ENTRIES = 4_000_000  # of the matrices held at one time, 32 MB


def solve(
    network: Network, values: Values | None = None, *, tell: Tell | None = None, near: Solution | None = None
) -> Solution:
    """The operating point of a network in every sample.

    Newton on the nodal equations with the exact Jacobian; limits and one-way elements are exact, not smoothed. A
    constant-power load gets the larger of its voltages, the one that unloading leads back from. Where there is none,
    the loads are raised together until the voltage of one runs away; that one is named and switched off.

    A net behind one-way elements of which none conducts stands where a trace of leakage to 0 V would leave it: at the
    open-circuit voltage of the highest source that could feed it, at 0 V where none could.

    Parameters
    ----------
    network : Network
        The topology.
    values : Values, optional
        The numbers; those of the elements themselves, one sample, where not given.
    tell : callable, optional
        Called with the share done and a text; what it raises (`Cancelled`) goes through.
    near : Solution, optional
        One of the same network and as many samples with nearly the same numbers: it is quicker from there, and what is
        found is the same within rounding.

    Returns
    -------
    solution : Solution
        With every load asked for, and with the loads below their minimum switched off. Kirchhoff's current law holds
        within 1 uA, the balance of power within 1e-9.

    Raises
    ------
    NetworkError
        If the values belong to another network, or the solution nearby to another one or to other samples. A network
        that cannot run is no error.

    Examples
    --------
    >>> from rigfeed.network.elements import Resistor, Sink, Source
    >>> set_on_a_lead = [
    ...     Source("battery", "post", "body", emf_v=12.0, ohm=0.05),
    ...     Resistor("lead", "post", "set", ohm_20=0.05),
    ...     Sink("radio", "set", "body", "power", 110.0),
    ... ]
    >>> round(solve(Network.build(set_on_a_lead)).volts(0, "set"), 6)
    11.0
    """
    values = Values.of(network) if values is None else values
    if values.network is not network:
        raise NetworkError.about("the values belong to another network", remedy="make them with Values.of(network)")
    if near is not None and (near.network is not network or near.samples != values.samples):
        raise NetworkError.about("the solution nearby is not one of this network with as many samples")
    circuit = Circuit.of(network)
    size = max(1, _MOST_ENTRIES // max(1, circuit.size**2))
    starts = range(0, values.samples, size)
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
        chunks = [_chunk(circuit, values, start, size, tell, near) for start in starts]
    return chunks[0] if len(chunks) == 1 else _together(network, chunks)


def _chunk(
    circuit: Circuit, values: Values, start: int, size: int, tell: Tell | None, near: Solution | None
) -> Solution:
    whole, part = values.samples, values.take(slice(start, start + size))

    def told(begin: float, text: str) -> Callable[[float], None]:
        def forward(done: float) -> None:
            if tell is not None:
                tell((start + part.samples * (begin + done / 2.0)) / whole, text)

        return forward

    close = near.asked.near.take(slice(start, start + size)) if near is not None else None
    asked = settled(circuit, part, States.first(part), shedding=False, tell=told(0.0, "all loads on"), near=close)
    final, low = _second(circuit, part, asked, told(0.5, "loads below their minimum"))
    return Solution(
        network=circuit.network,
        asked=Answer.of(circuit, asked, part.sink_asked),
        settled=Answer.of(circuit, final, part.sink_asked),
        sink_asked=np.array(part.sink_asked),
        sink_lost=final.states.barred_sinks,
        converter_lost=final.states.barred_converters,
        sink_below=low | (part.sink_asked & ~final.states.on & ~final.states.barred_sinks & _fed(circuit, final)),
        hunting_flags=final.states.hunting,
    )


def _second(circuit: Circuit, values: Values, asked: Outcome, tell: Callable[[float], None]) -> tuple[Outcome, Flags]:
    """The second pass, only where a load is too low or was off before; and which loads are too low in the first."""
    u = asked.u[:, circuit.span["sink"]]
    low = asked.states.on & _fed(circuit, asked) & below_minimum(values, u)
    rows = np.flatnonzero((low | (asked.states.on & ~values.sink_on)).any(axis=1))
    if not len(rows):
        return asked, low
    final = Outcome.empty(circuit, asked.states.take(slice(None)))
    every = np.arange(values.samples)
    final.put(every, asked, np.ones(len(every), dtype=np.bool_))
    start = asked.states.take(rows)
    start.on &= values.sink_on[rows]
    again = settled(circuit, values.take(rows), start, shedding=True, tell=tell)
    final.put(rows, again, np.ones(len(rows), dtype=np.bool_))
    return final, low


def _fed(circuit: Circuit, outcome: Outcome) -> Flags:
    return outcome.parts.fed[:, circuit.span["sink"]]


def _together(network: Network, chunks: Sequence[Solution]) -> Solution:
    answers = {name: _stacked(Answer, network, [getattr(c, name) for c in chunks]) for name in ("asked", "settled")}
    return _stacked(Solution, network, chunks, **answers)


def _stacked(sort: type[_T], network: Network, parts: Sequence[_T], **known: Any) -> _T:
    """The arrays of all parts one after the other."""
    names = {field.name for field in fields(sort)} - {"network", *known}
    arrays: dict[str, Any] = {name: np.concatenate([getattr(part, name) for part in parts]) for name in names}
    return sort(network=network, **known, **arrays)
