"""A first design from seven answers: one set in one vehicle, in a file that assesses at once.

The fuse is the one that the maker of the set states, the cable the smallest on the shelf with which the set has its
volts in every state of the practice. Both are written down as choices to be looked at, not as facts.
"""

from __future__ import annotations

from typing import TypeVar

from rigfeed.assess import assess
from rigfeed.design.file import parse
from rigfeed.errors import InputError, Place, UnknownName
from rigfeed.frozen import frozen
from rigfeed.parts.interfaces import ConductorType, LoadDevice, ProtectiveDevice, SourceDevice
from rigfeed.parts.part import Part
from rigfeed.parts.shelf import Shelf
from rigfeed.parts.tables import Want
from rigfeed.path import Path
from rigfeed.quantity import Quantity

P = TypeVar("P", bound=Part)
LENGTHS = ("to_fuse", "bay", "cabin", "back")
BONNET_CLASS_C = 105.0  # common practice, no source: the class of a cable that runs under a bonnet
STRAP_MM2 = 25.0  # common practice, no source: what a battery strap has at least
LEAST_MM2 = 1.0  # common practice, no source: thinner ones tear
VOLTS = ("volts-below-minimum", "lead-drop-high")


@frozen
class Answers:
    """What is asked: a title, the set, the battery, and four lengths as people write them."""

    title: str
    load: str
    battery: str
    to_fuse: str
    bay: str
    cabin: str
    back: str
    practice: str = "road"


TEMPLATE = """\
format = 1

[job]
title = {title}
practice = "{practice}"

[zones]
bay = {{ title = "under the bonnet", warmest = "90 degC", coldest = "-20 degC" }}   # usual; put in your own figures
cabin = {{ warmest = "45 degC", coldest = "-20 degC" }}

[points]
battery = {{ zone = "bay" }}
firewall = {{ zone = "cabin" }}
set = {{ zone = "cabin" }}

[runs]
bay = {{ from = "battery", to = "firewall", length = "{bay}", zone = "bay" }}
cabin = {{ from = "firewall", to = "set", length = "{cabin}", zone = "cabin" }}

[passages]
H1 = {{ run = "bay" }}   # the hole in the firewall: measure its diameter

[nodes]
start = {{ part = "{battery}", at = "battery" }}
F1 = {{ part = "{fuse}", at = "battery" }}   # the rating that the maker of the set states
set = {{ part = "{load}", at = "set" }}
strap = {{ part = "body-point", at = "battery" }}   # body end of the battery strap
stud = {{ part = "body-point", at = "set" }}   # bolt on the body that takes the return

[conductors]   # {why}
W1 = {{ cable = "{cable}", from = "start.pos", to = "F1.a", length = "{to_fuse}", colour = "RD" }}
W2 = {{ cable = "{cable}", from = "F1.b", to = "set.{pos}", route = ["bay", "cabin"], colour = "RD" }}
W3 = {{ cable = "{cable}", from = "set.{neg}", to = "stud.stud", length = "{back}", colour = "BK" }}
V1 = {{ cable = "{strap}", from = "start.neg", to = "strap.stud", length = "0.3 m", origin = "vehicle" }}
"""


def first_design(answers: Answers, shelf: Shelf) -> str:
    """The text of a design file, under 40 lines.

    Raises
    ------
    InputError, UnknownName, BadQuantity
        If an answer is no length, no part of the right sort, or the shelf has no fuse or cable for it.
    """
    for name in LENGTHS:
        _length(name, getattr(answers, name))
    load = _part(answers.load, shelf, LoadDevice, "set")  # type: ignore[type-abstract]
    battery = _part(answers.battery, shelf, SourceDevice, "battery")  # type: ignore[type-abstract]
    cables = _cables(shelf)
    fixed = {
        **vars(answers),
        "title": _quoted(answers.title),
        "battery": battery.short_key,
        "load": load.short_key,
        "fuse": _fuse(load, shelf),
        "pos": load.poles[0],
        "neg": load.poles[1],
        "strap": next((c for c in cables if c.cores[0].area_mm2 >= STRAP_MM2), cables[-1]).short_key,
    }
    for cable in cables:
        text = TEMPLATE.format(**fixed, cable=cable.short_key, why="the smallest with which the set has its volts")
        said = assess(parse(text), shelf=shelf, only=VOLTS)
        if not said.findings:
            return text
    why = "no cable on the shelf is thick enough: see what the checks say"
    return TEMPLATE.format(**fixed, cable=cables[-1].short_key, why=why)


def _length(name: str, text: str) -> None:
    quantity = Quantity.parse(text, "m")
    if not 0 < quantity.si <= 100:
        remedy = "write it like 1.2 m or 4 ft"
        raise InputError(f"{text!r} is no length of a cable", place=Place(path=Path(name)), remedy=remedy)


def _part(key: str, shelf: Shelf, sort: type[P], name: str) -> P:
    part = shelf.part(key)
    if not isinstance(part, sort):
        what = f"{key!r} cannot be the {name}"
        raise InputError(what, place=Place(path=Path(name)), remedy="see what there is: rigfeed catalog list")
    return part


def _fuse(load: LoadDevice, shelf: Shelf) -> str:
    """The fuse of the rating that the maker states, else the next smaller one on the shelf."""
    if load.stated_fuse_a is None:
        raise InputError(f"the catalog does not say which fuse {load.short_key} wants", remedy="choose another set")
    fuses = shelf.find("fuse", Want("rated_a", most=load.stated_fuse_a), by="rated_a", most=1000)
    if not fuses:
        raise UnknownName("fuse", f"{load.stated_fuse_a:g} A", [])
    best = max(fuse.rated_a for fuse in fuses if isinstance(fuse, ProtectiveDevice))
    return next(fuse.short_key for fuse in fuses if isinstance(fuse, ProtectiveDevice) and fuse.rated_a == best)


def _cables(shelf: Shelf) -> list[ConductorType]:
    """Single-core copper cables that stand the heat under a bonnet, the thinnest first, one for each size."""
    wants = (Want("insulation_c", least=BONNET_CLASS_C), Want("area_mm2", least=LEAST_MM2))
    found = [c for c in shelf.find("cable", *wants, by="area_mm2", most=1000) if isinstance(c, ConductorType)]
    sizes: dict[float, ConductorType] = {}
    for cable in found:
        if len(cable.cores) == 1 and cable.material == "copper":
            sizes.setdefault(cable.cores[0].area_mm2, cable)
    if not sizes:
        raise UnknownName("cable", f"of {BONNET_CLASS_C:g} degC", [])
    return list(sizes.values())


def _quoted(text: str) -> str:
    """A basic string of TOML."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in escaped) + '"'
