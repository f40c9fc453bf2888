"""How warm the cores become in a course of currents, and when one passes what its insulation bears.

Up to 5 s no heat leaves a core (IEC 60364-5-54). After that it loses what keeps it at the temperature of its class
while it carries its ampacity, in proportion to how much warmer than its air it is: what the insulation itself takes up
is left out, so that a core is rather judged too early than too late::

    T' = p (beta + T) - q (T - air),   p = I2 / K2S2,   q = I_amp2 (beta + class) / (class - air) / K2S2
"""

from __future__ import annotations

import numpy as np

from rigfeed.frozen import frozen
from rigfeed.network.ranges import Floats, Places
from rigfeed.studies.faults.events import Course

ADIABATIC_S = 5.0  # IEC 60364-5-54, 543.1.2: times up to which no heat counts as lost
LITTLE_A = 0.1  # warms nothing
HUGE = 50.0  # exponents beyond it only say "far too hot"


@frozen(eq=False)
class Metal:
    """The cores of a network, one number each; not-a-number where something is not known.

    Attributes
    ----------
    start_c, limit_c : array
        Running temperature when the short begins; what the insulation bears at its end [degC].
    withstand_a2s : array
        What a core bears from there while no heat leaves it [A2s].
    heat_a2s : array
        Square of the current times the time per unit of ``ln((beta + T2) / (beta + T1))`` [A2s].
    beta_c : array
        Temperature below zero at which its resistance would vanish [degC].
    air_c, class_c, ampacity_a : array
        Its warmest air, the class of its insulation, what it carries for hours there [degC, degC, A].
    """

    start_c: Floats
    limit_c: Floats
    withstand_a2s: Floats
    heat_a2s: Floats
    beta_c: Floats
    air_c: Floats
    class_c: Floats
    ampacity_a: Floats

    @property
    def cooling(self) -> Floats:
        """`q` of the law above; 0 where the ampacity is not known [1/s]."""
        with np.errstate(divide="ignore", invalid="ignore"):
            rate = self.ampacity_a**2 * (self.beta_c + self.class_c) / (self.class_c - self.air_c) / self.heat_a2s
        return np.where(np.isfinite(rate) & (rate > 0.0), rate, 0.0)

    def lasting_a(self, core: int) -> float:
        """The current that brings a core to its limit only after an endless time [A]; 0 where no heat leaves it."""
        limit_c, air_c = float(self.limit_c[core]), float(self.air_c[core])
        squared = self.cooling[core] * self.heat_a2s[core] * (limit_c - air_c) / (self.beta_c[core] + limit_c)
        return float(np.sqrt(squared)) if squared > 0.0 else 0.0

    def bears_s(self, core: int, amps: Floats) -> Floats:
        """How long a core bears currents that stay the same, from its running temperature on [s]; infinite where it
        bears one for good, or where what it bears is not known."""
        cores, start_c, cooling = np.full(len(amps), core), np.full(len(amps), self.start_c[core]), self.cooling
        quick_s, slow_s = (
            _crossing_s(amps, start_c, self.take(cores, loss)) for loss in (np.zeros_like(cooling), cooling)
        )
        return _from_both(quick_s, slow_s)

    def take(self, cores: Places, loss: Floats) -> _Part:
        """The numbers of the law for these cores, with the cooling that is to count [1/s]."""
        return _Part(self.limit_c[cores], self.heat_a2s[cores], self.beta_c[cores], self.air_c[cores], loss[cores])


@frozen(eq=False)
class Warming:
    """What a course does to the cores, each of shape (shorts, cores).

    `let_through_a2s` is the square of the current times the time of all steps that end; `lasting_a` what flows on in
    one that does not, 0 where the fault is cleared; `limit_s` when a core passes what it bears, infinite if never.
    """

    let_through_a2s: Floats
    lasting_a: Floats
    limit_s: Floats


