"""The calculators: the published cases through them, their ranges, and that they are registered."""

from __future__ import annotations

import math

import pytest

from rigfeed.errors import BadQuantity, InputError, OutOfRange, UnknownName
from rigfeed.registry import installed_registry
from rigfeed_fuses.calculators import CALCULATORS

RUN = {calculator.name: calculator.run for calculator in CALCULATORS}

# name, inputs, outputs; the sources stand beside the same figures in tests/published
ANSWERS = [
    ("breaking-capacity-by-battery", {"cranking": "600 A"}, {"main": 1500, "branch": 750}),
    ("breaking-capacity-by-battery", {"cranking": "651 A"}, {"main": 3000, "branch": 1500}),
    ("breaking-capacity-by-battery", {"cranking": "1100 A"}, {"main": 3000, "branch": 1500}),
    ("breaking-capacity-by-battery", {"cranking": "1101 A"}, {"main": 5000, "branch": 2500}),
    ("fuse-for-wire", {"area": "10 AWG"}, {"largest-rating": 30}),
    ("fuse-for-wire", {"area": "8 AWG"}, {"largest-rating": 50}),
    ("fuse-for-wire", {"area": "14 AWG"}, {"largest-rating": 15}),
    ("fuse-for-wire", {"area": "10 AWG", "device": "breaker"}, {"largest-rating": 40}),
    ("fuse-for-wire", {"area": "8 AWG", "device": "breaker"}, {"largest-rating": 50}),
    ("fuse-for-wire", {"area": "14 AWG", "device": "breaker"}, {"largest-rating": 20}),
    ("fuse-opening-time", {"kind": "E", "multiple": 54 / 40, "rating": "40 A"}, {"shortest": 60, "longest": 1800}),
    ("fuse-opening-time", {"kind": "E", "multiple": 2, "rating": "40 A"}, {"shortest": 2, "longest": 60}),
    ("fuse-opening-time", {"kind": "E", "multiple": 3.5, "rating": "40 A"}, {"shortest": 0.2, "longest": 7}),
    ("fuse-opening-time", {"kind": "E", "multiple": 2.5}, {"shortest": 0.799, "longest": 25.5}),
    ("fuse-opening-time", {"kind": "E", "multiple": 3}, {"shortest": 0.377, "longest": 12.65}),
    ("fuse-opening-time", {"kind": "E", "multiple": 1.3, "air": "85 degC"}, {"longest": math.inf}),
    (
        "fuse-size-for-let-through",
        {"kind": "E", "rating": "40 A", "current": "140 A", "k": 115},
        {"time": 7, "let_through": 137_200, "area": 3.22},
    ),
    ("fuse-size-for-let-through", {"kind": "E", "rating": "40 A", "current": "140 A", "k": 87.6}, {"area": 4.23}),
    ("fuse-resistance", {"rating": "20 A", "drop": "125 mV", "ratio": 1.25}, {"hot": 6.25, "cold": 5, "loss": 2.5}),
    ("fuse-rerating", {"kind": "E", "rating": "40 A", "air": "85 degC"}, {"current": 34.8, "factor": 87}),
    ("fuse-window", {"load": "15.9 A", "ampacity": "26.6 A"}, {"lowest": 19.875, "highest": 26.6, "most_load": 21.28}),
    (
        "fuse-window",
        {"load": "6.5 A", "ampacity": "15 A", "stated": "10 A", "factor": "87 %"},
        {"lowest": 9.34, "highest": 10, "most_load": 6.96},
    ),
    ("fuse-window", {"load": "1 A", "ampacity": "10 A", "allowed": "150 %"}, {"highest": 15}),
    ("distance-to-first-fuse", {}, {"cfr": 0.178, "abyc": 0.178, "road": 0.254}),
    ("distance-to-first-fuse", {"cover": "sheathed"}, {"cfr": 1.016, "abyc": 1.829, "road": 0.254}),
    ("distance-to-first-fuse", {"start": "source", "cover": "sheathed"}, {"cfr": 1.016, "abyc": 1.016}),
]


@pytest.mark.parametrize(("name", "inputs", "outputs"), ANSWERS, ids=[f"{n} {i}" for n, i, _ in ANSWERS])
def test_answer(name, inputs, outputs):
    calculation = RUN[name](inputs)
    assert {key: calculation[key] for key in outputs} == pytest.approx(outputs, rel=0.005)


def test_the_middle_of_the_window_between_two_gates():
    # geometric means, worked out from the published gates of form E: 4.51 s at 2.5, 2.18 s at 3 times the rating
    for multiple, mean_s in ((2.5, 4.51), (3.0, 2.18)):
        found = RUN["fuse-opening-time"]({"kind": "E", "multiple": multiple})
        assert math.sqrt(found["shortest"] * found["longest"]) == pytest.approx(mean_s, rel=0.01)


BAD = [
    ("breaking-capacity-by-battery", {"cranking": "0 A"}, OutOfRange, "cranking is 0"),
    ("distance-to-first-fuse", {"cover": "taped"}, UnknownName, "taped"),
    ("fuse-for-wire", {"area": "24 AWG"}, OutOfRange, "22 AWG"),
    ("fuse-for-wire", {"area": "1/0 AWG", "device": "breaker"}, OutOfRange, "breaker"),
    ("fuse-for-wire", {"area": "10 A"}, BadQuantity, "current, not a cross-section"),
    ("fuse-opening-time", {"kind": "E", "multiple": -1}, OutOfRange, "multiple is -1"),
    ("fuse-opening-time", {"kind": "glass 6.3x32", "multiple": 2, "air": "120 degC"}, OutOfRange, "air_c is 120"),
    ("fuse-opening-time", {"kind": "G", "multiple": 2}, UnknownName, "choice of kind"),
    ("fuse-opening-time", {"multiple": 2}, InputError, "kind: is missing"),
    ("fuse-rerating", {"kind": "E", "rating": "40 A", "air": "130 degC"}, OutOfRange, "air is 130"),
    ("fuse-resistance", {"rating": "40 A", "ratio": 4}, OutOfRange, "ratio is 4"),
    ("fuse-size-for-let-through", {"kind": "E", "rating": "40 A", "current": "50 A"}, OutOfRange, "must open"),
    ("fuse-window", {"load": "1 A", "ampacity": "10 A", "share": "120 %"}, OutOfRange, "share is 120"),
]


@pytest.mark.parametrize(("name", "inputs", "error", "says"), BAD, ids=[f"{n} {i}" for n, i, _, _ in BAD])
def test_what_is_out_of_range_is_refused(name, inputs, error, says):
    with pytest.raises(error, match=says):
        RUN[name](inputs)


def test_every_calculator_is_registered_and_tried():
    assert {name for name, _, _ in ANSWERS} == {name for name, *_ in BAD} == set(RUN)
    registered = installed_registry().calculators
    assert set(RUN) <= set(registered)
    assert {registered[name].group for name in RUN} == {"fuses"}
