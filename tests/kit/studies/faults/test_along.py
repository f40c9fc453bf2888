"""Shorts along a conductor: three places and the peaks of devices find what a fine grid of places finds."""

from __future__ import annotations

import math

import numpy as np
import pytest
from tests.kit.resolve.bench import TextFile
from tests.kit.studies.faults.made import assessed, made

import rigfeed
from rigfeed.assess import Assessment
from rigfeed.design.file import parse
from rigfeed.parts.shelf import Shelf, open_shelf
from rigfeed.registry import installed_registry
from rigfeed.studies.faults import FAULTS, Faults
from rigfeed.studies.faults import shorts as places
from rigfeed.studies.faults.peaks import _Bracket, peaks_a

LATE_S = 5.0
# opens at once above 6 times its rating: below that the longest time falls more slowly than the square of the current
GATES = "1.1 3600..; 2 5..40; 6 1..20; 6.2 0.01..0.05"
SNAP = f"""part,title,family,rated_a,rated_v,reset,drop_mv,breaking_a,gates,source,confidence
breaker:snap-20,snaps above six times,magnetic breaker,20,32,manual,100,3000,{GATES},test,invented
"""
FED = """format = 1
[zones.bay]
warmest = "40 degC"
coldest = "20 degC"
[nodes]
start = { part = "battery:agm-80", settings = { charge = "80 %" } }
F1 = { part = "breaker:snap-20" }
set = { part = "radio:vhf-50" }
[conductors]
W1 = { cable = "cable:thinwall-6", from = "start.pos", to = "F1.a", length = "0.2 m" }
W2 = { cable = "cable:thinwall-2.5", from = "F1.b", to = "set.pos", length = "14 m" }
W3 = { cable = "cable:thinwall-16", from = "set.neg", to = "start.neg", length = "1 m" }
"""


def finely(assessment: Assessment, monkeypatch: pytest.MonkeyPatch, count: int) -> Faults:
    """The study with many more places on every conductor."""
    monkeypatch.setattr(places, "SHARES", dict.fromkeys(np.linspace(0.0, 1.0, count).tolist(), "somewhere"))
    return FAULTS.run(assessment._workshop.view(FAULTS.needs))


def latest_s(faults: Faults, core: str) -> float:
    return max((t.cleared_s for t in faults.on(core) if t.case == "lowest"), default=0.0)


@pytest.mark.parametrize("seed", range(6))
def test_a_finer_grid_comes_to_no_other_conclusion(seed, monkeypatch):
    assessment = assessed(made(seed, conductors=14, fused=[None, True, False][seed % 3]).text())
    usual, fine = assessment[FAULTS], finely(assessment, monkeypatch, 31)
    for core in usual.cases[0].core_ids:
        was, now = usual.stress(core), fine.stress(core)
        assert (was is None) == (now is None)
        if was is None or now is None:
            continue
        assert math.isinf(was.limit_s) == math.isinf(now.limit_s), core
        assert (latest_s(usual, core) > LATE_S) == (latest_s(fine, core) > LATE_S), core
        if math.isinf(was.limit_s):
            assert now.let_through_a2s <= was.let_through_a2s * (1 + 1e-6), core
        else:  # what two sides bring together may add up a little earlier in between
            assert now.limit_s >= was.limit_s * 0.9, core


def test_the_place_at_which_a_breaker_lets_most_through_is_found(monkeypatch):
    """Just below 120 A it takes 20 s. That flows somewhere along the wire, and neither at its ends nor half way."""
    shelf = Shelf(installed_registry(), (TextFile("snap", SNAP),))
    assessment = rigfeed.assess(parse(FED), shelf=shelf, only=[])
    stress = assessment[FAULTS].stress("W2")
    assert stress is not None
    assert stress.let_through_a2s == pytest.approx(120.0**2 * 20.0, rel=0.01)
    assert stress.timeline.short.share not in places.SHARES
    assert "% of the way along" in stress.timeline.short.where
    fine = finely(assessment, monkeypatch, 201).stress("W2")
    assert fine is not None
    assert fine.let_through_a2s <= stress.let_through_a2s * 1.005
    assert stress.limit_s <= fine.limit_s * 1.01


def test_peaks_are_those_of_the_gates():
    shelf = Shelf(installed_registry(), (TextFile("snap", SNAP),))
    assert peaks_a(shelf.part("breaker:snap-20"), 25.0) == pytest.approx([120.0], rel=0.002)
    # 1.35, 2 and 3.5 times: from gate to gate the time falls faster than the square of the current rises
    assert peaks_a(open_shelf().part("fuse:e-40"), 25.0) == ()


@pytest.mark.parametrize(("low_a", "high_a"), [(400.0, 0.0), (0.0, 400.0)])
def test_a_peak_is_looked_for_where_nothing_flows_at_one_end(low_a, high_a):
    """As behind a diode that blocks: the place still lies between the two."""
    low, high = (places.Short("W2", "start.neg", "W2", share) for share in (0.0, 0.5))
    bracket = _Bracket(low, high, 0, 120.0, np.float64(low_a), np.float64(high_a), 1e-6)
    assert 0.0 < bracket.middle.share < 0.5


def test_the_ends_of_a_wire_bracket_what_flows_along_it():
    faults = rigfeed.assess(rigfeed.load(rigfeed.example("hazel")), only=[])[FAULTS]
    for case in ("highest", "lowest"):
        amps = [t.first_a for t in faults.on("W2") if (t.case, t.short.to) == (case, "start.neg")]
        assert len(amps) == 3
        assert amps == sorted(amps, reverse=True)


def test_a_unit_that_acts_somewhere_along_a_wire_is_followed_all_along_it():
    """At the far end less flows than at the near one: there it may hold on, and may not."""
    faults = assessed(made(4, conductors=16, batteries=2, fused=True).text())[FAULTS]
    followed: dict[tuple[str, str, str], dict[float, set[tuple[str, ...]]]] = {}
    for timeline in faults.timelines:
        if timeline.short.core is not None:
            along = followed.setdefault((timeline.case, timeline.short.core, timeline.short.to), {})
            along.setdefault(timeline.short.share, set()).add(timeline.out)
    assert any(len(outs) > 1 for along in followed.values() for outs in along.values())
    for along in followed.values():
        assert len({frozenset(outs) for outs in along.values()}) == 1
