"""Texts that ever made trouble in a page or a file, in every place of a design where a person can write."""

from __future__ import annotations

from dataclasses import replace

import pytest
from lxml import etree
from tests.kit.drawing.geometry import covered, outside, texts_of

import rigfeed
from rigfeed.assess import Assessment
from rigfeed.design.file import read
from rigfeed.design.model import State
from rigfeed.drawing.svg import svg_text
from rigfeed.keyed import Keyed

SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = {
    "script": "<script>alert(1)</script>",
    "closing": "</text></svg><svg onload=alert(1)>",
    "section": "]]> and <![CDATA[ and <!-- and --> and <?xml ?>",
    "quotes": "\"a\" 'b' `c` onclick=\"alert(1)\"",
    "entities": "&amp; &lt;b&gt; &#60;i&#62; &nosuch; &",
    "address": "javascript:alert(1) http://example.invalid/x.png url(http://example.invalid) @import",
    "controls": "bell\x07 escape\x1b null\x00 delete\x7f next\x85 vertical\x0b",
    "no characters": "half a pair \ud83d, none \uffff \ufffe",
    "lines": "one\ntwo\r\nthree\tfour\u2028five",
    "right to left": "abc \u202e desrever \u202c and \u2067 isolate \u2069 \u200f \u05e0\u05d7\u05d5\u05e9\u05ea",
    "no width": "a\u200bb\u200cc\u200dd\u2060e\ufeffe",
    "stacked": "Z\u0351\u036b\u0343" * 20,
    "emoji": "radio \U0001f4fb, family \U0001f468\u200d\U0001f469\u200d\U0001f467, flag \U0001f1f3\U0001f1f4",
    "wide": "\u9285\u7dda\u5341\u516d\u5e73\u65b9" * 6,
    "long word": "W" * 200,
    "long text": "one word after the other " * 8,
    "nothing": " \u200b ",
}


def troubled(text: str) -> Assessment:
    """Hazel with a text in every place where one may stand, past what the schema refuses: parts have titles as well."""
    design = read(rigfeed.example("hazel"))
    job = dict.fromkeys(("title", "customer", "vehicle", "by", "note", "revision"), text)
    titled = {
        collection: Keyed({id_: replace(thing, title=text) for id_, thing in getattr(design, collection).items()})
        for collection in ("zones", "points", "passages", "nodes")
    }
    labelled = {id_: replace(conductor, label=text, note=text) for id_, conductor in design.conductors.items()}
    states = Keyed({"sending": State(title=text, modes=Keyed({"vhf": "transmit"}))})
    return rigfeed.assess(replace(
        design, job=replace(design.job, **job), conductors=Keyed(labelled), states=states, **titled,
    ))


@pytest.fixture(scope="module", params=HOSTILE)
def assessment(request):
    return troubled(HOSTILE[request.param])


@pytest.mark.parametrize("kind", ["circuit", "routes"])
def test_the_file_is_well_formed_and_holds_nothing_that_acts(kind, assessment):
    document = etree.fromstring(svg_text(assessment.drawing(kind)).encode("utf-8"))
    tags = {element.tag for element in document.iter()}
    known = ("svg", "g", "title", "desc", "rect", "polyline", "polygon", "circle", "text")
    assert tags <= {f"{SVG}{name}" for name in known}
    names = {name for element in document.iter() for name in element.attrib}
    assert not [name for name in names if name.lower().startswith("on") or "href" in name.lower()]
    styles = [element.get("style") for element in document.iter() if element.get("style")]
    assert all("url" not in style for style in styles)


@pytest.mark.parametrize("kind", ["circuit", "routes"])
def test_what_is_shown_is_shown_as_text(kind, assessment):
    """No letter that is not seen, none that turns the others around; the texts of the file are those of the scene."""
    scene = assessment.drawing(kind)
    document = etree.fromstring(svg_text(scene).encode("utf-8"))
    shown = [element.text for element in document.iter(f"{SVG}text")]
    assert shown == [text.text for text in texts_of(scene)]
    for text in (*shown, *(element.text or "" for element in document.iter(f"{SVG}title", f"{SVG}desc"))):
        assert not [letter for letter in text if ord(letter) < 32 or 0x7F <= ord(letter) < 0xA0]
        assert not set(text) & set("\u202a\u202b\u202d\u202e\u2066\u2067\u2068\u200b\u200e\u200f\u2028\ufeff")


@pytest.mark.parametrize("kind", ["circuit", "routes"])
def test_nothing_covers_anything(kind, assessment):
    scene = assessment.drawing(kind)
    assert covered(scene) == []
    assert outside(scene) == []
