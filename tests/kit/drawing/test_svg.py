"""Writers of scenes: SVG that a validator, a screen reader and a stranger's viewer can use; the flat list."""

from __future__ import annotations

import subprocess

import pytest
from lxml import etree

from rigfeed.drawing.flat import primitives
from rigfeed.drawing.scene import Circle, Group, Lettering, Line, Scene, Symbol
from rigfeed.drawing.svg import COLOURS, svg_text
from rigfeed.path import Path

SVG = "{http://www.w3.org/2000/svg}"
INNER = Group(Path("nodes", "F1"), (Symbol("fuse", (20.0, 20.0)), Lettering((20.0, 15.0), "F1 & <co>", 2.5, "middle")),
              "F1: the fuse", movable=True, terminals=(("F1.a", (15.0, 20.0)),))
AREA = Line(((1.0, 1.0), (40.0, 1.0), (40.0, 40.0)), 0.3, closed=True, fill="area")
OUTER = Group(Path("zones", "bay"), (AREA, INNER))
SCENE = Scene("test", "A <title> & more", "Described.", 60.0, 50.0, (
    OUTER, Circle((5.0, 5.0), 2.0), Line(((0.0, 0.0), (9.0, 9.0)), dash=(1.0, 0.5)),
    Lettering((3.0, 30.0), "up", 3.0, bold=True, turn=270), INNER, Lettering((0.0, 0.0), " \u200b "),
))


@pytest.fixture
def document():
    return etree.fromstring(svg_text(SCENE).encode("utf-8"))


def test_it_says_what_it_is_to_who_cannot_see_it(document):
    assert document.get("role") == "img"
    named = document.get("aria-labelledby").split()
    assert [document.find(f"{SVG}*[@id='{id_}']").text for id_ in named] == ["A <title> & more", "Described."]


def test_its_page_is_in_millimetres(document):
    assert (document.get("width"), document.get("height"), document.get("viewBox")) == ("60mm", "50mm", "0 0 60 50")


def test_groups_have_the_ids_and_titles_of_their_subjects(document):
    groups = document.findall(f".//{SVG}g")
    assert [g.get("data-subject") for g in groups] == ["zones.bay", "nodes.F1", "nodes.F1"]
    assert [g.get("id") for g in groups] == ["of-zones.bay", "of-nodes.F1", "of-nodes.F1~2"]
    assert groups[1].find(f"{SVG}title").text == "F1: the fuse"
    assert groups[1].getparent() is groups[0]


def test_text_is_text_in_the_width_that_the_layout_reckoned_with(document):
    texts = document.findall(f".//{SVG}text")
    assert [text.text for text in texts] == ["F1 & <co>", "up", "F1 & <co>"]
    assert texts[1].get("transform") == "rotate(270 3 30)"
    assert float(texts[1].get("textLength")) == pytest.approx(2 * 1251 / 2048 * 3.0, abs=0.01)  # u and p of the table


def test_a_validator_has_nothing_to_say(tool, tmp_path):
    file = tmp_path / "x.svg"
    file.write_text(svg_text(SCENE), encoding="utf-8")
    subprocess.run([tool("xmllint"), "--noout", "--nonet", str(file)], check=True)


def test_twice_the_same_bytes():
    assert svg_text(SCENE) == svg_text(SCENE)


def contrast(one: str, other: str) -> float:
    """The ratio of the luminance of two colours (WCAG 2.2, relative luminance and contrast ratio)."""
    def luminance(colour: str) -> float:
        shares = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in shares]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_letters_can_be_read_on_paper_and_on_areas():
    for ink in ("ink", "error", "warning", "advice"):  # 4.5 for text: WCAG 2.2, success criterion 1.4.3
        assert contrast(COLOURS[ink], COLOURS["paper"]) >= 4.5
        assert contrast(COLOURS[ink], COLOURS["area"]) >= 4.5
    assert contrast(COLOURS["faint"], COLOURS["area"]) >= 3.0  # of lines: criterion 1.4.11


def test_the_flat_list_has_the_same_strokes_with_their_subjects():
    flat = primitives(SCENE)
    drawn = etree.fromstring(svg_text(SCENE).encode("utf-8"))
    shapes = [e for e in drawn.iter() if e.tag in {f"{SVG}{t}" for t in ("polyline", "polygon", "circle", "text")}]
    assert len(flat) == len(shapes)
    assert [p.subject for p in flat][:2] == [Path("zones", "bay"), Path("nodes", "F1")]
    assert all(p.dragged == p.subject for p in flat if p.subject == Path("nodes", "F1"))
    assert flat[0].dragged is None
    assert {p.title for p in flat if p.subject == Path("nodes", "F1")} == {"F1: the fuse"}
    assert not [p for p in flat if isinstance(p.shape, Symbol)]
