"""What to cut: from one spool after the other, rounded up and never down."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigfeed.papers.cutlist import whole_length_m


def test_hazel_is_cut_from_three_spools(assessed, rows):
    table = assessed("hazel").paper("cut-list")
    found = rows(table)
    assert [(row["id"], row["cut"]) for row in found] == [
        ("W1", 0.15), ("W2", 3.75), ("W3", 0.40), ("W4", 0.15), ("W5", 2.85), ("W6", 4.45),
    ]
    assert table.group == "cable"
    assert found[1] == {
        "id": "W2", "cable": "thin-wall 2.5 mm2 105 degC", "colour": "RD", "from": "F1.b", "to": "vhf.pos",
        "length": pytest.approx(3.30), "slack": pytest.approx(0.45), "cut": 3.75,
        "end-from": "push-on blade 6.3 mm 1.5-2.5 mm2", "strip-from": 7.0, "sleeve-from": "lined-6",
        "end-to": "two-pole radio plug contact", "strip-to": 5.0, "sleeve-to": None, "label": "W2",
    }
    assert table.notes[1:] == (
        "Sleeves, to be slid on before the fitting: lined-6 is adhesive-lined sleeve 3:1 6/2 mm.",
        "RG-58 type coaxial cable: 1 piece, 4.45 m in all",
        "thin-wall 0.75 mm2 105 degC: 2 pieces, 3 m in all",
        "thin-wall 2.5 mm2 105 degC: 3 pieces, 4.3 m in all",
    )
    assert "rounded up to a whole 10 mm, never down" in table.notes[0]


def test_spools_follow_one_another_and_10_comes_after_9(assessed, rows):
    found = rows(assessed("larch").paper("cut-list"))
    assert [row["id"] for row in found] == [f"W{number}" for number in range(1, 17)]
    cables = [row["cable"] for row in found]
    changes = sum(one != other for one, other in pairwise(cables))
    assert changes + 1 == len(set(cables))


def test_a_cable_used_again_later_is_cut_from_the_same_spool(changed, rows):
    assessment = changed(('W3 = { cable = "cable:thinwall-2.5"', 'W3 = { cable = "cable:thinwall-0.75"'))
    assert [row["id"] for row in rows(assessment.paper("cut-list"))] == ["W1", "W2", "W3", "W4", "W5", "W6"]
    assessment = changed(('W2 = { cable = "cable:thinwall-2.5"', 'W2 = { cable = "cable:thinwall-0.75"'))
    assert [row["id"] for row in rows(assessment.paper("cut-list"))] == ["W1", "W3", "W2", "W4", "W5", "W6"]


@pytest.mark.parametrize(
    ("length_m", "expected"),
    [(3.750, 3.75), (3.7501, 3.76), (3.751, 3.76), (3.7599, 3.76), (0.1 + 0.2, 0.30), (0.001, 0.01), (0.0, 0.0)],
)
def test_lengths_go_up_to_the_next_centimetre(length_m, expected):
    assert whole_length_m(length_m) == expected


def test_in_us_units_they_go_up_to_the_next_half_inch():
    # 1 in = 25.4 mm exactly: international yard and pound agreement of 1959 (NIST SP 811)
    assert whole_length_m(10 * 0.0254, "us") == pytest.approx(0.254)
    assert whole_length_m(0.2541, "us") == pytest.approx(0.2667)


@given(st.floats(0, 1000), st.sampled_from([("metric", 0.01), ("us", 0.0127)]))
def test_never_down_and_never_a_whole_step_up(length_m, system):
    name, step_m = system
    whole_m = whole_length_m(length_m, name)
    assert length_m - 2e-6 < whole_m < length_m + step_m
    assert whole_m / step_m == pytest.approx(round(whole_m / step_m), abs=1e-6)


def test_what_is_rounded_is_the_sum_and_totals_add_what_is_cut(changed, rows):
    table = changed(
        ('from = "start.pos", to = "F1.a", length = "0.15 m"', 'from = "start.pos", to = "F1.a", length = "151 mm"'),
        ('to = "stud.stud", length = "0.40 m"', 'to = "stud.stud", length = "0.403 m"'),
    ).paper("cut-list")
    cuts = {row["id"]: (row["length"], row["cut"]) for row in rows(table)}
    assert cuts["W1"] == (pytest.approx(0.151), 0.16)
    assert cuts["W3"] == (pytest.approx(0.403), 0.41)
    assert table.notes[-1] == "thin-wall 2.5 mm2 105 degC: 3 pieces, 4.32 m in all"


def test_what_is_supplied_or_the_vehicles_is_not_cut(changed, rows):
    table = changed(('"plug:radio-2pole"] }\nW3', '"plug:radio-2pole"], origin = "supplied" }\nW3')).paper("cut-list")
    assert [row["id"] for row in rows(table)] == ["W1", "W3", "W4", "W5", "W6"]


def test_an_end_without_a_fitting_says_so(changed, rows):
    table = changed((', ends = ["plug:radio-2pole", "ring:m8-2.5"]', "")).paper("cut-list")
    (row,) = [row for row in rows(table) if row["id"] == "W3"]
    assert (row["end-from"], row["strip-from"]) == ("not chosen", None)
