"""Figures as pictures: the same bytes, nothing cut off, no text on another, and readable without colour."""

from __future__ import annotations

import itertools
import os
import struct
import subprocess
import sys

import pytest
from lxml import etree
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.text import Text
from tests.kit.figures.made import NAMES, assessed

from rigfeed.cautions import CAUTIONS
from rigfeed.figures import render
from rigfeed.figures.figure import Axis, Band, Curve, Dots, Figure, Mark
from rigfeed.figures.look import DASHES, HATCHES, MARKERS, PRINTED
from rigfeed.figures.render import NoPictures, Wish, png_bytes, svg_bytes
from rigfeed.figures.write import figure_bytes

SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = Figure(
    "hostile", "A title that is much longer than any line of the sheet is wide, " * 3,
    Axis("way $x_2$ \\frac", "m", "log", 0.1, 0.4), Axis("a\x07b 銅線", "V", least=-1.0, most=1.0),
    bands=tuple(Band(f"B{n}", f"band {n} " * 9, ((0.1, -1.0),), ((0.4, 1.0 - n / 9),)) for n in range(7)),
    curves=tuple(Curve("W" * 30, f"curve {n}", ((0.1, 0.0), (0.4, n / 9)), "limit") for n in range(7)),
    marks=(*(Mark(f"mark {n}", 0.2 + n / 1000) for n in range(5)), Mark("wide", 0.1, 0.4)),
    dots=tuple(Dots(shape, ((0.3, 0.5),), shape) for shape in MARKERS),
    notes=("$not math$ & <tag> " * 20, "\u202eback"),
)
LIST = Figure(
    "list", "List", Axis("share", "%", "log", 0.1, 1000.0),
    Axis(
        "wire", names=tuple(f"conductor-of-a-long-name-{n}" for n in range(40)),
        beside=("remark of many words " * 6,) * 40,
    ),
    dots=(Dots("all", tuple((n + 1.0, float(n)) for n in range(40))),), marks=(Mark("limit", 100.0, role="limit"),),
)


def made(name, figure, subject):
    return assessed(name).figure(figure, subject)


def texts(sheet):
    """The texts that are seen, with where they stand [px]."""
    FigureCanvasAgg(sheet.picture).draw()
    found = [text for text in sheet.picture.findobj(Text) if text.get_visible() and text.get_text()]
    return [(text.get_text(), text.get_window_extent()) for text in found]


def assert_sound(figure, wish):
    """Every text lies on the sheet, and none on another."""
    with render._sheet(figure, wish) as sheet:
        found = texts(sheet)
        wide, high = sheet.picture.get_size_inches() * sheet.picture.dpi
    for text, box in found:
        assert min(box.x0, box.y0, wide - box.x1, high - box.y1) >= 0.0, (text, box)
    for (one, a), (other, b) in itertools.combinations(found, 2):
        across = min(a.x1, b.x1) - max(a.x0, b.x0)
        along = min(a.y1, b.y1) - max(a.y0, b.y0)
        assert across < 0.6 or along < 1.6, (one, other, across, along)  # leading and trailing room of letters
    return found


@pytest.mark.parametrize("name", [*NAMES, "juniper", "tern"])
def test_no_text_is_cut_off_or_stands_on_another(name):
    for figure in assessed(name).figures:
        for subject in assessed(name).usual_subjects(figure):
            assert_sound(made(name, figure, subject), Wish(job="The job", cautions=CAUTIONS))


def test_nor_where_many_devices_share_a_wire():
    assert_sound(made("tern", "time-current", "W13"), Wish(cautions=CAUTIONS))


@pytest.mark.parametrize("wish", [Wish(cautions=CAUTIONS), Wish(width_mm=110.0, height_mm=90.0, cautions=CAUTIONS)])
@pytest.mark.parametrize("figure", [HOSTILE, LIST], ids=["hostile", "list"])
def test_not_even_where_everything_is_long(figure, wish):
    found = assert_sound(figure, wish)
    assert not any("\x07" in text or "\u202e" in text for text, _ in found)


def test_every_name_and_remark_is_in_the_picture():
    figure = made("larch", "fault-energy", None)
    with render._sheet(figure, Wish(job="Job", cautions=CAUTIONS)) as sheet:
        said = " ".join(text for text, _ in texts(sheet)).replace("\xa0", " ")
    words = (*figure.y.names, figure.title, "limit", "Job", "Disconnect the battery", *(d.name for d in figure.dots))
    for word in words:
        assert word in said, word
    for remark in figure.y.beside:
        assert all(word in said for word in remark.split()), remark


