"""What the kit asks of a part. Plugins build parts; the kit knows these interfaces only.

::

    Part                    a row of a catalog: key, title, where it comes from
    ├── ConductorType       a cable: cores, diameter, insulation, what it may carry
    │   └── FeederType      a coaxial cable: impedance and loss as well
    ├── EndFitting          what is crimped or plugged at the end of a conductor
    ├── Accessory           something that belongs to a node: a holder
    └── Device              a node: terminals, modes, elements for a condition
        ├── SourceDevice    a battery, an alternator
        │   └── ConverterDevice  a converter or a charger: takes at its input, feeds at its output
        ├── ProtectiveDevice  a fuse, a breaker
        ├── LoadDevice      equipment with the volts it needs
        ├── MakerPoint      a take-off from the vehicle's own wiring
        └── Joint           a stud, a busbar, a splice: one net
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Sequence
from typing import Any, ClassVar, Literal

import numpy as np

from rigfeed.errors import UnknownName, shown
from rigfeed.formula import FloatArray
from rigfeed.frozen import frozen
from rigfeed.network.elements import BODY, Element
from rigfeed.parts.part import Part, Rigid

Case = Literal["operating", "highest", "lowest"]
Pole = Literal["positive", "negative", "signal", "inner", "shield", "any"]


@frozen
class Terminal:
    """A place on a device where a conductor ends."""

    name: str
    pole: Pole = "any"


@frozen
class Condition:
    """What a part needs to know to compile itself: its mode, its charge (0..1, None unknown), its air, the engine.

    `case` says for what: "operating", or the "highest" or "lowest" current that the part can drive into a fault.
    `shields_carry` counts the ways back that exist but that nobody may rely on: over the shield of a feeder and the
    mount of its antenna into the body. A study of what is enough leaves them out; one of what can happen does not.
    """

    mode: str = ""
    charge: float | None = None
    temperature_c: float = 20.0
    engine_on: bool = False
    case: Case = "operating"
    shields_carry: bool = False


@frozen
class Core:
    """One metal path of a cable: its name, area, resistance at 20 degC and temperature coefficient."""

    name: str
    area_mm2: float
    ohm_per_m_20: float
    alpha_per_k: float


@frozen
class Surroundings:
    """What decides how much a conductor may carry: its air, how many that carry current lie together, the volts."""

    air_c: float
    bundled: int = 1
    system_v: float = 12.0
    engine_space: bool = False


@frozen
class Ampacity:
    """What a conductor may carry for hours [A], and on which basis."""

    amps: float
    basis: str


@frozen(kw_only=True, eq=False)
class ConductorType(Part):
    """A cable. `od_mm` is the diameter over everything; `insulation_c` the class of its insulation."""

    od_mm: float
    insulation_c: float | None = None
    material: str = "copper"
    bend_mm: float | None = None
    g_per_m: float | None = None

    @property
    @abstractmethod
    def cores(self) -> tuple[Core, ...]:
        """The metal paths, in the order in which `from` and `to` name their terminals."""

    def ampacities(self, surroundings: Surroundings) -> tuple[Ampacity, ...]:
        """What each core may carry, one figure for each basis that has one; the lowest governs."""
        return ()

    def running_c(self, current_a: float, surroundings: Surroundings) -> float:
        """The temperature of the metal when each core has carried a current for hours [degC]; the air, if not known."""
        return surroundings.air_c

    @property
    def short_time_c(self) -> float | None:
        """What its insulation bears at the end of a short circuit [degC]; None where that is not known."""
        return None

    def withstand_a2s(self, running_c: float) -> float | None:
        """The square of the current times its time that a core bears when a short finds it at its running temperature
        and no heat leaves it [A2s]; None where that is not known."""
        return None


@frozen(kw_only=True, eq=False)
class FeederType(ConductorType):
    """A coaxial cable: characteristic impedance, velocity factor, loss."""

    impedance_ohm: float
    velocity_factor: float

    @abstractmethod
    def loss_db(self, frequency_hz: float, length_m: float) -> float:
        """Loss of a matched length [dB]."""


@frozen(kw_only=True, eq=False)
class EndFitting(Part):
    """What ends a conductor: a ring, a ferrule, a plug. `rigid` is what must pass a hole if it is fitted before."""

    contact_ohm: float
    rigid: Rigid | None = None
    strip_mm: float | None = None


@frozen(kw_only=True, eq=False)
class Accessory(Part):
    """Something that belongs to a node rather than being one."""

    rigid: Rigid | None = None


@frozen(kw_only=True, eq=False)
class Device(Part):
    """A part that is a node of the graph."""

    modes: ClassVar[tuple[str, ...]] = ()
    default_mode: ClassVar[str] = ""

    @property
    @abstractmethod
    def terminals(self) -> tuple[Terminal, ...]:
        """Its terminals, in the order people read them."""

    @abstractmethod
    def elements(self, settings: Any, condition: Condition) -> Sequence[Element]:
        """Its elements for a condition. Nets are names of its own terminals, inner names of its own, or `BODY`."""

    @property
    def through(self) -> tuple[tuple[str, str], ...]:
        """Pairs of terminals that the feed passes through when someone follows it from the source."""
        return ()

    def terminal(self, name: str) -> Terminal:
        """The terminal of a name.

        Raises
        ------
        UnknownName
            If it has none of that name.
        """
        for terminal in self.terminals:
            if terminal.name == name:
                return terminal
        error = UnknownName("terminal", name, [terminal.name for terminal in self.terminals])
        error.what = f"{self.short_key} has no terminal {shown(name)}"
        raise error


@frozen(kw_only=True, eq=False)
class SourceDevice(Device):
    """Something that feeds. `stores` tells a battery from a generator."""

    stores: ClassVar[bool] = True

    @property
    def poles(self) -> tuple[str, str]:
        """The names of its positive and negative terminal."""
        return ("pos", "neg")

    @property
    def disconnects_a(self) -> float | None:
        """The current at which its own management unit takes it off [A]; None where nothing does. Nobody says how fast,
        nor that it will: it is no protection against a short."""
        return None


@frozen(kw_only=True, eq=False)
class ConverterDevice(SourceDevice):
    """Direct current to direct current. For whatever hangs on its output it is the source (`poles`); to what feeds it,
    it is a load (`input_poles`) that locks out below `lockout_v`."""

    stores: ClassVar[bool] = False

    out_v: float
    limit_a: float
    efficiency: float
    lockout_v: float | None = None
    restart_v: float | None = None
    most_in_v: float | None = None
    standby_w: float = 0.0
    isolated: bool = False

    @property
    def poles(self) -> tuple[str, str]:
        return ("out-pos", "out-neg")

    @property
    def input_poles(self) -> tuple[str, str]:
        """The names of its positive and negative input."""
        return ("in-pos", "in-neg")


@frozen(kw_only=True, eq=False)
class ProtectiveDevice(Device):
    """A fuse or a breaker, rated `rated_a` at up to `rated_v` direct voltage; it can interrupt `breaking_a`."""

    rated_a: float
    rated_v: float | None = None
    breaking_a: float | None = None

    @property
    @abstractmethod
    def resistance_ohm(self) -> float:
        """With what holds it, warm from its rated current [ohm]."""

    @abstractmethod
    def opening_s(self, current_a: float, air_c: float = 25.0) -> tuple[float, float]:
        """The shortest and the longest time in which it may open at a current [s]; infinite where it need not."""

    def openings_s(self, current_a: FloatArray, air_c: float = 25.0) -> tuple[FloatArray, FloatArray]:
        """`opening_s` for many currents; air beyond what its curve knows counts as the last that it does know [s]."""
        times = np.array([self.opening_s(float(amps), air_c) for amps in current_a], dtype=np.float64).reshape(-1, 2)
        return times[:, 0], times[:, 1]

    def bends_a(self, air_c: float = 25.0) -> tuple[float, ...]:
        """The currents at which its times jump or bend, for whoever draws them [A]; none where they are smooth."""
        return ()

    @property
    def closes_again(self) -> bool:
        """Whether it closes by itself after it has opened, into whatever made it open."""
        return False


@frozen(kw_only=True, eq=False)
class LoadDevice(Device):
    """Equipment: its nominal voltage, the volts between which it works, and the fuse its maker states.

    Where the maker states no limits, the practice's share of the nominal voltage stands in, as an assumption.
    """

    nominal_v: float = 12.0
    least_v: float | None = None
    most_v: float | None = None
    stated_fuse_a: float | None = None

    @property
    def poles(self) -> tuple[str, str]:
        """The names of its positive and negative supply terminal."""
        return ("pos", "neg")


@frozen(kw_only=True, eq=False)
class MakerPoint(Device):
    """A place to take power off the vehicle's own wiring; what protects that wiring is its maker's affair."""


@frozen(kw_only=True, eq=False)
class Joint(Device):
    """A stud, a busbar or a splice: whatever ends on it is one net, under any terminal name."""

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        return ()

    def terminal(self, name: str) -> Terminal:
        return Terminal(name)

    def elements(self, settings: Any, condition: Condition) -> Sequence[Element]:
        return ()


NETS = ("a", "b", "pos", "neg", "in_pos", "in_neg", "out_pos", "out_neg", "sense_pos", "sense_neg")


def placed(element: Element, node: str) -> Element:
    """An element of a part as one of the network: its name and its nets get the id of the node in front."""
    changes: dict[str, Any] = {"name": f"{node}.{element.name}" if element.name else node}
    for net in NETS:
        value = getattr(element, net, None)
        if value is not None and value != BODY:
            changes[net] = f"{node}.{value}"
    return type(element)(**{**vars(element), **changes})
