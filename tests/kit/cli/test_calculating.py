"""Calculators from the command line, with a calculator made here."""

from __future__ import annotations

import json
from typing import Annotated, Literal, NamedTuple

import pytest

from rigfeed import registry
from rigfeed.calculators import Choice, In, Out, calculator
from rigfeed.errors import PluginError


class Loss(NamedTuple):
    drop: Annotated[float, Out("V", "drop in the loop")]
    share: Annotated[float, Out("%", "share of the system voltage")]


@calculator("loop-loss", "bench", formula="V = I R", validity="direct current", source="Ohm's law")
def loop_loss(
    current: Annotated[float, In("A", 0, 1000, "current in the loop")],
    resistance: Annotated[float, In("mohm", 0, 1e5, "resistance of the loop")] = 50.0,
    system: Annotated[Literal["12 V", "24 V"], Choice("system voltage")] = "12 V",
    way: Annotated[float, In("m", 0, 100, "length of the way")] = 2.0,
) -> Loss:
    """What a loop of wire loses.

    Both ways together.
    """
    drop = current * resistance / 1000
    return Loss(drop, drop / float(system.split()[0]) * 100)


@pytest.fixture(autouse=True)
def bench(monkeypatch):
    found = registry.Registry()
    found.calculators["loop-loss"] = loop_loss
    monkeypatch.setattr(registry, "installed_registry", lambda: found)


def test_list_and_describe(run):
    assert run("calc")[1].splitlines() == ["bench", "  loop-loss                         What a loop of wire loses."]
    out = run("calc", "loop-loss")[1]
    assert "current in the loop (0 to 1000 A)" in out
    assert "resistance of the loop (0 to 100000 mohm; default 50 mohm)" in " ".join(out.split())
    assert "system voltage (12 V or 24 V; default 12 V)" in out
    assert "share of the system voltage [%]" in out
    assert "Formula: V = I R" in out
    assert "Source:  Ohm" in out


def test_run_with_the_units_that_people_write(run):
    assert run("calc", "loop-loss", "current=6500 mA")[1].splitlines() == [
        "drop in the loop: 0.325 V", "share of the system voltage: 2.71 %",
    ]
    assert "1.35 %" in run("calc", "loop-loss", "current=6.5A", "system=24 V", "resistance=0.05 ohm")[1]


def test_explain_shows_formula_numbers_validity_and_source(run):
    out = run("calc", "loop-loss", "current=6.5 A", "--explain", "--units", "us")[1]
    for text in ("V = I R", "current = 6.5 A", "way = 6.56 ft", "Both ways together.", "Valid:  direct", "Source: Ohm"):
        assert text in out


def test_json(run):
    data = json.loads(run("calc", "loop-loss", "current=6.5 A", "--json")[1])
    assert data["schema"] == 1
    assert data["inputs"] == {
        "current": {"value": 6.5, "unit": "A"}, "resistance": {"value": 50.0, "unit": "mohm"}, "system": "12 V",
        "way": {"value": 2.0, "unit": "m"},
    }
    assert data["outputs"]["drop"] == {"value": 0.325, "unit": "V", "what": "drop in the loop"}


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["lop-loss"], "there is no calculator 'lop-loss' (did you mean 'loop-loss'?)"),
        (["loop-loss", "current"], "'current' is not an input"),
        (["loop-loss", "curent=1 A"], "did you mean 'current'?"),
        (["loop-loss", "current=1 A", "current=2 A"], "current is given twice"),
        (["loop-loss", "resistance=1 ohm"], "current: is missing: current in the loop"),
        (["loop-loss", "current=6.5"], "current: '6.5' has no unit (write for example 6.5 A)"),
        (["loop-loss", "current=6,5 A"], "write 6.5 A"),
        (["loop-loss", "current=2000 A"], "current is 2000; allowed: 0 to 1000 A"),
        (["loop-loss", "current=1 A", "system=48 V"], "there is no choice of system '48 V'"),
        (["loop-loss", "current=1 V"], "is a voltage, not a current"),
    ],
)
def test_bad_input_ends_with_2_and_says_what_to_do(run, arguments, says):
    code, out, err = run("calc", *arguments)
    assert (code, out) == (2, "")
    assert says in err


def test_a_calculator_must_declare_everything():
    with pytest.raises(PluginError, match="annotated neither"):
        calculator("x", "bench", formula="f", validity="v", source="s")(_bare)
    with pytest.raises(PluginError, match="unknown unit 'furlong'"):
        calculator("x", "bench", formula="f", validity="v", source="s")(_furlong)
    with pytest.raises(PluginError, match="annotates no output"):
        calculator("x", "bench", formula="f", validity="v", source="s")(_mute)
    with pytest.raises(PluginError, match="needs a docstring"):
        calculator("x", "bench", formula="", validity="v", source="s")(_bare)


def _bare(length) -> Annotated[float, Out("m", "length")]:
    """No annotation."""
    return length


def _furlong(length: Annotated[float, In("furlong", 0, 1, "length")]) -> Annotated[float, Out("m", "length")]:
    """A unit that nobody knows."""
    return length


def _mute(length: Annotated[float, In("m", 0, 1, "length")]) -> float:
    """Gives a number and does not say of what."""
    return length


def test_a_calculator_without_inputs_is_described_as_data(run):
    data = json.loads(run("calc", "loop-loss", "--json")[1])
    assert data["inputs"]["current"] == {
        "what": "current in the loop", "unit": "A", "least": 0, "most": 1000, "choices": [], "required": True,
        "default": None,
    }
    assert data["inputs"]["system"]["choices"] == ["12 V", "24 V"]
    assert data["outputs"]["drop"] == {"what": "drop in the loop", "unit": "V"}
    assert data["source"] == "Ohm's law"
    assert json.loads(run("calc", "--json")[1])["calculators"] == ["loop-loss"]
