"""What current each branch carries at a voltage: every element as the same few numbers.

A branch carries, from `a` to `b`::

    i(u) = clip(g * (u - e), low, high) + load * (amp + watt / u)

A source is the first term with ``low = -limit_a``, a diode with ``low = 0``, a converter's output with ``high = 0``, a
constant-current or constant-power sink the second; the `watt` of a converter's input follows from its output. `load`
runs from 0 to 1 when all loads are raised together.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from rigfeed.frozen import frozen
from rigfeed.network.circuit import Circuit
from rigfeed.network.parts import Parts
from rigfeed.network.ranges import Flags, Floats, hot_ohm
from rigfeed.network.values import Values

_EDGE_A = 1e-10  # a corner of a characteristic counts as conducting: there the current says nothing about the voltage
_EDGE_RELATIVE = 1e-14


@frozen(eq=False)
class Law:
    """The numbers of all branches, each of shape (samples, branches); of converters (samples, converters)."""

    g: Floats
    e: Floats
    low: Floats
    high: Floats
    amp: Floats
    watt: Floats
    efficiency: Floats
    standby_w: Floats
    edge_a: Floats

    def take(self, rows: Any) -> Law:
        """The law of some samples."""
        return Law(*(array[rows] for array in vars(self).values()))


@frozen(eq=False)
class Point:
    """Potentials as the sum of two numbers, so that the small voltage of a low resistance keeps all its digits [V]."""

    volt: Floats
    rest: Floats

    def moved(self, step: Floats) -> Point:
        """The point one step further."""
        step = self.rest + step
        volt = self.volt + step
        return Point(volt, step - (volt - self.volt))

    def take(self, rows: Any) -> Point:
        """The points of some samples."""
        return Point(self.volt[rows], self.rest[rows])


@frozen(eq=False)
class Flows:
    """The branches at one point: voltage, current, its derivative, and whether the clip leaves it as it is.

    `watt` is what the constant-power branches take; `across` is the derivative of each converter's input current by its
    output voltage.
    """

    u: Floats
    i: Floats
    slope: Floats
    across: Floats
    watt: Floats
    inside: Flags


def law(circuit: Circuit, values: Values, parts: Parts, closed: Flags, on: Flags) -> Law:
    """The law of the branches that are fed, with these switches closed and these sinks switched on."""
    shape = (values.samples, len(circuit.a))
    g, e, amp, watt = (np.zeros(shape) for _ in range(4))
    low, high = np.full(shape, -np.inf), np.full(shape, np.inf)
    span = circuit.span
    g[:, span["resistor"]] = 1.0 / hot_ohm(values.resistor_ohm_20, values.resistor_alpha, values.resistor_temperature_c)
    g[:, span["source"]], e[:, span["source"]] = 1.0 / values.source_ohm, values.source_emf_v
    low[:, span["source"]] = -values.source_limit_a
    g[:, span["diode"]], e[:, span["diode"]] = 1.0 / values.diode_ohm, values.diode_drop_v
    low[:, span["diode"]] = 0.0
    g[:, span["switch"]] = closed / values.switch_ohm
    g[:, circuit.outputs], e[:, circuit.outputs] = 1.0 / values.converter_out_ohm, values.converter_out_v
    low[:, circuit.outputs], high[:, circuit.outputs] = -values.converter_limit_a, 0.0
    for kind, target in (("current", amp), ("power", watt), ("resistance", g)):
        chosen = [place for place, sort in enumerate(circuit.network.sink_kinds) if sort == kind]
        value = values.sink_value[:, chosen]
        target[:, span["sink"].start + np.array(chosen, dtype=np.intp)] = on[:, chosen] * (
            1.0 / value if kind == "resistance" else value
        )
    fed = parts.fed
    return Law(
        g=g * fed,
        e=e,
        low=low,
        high=high,
        amp=amp * fed,
        watt=watt * fed,
        efficiency=values.converter_efficiency,
        standby_w=values.converter_standby_w,
        edge_a=_EDGE_A + _EDGE_RELATIVE * g * np.maximum(np.abs(e), 1.0),
    )


def flows(circuit: Circuit, law: Law, parts: Parts, point: Point, load: Floats) -> Flows:
    """The branches at a point, with all loads at the fraction `load` of shape (samples, 1)."""
    wide, fine = _between(circuit, point)
    u = wide + fine
    raw = law.g * ((wide - law.e) + fine)
    i = np.minimum(np.maximum(raw, law.low), law.high)
    inside = (raw >= law.low - law.edge_a) & (raw <= law.high + law.edge_a)
    slope = law.g * inside
    out_v, out_a = u[:, circuit.outputs], -i[:, circuit.outputs]
    giving = parts.fed[:, circuit.outputs]
    given = giving & (out_v * out_a > 0.0)
    watt = law.watt.copy()
    watt[:, circuit.inputs] = giving * law.standby_w + given * out_v * out_a / law.efficiency
    by_out_v = given * (out_a - out_v * slope[:, circuit.outputs]) / law.efficiency
    pull = np.divide(watt, u, out=np.zeros_like(u), where=(watt > 0.0) & (u != 0.0))
    steep = np.divide(pull, u, out=np.zeros_like(u), where=pull != 0.0)
    in_v = u[:, circuit.inputs]
    across = np.divide(load * by_out_v, in_v, out=np.zeros_like(in_v), where=in_v != 0.0)
    return Flows(u, i + load * (law.amp + pull), slope - load * steep, across, watt, inside)


def _between(circuit: Circuit, point: Point) -> tuple[Floats, Floats]:
    """The voltage of each branch as a wide and a fine part, the rounding error of the difference in the fine one."""
    a, b = point.volt[:, circuit.a], point.volt[:, circuit.b]
    wide = a - b
    back = wide - a
    lost = (a - (wide - back)) - (b + back)
    return wide, lost + (point.rest[:, circuit.a] - point.rest[:, circuit.b])
