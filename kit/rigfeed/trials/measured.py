"""Two voltages and a current, measured at the vehicle, instead of an assumption.

What can be entered: the resistance of a battery (probes on its posts), of the way through the body (from the bolt of a
set to that of the battery strap, or to the negative post), and of the vehicle's own wiring to a take-off (from the
positive post to the take-off).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Annotated, Any, Literal

from rigfeed.assess import Assessment, assess
from rigfeed.calculators import In, Out, calculator
from rigfeed.cautions import CAUTIONS
from rigfeed.checks.returns import is_body_point, strap_points
from rigfeed.design.edit import Set, apply
from rigfeed.design.model import Design
from rigfeed.errors import DesignError, InputError, InputErrors, OutOfRange, Place, UnknownName
from rigfeed.frozen import frozen
from rigfeed.installation import Installation, PlacedNode
from rigfeed.measure import Measure, json_number
from rigfeed.parts.interfaces import FeederType, MakerPoint, SourceDevice
from rigfeed.path import Path
from rigfeed.quantity import Quantity, parse

OF_POINT = "body-point"
STEPS = 5  # of the meter's last digit: a smaller difference is rough: common practice, no source


def path_resistance_ohm(idle_v: float, loaded_v: float, current_a: float) -> float:
    """The resistance of a source, or of a way through the body, from two voltages and the current between them [ohm].

    Parameters
    ----------
    idle_v, loaded_v : float
        At one pair of points, without and with the load: the posts of a battery, or a bolt on the body and the negative
        post [V]. Only their difference counts, so that what flows in both readings does not matter.
    current_a : float
        By which the current differs [A].

    Raises
    ------
    OutOfRange
        If the current is not above zero.

    Notes
    -----
    Ohm's law, for a way that is linear: a battery at rest for minutes, a joint that does not change by its own heat.
    """
    if not current_a > 0.0:
        raise OutOfRange("current", current_a, "above 0 A")
    return abs(idle_v - loaded_v) / current_a


@calculator(
    "measured-resistance", "wiring", formula="R = |U1 - U2| / I",
    validity="both readings within seconds, between the same two points, the leads of the meter on the metal itself",
    source="Ohm's law",
)
def measured_resistance(
    idle: Annotated[float, In("V", 0, 100, "voltage without the load")],
    loaded: Annotated[float, In("V", 0, 100, "voltage with the load")],
    current: Annotated[float, In("A", 0.1, 1000, "current of the load")],
) -> Annotated[float, Out("mohm", "resistance between the two points")]:
    """The resistance of a source, or of the way through the body, from two voltages and a current.

    At the posts of a battery it is that of the battery; between a bolt on the body and the negative post that of the
    body path. Key the set for the second reading.
    """
    return 1000 * path_resistance_ohm(idle, loaded, current)


# a reading put into a design

Sort = Literal["battery", "bolt", "take-off"]


def sort_of(installation: Installation, node: str) -> Sort | None:
    """What sort of thing a reading can be entered for; None where nothing can, as for the bolt of a strap itself: the
    reading of a set's bolt gives that."""
    placed = _node(installation, node)
    if is_body_point(placed):
        return None if node in strap_points(installation) else "bolt"
    if not hasattr(placed.settings, "resistance"):
        return None
    if isinstance(placed.part, SourceDevice):
        return "battery" if placed.part.stores else None
    return "take-off" if isinstance(placed.part, MakerPoint) else None


@frozen
class Reading:
    """What the meter said of a battery, a bolt on the body or a take-off, engine off and nothing charging.

    `idle` and `loaded` are the volts between the probes without and with a load, `current` what the load adds, measured
    by a clamp. `temperature` is that of a battery; `to` is where the other probe was when a bolt was measured: the bolt
    of the strap, or a battery (its negative post); None: the bolt of the only strap.
    """

    node: str
    idle: Quantity
    loaded: Quantity
    current: Quantity
    temperature: Quantity | None = None
    to: str | None = None


@frozen
class Measured:
    """What a reading says [ohm]: between the probes, at least and at most by the last digits that were read; the part
    of it that a strap between the probes has as drawn; what was assumed for the rest (None where nothing was any more);
    and the edits that enter it."""

    reading: Reading
    what: str
    ohm: float
    least_ohm: float
    most_ohm: float
    strap_ohm: float
    assumed_ohm: float | None
    edits: tuple[Set, ...]

    @property
    def rough(self) -> bool:
        """Whether the difference of the voltages is only a few digits of the meter."""
        return self.most_ohm - self.ohm > self.ohm / STEPS


