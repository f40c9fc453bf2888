"""Designs with loose ends: parts that draw without being loads, wires that nothing feeds, nothing at all."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import pytest
from tests.kit.resolve.bench import assessed, bench_registry, bench_shelf

from rigfeed.plugin import Condition, Device, Element, PartKind, Sink, Terminal, hookimpl
from rigfeed.studies.faults import FAULTS

NODES = """[nodes]
start = { part = "cell:stiff", settings = { volts = "12 V" } }
F1 = { part = "link:ten" }
lamp = { part = "lamp" }
[conductors]
W1 = { cable = "wire:one", from = "start.pos", to = "F1.a", length = "0.1 m", ends = ["tag:none", "tag:none"] }
W2 = { cable = "wire:one", from = "F1.b", to = "lamp.pos", length = "2 m", ends = ["tag:none", "tag:none"] }
W3 = { cable = "wire:one", from = "lamp.neg", to = "stud.x", length = "2 m", ends = ["tag:none", "tag:none"] }
W4 = { cable = "wire:one", from = "lost.x", to = "lost.y", length = "2 m", ends = ["tag:none", "tag:none"] }
"""
JOINTS = '[nodes.stud]\npart = "joint"\n[nodes.lost]\npart = "joint"\n'


@dataclass(frozen=True, kw_only=True)
class Lamp(Device):
    """Draws, and is no equipment that the kit knows of."""

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        return (Terminal("pos", "positive"), Terminal("neg", "negative"))

    def elements(self, settings: None, condition: Condition) -> Sequence[Element]:
        return (Sink("", "pos", "neg", "current", 2.0),)


class Lamps:
    """The plugin."""

    @hookimpl
    def register_part_kinds(self) -> Iterable[PartKind]:
        yield PartKind("lamp", "lamp", standard=Lamp(title="lamp"))


@pytest.fixture(scope="module")
def shelf():
    return bench_shelf(registry=bench_registry(lamps=Lamps()))


def test_a_part_that_draws_without_being_a_load_holds_nothing_up(shelf):
    faults = assessed(NODES + JOINTS, shelf=shelf, only=[])[FAULTS]
    lowest = next(t for t in faults.on("W2") if (t.case, t.short.share) == ("lowest", 0.5))
    assert lowest.short.to == "start.neg"
    assert lowest.first_a == pytest.approx(12 / (0.010 + 0.001 + 0.010 + 0.010), rel=1e-3)
    assert (lowest.opened, lowest.cleared_s) == (("F1",), 2.0)


def test_nothing_at_all_has_no_faults(shelf):
    faults = assessed("[nodes]\n", shelf=shelf, only=[])[FAULTS]
    assert list(faults.timelines) == []


def test_one_battery_and_a_wire_that_leads_nowhere(shelf):
    text = '[nodes]\nstart = { part = "cell:stiff", settings = { volts = "12 V" } }\nend = { part = "joint" }\n'
    text += '[conductors]\nW1 = { cable = "wire:one", from = "start.pos", to = "end.x", length = "1 m" }\n'
    faults = assessed(text, shelf=shelf, only=[])[FAULTS]
    (side,) = faults.sides("W1")
    assert (side.end, side.devices, side.fed_by) == ("from", (), ("start",))
    assert faults.stress("W1").withstand_a2s is None  # the bench's wires do not say what they bear
