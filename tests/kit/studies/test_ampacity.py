"""The ampacity study: which stretch governs, what counts as a bundle, and the figures of the demonstration cables."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import pytest
from tests.kit.resolve.bench import TextFile, assessed, bench_registry, bench_shelf

import rigfeed
from rigfeed import Path, Set
from rigfeed.plugin import Ampacity, ConductorType, Core, Number, PartKind, RowSchema, Surroundings, hookimpl
from rigfeed.studies.ampacity import AMPACITY


@dataclass(frozen=True, kw_only=True)
class RatedWire(ConductorType):
    """Carries 1 A for each kelvin below 100 degC, shared among all that lie together; a second basis says 60 A."""

    bases: float = 2

    @property
    def cores(self) -> tuple[Core, ...]:
        return (Core("1", 2.0, 0.01, 0.0),)

    def ampacities(self, surroundings: Surroundings) -> tuple[Ampacity, ...]:
        by_heat = Ampacity((100 - surroundings.air_c) / surroundings.bundled, "by heat")
        return (by_heat, Ampacity(60.0, "flat"))[: int(self.bases)]


class RatedWireSchema(RowSchema):
    builds = RatedWire
    od_mm = Number(above=0, most=100, load_default=3.0)
    bases = Number(least=0, most=2, load_default=2)


class RatedWires:
    """The plugin."""

    @hookimpl
    def register_part_kinds(self) -> Iterable[PartKind]:
        return [PartKind("rated", "wire with ratings", row=RatedWireSchema)]


ROWS = TextFile("rated", "part,title,bases,source,confidence\nrated:both,both bases,2,bench,invented\n")
SHELF = bench_shelf(ROWS, registry=bench_registry(rated=RatedWires()))
ENDS = 'ends = ["tag:none", "tag:none"]'


def study(wires: str, nodes: str = ""):
    text = f"""
    [zones]
    hot = {{ warmest = "70 degC" }}
    mild = {{ warmest = "20 degC" }}
    [points]
    p = {{ zone = "hot" }}
    m = {{ zone = "mild" }}
    s = {{ zone = "mild" }}
    [runs]
    bay = {{ from = "p", to = "m", length = "1 m", zone = "hot" }}
    sill = {{ from = "m", to = "s", length = "3 m", zone = "mild" }}
    [nodes]
    start = {{ part = "cell:stiff", at = "p", settings = {{ volts = "12 V" }} }}
    F1 = {{ part = "link:ten", at = "p" }}
    set = {{ part = "box:amps", at = "s" }}
    {nodes}
    [conductors]
    {wires}
    """
    return assessed(text, shelf=SHELF)[AMPACITY]


FEED = f"""W2 = {{ cable = "rated:both", from = "F1.b", to = "set.pos", route = ["bay", "sill"], {ENDS} }}
    W1 = {{ cable = "rated:both", from = "start.pos", to = "F1.a", length = "0.1 m", {ENDS} }}"""
RETURN = f'W3 = {{ cable = "rated:both", from = "set.neg", to = "start.neg", route = ["sill", "bay"], {ENDS} }}'


def test_the_weakest_stretch_governs_and_the_lowest_figure_on_it():
    governing = study(FEED).governing("W2")
    assert (governing.amps, governing.zone.id, governing.figure.basis) == (30.0, "hot", "by heat")
    stretches = study(FEED).ratings["W2"]
    assert [rating.lowest for rating in stretches] == [Ampacity(30.0, "by heat"), Ampacity(60.0, "flat")]


def test_what_shares_a_run_and_carries_current_counts():
    alone, paired = study(FEED), study(f"{FEED}\n    {RETURN}")
    assert alone.governing("W2").rating.bundled == 1
    assert paired.governing("W2").rating.bundled == 2
    assert paired.governing("W2").amps == pytest.approx(15.0)
    assert paired.governing("W1").amps == pytest.approx(30.0)  # it shares no run


def test_a_control_wire_is_rated_and_not_counted():
    wire = f'W4 = {{ cable = "rated:both", from = "F1.b", to = "set.spare", route = ["bay", "sill"], {ENDS} }}'
    assert study(f"{FEED}\n    {wire}").governing("W2").rating.bundled == 2  # a spare terminal of no stated pole
    hazel = rigfeed.assess(rigfeed.load(rigfeed.example("hazel")), only=[])
    (_, sill) = hazel[AMPACITY].ratings["W2"]
    assert sill.bundled == 1  # the sense line W5 lies beside it
    assert hazel[AMPACITY].governing("W5") is not None


def test_without_a_figure_or_a_way_nothing_is_made_up():
    found = study(FEED.replace('"rated:both", from = "F1.b"', '"wire:one", from = "F1.b"'))
    assert found.governing("W2") is None
    assert found.weakest(["W2"]) is None
    assert found.weakest(["W1", "W2"]).rating.core.id == "W1"


# The figures of the scenarios: supplier amps of an invented list for 30 degC, times sqrt((class - zone) / (class -
# 30)). The next thinner size of 33 CFR 183.425 table 5, treated alike, and the heat balance are above them.
FIGURES = [
    ("cable:thinwall-2.5", "85 degC", 14.98),
    ("cable:thinwall-1", "85 degC", 8.52),
    ("cable:thinwall-16", "90 degC", 49.19),
    ("cable:thinwall-10", "90 degC", 31.30),
    ("cable:thinwall-10-125", "90 degC", 47.83),
    ("cable:thinwall-4", "70 degC", 26.64),
    ("cable:thinwall-2.5", "70 degC", 19.81),
]


@pytest.mark.parametrize(("cable", "air", "amps"), FIGURES, ids=[f"{row[0]} at {row[1]}" for row in FIGURES])
def test_the_demonstration_cables_carry_what_their_supplier_says_in_the_heat_of_the_place(cable, air, amps):
    edits = [Set(Path.parse("conductors.W2.cable"), cable), Set(Path.parse("zones.bay.warmest"), air)]
    hazel = rigfeed.apply(rigfeed.load(rigfeed.example("hazel")), edits)
    governing = rigfeed.assess(hazel, only=[])[AMPACITY].governing("W2")
    assert governing.amps == pytest.approx(amps, rel=0.001)
    assert governing.figure.basis.startswith("supplier's figure")
    assert governing.zone.id == "bay"
    others = [figure.amps for figure in governing.rating.figures if figure is not governing.figure]
    assert len(others) == 2
    assert min(others) > amps
