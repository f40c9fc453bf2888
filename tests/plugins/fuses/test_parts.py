"""Fuses, breakers and holders as parts: what a row gives, what its family gives, what a circuit sees of it."""

from __future__ import annotations

import math

import pytest
from tests.plugins.installing import assessed, catalog

from rigfeed.errors import CatalogError
from rigfeed.parts.catalog import read_rows
from rigfeed.parts.interfaces import Condition
from rigfeed.parts.shelf import Shelf
from rigfeed.registry import installed_registry, make_registry
from rigfeed.studies.operating import OPERATING
from rigfeed_fuses import CATALOGS
from rigfeed_fuses.parts import BODIES, RESETS, Breaker, Fuse, FuseSettings, Holder

SHELF = Shelf(installed_registry())
FILES = [file for file in installed_registry().catalogs if file.name in CATALOGS]
PARTS = [SHELF.part(f"{row.kind}:{row.catalog}/{row.id}") for file in FILES for row in read_rows(file)]
DEVICES = [part for part in PARTS if isinstance(part, Fuse | Breaker)]
HOT, COLD = Condition(case="operating"), Condition(case="highest")


def part_of(row: str):
    return Shelf(make_registry(), [catalog(0, row)]).part(row.split(": ", maxsplit=1)[0])  # type: ignore[list-item]


def each(parts):
    return pytest.mark.parametrize("part", parts, ids=lambda part: part.short_key)


def test_the_catalogs_are_there():
    assert {file.name for file in FILES} == set(CATALOGS)
    assert [len(DEVICES) > 200, len(PARTS) - len(DEVICES) > 15] == [True, True]


@each(DEVICES)
def test_every_device_is_possible(part):
    assert 0 < part.cold_ohm < part.hot_ohm
    assert 0.05 <= part.hot_ohm * part.rated_a <= 0.3  # volts at the rated current
    assert part.rated_v in (14, 30, 32, 58, 65, 125)
    assert part.opening_s(1.0 * part.rated_a)[1] == math.inf
    shortest_s, longest_s = part.opening_s(1.35 * part.rated_a)
    assert shortest_s < longest_s <= 7200.0
    assert part.opening_s(-6 * part.rated_a) == part.opening_s(6 * part.rated_a)
    assert part.opening_s(100 * part.rated_a)[1] < 1.0
    assert part.carries_a(25.0) == part.rated_a >= part.carries_a(85.0)
    assert part.opening_s(2 * part.rated_a, 85.0)[0] <= part.opening_s(2 * part.rated_a)[0]


@each([part for part in DEVICES if isinstance(part, Fuse)])
def test_a_breaking_capacity_that_was_not_seen_stays_unknown(part):
    glass = part.family.startswith("glass")
    assert part.breaking_a == (None if glass else 20_000.0 if part.family == "high-interrupt" else 1000.0)
    assert part.body in BODIES


def test_breakers_of_every_reset_and_none_with_an_invented_breaking_capacity():
    breakers = [part for part in DEVICES if isinstance(part, Breaker)]
    assert {breaker.reset for breaker in breakers} == set(RESETS)
    assert {breaker.breaking_a for breaker in breakers} == {None}
    assert {breaker.reset for breaker in breakers if breaker.closes_by_itself} == {"self-resetting"}


def test_every_body_has_a_holder_that_takes_its_largest_fuse():
    holders = [part for part in PARTS if isinstance(part, Holder)]
    for body in BODIES:
        most_a = max(part.rated_a for part in DEVICES if isinstance(part, Fuse) and part.body == body)
        fits = [holder for holder in holders if holder.family == body]
        assert fits, body
        assert max(holder.most_a for holder in fits) >= min(most_a, 80.0), body


@each([part for part in PARTS if isinstance(part, Holder) and part.provenance.catalog != "demo-holders"])
def test_every_holder_is_possible(part):
    assert part.sealed in (True, False)
    assert 1e-5 <= part.contact_ohm <= 5e-3
    assert part.contact_ohm * part.most_a <= 0.15  # volts
    assert 80 <= part.hottest_c <= 130
    assert part.lead_mm2 is None or part.most_a / part.lead_mm2 <= 8.0  # amperes per mm2


def test_the_more_published_rows_are_those_whose_figures_were_seen():
    published = {part.short_key for part in DEVICES if part.provenance.confidence == "published"}
    assert published == {f"fuse:e-{rating}" for rating in (20, 30, 40, 50, 60, 70, 80)}


def test_a_row_without_resistance_has_the_limit_of_its_family():
    fuse = part_of("fuse:x: family=E | rated_a=40")
    assert fuse.hot_ohm == pytest.approx(0.1 / 40)
    assert fuse.cold_ohm == pytest.approx(0.1 / 40 / 1.45)
    assert (fuse.colour, fuse.body, fuse.holder_counted) == ("orange", "E", False)


def test_a_row_with_a_cold_resistance_is_warmed_up():
    assert part_of("fuse:x: family=C | rated_a=10 | cold_mohm=8").hot_ohm == pytest.approx(11.6e-3)
    both = part_of("fuse:x: family=C | rated_a=10 | cold_mohm=8 | drop_mv=90 | across=fuse")
    assert (both.cold_ohm, both.hot_ohm, both.holder_counted) == (pytest.approx(8e-3), pytest.approx(9e-3), False)