def test_the_same_figure_gives_the_same_bytes_in_another_process_and_after_other_work(tmp_path):
    def both(assessment):
        return [figure_bytes(assessment, assessment.figure("time-current"), form) for form in ("svg", "png")]

    first = both(assessed("hazel"))
    figure_bytes(assessed("hazel"), assessed("hazel").figure("fault-energy"), "svg")
    assert both(assessed("hazel")) == first
    code = (
        "import sys, pathlib, matplotlib, rigfeed\n"
        "matplotlib.rcParams.update({'font.size': 30, 'axes.facecolor': 'red'})\n"
        "from rigfeed.figures.write import figure_bytes\n"
        "a = rigfeed.assess(rigfeed.load(rigfeed.example('hazel')), only=())\n"
        "for form in ('svg', 'png'):\n"
        "    pathlib.Path(sys.argv[1], form).write_bytes(figure_bytes(a, a.figure('time-current'), form))"
    )
    subprocess.run([sys.executable, "-c", code, str(tmp_path)], check=True, env={**os.environ, "PYTHONHASHSEED": "7"})
    assert [(tmp_path / form).read_bytes() for form in ("svg", "png")] == first


def test_the_settings_of_whoever_uses_the_library_stay():
    import matplotlib

    with matplotlib.rc_context({"font.size": 30.0}):
        svg_bytes(made("hazel", "time-current", None), Wish())
        assert matplotlib.rcParams["font.size"] == 30.0


def test_svg_has_its_size_in_print_a_title_words_for_who_cannot_see_it_and_no_date():
    root = etree.fromstring(svg_bytes(made("hazel", "time-current", None), Wish(job="Hazel")))
    assert float(root.get("width").removesuffix("pt")) == pytest.approx(180 / 25.4 * 72, abs=0.01)
    assert root.find(f"{SVG}title").text == "Time and current: feed of VHF set 25 W. Hazel"
    assert "F1 opens" in root.find(f"{SVG}desc").text
    head = etree.tostring(root).decode().split("<g", 1)[0].lower()
    assert "dc:date" not in head
    assert "dc:creator" not in head
    assert not root.findall(f".//{SVG}script")


def test_png_is_as_many_dots_as_it_is_wide():
    content = png_bytes(made("hazel", "time-current", None), Wish(width_mm=101.6), dpi=100)
    assert content[:8] == b"\x89PNG\r\n\x1a\n"
    assert struct.unpack(">I", content[16:20])[0] == 400  # 101.6 mm are 4 inches
    assert b"Software" not in content


def test_colour_is_not_needed():
    """Neighbours differ in pattern, stroke and shape; what is past a limit differs from what is not by shape."""
    assert len(set(HATCHES)) == len(HATCHES) >= 4
    assert len(set(DASHES)) == len(DASHES) >= 4
    assert MARKERS["cross"] not in (MARKERS["dot"], MARKERS["diamond"])
    assert MARKERS["arrow"] not in (MARKERS["dot"], MARKERS["diamond"])


def luminance(colour):
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize(("colour", "least"), [
    (PRINTED.ink, 7.0), (PRINTED.quiet, 4.5), (PRINTED.limit, 4.5), *((colour, 4.5) for colour in PRINTED.series),
])
def test_every_colour_is_seen_on_paper_and_on_a_range(colour, least):
    """Contrast as WCAG 2.2 defines it: 4.5 for text, 3 for parts of pictures; we keep 4.5 for all, 3 on a range."""
    for ground, enough in ((PRINTED.paper, least), (PRINTED.area, 3.0)):
        high, low = sorted((luminance(colour), luminance(ground)), reverse=True)
        assert (high + 0.05) / (low + 0.05) >= enough


def test_without_the_library_the_numbers_are_there_and_the_picture_is_refused_with_what_to_do(monkeypatch):
    monkeypatch.setitem(sys.modules, "matplotlib", None)
    assessment = assessed("hazel")
    figure = assessment.figure("time-current")
    assert figure_bytes(assessment, figure, "json").startswith(b"{")
    with pytest.raises(NoPictures) as refused:
        figure_bytes(assessment, figure, "svg")
    assert "pip install 'rigfeed[figures]'" in refused.value.remedy


def test_nothing_but_drawing_loads_the_library():
    code = (
        "import sys, rigfeed, rigfeed.plugin\n"
        "a = rigfeed.assess(rigfeed.load(rigfeed.example('hazel')))\n"
        "a.figure('time-current'), a.figure('fault-energy'), rigfeed.plugin.Figure\n"
        "from rigfeed.figures.write import can_draw, figure_text; assert can_draw()\n"
        "figure_text(a, a.figure('time-current'))\n"
        "print('matplotlib' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    assert done.stdout == "False\n"
