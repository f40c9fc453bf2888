"""Curves without a screen: what a figure is of, the newest wish, colours that are seen."""

from __future__ import annotations

import time

import pytest

import rigfeed
from rigfeed.figures.figure import About
from rigfeed_gui.logic import palette
from rigfeed_gui.logic.plotting import Plotter, Wish, chosen, look_of, plotted

ASSESSED = rigfeed.assess(rigfeed.load(rigfeed.example("hazel")), only=())


def wish(**changes):
    given = {
        "assessment": ASSESSED, "name": "time-current", "subject": None, "system": "metric", "palette": palette.LIGHT,
        "width": 600, "height": 420, "dpi": 96.0, **changes,
    }
    return Wish(**given)


def test_what_is_in_hand_goes_before_what_is_usual():
    subjects = (About("W1", "wire", usual=False), About("hf", "feed"), About("W2", "wire", usual=False))
    assert [chosen(subjects, wanted) for wanted in ("W2", "zone", None)] == ["W2", "hf", "hf"]
    assert chosen(subjects[:1], None) == "W1"
    assert chosen((), "W1") is None


def test_the_picture_is_as_large_as_is_wanted():
    done = plotted(wish(), lambda *_: None)
    assert (done.pixels.width, done.pixels.height) == (600, 420)
    head, pixels = done.pixels.ppm[:15], done.pixels.ppm[15:]
    assert head == b"P6\n600 420\n255\n"
    assert len(pixels) == 3 * 600 * 420
    small = plotted(wish(height=80), lambda *_: None)
    assert small.pixels.height > 80  # nothing is squeezed: the view scrolls it


@pytest.mark.parametrize(("changes", "said"), [
    ({"name": "portrait"}, "no figure 'portrait'"),
    ({"assessment": rigfeed.assess(rigfeed.design.file.parse("format = 1\n"), only=())}, "nothing in this design"),
])
def test_what_cannot_be_drawn_is_told(changes, said):
    done = plotted(wish(**changes), lambda *_: None)
    assert done.pixels is None
    assert said in done.why


def test_the_newest_wish_is_the_one_that_is_delivered():
    plotter = Plotter()
    for height in (300, 310, 320):
        plotter.ask(wish(height=height, name="fault-energy"))
    end, found = time.monotonic() + 30, []
    while plotter.busy and time.monotonic() < end:
        if (done := plotter.poll()) is not None:
            found.append(done.wish.height)
        time.sleep(0.005)
    assert found == [320]


@pytest.mark.parametrize("name", palette.PALETTES)
def test_curves_are_seen_on_their_ground(name):
    """WCAG 2.2, 1.4.11: three to one for parts of a picture; each in a colour of its own."""
    look = look_of(palette.PALETTES[name])
    assert len(set(look.series)) == len(look.series)
    for ground in (look.paper, look.area):
        assert all(palette.contrast(colour, ground) >= palette.SHAPE_CONTRAST for colour in (*look.series, look.limit))
    assert palette.contrast(look.faint, look.paper) < 2.5  # the grid stays behind
