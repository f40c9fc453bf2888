"""The fault study of a view: the shorts of an installation in both cases, followed to their end."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from rigfeed.installation import Installation, LaidConductor, LaidCore
from rigfeed.network.elements import LEAST_OHM
from rigfeed.network.ranges import Flags, Floats, Places
from rigfeed.parts.interfaces import Surroundings
from rigfeed.studies.ampacity import AMPACITY, Ampacities
from rigfeed.studies.faults.cases import CASES, Branches, branches_of
from rigfeed.studies.faults.events import DEAD_A, first_answer, run
from rigfeed.studies.faults.heat import Metal, warmed
from rigfeed.studies.faults.lowrank import Ports
from rigfeed.studies.faults.peaks import at_peaks
from rigfeed.studies.faults.result import CaseFaults, Faults
from rigfeed.studies.faults.shorts import Short, shorts_of
from rigfeed.studies.operating import OPERATING, Operating
from rigfeed.studies.prospective import BODY_POINT_OHM
from rigfeed.studies.sections import SECTIONS
from rigfeed.view import Study, View

REFERENCE_C = 20.0  # from which the heat of a core is taken: any temperature below its limit would do


def study_faults(view: View) -> Faults:
    """Follow every short in the case of the highest and in that of the lowest current."""
    installation = view.installation
    shorts = shorts_of(installation, view[SECTIONS])
    body = view.practice.default(BODY_POINT_OHM)
    body_ohm = max(body[0] / 1000, LEAST_OHM) if body else LEAST_OHM
    cases, metal = [], None
    cores: tuple[str, ...] = ()
    for number, case in enumerate(CASES):
        view.tell(number / len(CASES), f"dead shorts, {case} current")
        branches = branches_of(installation, case, _rises_k(view[OPERATING]) if case == "lowest" else {})
        known = _conducting(shorts, branches)
        if metal is None or cores != branches.core_ids:
            cores, metal = branches.core_ids, metal_of(installation, branches, view[OPERATING], view[AMPACITY])
        cases.append(_case(installation, branches, known, metal, body_ohm if case == "lowest" else LEAST_OHM))
    return Faults(tuple(cases))


def _conducting(shorts: tuple[Short, ...], branches: Branches) -> tuple[Short, ...]:
    """Those shorts that lie within one island: from one to another nothing can flow."""
    place, island = {net: number for number, net in enumerate(branches.nets)}, branches.islands
    start = dict(zip(branches.core_ids, branches.a[branches.cores].tolist(), strict=True))

    def joins(short: Short) -> bool:
        at = start.get(short.core) if short.core is not None else place.get(short.at)
        to = place.get(short.to)
        return at is not None and to is not None and bool(island[at] == island[to])

    return tuple(short for short in shorts if joins(short))


def _case(
    installation: Installation, branches: Branches, shorts: tuple[Short, ...], metal: Metal, body_ohm: float
) -> CaseFaults:
    """A case; a short in which a management unit would act is followed with it failed closed and with it open."""
    shorts = (*shorts, *at_peaks(branches, shorts, _ohms(shorts, body_ohm), installation.protections))
    ohm = _ohms(shorts, body_ohm)
    ports = Ports.of(branches, shorts)
    rows, out = _variants(ports, shorts, ohm)
    course = run(ports, installation.protections, rows, ohm[rows], out)
    units = [branches.names[place].partition(".")[0] for place in branches.units]
    return CaseFaults(
        branches.case, tuple(shorts[row] for row in rows),
        tuple(tuple(unit for unit, off in zip(units, flags, strict=True) if off) for flags in out),
        branches.core_ids, branches.device_ids, branches.source_ids, course, metal, warmed(course, metal),
    )


def _ohms(shorts: tuple[Short, ...], body_ohm: float) -> Floats:
    """The resistance of each short itself [ohm]."""
    return np.array([body_ohm if short.to_body else LEAST_OHM for short in shorts], dtype=np.float64)


def _variants(ports: Ports, shorts: tuple[Short, ...], ohm: Floats) -> tuple[Places, Flags]:
    """The shorts that anything feeds, and again those in which a management unit may take a battery off: anywhere along
    a conductor, if somewhere along it."""
    every = np.arange(len(ohm))
    first = first_answer(ports, every, ohm)
    fed = np.flatnonzero(np.abs(first.short_a) >= DEAD_A)
    units = np.searchsorted(ports.port, ports.branches.units)
    acts = np.abs(first.port_a[:, units]) > ports.branches.unit_a
    along: dict[tuple[str, str], int] = {}
    group = np.array([along.setdefault((short.at, short.to), len(along)) for short in shorts], dtype=np.intp)
    somewhere = np.zeros((len(along), acts.shape[1]), dtype=np.bool_)
    np.logical_or.at(somewhere, group, acts)
    acts = somewhere[group]
    again = fed[acts[fed].any(axis=1)]
    rows = np.concatenate([fed, again])
    out = np.concatenate([np.zeros_like(acts[fed]), acts[again]])
    return rows, out


# what the cores bear


def metal_of(
    installation: Installation, branches: Branches, operating: Operating, ampacities: Ampacities
) -> Metal:
    """The cores of a network: where they start, what they bear, how they cool."""
    cores = {core.id: (conductor, core) for conductor, core in _cores(installation)}
    found = [_numbers(*cores[id_], operating, ampacities) for id_ in branches.core_ids]
    columns = np.array(found, dtype=np.float64).reshape(len(found), 8).T
    return Metal(*columns)


def _cores(installation: Installation) -> Iterator[tuple[LaidConductor, LaidCore]]:
    for conductor in installation.conductors.values():
        yield from ((conductor, core) for core in conductor.cores)


def _numbers(
    conductor: LaidConductor, core: LaidCore, operating: Operating, ampacities: Ampacities
) -> tuple[float | None, ...]:
    """The numbers of `Metal` in their order; None, which becomes not-a-number, for what is not known."""
    cable, hottest_c = conductor.cable, max(stretch.zone.warmest_c for stretch in conductor.stretches)
    start_c = max([hottest_c, *_running_c(conductor, core, operating, ampacities)])
    limit_c, beta_c = cable.short_time_c, _beta_c(core)
    withstand, reference = cable.withstand_a2s(start_c), cable.withstand_a2s(REFERENCE_C)
    governing = ampacities.governing(core.id)
    heat = None
    if limit_c is not None and reference is not None and beta_c is not None and limit_c > REFERENCE_C:
        heat = reference / float(np.log((beta_c + limit_c) / (beta_c + REFERENCE_C)))
    return (
        start_c, limit_c, withstand, heat, beta_c, hottest_c, cable.insulation_c,
        governing.amps if governing is not None else None,
    )


def _running_c(
    conductor: LaidConductor, core: LaidCore, operating: Operating, ampacities: Ampacities
) -> Iterator[float]:
    """How warm the greatest current of all states makes a core on each stretch in its warmest air: by its heat balance,
    and by the ampacity that governs, at which it has the class of its insulation. The warmer one counts."""
    amps = max((abs(operating.current(name, core.id)) for name in operating.solutions), default=0.0)
    for rating in ampacities.ratings[core.id]:
        air_c, lowest, class_c = rating.zone.warmest_c, rating.lowest, conductor.cable.insulation_c
        yield conductor.cable.running_c(amps, Surroundings(air_c, rating.bundled, operating.installation.system_v))
        if lowest is not None and lowest.amps > 0.0 and class_c is not None:
            yield air_c + (class_c - air_c) * (amps / lowest.amps) ** 2


def _rises_k(operating: Operating) -> dict[str, float]:
    """By core, how much warmer than its air it runs in the state in which that is most."""
    rises: dict[str, float] = {}
    for name, state in operating.installation.states.items():
        for conductor in operating.installation.conductors.values() if name in operating.metal_c else ():
            air_c = conductor.air_c(state.air)
            for core in conductor.cores:
                rises[core.id] = max(rises.get(core.id, 0.0), operating.metal_c[name][core.id] - air_c)
    return rises


def _beta_c(core: LaidCore) -> float | None:
    """The temperature below zero at which the resistance would vanish, from the coefficient at 20 degC."""
    alpha = core.core.alpha_per_k
    return 1.0 / alpha - 20.0 if alpha > 0.0 else None


FAULTS: Study[Faults] = Study("faults", study_faults, needs=(SECTIONS, OPERATING, AMPACITY))

