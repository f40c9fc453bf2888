"""Numbers with units as people write them, and back: ``"6 AWG"``, ``"1.2 m"``, ``"14 ft"``, ``"-12 degC"``.

A `Quantity` keeps the text that a person wrote. Its `si` is the value in the base unit of its kind, which is the SI unit
except where the trade thinks otherwise: mm2 for cross-sections, degC for temperatures, Ah for capacities. Conversions
happen here, at the edges, and nowhere deeper.

Sources of the factors: the inch (25.4 mm), the foot and the avoirdupois pound are exact by the international yard and
pound agreement of 1959 (NIST SP 811); AWG diameters follow ASTM B258: d = 0.127 mm * 92^((36 - n)/39).
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache
from typing import Literal

from rigfeed.errors import BadQuantity

System = Literal["metric", "us"]

CMIL_MM2 = math.pi / 4 * 0.0254**2  # one circular mil: the area of a circle of 1/1000 inch


@dataclass(frozen=True)
class Unit:
    """One way to write a kind of quantity: ``base = value * factor + offset``."""

    kind: str
    factor: float
    offset: float = 0.0


def _units() -> dict[str, Unit]:
    table: dict[str, dict[str, float]] = {
        "length": {"m": 1, "mm": 1e-3, "cm": 1e-2, "km": 1e3, "in": 0.0254, "ft": 0.3048, "yd": 0.9144},
        "cross-section": {"mm2": 1, "cmil": CMIL_MM2, "kcmil": 1e3 * CMIL_MM2},
        "voltage": {"V": 1, "mV": 1e-3},
        "current": {"A": 1, "mA": 1e-3},
        "resistance": {"ohm": 1, "mohm": 1e-3},
        "resistance per length": {"ohm/m": 1, "ohm/km": 1e-3, "mohm/m": 1e-3, "ohm/kft": 1e-3 / 0.3048},
        "power": {"W": 1, "kW": 1e3, "mW": 1e-3},
        "capacity": {"Ah": 1, "mAh": 1e-3},
        "energy": {"J": 1, "Wh": 3600.0},
        "time": {"s": 1, "ms": 1e-3, "min": 60, "h": 3600, "d": 86400},
        "frequency": {"Hz": 1, "kHz": 1e3, "MHz": 1e6, "GHz": 1e9},
        "mass": {"kg": 1, "g": 1e-3, "lb": 0.45359237},
        "torque": {"N m": 1, "lbf in": 0.1129848290276167},
        "force": {"N": 1, "lbf": 4.4482216152605},
        "angle": {"deg": 1},
        "ratio": {"": 1, "%": 1e-2},
        "decibel": {"dB": 1},
    }
    units = {name: Unit(kind, float(factor)) for kind, row in table.items() for name, factor in row.items()}
    units["degC"] = Unit("temperature", 1.0)
    units["degF"] = Unit("temperature", 5 / 9, -160 / 9)
    units["K"] = Unit("temperature", 1.0, -273.15)
    units["temperature difference"] = Unit("temperature difference", 1.0)
    return units


UNITS = _units()

# Other spellings of the same unit. A case that changes the meaning (mW, MW) is never folded.
SPELLINGS = {
    "mm²": "mm2", "sqmm": "mm2", "mm^2": "mm2", "MCM": "kcmil", "inch": "in", "inches": "in", '"': "in", "feet": "ft",
    "foot": "ft", "'": "ft", "metre": "m", "metres": "m", "meter": "m", "meters": "m", "°C": "degC", "C": "degC",
    "°F": "degF", "F": "degF", "Ω": "ohm", "mΩ": "mohm", "Ohm": "ohm", "ohms": "ohm", "sec": "s", "hours": "h",
    "hour": "h", "hr": "h", "amp": "A", "amps": "A", "volt": "V", "volts": "V", "watt": "W", "watts": "W",
    "percent": "%", "Nm": "N m", "days": "d", "day": "d", "°": "deg",
}  # fmt: skip

_NUMBER = r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?"
_TEXT = re.compile(rf"\s*({_NUMBER})\s*(\S.*?)?\s*")
_COMMA = re.compile(r"\s*([+-]?\d+),(\d+)(.*)")
_FRACTION = re.compile(r"\s*(?:(\d+)\s+)?(\d+)/(\d+)\s*(in|inch|inches|\")\s*")
_AWG = re.compile(r"\s*(?:([1-9]\d?)/0|(0{1,4})|(\d{1,2}))\s*awg\s*", re.IGNORECASE)
_AWG_FIRST = re.compile(r"\s*awg\s*(\S+)\s*", re.IGNORECASE)


@dataclass(frozen=True)
class Quantity:
    """What a person wrote, and its value in the base unit of its kind. Equality is that of the text.

    >>> Quantity.parse("14 ft", "m").si
    4.2672
    >>> Quantity.parse("6 AWG", "mm2").text
    '6 AWG'
    """

    text: str
    si: float = field(compare=False)

    @classmethod
    def parse(cls, text: str, unit: str) -> Quantity:
        """Read a text as a quantity of the same kind as `unit`.

        Raises
        ------
        BadQuantity
            If it is no finite number, has no unit or one of another kind, or uses a decimal comma.
        """
        return cls(text, parse(text, unit))

    def to(self, unit: str) -> float:
        """The value in `unit`, for instance millimetres of a length."""
        return from_base(self.si, unit)

    def __str__(self) -> str:
        return self.text


def parse(text: str, unit: str) -> float:
    """The value of a text in the base unit of the kind that `unit` belongs to; see `Quantity.parse`.

    >>> parse("25 mm", "m")
    0.025
    >>> round(parse("8 AWG", "mm2"), 3)
    8.366
    >>> parse("-12 degC", "degC")
    -12.0
    """
    kind = kind_of(unit)
    if kind == "cross-section" and (area_mm2 := _awg_text(text)) is not None:
        return area_mm2
    if kind == "length" and (fraction := _FRACTION.fullmatch(text)):
        whole, top, bottom, _ = fraction.groups()
        if int(bottom) > 0:
            return (int(whole or 0) + int(top) / int(bottom)) * 0.0254
    if comma := _COMMA.fullmatch(text):
        raise BadQuantity(
            f"{text!r} has a decimal comma", remedy=f"write {comma[1]}.{comma[2]}{comma[3]}"
        )
    match = _TEXT.fullmatch(text)
    if not match:
        raise BadQuantity(f"{text!r} is not a number with a unit", remedy=f"write for example {example(unit)}")
    return _value(text, float(match[1]), match[2] or "", unit)


def _value(text: str, number: float, written: str, unit: str) -> float:
    if not math.isfinite(number):
        raise BadQuantity(f"{text!r} is not a finite number")
    kind = kind_of(unit)
    name = SPELLINGS.get(written, written)
    found = UNITS.get(name)
    if found is None or found.kind != kind:
        if written == "":
            raise BadQuantity(
                f"{text!r} has no unit", remedy=f"write for example {text.strip()} {unit}" if unit else ""
            )
        if found is None:
            reason = f"{written!r} is not a unit"
        else:
            reason = f"{text!r} is a {found.kind}, not a {kind}"
        allowed = ", ".join(units_of(kind))
        raise BadQuantity(f"{reason} of {kind}" if found is None else reason, remedy=f"use one of: {allowed}")
    return number * found.factor + found.offset


def _awg_text(text: str) -> float | None:
    first = _AWG_FIRST.fullmatch(text)
    match = _AWG.fullmatch(f"{first[1]} AWG" if first else text)
    if not match:
        return None
    aught, zeros, number = match.groups()
    gauge = 1 - int(aught) if aught else 1 - len(zeros) if zeros else int(number)
    return mm2_from_awg(gauge)


def mm2_from_awg(gauge: int) -> float:
    """Area of a solid round wire of an American wire gauge, 0 for 1/0, -3 for 4/0 [mm2] (ASTM B258).

    >>> round(mm2_from_awg(10), 3), round(mm2_from_awg(-3), 1)
    (5.261, 107.2)
    """
    if not -3 <= gauge <= 40:
        raise BadQuantity(f"{gauge} AWG is outside of the gauge", remedy="use 4/0 to 40 AWG")
    return math.pi / 4 * (0.127 * 92 ** ((36 - gauge) / 39)) ** 2


@cache
def kind_of(unit: str) -> str:
    """What a unit measures: "length" for "mm"."""
    return UNITS[unit].kind


@cache
def units_of(kind: str) -> tuple[str, ...]:
    """The unit names of a kind, the base unit first."""
    names = tuple(name for name, unit in UNITS.items() if unit.kind == kind and name)
    return (*names, "AWG") if kind == "cross-section" else names


def example(unit: str) -> str:
    """A well-formed text for the error messages.

    >>> example("m")
    '2.5 m'
    """
    return f"2.5 {unit}".rstrip()


def to_base(value: float, unit: str) -> float:
    """A number in `unit` as a number in the base unit of its kind."""
    return value * UNITS[unit].factor + UNITS[unit].offset


def from_base(value: float, unit: str) -> float:
    """A number in the base unit of its kind as a number in `unit`.

    >>> from_base(0.025, "mm")
    25.0
    """
    return (value - UNITS[unit].offset) / UNITS[unit].factor


# How a number of a unit is shown to people who think in the other system.
_US: dict[str, str] = {"m": "ft", "mm": "in", "degC": "degF", "kg": "lb", "N m": "lbf in", "N": "lbf"}


def shown_in(unit: str, system: System) -> str:
    """The unit in which a quantity measured in `unit` is shown.

    >>> shown_in("m", "us"), shown_in("V", "us")
    ('ft', 'V')
    """
    return _US.get(unit, unit) if system == "us" else unit


def convert(value: float, unit: str, to: str) -> float:
    """A number in one unit as a number in another of the same kind.

    >>> round(convert(1.0, "ft", "m"), 4)
    0.3048
    """
    return value if unit == to else from_base(to_base(value, unit), to)


def three_digits(value: float) -> str:
    """A number for people: three significant digits, no exponent in the everyday range.

    >>> three_digits(11.892), three_digits(0.3315), three_digits(1306.0), three_digits(15.0)
    ('11.9', '0.332', '1310', '15')
    """
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else str(value)
    decimals = 2 - math.floor(math.log10(abs(value)))
    rounded = round(value, decimals)
    text = f"{rounded:.{max(decimals, 0)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def show(value: float, unit: str, system: System = "metric", digits: Callable[[float], str] = three_digits) -> str:
    """A number with its unit, in the units of a system.

    >>> show(1.2, "m"), show(1.2, "m", "us"), show(0.04, "%")
    ('1.2 m', '3.94 ft', '0.04 %')
    """
    to = shown_in(unit, system)
    return f"{digits(convert(value, unit, to))} {to}".rstrip()