def entered(assessment: Assessment, reading: Reading) -> Measured:
    """What a reading says of a design, and the edits that put it there.

    Raises
    ------
    UnknownName
        If there is no such node.
    DesignError
        If nothing can be entered for it, or the reading cannot be true.
    """
    installation = assessment.installation
    node = _node(installation, reading.node)
    if not reading.current.si > 0.0:
        raise DesignError("the current is not above 0 A", remedy="hold the clamp round the wire with the load on")
    ohm = path_resistance_ohm(reading.idle.si, reading.loaded.si, reading.current.si)
    if not ohm:
        raise DesignError(
            "both voltages are the same", place=Place(path=Path("nodes", node.id)),
            remedy="take a greater load, or a finer range of the meter",
        )
    what, strap_ohm, edits = _entry(installation, node, reading, ohm)
    _must_be_possible(assessment, what, edits)
    digit_ohm = max(_last_digit_v(volts.text) for volts in (reading.idle, reading.loaded)) / reading.current.si
    return Measured(
        reading, what, ohm, max(ohm - digit_ohm, 0.0), ohm + digit_ohm, strap_ohm, _assumed_ohm(installation, edits),
        edits,
    )


def _must_be_possible(assessment: Assessment, what: str, edits: tuple[Set, ...]) -> None:
    """Refuse what no battery and no body can have: the design with it in could not be used."""
    changed = apply(assessment.installation.design, edits)
    try:
        assess(changed, shelf=assessment.shelf, practice=assessment.practice, only=())
    except InputError as error:
        wrong = error.errors[0] if isinstance(error, InputErrors) else error
        raise DesignError(f"{what} cannot have that: {wrong.what}", remedy=wrong.remedy) from None


def _assumed_ohm(installation: Installation, edits: tuple[Set, ...]) -> float | None:
    assumed = {assumption.subject: assumption.value for assumption in installation.assumptions}
    replaced = [value.value / 1000 for edit in edits if (value := assumed.get(edit.path)) is not None]
    return sum(replaced) if replaced else None


def reading_of(
    node: str, idle: str, loaded: str, current: str, temperature: str | None = None, to: str | None = None
) -> Reading:
    """A reading from the texts of a form, by every face alike; BadQuantity where one is no volts, amps or degrees."""
    return Reading(
        node.strip(), Quantity.parse(idle, "V"), Quantity.parse(loaded, "V"), Quantity.parse(current, "A"),
        Quantity.parse(temperature, "degC") if temperature and temperature.strip() else None,
        to.strip() or None if to else None,
    )


def measured_text(measured: Measured) -> Iterator[str]:
    """What came out, in sentences for whoever measured."""
    ohm, least, most = (_mohm(ohm) for ohm in (measured.ohm, measured.least_ohm, measured.most_ohm))
    yield f"{measured.what}: {ohm}, between {least} and {most} by the last digit of the meter."
    if measured.strap_ohm:
        yield f"Of it the strap has {_mohm(measured.strap_ohm)} as drawn; the rest is the body."
    if measured.assumed_ohm is not None:
        yield f"Assumed until now: {_mohm(measured.assumed_ohm)}."
    if measured.rough:
        yield "The two voltages are few digits apart: a greater load makes it surer."


def _mohm(ohm: float) -> str:
    return Measure(1000 * ohm, "mohm").text()


def measured_json(measured: Measured) -> dict[str, Any]:
    """The same as plain data; the edits as a stored design takes them."""
    assumed_ohm = measured.assumed_ohm
    return {
        "schema": 1,
        "node": measured.reading.node,
        "what": measured.what,
        **{
            f"{name}_mohm": json_number(1000 * ohm) for name, ohm in (
                ("resistance", measured.ohm), ("least", measured.least_ohm), ("most", measured.most_ohm),
                ("strap", measured.strap_ohm),
            )
        },
        "rough": measured.rough,
        "assumed_mohm": None if assumed_ohm is None else json_number(1000 * assumed_ohm),
        "edits": [{"edit": "set", "path": str(edit.path), "value": edit.value} for edit in measured.edits],
        "cautions": list(CAUTIONS),
    }


def _entry(
    installation: Installation, node: PlacedNode, reading: Reading, ohm: float
) -> tuple[str, float, tuple[Set, ...]]:
    """What was measured, what of it is the strap, and the edits."""
    place = Place(path=Path("nodes", node.id))
    match sort_of(installation, node.id):
        case "bolt":
            return _through_body(installation, node.id, reading, ohm)
        case "battery":
            if reading.loaded.si >= reading.idle.si:
                remedy = "measure at the posts, engine off, nothing charging; the lower volts are those with the load"
                raise DesignError("the volts do not fall under the load", place=place, remedy=remedy)
            return f"{node.id} ({node.title})", 0.0, (_resistance(node.id, ohm), *_temperature(node, reading))
        case "take-off":
            return f"the vehicle's own wiring to {node.id}", 0.0, (_resistance(node.id, ohm),)
    if is_body_point(node):
        raise DesignError(
            "is the bolt of the battery strap itself", place=place,
            remedy="measure from the bolt where a set returns, to this one or to the negative post",
        )
    raise DesignError(
        "has no resistance that can be entered", place=place,
        remedy="name a battery, a bolt on the body or a take-off from the vehicle's own wiring",
    )


