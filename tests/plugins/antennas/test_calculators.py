"""The calculators give what others printed, and say no to what is out of their range."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import get_args

import pytest

from rigfeed.errors import OutOfRange, UnknownName
from rigfeed.registry import make_registry
from rigfeed_antennas.calculators import ALL
from rigfeed_antennas.calculators.feeders import Type
from rigfeed_antennas.exposure_rules import LIMITS
from rigfeed_antennas.published import feeder, feeders

BY_NAME = {calculator.name: calculator for calculator in ALL}
CASES = tomllib.loads((Path(__file__).parent / "calculators.toml").read_text(encoding="utf-8"))["case"]
INPUTS = {case["calculator"]: case["inputs"] for case in CASES}
NUMBERS = [
    (calculator.name, str(field.path[0]))
    for calculator in ALL
    for field in calculator.inputs
    if field.sort in ("quantity", "number")
]
GROUPS = {
    "antennas": {
        "coil-inductance", "coil-resistance", "monopole-gain", "quarter-wave-length", "short-whip", "wind-load",
    },
    "exposure": {
        "average-power", "exemption-threshold", "exposure-distance", "exposure-limit", "near-field-distance",
        "near-field-of-short-whip", "power-density",
    },
    "feeders": {
        "bend-radius", "coax-impedance", "coax-loss", "mismatched-line-loss", "power-at-antenna", "swr",
        "swr-reflected-power",
    },
    "noise": {
        "alternator-speed", "ferrite-choke-inductance", "lc-filter-corner", "strap-inductance", "whine-frequency",
    },
}


def ran(name, **changes):
    return BY_NAME[name].run(INPUTS[name] | changes)


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case['calculator']}: {case['what']} ({case['source']})")
def test_published_value(case):
    found = BY_NAME[case["calculator"]].run(case["inputs"])[case["output"]]
    assert found == pytest.approx(case["expect"], rel=case.get("relative", 0), abs=case.get("absolute", 0))
    assert ("relative" in case) != ("absolute" in case)
    assert "memory" not in case["source"]


def test_every_calculator_has_a_value_to_meet_and_is_registered():
    assert set(INPUTS) == set(BY_NAME) == set().union(*GROUPS.values())
    assert set(BY_NAME) <= set(make_registry().calculators)


@pytest.mark.parametrize("name", sorted(BY_NAME))
def test_says_what_it_is(name):
    calculator = BY_NAME[name]
    assert name in GROUPS[calculator.group]
    assert all(field.help for field in calculator.inputs)
    assert calculator.text.endswith(".")
    names = [output for output, _ in calculator.outputs]
    assert len(names) == len(set(names))


@pytest.mark.parametrize(("name", "field"), NUMBERS, ids=lambda value: value)
def test_refuses_what_is_out_of_range(name, field):
    form = next(f for f in BY_NAME[name].inputs if str(f.path[0]) == field)
    for value in (form.most + 1 + abs(form.most) * 0.01, form.least - 1 - abs(form.least) * 0.01):
        with pytest.raises(OutOfRange) as caught:
            ran(name, **{field: value})
        assert caught.value.name == field


def test_the_types_of_cable_are_those_of_the_catalog():
    assert set(get_args(Type)) == {*feeders(), "other"}


def test_the_rules_are_those_of_the_table():
    choices = next(field.choices for field in BY_NAME["exposure-limit"].inputs if str(field.path) == "rule")
    assert set(choices) == set(LIMITS)


@pytest.mark.parametrize("name", ["coax-loss", "mismatched-line-loss"])
def test_a_cable_that_is_no_type_needs_its_coefficients(name):
    inputs = {key: value for key, value in INPUTS[name].items() if key not in ("k1", "k2")} | {"cable": "other"}
    with pytest.raises(OutOfRange, match="another cable needs k1 and k2"):
        BY_NAME[name].run(inputs)
    with pytest.raises(UnknownName):
        BY_NAME[name].run(inputs | {"cable": "rg85"})
    with pytest.raises(UnknownName, match="rg58c"):
        feeder("rg58")


def test_own_figures_of_a_cable_give_what_its_type_gives():
    fit = feeder("rg8x").loss
    inputs = {"frequency": "7.1 MHz", "length": "5 m", "load": "20 ohm", "reactance": "-30 ohm"}
    typed = BY_NAME["mismatched-line-loss"].run(inputs | {"cable": "rg8x"})
    own = BY_NAME["mismatched-line-loss"].run(
        inputs | {"cable": "other", "k1": fit.k1, "k2": fit.k2, "velocity": "82 %", "impedance": "50 ohm"}
    )
    for name, _ in BY_NAME["mismatched-line-loss"].outputs:
        assert own[name] == pytest.approx(typed[name], rel=1e-9)


def test_the_handbook_hides_loss_on_a_short_line_into_a_low_resistance():
    assert ran("mismatched-line-loss", load="12 ohm")["handbook_error"] < -0.15
    assert ran("mismatched-line-loss")["handbook_error"] > 0.15
    assert "handbook" in BY_NAME["mismatched-line-loss"].text


def test_the_far_field_is_told_from_the_near_one():
    close = ran("near-field-of-short-whip")
    assert close["understated"] > 40
    assert close["near_field_edge"] == pytest.approx(6.72, abs=0.01)
    assert "unsafe" in BY_NAME["near-field-of-short-whip"].text
    assert "unsafe" in BY_NAME["power-density"].validity
    assert "unsafe" in BY_NAME["exposure-distance"].validity


def test_power_density_and_field_of_a_plane_wave():
    found = ran("power-density", power="10 W", distance="2 m")
    assert found["field_v_per_m"] == pytest.approx((30 * 10) ** 0.5 / 2, rel=0.001)  # sqrt(30 P G) / d


def test_erp_and_eirp_differ_by_a_dipole():
    found = ran("power-at-antenna")
    assert found["eirp"] / found["erp"] == pytest.approx(1.64, abs=0.001)
    exempt = ran("exemption-threshold", distance="1 m")
    assert (exempt["erp"], exempt["eirp"]) == pytest.approx((3.83, 6.28), abs=0.01)


def test_people_closer_than_the_exemption_reaches():
    with pytest.raises(OutOfRange, match="a wavelength over 2 pi"):
        ran("exemption-threshold", distance="0.19 m")


def test_a_core_may_be_30_percent_off():
    found = ran("ferrite-choke-inductance")
    assert (found["least_uh"], found["most_uh"]) == pytest.approx((34.3, 63.7))
    assert found["reactance"] == pytest.approx(153.9, abs=0.1)


def test_the_whine_of_a_healthy_bridge_is_six_times_its_phase():
    found = ran("whine-frequency")
    assert found["whine"] == 6 * found["phase"]
    with pytest.raises(OutOfRange, match="an even number"):
        ran("whine-frequency", poles=7)


def test_a_filter_helps_above_and_harms_at_its_corner():
    assert ran("lc-filter-corner")["attenuation"] == pytest.approx(51, abs=0.5)
    assert ran("lc-filter-corner", noise="170 Hz")["attenuation"] < -15
