"""Cables whose figures are known, printed as lists print them, some wrongly: what is taken without a mark is true."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass

import pytest

from rigfeed.intake.mapping import Mapping
from rigfeed.intake.taking import take
from rigfeed.registry import make_registry

KINDS = make_registry().kinds
COPPER, TINNED, CLAD = 0.0178, 0.0183, 0.0275  # ohm mm2/m of strands with their lay; common practice, no source
# mm2: strands and their diameter [mm]; common practice, no source
METRIC = {
    0.5: (16, 0.2), 0.75: (24, 0.2), 1.0: (32, 0.2), 1.5: (30, 0.25), 2.5: (50, 0.25), 4.0: (56, 0.3), 6.0: (84, 0.3),
    10.0: (80, 0.4), 16.0: (126, 0.4), 25.0: (196, 0.4), 35.0: (276, 0.4), 50.0: (396, 0.4),
}
# outside-diameter names: strands of 0.30 mm; common practice, no source. Of 2 and 5 the kit knows no metal.
OUTSIDE = {"2": 7, "3": 12, "4": 26, "5": 41, "6": 65}
GAUGES = {
    18: (16, 30), 16: (26, 30), 14: (41, 30), 12: (65, 30), 10: (105, 30), 8: (133, 29), 4: (133, 25), 0: (1045, 30),
}
PER_1000_FT = 0.3048


def gauge_mm2(gauge: int) -> float:
    """ASTM B258: 0.005 inch at 36, 0.46 inch at 4/0, in 39 equal ratios."""
    return math.pi / 4 * (0.127 * 92 ** ((36 - gauge) / 39)) ** 2


@dataclass(frozen=True)
class Truth:
    """A cable, and the cells in which a list prints it."""

    area_mm2: float
    ohm_per_km: float
    od_mm: float
    is_clad: bool
    cells: tuple[str, ...]


def shown(value: float, digits: str, comma: bool) -> str:
    text = format(value, digits)
    return text.replace(".", ",") if comma else text


def a_size(pick: random.Random, comma: bool) -> tuple[float, str, str, str]:
    """Area, and the texts of title, size and strands."""
    sort = pick.choice(("metric", "outside", "gauge"))
    if sort == "metric":
        area_mm2, (count, wire_mm) = pick.choice(list(METRIC.items()))
        text, wire = shown(area_mm2, "g", comma), shown(wire_mm, ".2f", comma)
        title, size = pick.choice([("single", f"{text}{unit}") for unit in (" mm2", "mm²", " mm", "mm", "", " sq mm")]
                                  + [(f"single {text} mm2", "")])
        return area_mm2, title, size, pick.choice((f"{count}/{wire}", f"{count} x {wire}", f"{count}x{wire} mm", ""))
    if sort == "outside":
        name, count = pick.choice(list(OUTSIDE.items()))
        size = pick.choice((f"{name}mm", f"{name} mm", f"{name}mm auto", name))
        title, strands = pick.choice(("auto single", "single")), pick.choice((f"{count}/.30", f"{count}/0.30", "", ""))
        return count * math.pi / 4 * 0.09, title, size, strands
    gauge, (count, wire) = pick.choice(list(GAUGES.items()))
    name = f"{1 - gauge}/0" if gauge < 1 else str(gauge)
    size = pick.choice((f"{name} AWG", f"AWG {name}", f"{name} B&S", f"{name} ga", name, f"#{name}"))
    strands = pick.choice((f"{count}/{wire}", f"{count} x {wire} AWG", f"{count}/.0{wire}", f"{count}/.{wire}", "", ""))
    return count * gauge_mm2(wire), "single", size, strands


def a_cable(pick: random.Random, comma: bool) -> Truth:
    area_mm2, title, size, strands = a_size(pick, comma)
    metal = pick.choices((COPPER, TINNED, CLAD), (5, 1, 1))[0]
    ohm_per_km = 1000 * metal / area_mm2
    od_mm = 1.15 * math.sqrt(4 * area_mm2 / math.pi) + pick.choice((0.8, 1.2, 2.0))
    factor, unit = pick.choice((
        (1, " ohm/km"), (1, " mΩ/m"), (1, ""), (PER_1000_FT, " ohm/1000ft"), (PER_1000_FT, "/1000 ft"),
        (PER_1000_FT, " mohm/ft"), (PER_1000_FT, " ohm/km"), (1, " ohm/1000ft"), (0, ""),  # two are misprints
    ))
    ohm = f"{shown(ohm_per_km * factor, '.3g', comma)}{unit}" if factor else ""
    od = pick.choice((
        shown(od_mm, ".1f", comma), shown(od_mm / 25.4, ".3f", comma) + '"', shown(od_mm, ".1f", comma) + " mm",
        f"{shown(od_mm - 0.2, '.1f', comma)}-{shown(od_mm, '.1f', comma)}",
    ))
    title += " tinned" if metal == TINNED else ""
    return Truth(area_mm2, ohm_per_km, od_mm, metal == CLAD, (title, size, strands, od, ohm))


def wrong(truth: Truth, outcome) -> list[str]:
    """What of a taken row is not true, and not marked either."""
    cells, marked = outcome.cells, {note.column for note in outcome.notes if note.level == "mark"}
    found = []
    if not marked & {"size", "strands", "title"}:  # less metal in a gauge is the custom of the trade
        found += ["area_mm2"] * (abs(float(cells["area_mm2"]) / truth.area_mm2 - 1) > 0.085)
    if "ohm" not in marked and not marked & {"size", "title"}:
        found += ["ohm_per_km"] * (abs(float(cells["ohm_per_km"]) / truth.ohm_per_km - 1) > 0.04)
    if not marked & {"ohm", "material", "size"}:
        found += ["material"] * ((cells["material"] == "copper-clad aluminium") != truth.is_clad)
    return found + ["od_mm"] * (abs(float(cells["od_mm"]) / truth.od_mm - 1) > 0.12)


@pytest.mark.parametrize("seed", range(8))
def test_what_is_taken_without_a_mark_is_true(seed):
    pick = random.Random(seed)
    comma = pick.random() < 0.5
    truths = [a_cable(pick, comma) for _ in range(100)]
    lines = [";".join((f"K{number}", *truth.cells)) for number, truth in enumerate(truths)]
    text = "\n".join(["Code;Desc;Size;Strands;OD;Ohm", *lines])
    outcomes = take(text.encode(), "list.csv", KINDS, Mapping(kind="cable", decimal="," if comma else ".")).outcomes
    taken = [(truth, outcome) for truth, outcome in zip(truths, outcomes, strict=True) if outcome.state != "refused"]
    assert len(taken) > 40
    assert {truth.cells: bad for truth, outcome in taken if (bad := wrong(truth, outcome))} == {}
