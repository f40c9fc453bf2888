"""How warm the cores become in a course of currents, and when one passes what its insulation bears.

Up to 5 s no heat leaves a core (IEC 60364-5-54). After that it loses what keeps it at the temperature of its class
while it carries its ampacity, in proportion to how much warmer than its air it is: what the insulation itself takes up
is left out, so that a core is rather judged too early than too late::

    T' = p (beta + T) - q (T - air),   p = I2 / K2S2,   q = I_amp2 (beta + class) / (class - air) / K2S2
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rigfeed.network.ranges import Floats
from rigfeed.studies.faults.events import Course

ADIABATIC_S = 5.0  # IEC 60364-5-54, 543.1.2: times up to which no heat counts as lost
HUGE = 50.0  # exponents beyond it only say "far too hot"


@dataclass(frozen=True, eq=False)
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


@dataclass(frozen=True, eq=False)
class Warming:
    """What a course does to the cores, each of shape (shorts, cores).

    `let_through_a2s` is the square of the current times the time of all steps that end; `lasting_a` what flows on in
    one that does not, 0 where the fault is cleared; `limit_s` when a core passes what it bears, infinite if never.
    """

    let_through_a2s: Floats
    lasting_a: Floats
    limit_s: Floats


def warmed(course: Course, metal: Metal) -> Warming:
    """The warming of all cores in all shorts."""
    shape = course.core_a.shape[1:]
    through, lasting_a = np.zeros(shape), np.zeros(shape)
    quick_s, slow_s = np.full(shape, np.inf), np.full(shape, np.inf)
    quick_c, slow_c = (np.broadcast_to(metal.start_c, shape).copy() for _ in range(2))
    begin_s = np.zeros(shape[0])
    for amps, length_s in zip(np.abs(course.core_a), course.length_s, strict=True):
        ends = np.isfinite(length_s)
        passed_s = np.where(ends, length_s, 0.0)[:, None]
        through += amps**2 * passed_s
        lasting_a = np.where(ends[:, None], lasting_a, amps)
        for at_s, warm_c, loss in ((quick_s, quick_c, np.zeros_like(metal.start_c)), (slow_s, slow_c, metal.cooling)):
            crossing_s = _crossing_s(amps, warm_c, metal, loss)
            hits = np.isinf(at_s) & (crossing_s <= length_s[:, None]) & (length_s[:, None] > 0.0)
            at_s[hits] = (begin_s[:, None] + crossing_s)[hits]
            warm_c[:] = _after(amps, warm_c, passed_s, metal, loss)
        begin_s = begin_s + passed_s[:, 0]
    return Warming(through, lasting_a, np.where(quick_s <= ADIABATIC_S, quick_s, np.maximum(slow_s, ADIABATIC_S)))


def _law(amps: Floats, metal: Metal, loss: Floats) -> tuple[Floats, Floats]:
    """The law ``T' = a T + b`` of the cores at their currents [1/s, K/s]."""
    p = amps**2 / metal.heat_a2s
    return p - loss, p * metal.beta_c + loss * metal.air_c


def _crossing_s(amps: Floats, warm_c: Floats, metal: Metal, loss: Floats) -> Floats:
    """How long it takes from a temperature to the limit; infinite where it gets no further, 0 where it is there."""
    a, b = _law(amps, metal, loss)
    now, then = a * warm_c + b, a * metal.limit_c + b
    with np.errstate(divide="ignore", invalid="ignore"):
        slow = np.abs(a) < 1e-12
        time = np.where(slow, (metal.limit_c - warm_c) / b, np.log(then / now) / np.where(slow, 1.0, a))
        time = np.where((now > 0.0) & (then > 0.0) & (time >= 0.0), time, np.inf)
    time = np.where((warm_c >= metal.limit_c) & (amps > 0.0), 0.0, time)
    return np.where(np.isfinite(metal.limit_c) & np.isfinite(metal.heat_a2s), time, np.inf)


def _after(amps: Floats, warm_c: Floats, passed_s: Floats, metal: Metal, loss: Floats) -> Floats:
    """The temperature after a time, no higher than a little above the limit [degC]."""
    a, b = _law(amps, metal, loss)
    slow = np.abs(a) < 1e-12
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
        rest = np.where(slow, 0.0, -b / np.where(slow, 1.0, a))
        grown = (warm_c - rest) * np.exp(np.minimum(a * passed_s, HUGE)) + rest
        later = np.where(slow, warm_c + b * passed_s, grown)
    return np.fmin(later, metal.limit_c + 1.0)
