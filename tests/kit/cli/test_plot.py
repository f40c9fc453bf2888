"""Figures from the command line."""

from __future__ import annotations

import json
import sys

import pytest
from lxml import etree

import rigfeed

HAZEL, LARCH = rigfeed.example("hazel"), rigfeed.example("larch")


def test_the_one_feed_of_a_design_needs_not_be_named(run, tmp_path):
    file = tmp_path / "x.svg"
    assert run("plot", HAZEL, "--out", file) == (0, f"{file}\n", "")
    assert etree.parse(file).getroot().tag == "{http://www.w3.org/2000/svg}svg"


def test_the_ending_of_the_file_tells_its_format_unless_it_is_named(run, tmp_path):
    run("plot", HAZEL, "--kind", "fault-energy", "--out", tmp_path / "x.PNG")
    assert (tmp_path / "x.PNG").read_bytes().startswith(b"\x89PNG")
    run("plot", HAZEL, "--out", tmp_path / "y.png", "--format", "json")
    assert json.loads((tmp_path / "y.png").read_text())["name"] == "time-current"


def test_a_dash_prints_the_numbers_with_the_job_and_the_cautions(run):
    code, out, _ = run("plot", LARCH, "--subject", "W8", "--out", "-", "--format", "json")
    data = json.loads(out)
    assert code == 0
    assert data["subject"] == "conductors.W8"
    assert data["job"].startswith("Larch")
    assert data["cautions"]
    assert [band["tag"] for band in data["bands"]] == ["F3"]


def test_the_list_has_every_figure_and_what_it_can_be_about(run):
    code, out, _ = run("plot", LARCH, "--list")
    assert code == 0
    assert out.splitlines()[:3] == ["fault-energy", "time-current", "  dcdc         feed of charger 12/12 V 20 A"]
    assert "  W14          W14, thin-wall 0.75 mm2 105 degC" in out.splitlines()


@pytest.mark.parametrize(("options", "said"), [
    (["--out", "-"], "none is named (known: dcdc, hf, vhf)"),
    (["--subject", "hg", "--out", "-"], "there is no feed or conductor 'hg' (known: dcdc, hf, vhf, W1"),
    (["--kind", "portrait", "--out", "-"], "there is no figure 'portrait' (known: fault-energy, time-current)"),
    (["--kind", "fault-energy", "--subject", "W1", "--out", "-"], "'W1'"),
    (["--subject", "hf", "--out", "/nowhere/x.svg"], "cannot be written"),
    (["--subject", "hf", "--out", " "], "it is empty; name a file"),
    (["--format", "pdf", "--out", "-"], "'pdf' is not one of"),
    ([], "name a file with --out, or ask with --list"),
])
def test_what_is_wrong_is_told(run, options, said):
    code, out, err = run("plot", LARCH, *options)
    assert (code, out) == (2, "")
    assert said in " ".join(err.split())


def test_without_the_library_a_picture_is_refused_and_papers_have_all_else(run, tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "matplotlib", None)
    code, _, err = run("plot", HAZEL, "--out", tmp_path / "x.svg")
    assert code == 2
    assert "pip install 'rigfeed[figures]'" in err
    assert run("plot", HAZEL, "--out", tmp_path / "x.json")[0] == 0
    assert run("papers", HAZEL, "--out", tmp_path / "png", "--format", "png")[0] == 2
    code, _, err = run("papers", HAZEL, "--out", tmp_path / "svg", "--format", "svg")
    assert (code, err) == (0, "")
    assert sorted(path.name for path in (tmp_path / "svg").iterdir()) == ["hazel-circuit.svg", "hazel-routes.svg"]


def test_papers_have_the_figures_of_every_feed_as_pictures_and_numbers(run, tmp_path):
    code, out, err = run("papers", HAZEL, "--out", tmp_path, "--format", "svg,png,json")
    assert (code, err) == (0, "")
    for ending in ("svg", "png", "json"):
        for figure in ("fault-energy", "time-current-vhf"):
            assert f"hazel-{figure}.{ending}" in out
            assert (tmp_path / f"hazel-{figure}.{ending}").stat().st_size > 500