def _through_body(
    installation: Installation, point: str, reading: Reading, ohm: float
) -> tuple[str, float, tuple[Set, ...]]:
    if reading.to == point:
        raise DesignError(
            "both probes are on the same bolt", place=Place(path=Path("nodes", point)),
            remedy="name the bolt of the strap, or the battery, as that where the other probe was",
        )
    strap, strap_ohm = _strap(installation, reading.to)
    if ohm <= strap_ohm:
        raise DesignError(
            f"the whole way measures {_mohm(ohm)}, and the strap alone has {_mohm(strap_ohm)} as drawn",
            place=Place(path=Path("nodes", point)), remedy="look at the length and the size of the strap",
        )
    edits = measured_body(installation.design, point, strap, ohm - strap_ohm)
    return f"the way through the body from {point} to {reading.to or strap}", strap_ohm, edits


def _temperature(node: PlacedNode, reading: Reading) -> Iterator[Set]:
    if reading.temperature is not None and hasattr(node.settings, "resistance_at"):
        yield Set(Path("nodes", node.id, "settings", "resistance_at"), reading.temperature.text)


def _strap(installation: Installation, to: str | None) -> tuple[str, float]:
    """The bolt of the strap, and the resistance of the strap where the probe was at its other end."""
    straps = strap_points(installation)
    if to is None:
        if len(straps) != 1:
            found = f"straps end at {', '.join(sorted(straps))}" if straps else "no battery strap is drawn"
            remedy = "name the bolt of the strap, or the battery"
            raise DesignError(f"{found}: it must be said where the other probe was", remedy=remedy)
        return next(iter(straps)), 0.0
    other = _node(installation, to)
    if is_body_point(other):
        return to, 0.0
    ohms = {
        node: ohm for node in sorted(straps) if (ohm := _direct_ohm(installation, node, to)) is not None
    }
    if not ohms:
        raise DesignError(
            "no strap leads from its negative post straight to a bolt on the body", place=Place(path=Path("nodes", to)),
            remedy="hold the other probe on the bolt of the strap, and name that",
        )
    return next(iter(ohms.items()))


def _direct_ohm(installation: Installation, point: str, battery: str) -> float | None:
    """The resistance of the wires between a bolt and the negative post of a battery, with their joints."""
    part = installation.nodes[battery].part
    ends = {f"{point}.stud", f"{battery}.{part.poles[1]}"} if isinstance(part, SourceDevice) else set()
    siemens = sum(
        1 / (core.start.contact_ohm + core.core.ohm_per_m_20 * conductor.length_m + core.end.contact_ohm)
        for conductor in installation.conductors.values() if not isinstance(conductor.cable, FeederType)
        for core in conductor.cores if {core.start.net, core.end.net} == ends
    )
    return 1 / siemens if siemens else None


def _node(installation: Installation, name: str) -> PlacedNode:
    if name not in installation.nodes:
        raise UnknownName("node", name, installation.nodes)
    return installation.nodes[name]


_NUMBER = re.compile(r"[+-]?[0-9]*\.?([0-9]*)(?:[eE]([+-]?[0-9]+))?")


def _last_digit_v(text: str) -> float:
    """What one step of the last digit is worth in a quantity as it was read off.

    >>> _last_digit_v("12.46 V"), _last_digit_v("38 mV"), _last_digit_v("1.2e1 V")
    (0.01, 0.001, 1.0)
    """
    bare = text.strip()
    number = _NUMBER.match(bare)
    assert number is not None  # a quantity was read from it
    return parse(f"1e{int(number[2] or 0) - len(number[1])} {bare[number.end():].strip()}", "V")


def measured_body(design: Design, point: str, strap: str, path_ohm: float) -> tuple[Set, ...]:
    """The edits that put a measured body path in the place of the assumption.

    Half of it is entered at each of the two bolts; where the strap's bolt was measured before, what is left goes to the
    other, so that several sets may be measured against one strap.

    Parameters
    ----------
    point, strap : str
        The bolt of the set, and that at the body end of the battery strap.
    path_ohm : float
        Between the two bolts [ohm].

    Raises
    ------
    UnknownName
        If there is no such node.
    DesignError
        If a node is no bolt on the body, or less was measured than is known of the strap's bolt alone.
    """
    for name in (point, strap):
        if name not in design.nodes:
            raise UnknownName("node", name, design.nodes)
        if design.nodes[name].part != OF_POINT:
            raise DesignError("is no bolt on the body", place=Place(path=Path("nodes", name)))
    known = design.nodes[strap].settings.get("resistance")
    strap_ohm = path_ohm / 2 if known is None else parse(str(known), "mohm")
    if strap_ohm > path_ohm:
        raise DesignError(
            "the whole path measures less than what was entered for this bolt alone",
            place=Place(path=Path("nodes", strap, "settings", "resistance")),
            remedy="take that out, and enter every bolt again",
        )
    of_point = _resistance(point, path_ohm - strap_ohm)
    return (of_point, _resistance(strap, strap_ohm)) if known is None else (of_point,)


def _resistance(name: str, ohm: float) -> Set:
    return Set(Path("nodes", name, "settings", "resistance"), f"{1000 * ohm:.4g} mohm")


CALCULATORS = (measured_resistance,)
