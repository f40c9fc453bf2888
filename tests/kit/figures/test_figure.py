"""A figure as data: what it refuses, what it becomes for a reader of another system, and as JSON."""

from __future__ import annotations

import json

import pytest

from rigfeed.figures.figure import Axis, Band, Curve, Dots, Figure, Mark, figure_json
from rigfeed.figures.placing import Room, Tag, in_rows, set_tags
from rigfeed.figures.scales import in_system, ticks
from rigfeed.path import Path

X, Y = Axis("way", "m", most=10.0), Axis("time", "s", "log", 0.1, 100.0)


def figure(**changes: object) -> Figure:
    given = {"name": "f", "title": "F", "x": X, "y": Y, **changes}
    return Figure(**given)


@pytest.mark.parametrize(("changes", "said"), [
    ({"curves": (Curve("a", "a", ((1.0, float("inf")),)),)}, "inf on its log axis y"),
    ({"curves": (Curve("a", "a", ((1.0, 0.0),)),)}, "0.0 on its log axis y"),
    ({"bands": (Band("a", "a", ((1.0, 1.0),), ((float("nan"), 1.0),)),)}, "nan on its linear axis x"),
    ({"marks": (Mark("a", -1.0, axis="y"),)}, "-1.0 on its log axis y"),
    ({"dots": (Dots("a", ((0.0, -1.0),)),)}, "-1.0 on its log axis y"),
    ({"x": Axis("way", "m", least=2.0, most=2.0)}, "goes from 2.0 to 2.0"),
    ({"y": Axis("time", "s", "log", 0.0, 1.0)}, "0.0 on its log axis y"),
    ({"y": Axis("wire", names=("W1", "W2"), beside=("x",))}, "1 remarks for 2 names"),
])
def test_what_nobody_could_draw_is_refused(changes, said):
    with pytest.raises(ValueError, match="figure 'f'") as refused:
        figure(**changes)
    assert said in str(refused.value)


def test_json_has_everything_in_base_units_and_nothing_that_is_no_json():
    whole = figure(
        curves=(Curve("c", "curve", ((1.0, 1 / 3), (2.0, 4.0)), "limit", Path("conductors", "W1")),),
        bands=(Band("b", "band", ((1.0, 1.0),), ((1.0, 2.0),)),), marks=(Mark("m", 1.0, 2.0),),
        dots=(Dots("d", ((3.0, 3.0),), "cross"),), notes=("n",), subject=Path("nodes", "hf"),
    )
    data = json.loads(json.dumps(figure_json(whole), allow_nan=False))
    assert data["x"] == {
        "label": "way", "unit": "m", "scale": "linear", "least": 0.0, "most": 10.0, "names": [], "beside": [],
    }
    assert data["curves"] == [{
        "tag": "c", "name": "curve", "role": "limit", "subject": "conductors.W1",
        "places": [[1.0, 0.333333333], [2.0, 4.0]],
    }]
    assert data["bands"][0]["low"] == [[1.0, 1.0]]
    assert data["marks"] == [{"name": "m", "axis": "x", "role": "plain", "at": 1.0, "to": 2.0}]
    assert data["dots"] == [{"name": "d", "shape": "cross", "places": [[3.0, 3.0]]}]
    assert (data["subject"], data["notes"]) == ("nodes.hf", ["n"])


def test_a_reader_of_us_units_gets_them_on_both_axes():
    shown = in_system(figure(
        curves=(Curve("c", "c", ((0.3048, 1.0),)),), marks=(Mark("m", 3.048),),
        bands=(Band("b", "b", ((3.048, 2.0),), ()),),
    ), "us")
    assert (shown.x.unit, shown.y.unit) == ("ft", "s")
    assert shown.x.most == pytest.approx(10.0 / 0.3048)  # the international foot is 0.3048 m
    assert shown.curves[0].places == (pytest.approx((1.0, 1.0)),)
    assert (shown.marks[0].at, shown.bands[0].low[0][0]) == (pytest.approx(10.0), pytest.approx(10.0))


@pytest.mark.parametrize(("axis", "written"), [
    (Axis("a", "A", "log", 13.0, 2400.0), (20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0)),
    (Axis("t", "s", "log", 1e-4, 1e4), tuple(float(f"1e{n}") for n in range(-4, 5))),
    (Axis("v", "V", "linear", 10.0, 14.5), (10.0, 11.0, 12.0, 13.0, 14.0)),
    (Axis("p", "%", "linear", -0.3, 0.3), (-0.3, -0.2, -0.1, 0.0, 0.1, 0.2, 0.3)),
])
def test_what_is_written_at_an_axis_is_round(axis, written):
    assert ticks(axis)[0] == pytest.approx(written)


def test_names_of_marks_stand_in_rows_and_within_the_ends():
    widths = [1.0, 1.0, 1.0, 4.0]
    placed = in_rows([0.1, 0.2, 3.9, 2.0], widths, 0.0, 4.0)
    for (x, row), wide in zip(placed, widths, strict=True):
        assert wide / 2 <= x <= 4.0 - wide / 2
        for (other, same), much in zip(placed, widths, strict=True):
            assert row != same or (x, row) == (other, same) or abs(x - other) >= (wide + much) / 2


def test_tags_keep_off_each_other_and_prefer_free_places():
    field, tags = Room(0.0, 0.0, 4.0, 4.0), [Tag("a", ((1.0, 1.0), (3.0, 3.0))), Tag("b", ((3.0, 3.0), (1.0, 3.0)))]
    assert set_tags(tags, [(1.0, 0.5)] * 2, field, [(1.0, 1.0)]) == [(3.0, 3.0), (1.0, 3.0)]
    assert set_tags([Tag("a", ((9.0, 9.0),))], [(1.0, 0.5)], field, []) == [None]
