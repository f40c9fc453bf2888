"""What an author is told about a plugin before anyone installs it."""

from __future__ import annotations

import importlib
import sys
from pathlib import Path
from typing import Annotated

import pytest

from rigfeed.plugin import Check, In, Out, Resource, Threshold, calculator, check_plugin, hookimpl

STRANGERS = Path(__file__).parents[1] / "plugins" / "strangers"


@pytest.fixture
def lamps(monkeypatch):
    monkeypatch.syspath_prepend(str(STRANGERS / "lamps"))
    yield importlib.import_module("stranger_lamps")
    sys.modules.pop("stranger_lamps")


def made(**hooks):
    class Plugin:
        pass

    plugin = Plugin()
    for name, given in hooks.items():
        setattr(plugin, name, hookimpl(lambda given=given: given))
    return plugin


def test_a_good_plugin_has_no_fault(lamps):
    assert check_plugin(lamps, "lamps") == ()


@pytest.mark.parametrize("name", ["rigfeed_cables", "rigfeed_fuses", "rigfeed_batteries", "rigfeed_antennas"])
def test_our_own_plugins_have_no_fault(name):
    assert check_plugin(importlib.import_module(name), name.removeprefix("rigfeed_")) == ()


def test_a_plugin_that_cannot_be_used_says_why():
    (fault,) = check_plugin(made(register_checks=["no check"]))
    assert "is not a Check" in fault


def test_a_check_without_a_value_for_its_threshold_will_never_run():
    limit = Threshold("mine.bright.lux", "A", "most light")
    check = Check("mine.bright", "mine", "error", lambda view: (), thresholds=(limit,))
    (fault,) = check_plugin(made(register_checks=[check]))
    assert fault == "check 'mine.bright': no practice gives 'mine.bright.lux', so it will never run"


def test_a_check_is_named_after_its_plugin():
    (fault,) = check_plugin(made(register_checks=[Check("bright", "mine", "error", lambda view: ())]), "mine")
    assert "name it mine.bright" in fault


def test_every_row_of_its_catalogs_is_built(lamps, tmp_path, monkeypatch):
    (tmp_path / "bench_rows").mkdir()
    (tmp_path / "bench_rows" / "__init__.py").write_text("")
    rows = "part,title,watts,source,confidence\nbeacon:a,a,20,x,invented\nbeacon:b,b,-1,x,invented\nbeacon:c,c,,x,y\n"
    (tmp_path / "bench_rows" / "rows.csv").write_text(rows)
    monkeypatch.syspath_prepend(str(tmp_path))
    kinds = lamps.register_part_kinds()
    faults = check_plugin(made(register_part_kinds=kinds, register_catalogs=[Resource("bench_rows", "rows.csv")]))
    assert len(faults) == 2
    assert "rows.csv:3: beacon:b: watts" in faults[0]
    assert "rows.csv:4: beacon:c" in faults[1]


@calculator("mine-sum", "mine", formula="y = x", validity="any", source="none needed")
def _out_of_range(x: Annotated[float, In("A", 0, 1, "x")] = 2.0) -> Annotated[float, Out("A", "y")]:
    """A default that is not allowed."""
    return x


def test_a_default_of_a_calculator_lies_in_its_range():
    (fault,) = check_plugin(made(register_calculators=[_out_of_range]))
    assert "default of x is out of its own range" in fault