def warmed(course: Course, metal: Metal) -> Warming:
    """The warming of all cores in all shorts. What carries next to nothing in a step keeps its temperature."""
    shape = course.core_a.shape[1:]
    through, lasting_a = np.zeros(shape), np.zeros(shape)
    quick, slow = (_Clock(shape, metal.start_c) for _ in range(2))
    begin_s, none = np.zeros(shape[0]), np.zeros_like(metal.start_c)
    for amps, length_s in zip(np.abs(course.core_a), course.length_s, strict=True):
        ends = np.isfinite(length_s)
        passed_s = np.where(ends, length_s, 0.0)
        through += amps**2 * passed_s[:, None]
        lasting_a = np.where(ends[:, None], lasting_a, amps)
        short, core = np.nonzero((amps > LITTLE_A) & (length_s[:, None] > 0.0))
        for clock, loss in ((quick, none), (slow, metal.cooling)):
            clock.run(short, core, amps[short, core], begin_s[short], length_s[short], metal.take(core, loss))
        begin_s = begin_s + passed_s
    return Warming(through, lasting_a, _from_both(quick.limit_s, slow.limit_s))


def _from_both(quick_s: Floats, slow_s: Floats) -> Floats:
    """When a core passes its limit, from the times without any loss of heat and with it [s]."""
    return np.where(quick_s <= ADIABATIC_S, quick_s, np.maximum(slow_s, ADIABATIC_S))


def bears_s(amps: Floats, metal: Metal, cores: Places) -> Floats:
    """How long cores bear steady currents that find them at their running temperature; the last axis of `amps` is that
    of the cores [s]."""
    start_c = np.broadcast_to(metal.start_c[cores], amps.shape)
    quick = _crossing_s(amps, start_c, metal.take(cores, np.zeros_like(metal.start_c)))
    slow = _crossing_s(amps, start_c, metal.take(cores, metal.cooling))
    return np.where(quick <= ADIABATIC_S, quick, np.maximum(slow, ADIABATIC_S))


class _Clock:
    """The temperature of every core in every short, and when it passed what it bears."""

    def __init__(self, shape: tuple[int, ...], start_c: Floats) -> None:
        self.warm_c = np.broadcast_to(start_c, shape).copy()
        self.limit_s = np.full(shape, np.inf)

    def run(
        self, short: Places, core: Places, amps: Floats, begin_s: Floats, length_s: Floats, part: _Part
    ) -> None:
        """One step of some cores."""
        warm_c, limit_s = self.warm_c[short, core], self.limit_s[short, core]
        crossing_s = _crossing_s(amps, warm_c, part)
        hits = np.isinf(limit_s) & (crossing_s <= length_s)
        self.limit_s[short, core] = np.where(hits, begin_s + crossing_s, limit_s)
        passed_s = np.where(np.isfinite(length_s), length_s, 0.0)
        self.warm_c[short, core] = _after(amps, warm_c, passed_s, part)


@frozen(eq=False)
class _Part:
    """The numbers of the law for some of the cores; see `Metal`."""

    limit_c: Floats
    heat_a2s: Floats
    beta_c: Floats
    air_c: Floats
    loss: Floats


def _law(amps: Floats, metal: _Part) -> tuple[Floats, Floats]:
    """The law ``T' = a T + b`` of the cores at their currents [1/s, K/s]."""
    p = amps**2 / metal.heat_a2s
    return p - metal.loss, p * metal.beta_c + metal.loss * metal.air_c


def _crossing_s(amps: Floats, warm_c: Floats, metal: _Part) -> Floats:
    """How long it takes from a temperature to the limit; infinite where it gets no further, 0 where it is there."""
    a, b = _law(amps, metal)
    now, then = a * warm_c + b, a * metal.limit_c + b
    with np.errstate(divide="ignore", invalid="ignore"):
        slow = np.abs(a) < 1e-12
        time = np.where(slow, (metal.limit_c - warm_c) / b, np.log(then / now) / np.where(slow, 1.0, a))
        time = np.where((now > 0.0) & (then > 0.0) & (time >= 0.0), time, np.inf)
    time = np.where((warm_c >= metal.limit_c) & (amps > 0.0), 0.0, time)
    return np.where(np.isfinite(metal.limit_c) & np.isfinite(metal.heat_a2s), time, np.inf)


def _after(amps: Floats, warm_c: Floats, passed_s: Floats, metal: _Part) -> Floats:
    """The temperature after a time, no higher than a little above the limit [degC]."""
    a, b = _law(amps, metal)
    slow = np.abs(a) < 1e-12
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
        rest = np.where(slow, 0.0, -b / np.where(slow, 1.0, a))
        grown = (warm_c - rest) * np.exp(np.minimum(a * passed_s, HUGE)) + rest
        later = np.where(slow, warm_c + b * passed_s, grown)
    return np.fmin(later, metal.limit_c + 1.0)
