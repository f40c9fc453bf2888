"""Numbers with units as people write them, and back: ``"6 AWG"``, ``"1.2 m"``, ``"14 ft"``, ``"-12 degC"``.

A `Quantity` keeps the text that a person wrote. Its `si` is the value in the base unit of its kind, the SI unit except
where the trade thinks otherwise: mm2 for cross-sections, degC for temperatures, Ah for capacities. Conversions
happen here, at the edges, and nowhere deeper.

Sources of the factors: the inch (25.4 mm), the foot and the avoirdupois pound are exact by the international yard and
pound agreement of 1959, and the pound-force with the standard acceleration of 9.80665 m/s2 (NIST SP 811, B.8); AWG
diameters follow ASTM B258: d = 0.127 mm * 92^((36 - n)/39).
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import field
from functools import cache
from typing import Literal

from rigfeed.errors import BadQuantity
from rigfeed.frozen import frozen

System = Literal["metric", "us"]

LONGEST = 64  # characters of a quantity; a longer text is no number that a person wrote
LBF_N = 0.45359237 * 9.80665
CMIL_MM2 = math.pi / 4 * 0.0254**2  # one circular mil: the area of a circle of 1/1000 inch


@frozen
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
        "torque": {"N m": 1, "lbf in": LBF_N * 0.0254},
        "force": {"N": 1, "lbf": LBF_N},
        "let-through": {"A2s": 1},
        "inductance": {"H": 1, "mH": 1e-3, "uH": 1e-6, "nH": 1e-9},
        "heat per length": {"W/m": 1},
        "mass per length": {"kg/m": 1, "g/m": 1e-3},
        "density": {"kg/m3": 1},
        "viscosity": {"Pa s": 1},
        "thermal conductivity": {"W/(m K)": 1},
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
    "°F": "degF", "F": "degF", "Ω": "ohm", "mΩ": "mohm", "\u2126": "ohm", "m\u2126": "mohm", "Ohm": "ohm",
    "ohms": "ohm", "sec": "s", "hours": "h", "hour": "h", "hr": "h", "amp": "A", "amps": "A", "volt": "V",
    "volts": "V", "watt": "W", "watts": "W", "percent": "%", "Nm": "N m", "days": "d", "day": "d", "°": "deg",
}

_NUMBER = r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?"
_TEXT = re.compile(rf"({_NUMBER})\s*(.*)")
_FRACTION = re.compile(r"(?:([0-9]+)(?:\s+|-))?([0-9]+)/([0-9]+)\s*(.*)")
_AWG = re.compile(r"(?:([0-9]+)/0|(0+)|([0-9]+))\s*awg", re.IGNORECASE)
_AWG_FIRST = re.compile(r"awg\s*(\S+)", re.IGNORECASE)
# what goes on after a number but is no unit
_BROKEN = re.compile(r"[,./_]|['+-]?[0-9]|(?:ft|feet|foot)\s*[0-9]|x[0-9]")
# mistakes with an advice of their own, compiled when one is looked for
_COMMA = r"([+-]?[0-9]*(?:\.[0-9]{3})*),([0-9]+)([^0-9,.].*|)"
_THOUSANDS = r"([+-]?[0-9]{1,3}(?:,[0-9]{3})+\.[0-9]+)(.*)"
_SPACED = r"([+-]?[0-9]{1,3}(?:[ _'\u00a0\u202f][0-9]{3})+(?:\.[0-9]+)?)([^0-9].*|)"
_FEET = r"([0-9]+)\s*(?:'|ft|feet|foot)\s*([0-9.]+)\s*(?:\"|''|in|inch|inches)?"
_MINUS = str.maketrans({"\u2212": "-", "\u2013": "-"})  # what word processors make of a minus


@frozen
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
    if len(text) > LONGEST:
        raise BadQuantity(f"a text of {len(text)} characters is not a number with a unit", remedy=_instead(unit))
    bare = text.strip()
    if kind == "cross-section" and (area_mm2 := _awg_text(bare)) is not None:
        return area_mm2
    if kind == "length" and (fraction := _FRACTION.fullmatch(bare)) and _canonical(fraction[4]) == "in":
        whole, top, bottom, _ = fraction.groups()
        if int(bottom) > 0:
            return _finite(text, (int(whole or 0) + int(top) / int(bottom)) * 0.0254)
    match = _TEXT.fullmatch(bare)
    if not match or _BROKEN.match(match[2]):
        raise _no_number(text, bare, unit)
    return _value(text, float(match[1]), match[2], unit)


def _instead(unit: str) -> str:
    return f"write for example {example(unit)}"


def _no_number(text: str, bare: str, unit: str) -> BadQuantity:
    """What is wrong with a text that is no number and a unit, said as closely as can be told."""
    dashed = bare.translate(_MINUS)
    if dashed != bare and _TEXT.fullmatch(dashed):
        return BadQuantity(f"{text!r} has a dash for a minus", remedy=f"write {dashed}")
    if grouped := re.fullmatch(_THOUSANDS, bare) or re.fullmatch(_SPACED, bare):
        number = re.sub(r"[^0-9.+-]", "", grouped[1])
        return BadQuantity(f"{text!r} parts the thousands", remedy=f"write {number}{grouped[2]}")
    if comma := re.fullmatch(_COMMA, bare):
        whole, ending = comma[1].replace(".", ""), comma[3] if comma[3].strip() or not unit else f" {unit}"
        number = f"{whole}{'' if whole.strip('+-') else '0'}.{comma[2]}"
        other = f", or {whole}{comma[2]}{ending}" if len(comma[2]) == 3 and 0 < len(whole.strip("+-0")) <= 3 else ""
        return BadQuantity(f"{text!r} has a decimal comma", remedy=f"write {number}{ending}{other}")
    if kind_of(unit) == "length" and (feet := re.fullmatch(_FEET, bare)) and feet[2].count(".") < 2 and feet[2] != ".":
        return BadQuantity(f"{text!r} has two units", remedy=f"write {int(feet[1]) + float(feet[2]) / 12:.6g} ft")
    if (part := _FRACTION.fullmatch(bare)) and int(part[3]) > 0:
        number = f"{int(part[1] or 0) + int(part[2]) / int(part[3]):.6g}"
        return BadQuantity(f"{text!r}: fractions are read of inches only", remedy=f"write {number} {part[4]}".rstrip())
    return BadQuantity(f"{text!r} is not a number with a unit", remedy=_instead(unit))


def _canonical(written: str) -> str:
    """The name of a unit for any of its spellings."""
    name = " ".join(written.split())
    return SPELLINGS.get(name, name)


def _finite(text: str, value: float) -> float:
    if not math.isfinite(value):
        raise BadQuantity(f"{text!r} is too large a number")
    return value


def _value(text: str, number: float, written: str, unit: str) -> float:
    kind = kind_of(unit)
    found = UNITS.get(_canonical(written))
    if found is not None and found.kind == kind:
        return _finite(text, number * found.factor + found.offset)
    if not written:
        raise BadQuantity(f"{text!r} has no unit", remedy=f"write for example {text.strip()} {unit}")
    allowed = f"use one of: {', '.join(units_of(kind))}"
    if found is None:
        raise BadQuantity(f"{written!r} is not a unit of {kind}", remedy=allowed)
    raise BadQuantity(f"{text!r} is a {found.kind}, not a {kind}", remedy=allowed)


def _awg_text(bare: str) -> float | None:
    first = _AWG_FIRST.fullmatch(bare)
    match = _AWG.fullmatch(f"{first[1]} AWG" if first else bare)
    if not match:
        return None
    aught, zeros, number = match.groups()
    gauge = 1 - int(aught) if aught else 1 - len(zeros) if zeros else int(number)
    if not -3 <= gauge <= 40:
        raise BadQuantity(f"{bare!r} is outside of the gauge", remedy="use 4/0 AWG to 40 AWG, or mm2 or kcmil")
    return mm2_from_awg(gauge)


def mm2_from_awg(gauge: int) -> float:
    """Area of a solid round wire of an American wire gauge, 0 for 1/0, -3 for 4/0 [mm2] (ASTM B258).

    >>> round(mm2_from_awg(10), 3), round(mm2_from_awg(-3), 1)
    (5.261, 107.2)
    """
    if not -3 <= gauge <= 40:
        raise BadQuantity(f"gauge number {gauge} is outside of the gauge", remedy="use -3 (4/0 AWG) to 40")
    diameter_mm: float = 0.127 * 92 ** ((36 - gauge) / 39)
    return math.pi / 4 * diameter_mm**2


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


EVERYDAY = (1e-6, 1e12)  # magnitudes that are shown without an exponent


def three_digits(value: float) -> str:
    """A number for people: three significant digits, no exponent in the everyday range.

    >>> three_digits(11.892), three_digits(0.3315), three_digits(1306.0), three_digits(15.0)
    ('11.9', '0.332', '1310', '15')
    """
    return significant(value, 3)


def significant(value: float, digits: int) -> str:
    """A number for people with so many significant digits.

    >>> significant(11.685, 4), significant(1306.0, 4)
    ('11.69', '1306')
    """
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else str(value)
    if not EVERYDAY[0] <= abs(value) < EVERYDAY[1]:
        return f"{value:.{digits}g}"
    decimals = digits - 1 - math.floor(math.log10(abs(value)))
    rounded = round(value, decimals)
    text = f"{rounded:.{max(decimals, 0)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


# Below which magnitude a unit gives way to a smaller one, as on a meter or a tape measure (common practice, no source).
_SMALLER: dict[str, tuple[float, str]] = {
    "A": (0.1, "mA"), "V": (0.1, "mV"), "W": (0.1, "mW"), "ohm": (0.1, "mohm"), "Ah": (0.1, "mAh"), "s": (0.1, "ms"),
    "m": (0.1, "mm"), "ft": (3.0, "in"), "kg": (0.1, "g"),
}


def fitting(value: float, unit: str, system: System = "metric") -> str:
    """The unit in which a single number is best read: not ``0.00103 A`` but ``1.03 mA``; columns keep theirs.

    >>> fitting(0.00103, "A"), fitting(0.3, "m", "us"), fitting(1.2, "m", "us"), fitting(0.0, "A")
    ('mA', 'in', 'ft', 'A')
    """
    to = shown_in(unit, system)
    least, smaller = _SMALLER.get(to, (0.0, to))
    return smaller if 0 < abs(convert(value, unit, to)) < least else to


def show(
    value: float, unit: str, system: System = "metric", digits: Callable[[float], str] = three_digits, *, to: str = "",
) -> str:
    """A number with its unit, in the units of a system: in `to`, else in the one that fits it.

    >>> show(1.2, "m"), show(1.2, "m", "us"), show(0.04, "%"), show(0.00103, "A")
    ('1.2 m', '3.94 ft', '0.04 %', '1.03 mA')
    """
    to = to or fitting(value, unit, system)
    return f"{digits(convert(value, unit, to))} {to}".rstrip()
