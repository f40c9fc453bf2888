"""The figure of fault energy against the study and the check."""

from __future__ import annotations

import math

import pytest
from tests.kit.figures.made import NAMES, assessed

import rigfeed
from rigfeed.design.edit import Remove, Set, apply
from rigfeed.figures.energy import LEAST, MOST
from rigfeed.path import Path
from rigfeed.studies.faults import FAULTS


def shapes(figure):
    return {figure.y.names[int(row)]: (dots.shape, x) for dots in figure.dots for x, row in dots.places}


@pytest.mark.parametrize("name", NAMES)
def test_every_dot_is_the_worst_short_of_the_study(name):
    """The share is I2 t over k2 S2, both as the fault table prints them."""
    assessment = assessed(name)
    table = assessment.paper("fault-table")
    keys = [column.key for column in table.columns]
    rows = {row[0]: dict(zip(keys, row, strict=True)) for row in reversed(table.rows)}
    found = shapes(assessment.figure("fault-energy"))
    assert set(found) == {core for core, row in rows.items() if row["from"] != "nothing"}
    for core, (shape, percent) in found.items():
        row = rows[core]
        if row["through"] is not None and shape in ("dot", "diamond"):
            assert percent == pytest.approx(100 * row["through"] / row["bears"], rel=1e-6), core


@pytest.mark.parametrize("name", NAMES)
def test_shape_and_words_tell_what_is_past_its_limit(name):
    assessment = assessed(name)
    figure = assessment.figure("fault-energy")
    found, said = shapes(figure), dict(zip(figure.y.names, figure.y.beside, strict=True))
    words = {dots.shape: dots.name for dots in figure.dots}
    for core, (shape, percent) in found.items():
        past = math.isfinite(assessment[FAULTS].stress(core).limit_s)
        assert (shape in ("cross", "arrow")) == past, core
        assert ("past its limit" in said[core]) == past
        assert LEAST <= percent <= MOST
    assert all("past the limit" in words[shape].lower() for shape in ("cross", "arrow") if shape in words)


def test_a_wire_that_is_too_thin_is_a_cross_beyond_the_limit():
    """A fuse of 100 A in front of 0.75 mm2: it clears, too late for the wire."""
    design = apply(rigfeed.load(rigfeed.example("hazel")), [
        Set(Path("nodes", "F1", "part"), "fuse:e-80"), Set(Path("conductors", "W2", "cable"), "cable:thinwall-0.75"),
        Set(Path("conductors", "W2", "length"), "0.5 m"), Remove(Path("conductors", "W2", "route")),
    ])
    found = shapes(rigfeed.assess(design, only=()).figure("fault-energy"))
    shape, percent = found["W2"]
    assert shape == "cross"
    assert percent > 100.0
