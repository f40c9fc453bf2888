"""Two voltages and a current, measured at the vehicle, instead of an assumption."""

from __future__ import annotations

from typing import Annotated

from rigfeed.calculators import In, Out, calculator
from rigfeed.design.edit import Set
from rigfeed.design.model import Design
from rigfeed.errors import DesignError, OutOfRange, Place, UnknownName
from rigfeed.path import Path
from rigfeed.quantity import parse

OF_POINT = "body-point"


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
            place=Place(path=Path("nodes", strap, "settings", "resistance")), remedy="measure both again",
        )
    of_point = _resistance(point, path_ohm - strap_ohm)
    return (of_point, _resistance(strap, strap_ohm)) if known is None else (of_point,)


def _resistance(name: str, ohm: float) -> Set:
    return Set(Path("nodes", name, "settings", "resistance"), f"{1000 * ohm:.4g} mohm")


CALCULATORS = (measured_resistance,)
