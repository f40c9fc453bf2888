"""What a solve found: arrays with the sample first, names for the second axis, and methods to read single numbers.

A net that nothing feeds has no potential: not-a-number in the arrays, None from the methods. The current of whatever
is not fed, is open or is off is 0.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np

from rigfeed.frozen import frozen
from rigfeed.network.circuit import Circuit
from rigfeed.network.network import Network
from rigfeed.network.ranges import Flags, Floats, Places
from rigfeed.network.states import Near, Outcome, joined
from rigfeed.network.values import Values

_LEAST_THROUGHPUT_W = 1e-3  # a network at rest has no power to compare an error with


@frozen(eq=False)
class Answer:
    """One state of the network in every sample.

    Attributes
    ----------
    net_v : array, shape (samples, nets)
        Potential against the 0 V net of the part that hangs together [V]; not-a-number where dead.
    zero : array of int, shape (samples, nets)
        That 0 V net: the one of the galvanic island, unless an open contact has split the island.
    resistor_a, source_a, sink_a, diode_a, switch_a, converter_in_a, converter_out_a : array, shape (samples, count)
        Currents in the order of ``network.names`` [A], positive as the elements say.
    resistor_v, ... : array, shape (samples, count)
        The voltage across each, to all its digits even where it is far below those of the potentials [V].
    sink_on, converter_on, switch_closed : array of bool, shape (samples, count)
        How each stands; see `Solution.carried` for a next solve in time.
    sink_unfed : array of bool, shape (samples, sinks)
        Asked to run, but no source is connected.
    source_limited, converter_limited : array of bool, shape (samples, count)
        At the current limit.
    kirchhoff_a : array, shape (samples,)
        The largest sum of currents at any net, which ought to be 0 [A].
    power_error : array, shape (samples,)
        Power delivered less power taken by all branches, as a part of the power delivered or of 1 mW.
    """

    network: Network
    net_v: Floats
    zero: Places
    resistor_v: Floats
    resistor_a: Floats
    source_v: Floats
    source_a: Floats
    sink_v: Floats
    sink_a: Floats
    diode_v: Floats
    diode_a: Floats
    switch_v: Floats
    switch_a: Floats
    converter_in_v: Floats
    converter_in_a: Floats
    converter_out_v: Floats
    converter_out_a: Floats
    sink_on: Flags
    converter_on: Flags
    switch_closed: Flags
    sink_unfed: Flags
    source_limited: Flags
    converter_limited: Flags
    kirchhoff_a: Floats
    power_error: Floats

    @classmethod
    def of(cls, circuit: Circuit, outcome: Outcome, asked: Flags) -> Answer:
        """The readable form of an outcome."""
        network, span, parts = circuit.network, circuit.span, outcome.parts
        alive = parts.live[:, circuit.a] & (parts.label[:, circuit.a] == parts.label[:, circuit.b])
        v, a = np.where(alive, outcome.u, math.nan), outcome.i
        inputs, outputs = circuit.inputs, circuit.outputs
        numbers: dict[str, Floats] = {}
        for kind, sign in (("resistor", 1.0), ("source", -1.0), ("sink", 1.0), ("diode", 1.0), ("switch", 1.0)):
            numbers[f"{kind}_v"] = v[:, span[kind]]  # type: ignore[index]
            numbers[f"{kind}_a"] = sign * a[:, span[kind]] + 0.0  # type: ignore[index]
        power = np.where(alive, outcome.u * a, 0.0)
        taken, given = np.maximum(power, 0.0).sum(axis=1), np.maximum(-power, 0.0).sum(axis=1)
        return cls(
            network=network,
            net_v=np.where(parts.live, outcome.volt, math.nan),
            zero=np.argsort(network.rank)[parts.label],
            **numbers,
            converter_in_v=v[:, inputs],
            converter_in_a=a[:, inputs],
            converter_out_v=v[:, outputs],
            converter_out_a=0.0 - a[:, outputs],
            sink_on=outcome.states.on,
            converter_on=outcome.states.running,
            switch_closed=outcome.states.closed,
            sink_unfed=asked & ~parts.fed[:, span["sink"]],
            source_limited=outcome.limited[:, span["source"]],
            converter_limited=outcome.limited[:, outputs],
            kirchhoff_a=np.abs(circuit.leaving(a)).max(axis=1, initial=0.0),
            power_error=np.abs(given - taken) / np.maximum(given, _LEAST_THROUGHPUT_W),
        )

    @property
    def near(self) -> Near:
        """Where to look first for an answer with nearly the same numbers."""
        return Near(joined(self.switch_closed, self.converter_on, self.sink_on), np.nan_to_num(self.net_v))

    def volts(self, sample: int, net: str) -> float | None:
        """The potential of a net against its 0 V net [V]; None where nothing feeds it."""
        return _number(self.net_v[sample, self.network.net(net)])

    def between(self, sample: int, a: str, b: str) -> float | None:
        """The voltage from net `a` to net `b` [V]; None where one is dead or no way leads from one to the other."""
        first, second = self.network.net(a), self.network.net(b)
        if self.zero[sample, first] != self.zero[sample, second]:
            return None
        return _number(self.net_v[sample, first] - self.net_v[sample, second])

    def across(self, sample: int, element: str) -> float | None:
        """The voltage of an element from its first to its second terminal [V]; of a converter that of its output."""
        kind, place = self.network.where(element)
        return _number(getattr(self, "converter_out_v" if kind == "converter" else f"{kind}_v")[sample, place])

    def current(self, sample: int, element: str) -> float:
        """The current of an element, positive as its kind says [A]; of a converter that of its output."""
        kind, place = self.network.where(element)
        return float(getattr(self, "converter_out_a" if kind == "converter" else f"{kind}_a")[sample, place])

    def input_current(self, sample: int, converter: str) -> float:
        """The current that a converter takes in [A]."""
        return float(self.converter_in_a[sample, self._converter(converter)])

    def input_volts(self, sample: int, converter: str) -> float | None:
        """The voltage at the input of a converter [V]; None where nothing feeds it."""
        return _number(self.converter_in_v[sample, self._converter(converter)])

    def power(self, sample: int, element: str) -> float:
        """What a source gives, a sink takes, anything else turns into heat (a converter: input less output) [W]."""
        given = (self.across(sample, element) or 0.0) * self.current(sample, element)
        if self.network.where(element)[0] != "converter":
            return given
        return (self.input_volts(sample, element) or 0.0) * self.input_current(sample, element) - given

    def unfed(self, sample: int) -> tuple[str, ...]:
        """The sinks that are asked to run but to which no source is connected."""
        return _chosen(self.network.names["sink"], self.sink_unfed[sample])

    def limited(self, sample: int) -> tuple[str, ...]:
        """The sources and converters that give all the current they may."""
        names = (*self.network.names["source"], *self.network.names["converter"])
        return _chosen(names, [*self.source_limited[sample], *self.converter_limited[sample]])

    def _converter(self, name: str) -> int:
        return self.network.names["converter"].index(name)


@frozen(eq=False)
class Solution:
    """Both answers, and what is wrong in each sample.

    `asked` has every load on that is asked to run, whatever its minimum voltage; `settled` has those below it off.
    The methods `volts`, `between`, `across`, `current`, `power` read the settled answer.

    Attributes
    ----------
    sink_lost, converter_lost : array of bool, shape (samples, count)
        No operating point: off in both answers.
    sink_below : array of bool, shape (samples, sinks)
        Below the minimum voltage in `asked`, or switched off for it on the way to `settled`.
    hunting_flags : array of bool, shape (samples, switches + converters + sinks)
        What would switch to and fro for ever; off or open in the answers.
    """

    network: Network
    asked: Answer
    settled: Answer
    sink_asked: Flags
    sink_lost: Flags
    converter_lost: Flags
    sink_below: Flags
    hunting_flags: Flags

    @property
    def samples(self) -> int:
        """The number of samples."""
        return len(self.sink_asked)

    def volts(self, sample: int, net: str) -> float | None:
        """The settled potential of a net against its 0 V net [V]; None where nothing feeds it."""
        return self.settled.volts(sample, net)

    def between(self, sample: int, a: str, b: str) -> float | None:
        """The settled voltage from net `a` to net `b` [V]; None where there is none."""
        return self.settled.between(sample, a, b)

    def across(self, sample: int, element: str) -> float | None:
        """The settled voltage of an element [V]; None where nothing feeds it."""
        return self.settled.across(sample, element)

    def current(self, sample: int, element: str) -> float:
        """The settled current of an element [A]."""
        return self.settled.current(sample, element)

    def power(self, sample: int, element: str) -> float:
        """The settled power of an element [W]."""
        return self.settled.power(sample, element)

    def load_volts(self, sample: int, sink: str) -> float | None:
        """The voltage of a load while it runs [V].

        For one that switched off for low voltage it is what it would have had running; None for one that is not
        asked to run, not fed, or has no operating point.
        """
        place = self.network.names["sink"].index(sink)
        if self.sink_lost[sample, place] or not self.sink_asked[sample, place]:
            return None
        if self.settled.sink_on[sample, place]:
            return self.settled.across(sample, sink)
        return self.asked.across(sample, sink)

    def carried(self, values: Values) -> Values:
        """The values with everything standing as it does in the end: where a next step in time starts.

        A load that is off for its voltage waits for its restart voltage; one that was not asked to run, was not fed or
        had no operating point starts afresh when it can.
        """
        waits = self.sink_asked & ~self.settled.sink_on & ~self.sink_lost & ~self.settled.sink_unfed
        return values.replace(
            sink_on=~waits, converter_on=self.settled.converter_on, switch_closed=self.settled.switch_closed
        )

    def no_operating_point(self, sample: int) -> tuple[str, ...]:
        """The sinks, and converters at their input, that no voltage can satisfy."""
        return (
            *_chosen(self.network.names["sink"], self.sink_lost[sample]),
            *_chosen(self.network.names["converter"], self.converter_lost[sample]),
        )

    def below_minimum(self, sample: int) -> tuple[str, ...]:
        """The sinks whose voltage is below their minimum while all run that are asked to."""
        return _chosen(self.network.names["sink"], self.sink_below[sample])

    def unfed(self, sample: int) -> tuple[str, ...]:
        """The sinks that are asked to run but to which no source is connected in the end."""
        return self.settled.unfed(sample)

    def switched_off(self, sample: int) -> tuple[str, ...]:
        """The sinks that are asked to run and are fed, but are off in the end."""
        off = self.sink_asked[sample] & ~self.settled.sink_on[sample] & ~self.settled.sink_unfed[sample]
        return _chosen(self.network.names["sink"], off)

    def hunting(self, sample: int) -> tuple[str, ...]:
        """The switches, converters and sinks that would switch to and fro for ever."""
        names = self.network.names
        return _chosen((*names["switch"], *names["converter"], *names["sink"]), self.hunting_flags[sample])

    def limited(self, sample: int) -> tuple[str, ...]:
        """The sources and converters that give all the current they may in the end."""
        return self.settled.limited(sample)


def _number(value: float) -> float | None:
    return None if math.isnan(value) else float(value)


def _chosen(names: tuple[str, ...], flags: Iterable[bool]) -> tuple[str, ...]:
    return tuple(name for name, flag in zip(names, flags, strict=True) if flag)
