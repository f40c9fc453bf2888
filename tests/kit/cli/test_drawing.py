"""Drawing from the command line."""

from __future__ import annotations

import pytest
from lxml import etree

import rigfeed

HAZEL = rigfeed.example("hazel")


@pytest.mark.parametrize("kind", ["circuit", "routes"])
def test_a_drawing_is_written(run, tmp_path, kind):
    file = tmp_path / "x.svg"
    code, out, err = run("draw", HAZEL, "--kind", kind, "--out", file)
    assert (code, out, err) == (0, f"{file}\n", "")
    root = etree.parse(file).getroot()
    assert (root.get("width"), root.get("height")) == ("297mm", "210mm")


def test_a_dash_prints_it(run):
    code, out, _ = run("draw", HAZEL, "--out", "-")
    assert code == 0
    assert etree.fromstring(out.encode("utf-8")).get("role") == "img"


def test_page_units_and_state(run):
    _, out, _ = run("draw", HAZEL, "--out", "-", "--page", "Letter", "--units", "us", "--state", "all-keyed-engine-off")
    root = etree.fromstring(out.encode("utf-8"))
    assert (root.get("width"), root.get("height")) == ("279.4mm", "215.9mm")
    shown = [element.text for element in root.iter("{http://www.w3.org/2000/svg}text")]
    assert any(text.endswith(" ft") for text in shown)
    assert not any(text.endswith(" m") for text in shown)
    assert any(text.endswith(" A") and "→" in text for text in shown)


@pytest.mark.parametrize(("options", "said"), [
    (["--kind", "portrait", "--out", "-"], "there is no drawing 'portrait' (known: circuit, routes)"),
    (["--state", "nowhere", "--out", "-"], "there is no state 'nowhere'"),
    (["--page", "B5", "--out", "-"], "'B5' is not one of"),
    (["--practice", "none", "--out", "-"], "there is no practice 'none'"),
    (["--out", "/nowhere/x.svg"], "cannot be written"),
    (["--out", " "], "it is empty; name a file"),
    ([], "Missing option '--out'"),
])
def test_what_is_wrong_is_told(run, options, said):
    code, out, err = run("draw", HAZEL, *options)
    assert (code, out) == (2, "")
    assert said in err
