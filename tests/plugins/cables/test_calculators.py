"""The calculators give what others printed, and say no to what is out of their range."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from rigfeed.errors import OutOfRange
from rigfeed.quantity import Quantity
from rigfeed_cables.calculators import CALCULATORS

BY_NAME = {calculator.name: calculator for calculator in CALCULATORS}
CASES = tomllib.loads((Path(__file__).parent / "calculators.toml").read_text(encoding="utf-8"))["case"]
INPUTS = {case["calculator"]: case["inputs"] for case in CASES}
NUMBERS = [
    (calculator.name, str(field.path[0]))
    for calculator in CALCULATORS
    for field in calculator.inputs
    if field.sort in ("quantity", "number")
]


def in_unit(value, unit):
    return Quantity.parse(value, unit).to(unit) if isinstance(value, str) else value


def ran(name, **changes):
    return BY_NAME[name].run(INPUTS[name] | changes)


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case['calculator']}: {case['what']} ({case['source']})")
def test_published_value(case):
    calculation = BY_NAME[case["calculator"]].run(case["inputs"])
    unit = next(measure.unit for name, _, measure in calculation.outputs if name == case["output"])
    value = calculation[case["output"]]
    bounds = [key for key in ("expect", "at_least", "at_most") if key in case]
    assert bounds, "a case expects something"
    if "expect" in case:
        assert value == pytest.approx(in_unit(case["expect"], unit), rel=case["relative"], abs=0)
    assert value >= in_unit(case.get("at_least", -1e99), unit)
    assert value <= in_unit(case.get("at_most", 1e99), unit)
    assert "memory" not in case["source"]


def test_every_calculator_has_a_value_to_meet():
    assert set(INPUTS) == set(BY_NAME)
    assert len(BY_NAME) == len(CALCULATORS) >= 20


@pytest.mark.parametrize("name", sorted(BY_NAME))
def test_says_what_it_is(name):
    calculator = BY_NAME[name]
    assert calculator.group == "cables"
    assert calculator.title.endswith(".")
    assert all(field.help for field in calculator.inputs)
    names = [output for output, _ in calculator.outputs]
    assert len(names) == len(set(names))


@pytest.mark.parametrize(("name", "field"), NUMBERS, ids=lambda value: value)
def test_refuses_what_is_out_of_range(name, field):
    form = next(f for f in BY_NAME[name].inputs if str(f.path[0]) == field)
    for value in (form.most + 1 + abs(form.most) * 0.01, form.least - 1 - abs(form.least) * 0.01):
        with pytest.raises(OutOfRange) as caught:
            ran(name, **{field: value})
        assert caught.value.name == field


def test_a_hotter_wire_has_less_left():
    from_70 = ran("k-factor", running="70 degC")
    from_105 = ran("k-factor", running="105 degC")
    assert from_105["k"] < from_70["k"]


def test_hotter_than_its_end_is_refused():
    with pytest.raises(OutOfRange, match="final_c is 100"):
        ran("k-factor", running="120 degC", final="100 degC")


def test_engine_space_above_50_degrees_goes_by_the_formula_alone():
    hot = ran("table-ampacity", area="8 AWG", rated="105 degC", air="80 degC", space="engine")
    assert hot["ampacity"] == pytest.approx(80 * (25 / 75) ** 0.5)


def test_table_figure_is_never_raised_in_cool_air():
    assert ran("table-ampacity", area="8 AWG", rated="105 degC", air="-20 degC", space="open")["ampacity"] == 80


def test_metric_size_gets_the_figure_of_the_thinner_one():
    assert ran("table-ampacity", area="16 mm2", rated="105 degC", air="30 degC", space="open")["ampacity"] == 120
    assert ran("table-ampacity", area="6 AWG", rated="105 degC", air="30 degC", space="open")["ampacity"] == 120


def test_material_that_resists_more():
    plain = ran("cable-resistance")["resistance"]
    clad = ran("cable-resistance", material="copper-clad aluminium 10 %")["resistance"]
    assert clad / plain == pytest.approx(1.59, rel=0.001)


def test_mixed_bundle_lies_between_its_bounds():
    mixed = ran("mixed-bundle-diameter", first_number=3, first="5 mm", second_number=7, second="2 mm")
    assert mixed["least"] <= mixed["trade"] <= mixed["most"]
    assert mixed["least"] >= 10
