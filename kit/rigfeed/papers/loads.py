"""The load list: what each equipment takes in each state, and the volts it gets and needs."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from rigfeed.checks.offers import number
from rigfeed.errors import RigfeedError
from rigfeed.installation import Installation, LaidState, PlacedNode
from rigfeed.papers.places import natural
from rigfeed.papers.table import Cell, Column, Table
from rigfeed.parts.interfaces import ConverterDevice, LoadDevice
from rigfeed.quantity import System, show
from rigfeed.studies.operating import OPERATING, Operating

if TYPE_CHECKING:
    from rigfeed.assess import Assessment

NOTHING_A = 1e-9  # what the solver leaves on a circuit that is open

Consumer = LoadDevice | ConverterDevice

COLUMNS = (
    Column("id", "id", width=8, bold=True),
    Column("title", "equipment", width=20),
    Column("state", "state", width=24),
    Column("mode", "mode", width=10),
    Column("sort", "lasting", width=12),
    Column("nameplate", "nameplate", "A", width=10, align="right"),
    Column("nameplate-w", "nameplate", "W", width=10, align="right"),
    Column("current", "current", "A", width=8, align="right"),
    Column("volts", "volts there", "V", width=7, align="right", decimals=2),
    Column("least", "needs at least", "V", width=8, align="right", decimals=2),
    Column("most", "stands at most", "V", width=8, align="right", decimals=2),
    Column("fuse", "stated fuse", "A", width=7, align="right"),
)
LASTING = {
    "transmit": "intermittent", "receive": "continuous", "on": "continuous", "full": "continuous",
    "standby": "continuous",
}  # what the modes of the design language mean; of others nothing is known
NOTES = (
    "Current and volts are computed at the supply terminals. Transmission is counted as intermittent, all other modes "
    "as continuous; nameplate is what the catalog gives for the mode.",
)


def load_list(assessment: Assessment, system: System) -> Table:
    """A row for each load in each state, converters and chargers by their inputs."""
    installation, operating = assessment.installation, assessment.get(OPERATING)
    found = consumers(installation)
    states = installation.states.values()
    rows = tuple(_row(node, part, state, operating) for node, part in found for state in states)
    notes = [text for node, part in found if (text := _range(node, part, operating, system))]
    if operating is None:
        notes = ["Currents and volts could not be computed: see what was not checked."]
    return Table(
        "load-list", "Load list", COLUMNS, rows, (*notes, *NOTES), group="id",
        use="what each equipment takes, and the volts it gets",
    )


def consumers(installation: Installation) -> list[tuple[PlacedNode, Consumer]]:
    """Loads and converters, by id."""
    nodes = sorted(installation.nodes.values(), key=lambda node: natural(node.id))
    return [(node, node.part) for node in nodes if isinstance(node.part, LoadDevice | ConverterDevice)]


def _poles(part: Consumer) -> tuple[str, str]:
    return part.input_poles if isinstance(part, ConverterDevice) else part.poles


def _limits_v(part: Consumer) -> tuple[float | None, float | None]:
    if isinstance(part, ConverterDevice):
        return part.lockout_v, part.most_in_v
    return part.least_v, part.most_v


def _row(node: PlacedNode, part: Consumer, state: LaidState, operating: Operating | None) -> tuple[Cell, ...]:
    mode = state.modes.get(node.id, "")
    return (
        node.id, node.title, state.title, mode, LASTING.get(mode), number(part, f"{mode}_a"), number(part, f"{mode}_w"),
        _supply_a(node, part, state.id, operating), _across_v(node, part, state.id, operating), *_limits_v(part),
        part.stated_fuse_a if isinstance(part, LoadDevice) else None,
    )


def _supply_a(node: PlacedNode, part: Consumer, state: str, operating: Operating | None) -> float | None:
    """What flows into the positive supply terminal [A]; None where nothing is connected or computed."""
    if operating is None:
        return None
    net = f"{node.id}.{_poles(part)[0]}"
    found = []
    for core in operating.installation.cores:
        for end, sign in ((core.start, -1.0), (core.end, 1.0)):
            if end.net == net:
                try:
                    found.append(sign * operating.current(state, core.id))
                except RigfeedError:  # nothing conducts in this state
                    continue
    total_a = math.fsum(found)
    return None if not found else 0.0 if abs(total_a) < NOTHING_A else total_a


def _across_v(node: PlacedNode, part: Consumer, state: str, operating: Operating | None) -> float | None:
    """Between the supply terminals [V]."""
    if operating is None:
        return None
    positive, negative = (f"{node.id}.{pole}" for pole in _poles(part))
    try:
        return operating.between(state, positive, negative)
    except RigfeedError:
        return None


def _range(node: PlacedNode, part: Consumer, operating: Operating | None, system: System) -> str:
    """The least and the greatest volts over all states, beside what the equipment wants."""
    states = operating.states if operating else ()
    volts = [v for state in states if (v := _across_v(node, part, state, operating)) is not None]
    if not volts:
        return ""
    least_v, most_v = _limits_v(part)
    wants = [
        f"{word} {show(limit, 'V', system)}"
        for word, limit in (("at least", least_v), ("at most", most_v))
        if limit is not None
    ]
    seen = f"{node.id} gets {show(min(volts), 'V', system)} to {show(max(volts), 'V', system)} over all states"
    return f"{seen}; it wants {' and '.join(wants)}." if wants else f"{seen}; its limits are not known."