def test_a_row_may_bring_gates_of_its_own_and_is_trusted_as_the_row_is():
    fuse = part_of("fuse:x: family=C | rated_a=10 | gates=1.1 360000..; 1.35 1..100; 2 ..5")
    assert fuse.opening_s(13.5) == (pytest.approx(1.0), pytest.approx(100.0))
    assert fuse.opening_s(20.0) == (0.0, pytest.approx(5.0))
    assert fuse.curve.confidence == "invented"
    assert fuse.carries_a(85.0) == pytest.approx(8.7)  # the air is that of the family all the same


@pytest.mark.parametrize(
    ("cells", "says"),
    [
        ("family=E | rated_a=200", "no limit of the family for 200 A"),
        ("family=C | rated_a=10 | cold_mohm=20 | drop_mv=100", "20 is more than the 10 of the warm fuse"),
        ("family=thermal breaker | rated_a=10", "family: 'thermal breaker' is not one of the choices"),
        ("family=C | rated_a=10 | across=lead", "across: 'lead' is not one of"),
        ("family=C | rated_a=10 | gates=2 5..3", "shortest time is longer"),
        ("family=C | rated_a=10 | gates=2 ..", "is no gate"),
        ("family=C | rated_a=10 | gates=0.5 1..2", "is no gate"),
        ("family=C | rated_a=10 | gates=2 0..2", "is no gate"),
        ("family=C | rated_a=10 | gates=2 1-2", "is no gate"),
        ("family=C | rated_a=10 | gates=2 1..2.3.4", "is no gate"),
        ("family=C | rated_a=10 | gates=2 1..2; 1.35 5..9", "do not rise"),
    ],
)
def test_a_fuse_row_that_cannot_be(cells, says):
    with pytest.raises(CatalogError, match=says):
        part_of(f"fuse:x: {cells}")


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("breaker:x: family=C | rated_a=10 | reset=manual", "family: 'C'"),
        ("breaker:x: family=thermal breaker | rated_a=10 | reset=never", "reset: 'never'"),
        ("breaker:x: family=thermal breaker | rated_a=10", "reset: is missing"),
        ("holder:x: family=glass 6.3x32 delay", "family: 'glass 6.3x32 delay'"),
        ("holder:x: family=C | sealed=maybe", "sealed: 'maybe'"),
    ],
)
def test_another_row_that_cannot_be(row, says):
    with pytest.raises(CatalogError, match=says):
        part_of(row)


def test_a_holder_takes_the_fuses_of_its_body():
    glass = part_of("holder:x: family=glass 6.3x32 | most_a=10 | sealed=no")
    assert glass.sealed is False
    assert glass.takes(SHELF.part("fuse:glass-10"))
    assert glass.takes(SHELF.part("fuse:glass-delay-10"))
    assert not glass.takes(SHELF.part("fuse:c-10"))


def test_contacts_come_on_top_of_the_fuse_but_not_twice():
    fuse, counted = SHELF.part("fuse:c-10"), SHELF.part("fuse:blade-10")
    holder = FuseSettings(SHELF.part("holder:c-inline-30"))
    unknown = FuseSettings(SHELF.part("holder:inline-blade"))
    assert fuse.in_holder_ohm(holder, HOT) == pytest.approx(7.7e-3 * 1.45 + 2e-3)
    assert fuse.in_holder_ohm(unknown, HOT) == fuse.in_holder_ohm(FuseSettings(), HOT) == fuse.hot_ohm
    assert counted.in_holder_ohm(holder, HOT) == pytest.approx(0.010)


def test_the_highest_fault_current_meets_a_cold_fuse():
    fuse = SHELF.part("fuse:e-40")
    ohms = [fuse.elements(FuseSettings(), condition)[0].ohm_20 for condition in (HOT, COLD, Condition(case="lowest"))]
    assert ohms == pytest.approx([2.5e-3, 2.5e-3 / 1.45, 2.5e-3])


def circuit(device: str, settings: str) -> str:
    return f"""
    [nodes]
    start = {{ part = "battery:b", settings = {{ rest_voltage = "12.6 V" }} }}
    X1 = {{ part = "{device}"{settings} }}
    set = {{ part = "radio:r" }}
    [conductors]
    W1 = {{ cable = "cable:w", from = "start.pos", to = "X1.a", length = "0.1 m" }}
    W2 = {{ cable = "cable:w", from = "X1.b", to = "set.pos", length = "1 m" }}
    W3 = {{ cable = "cable:w", from = "set.neg", to = "start.neg", length = "1 m" }}
    [states.tx]
    modes = {{ set = "transmit" }}
    """


ROWS = (
    "battery:b: chemistry=AGM | capacity_ah=80 | aged_mohm=10 | new_mohm=5 | rest_v=0 11.8; 100 12.8",
    "radio:r: transmit_a=10 | receive_a=1 | standby_a=0 | least_v=9 | most_v=16",
    "cable:w: area_mm2=2 | ohm_per_km=9.42 | od_mm=3",
)


@pytest.mark.parametrize(
    ("device", "settings", "ohm"),
    [
        ("breaker:panel-20", "", 0.150 / 20),
        ("breaker:auto-15", "", 0.150 / 15),
        ("fuse:c-10", "", 7.7e-3 * 1.45),
        ("fuse:c-10", ', settings = { holder = "holder:c-inline-30" }', 7.7e-3 * 1.45 + 2e-3),
        ("fuse:sf30-40", ', settings = { holder = "holder:sf30-block-200" }', 2.5e-3),
    ],
)
def test_a_circuit_with_it_solves(device, settings, ohm):
    found = assessed(circuit(device, settings), *ROWS)[OPERATING]
    assert found.current("tx", "X1") == pytest.approx(10.0)
    assert found.between("tx", "X1.a", "X1.b") == pytest.approx(10.0 * ohm)
