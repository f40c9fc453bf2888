"""The closed set of elements that every part compiles itself into; the solver knows nothing else.

A terminal of an element is the name of a net: ``"F1.a"``, or `BODY` for the metal of the vehicle. Every element has a
name of its own within a network. Current through a two-terminal element is positive from `a` to `b`; a source delivers
it out of `pos`, a sink takes it in at `pos`. Resistances have a floor (`LEAST_OHM`), so that a perfect joint is made
by using one net, not by a vanishing resistance that would cost the solution its digits.
"""

from __future__ import annotations

import math
from typing import Literal

from rigfeed.frozen import frozen

BODY = "body"
LEAST_OHM = 1e-6

SinkKind = Literal["current", "power", "resistance"]


@frozen
class Resistor:
    """A conductor, a joint, a fuse: ``ohm_20 * (1 + alpha * (temperature - 20 degC))``."""

    name: str
    a: str
    b: str
    ohm_20: float
    alpha: float = 0.0  # 1/K
    temperature_c: float = 20.0


@frozen
class Source:
    """An EMF behind a resistance: ``v = emf_v - ohm * i`` while ``i <= limit_a``, constant current beyond.

    It takes current back as readily as it gives it; one that cannot (an alternator, a charger) stands behind a `Diode`.
    """

    name: str
    pos: str
    neg: str
    emf_v: float
    ohm: float
    limit_a: float = math.inf


@frozen
class Sink:
    """A load: constant current [A], constant power [W] or constant resistance [ohm]; `value` in that unit.

    Below `min_v` it switches off, and comes back at `restart_v` (`min_v` where not given).
    """

    name: str
    pos: str
    neg: str
    kind: SinkKind
    value: float
    min_v: float = 0.0
    restart_v: float | None = None


@frozen
class Converter:
    """Direct current to direct current, one way, its sides isolated from each other.

    Output: ``v = out_v - out_ohm * i`` for ``0 <= i <= limit_a``, constant current beyond, never a negative current.
    Input: ``v_in * i_in = v_out * i_out / efficiency + standby_w``. Below `cutoff_v` at its input it takes and gives
    nothing, and comes back at `restart_v` (`cutoff_v` where not given).
    """

    name: str
    in_pos: str
    in_neg: str
    out_pos: str
    out_neg: str
    out_v: float
    out_ohm: float
    limit_a: float
    efficiency: float
    standby_w: float = 0.0
    cutoff_v: float = 0.0
    restart_v: float | None = None


@frozen
class Diode:
    """A one-way element: ``v = drop_v + ohm * i`` forward, no current backward."""

    name: str
    a: str
    b: str
    drop_v: float
    ohm: float


@frozen
class Switch:
    """A contact that a voltage moves: closes at or above `close_v`, opens below `open_v`, stays as it was between.

    `closed` is how it stood before. With no sense terminals it stays so.
    """

    name: str
    a: str
    b: str
    ohm: float
    closed: bool
    sense_pos: str | None = None
    sense_neg: str | None = None
    close_v: float = math.inf
    open_v: float = -math.inf


Element = Resistor | Source | Sink | Converter | Diode | Switch
