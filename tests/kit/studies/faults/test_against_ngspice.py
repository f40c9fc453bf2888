"""Thirty designs, their shorts followed by an independent simulator with contacts that open at the computed times."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.kit.studies.faults.made import assessed, made
from tests.kit.studies.faults.spice import traced

import rigfeed
from rigfeed.assess import Assessment
from rigfeed.examples import examples
from rigfeed.studies.faults import FAULTS, Faults
from rigfeed.studies.faults.result import CaseFaults
from rigfeed.studies.operating import OPERATING

BODY_OHM = 2.5e-3  # half a body path, the practice's
DESIGNS = range(30)
SHORTS = 3  # of each design: those in which most happens


def eventful(faults: Faults) -> list[tuple[CaseFaults, int]]:
    """The shorts with most openings, no two at the same place."""
    every = [(case, number) for case in faults.cases for number in range(len(case.shorts))]
    found: dict[str, tuple[CaseFaults, int]] = {}

    def rank(pair: tuple[CaseFaults, int]) -> tuple[int, bool]:
        case, number = pair
        return -int(case.course.opens[:, number].sum()), case.shorts[number].share in (0.0, 1.0)

    for case, number in sorted(every, key=rank):
        found.setdefault(case.shorts[number].at, (case, number))
    return list(found.values())[:SHORTS]


def follow(assessment: Assessment, ngspice: str, folder: Path) -> None:
    """The most eventful shorts of a design, step by step, in both programs."""
    for case, number in eventful(assessment[FAULTS]):
        timeline = case.timeline(number)
        seen = traced(assessment[OPERATING], timeline, BODY_OHM, ngspice, folder)
        largest = max(abs(amps) for step in seen.core_a for amps in step.values())
        near = {"rel": 1e-3, "abs": 1e-6 * largest}
        for place, (step, cores) in enumerate(zip(timeline.steps, seen.core_a, strict=True)):
            assert step.short_a == pytest.approx(cores["@short"], **near)
            if step.from_a is not None and step.to_a is not None:
                own = timeline.short.core
                halves = [(step.from_a, 1.0, f"{own}@1"), (step.to_a, -1.0, f"{own}@2")]
                told = [(amps, sign * cores[part]) for amps, sign, part in halves if part in cores]
                assert len(told) == (1 if timeline.short.share in (0.0, 1.0) else 2)
                for amps, theirs in told:
                    assert amps == pytest.approx(theirs, **near)
                assert step.from_a + step.to_a == pytest.approx(step.short_a, **near)
            ours = dict(zip(case.core_ids, case.course.core_a[place, number], strict=True))
            ours.pop(timeline.short.core, None)
            assert ours == pytest.approx({id_: cores[id_] for id_ in ours}, **near)
            devices = dict(zip(case.device_ids, case.course.device_a[place, number], strict=True))
            assert devices == pytest.approx({id_: abs(a) for id_, a in seen.device_a[place].items()}, **near)
        assert seen.given_j == pytest.approx(seen.heat_j, rel=1e-6)


@pytest.mark.parametrize("seed", DESIGNS)
def test_currents_of_every_step(seed, tool, tmp_path):
    follow(assessed(made(seed).text()), tool("ngspice"), tmp_path)


@pytest.mark.parametrize("name", examples())
def test_currents_of_the_examples_with_their_chargers_and_converters(name, tool, tmp_path):
    follow(rigfeed.assess(rigfeed.load(rigfeed.example(name)), only=[]), tool("ngspice"), tmp_path)


def test_something_happens_in_these_designs():
    chosen = [pair for seed in DESIGNS for pair in eventful(assessed(made(seed).text())[FAULTS])]
    opened = [len(case.timeline(number).opened) for case, number in chosen]
    assert sum(count >= 2 for count in opened) > len(DESIGNS)  # two devices open one after the other
    assert max(opened) >= 3
