"""Each device out in turn, and each joint at ten times its resistance: what stops, what stays, what gets less.

With everything keyed that a state keys, engine off and (where a state has it) engine on; ways back over shields count,
as they do in a real vehicle.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from rigfeed.frozen import frozen
from rigfeed.installation import Installation, LaidEnd, PlacedNode
from rigfeed.keyed import Keyed
from rigfeed.network.elements import Element
from rigfeed.network.network import Network
from rigfeed.network.solve import solve
from rigfeed.network.values import Values
from rigfeed.studies.circuit import zeros_of
from rigfeed.studies.operating import OPERATING
from rigfeed.studies.whatif_network import Outcome, elements_in, opened_at_once, read, tell_state
from rigfeed.view import Study, View

WORSE = 10.0  # a joint that goes bad: common practice, no source


@frozen
class Outage:
    """A device taken out in a state: the loads that stop working, and those that work on."""

    device: PlacedNode
    state: str
    stops: tuple[str, ...]
    works: tuple[str, ...]
    outcome: Outcome


@frozen
class BadJoint:
    """A joint at ten times its resistance: the load that loses most by it, that loss and what it then has [V], and the
    heat in the joint [W]; `stops` are the loads that stop working."""

    core: str
    end: LaidEnd
    state: str
    ohm: float
    load: str | None
    lost_v: float
    load_v: float | None
    heat_w: float
    stops: tuple[str, ...]


@frozen
class Turns:
    """Every device out in turn, in each state that was looked at (`before` is that state as it is)."""

    before: Keyed[Outcome]
    outages: tuple[Outage, ...]

    def of(self, device: str) -> tuple[Outage, ...]:
        """What happens without a device, in each state."""
        return tuple(outage for outage in self.outages if outage.device.id == device)


@frozen
class Outages(Turns):
    """The same, and every joint gone bad in the first of those states."""

    joints: tuple[BadJoint, ...]


def study_turns(view: View) -> Turns:
    """Take each device out."""
    installation, operating = view.installation, view[OPERATING]
    wanted = [tell_state(operating, engine_on=on) for on in (False, True)]
    states = [state for state in dict.fromkeys(wanted) if state is not None]
    before: dict[str, Outcome] = {}
    outages: list[Outage] = []
    for number, state in enumerate(states):
        view.tell(number / len(states), f"every device out in turn, {installation.states[state].title}")
        before[state], found = _out_in_turn(installation, state, elements_in(operating, state))
        outages += found
    return Turns(Keyed(before), tuple(outages))


def study_outages(view: View) -> Outages:
    """Take each device out, and let each joint go bad."""
    turns = view[TURNS]
    joints: list[BadJoint] = []
    for state, before in [*turns.before.items()][:1]:
        joints += _bad_joints(view.installation, state, elements_in(view[OPERATING], state), before)
    return Outages(turns.before, turns.outages, tuple(joints))


def _out_in_turn(
    installation: Installation, state: str, whole: tuple[Element, ...]
) -> tuple[Outcome, list[Outage]]:
    at = _cores_at(installation)
    devices = [node for node in installation.nodes.values() if node.id in at]
    opens = [(), *(at[node.id] for node in devices)]
    before, *outcomes = opened_at_once(installation, whole, opens, [()] * len(opens))
    found = []
    for node, outcome in zip(devices, outcomes, strict=True):
        stops = tuple(sorted(set(before.working) - set(outcome.working)))
        found.append(Outage(node, state, stops, outcome.working, outcome))
    return before, found


def _cores_at(installation: Installation) -> dict[str, tuple[str, ...]]:
    """The cores that end on each node: with all of them open it is out."""
    found: dict[str, list[str]] = {}
    for core in installation.cores:
        for id_ in {core.start.node, core.end.node}:
            found.setdefault(id_, []).append(core.id)
    return {id_: tuple(cores) for id_, cores in found.items()}


def _bad_joints(
    installation: Installation, state: str, whole: tuple[Element, ...], before: Outcome
) -> Iterator[BadJoint]:
    joints = [(core.id, end) for core in installation.cores for end in (core.start, core.end) if end.contact_ohm]
    if not joints:
        return
    network = Network.build(whole, zeros_of(installation))
    values = Values.of(network, len(joints))
    columns = np.array([network.where(core)[1] for core, _ in joints])
    rows, worse = np.arange(len(joints)), np.array([WORSE * end.contact_ohm for _, end in joints])
    ohm, alpha = np.array(values.resistor_ohm_20), np.array(values.resistor_alpha)
    metal = alpha[rows, columns] * ohm[rows, columns]
    ohm[rows, columns] += worse * (1.0 - 1.0 / WORSE)
    alpha[rows, columns] = metal / ohm[rows, columns]  # only the metal is warm
    solution = solve(network, values.replace(resistor_ohm_20=ohm, resistor_alpha=alpha))
    heat_w = solution.asked.resistor_a[rows, columns] ** 2 * worse
    for row, (core, end) in enumerate(joints):
        yield _bad_joint(core, end, state, float(worse[row]), before, read(installation, solution, row),
                         float(heat_w[row]))


def _bad_joint(
    core: str, end: LaidEnd, state: str, ohm: float, before: Outcome, after: Outcome, heat_w: float
) -> BadJoint:
    losses = {
        load: was_v - now_v for load, was_v in before.load_v.items()
        if was_v is not None and (now_v := after.load_v[load]) is not None
    }
    load = max(losses, key=lambda name: (round(losses[name], 6), name), default=None)
    stops = tuple(sorted(set(before.working) - set(after.working)))
    return BadJoint(
        core, end, state, ohm, load, losses[load] if load else 0.0, after.load_v[load] if load else None, heat_w, stops
    )


TURNS: Study[Turns] = Study("outages-of-devices", study_turns, needs=(OPERATING,))
OUTAGES: Study[Outages] = Study("outages", study_outages, needs=(OPERATING, TURNS))
