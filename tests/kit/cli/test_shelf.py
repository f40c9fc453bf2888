"""What is at hand, from the command line: plugins, catalogs, parts."""

from __future__ import annotations

import json

import pytest

from rigfeed import registry
from rigfeed.registry import make_registry


def test_plugins_with_version_state_and_what_they_add(run):
    out = run("plugins")[1]
    assert "fuses 0.1.0  on" in out
    assert "fuse-far-from-source" in out
    data = {plugin["name"]: plugin for plugin in json.loads(run("plugins", "--json")[1])["plugins"]}
    assert {"rigfeed", "antennas", "batteries", "cables", "fuses"} <= set(data)
    assert data["cables"]["state"] == "on"
    assert "cable" in data["cables"]["adds"]["part_kinds"]


def test_a_plugin_that_is_off_says_why(run, monkeypatch):
    class Broken:
        @registry.pluggy.HookimplMarker("rigfeed")
        def register_checks(self):
            raise RuntimeError("no licence")

    found = make_registry({"stranger": Broken()}, installed=False)
    monkeypatch.setattr(registry, "installed_registry", lambda: found)
    out = run("plugins")[1]
    assert "stranger  OFF" in out
    assert "no licence" in out
    (plugin,) = [p for p in json.loads(run("plugins", "--json")[1])["plugins"] if p["name"] == "stranger"]
    assert plugin["state"] == "off"
    assert "no licence" in plugin["why"]


def test_catalogs_and_those_beside_a_design(run, tmp_path):
    assert "demo-cables" in run("catalog", "list")[1]
    (tmp_path / "catalogs").mkdir()
    (tmp_path / "catalogs" / "mine.csv").write_text(
        "part,title,area_mm2,ohm_per_km,od_mm,source,confidence\ncable:x-4,my cable,4,4.9,4,the reel,measured\n"
    )
    (tmp_path / "catalogs" / "broken.csv").write_text("no header\n")
    arguments = ("--design", tmp_path / "van.toml")
    out = run("catalog", "list", *arguments)[1]
    assert "1 cable (a file of yours)" in out
    assert "left out:" in out
    assert "broken.csv" in out.replace("\n", "")
    data = json.loads(run("catalog", "list", *arguments, "--json")[1])
    assert data["catalogs"][0] == {
        "name": "mine", "origin": "a file of yours", "where": str(tmp_path / "catalogs" / "mine.csv"),
        "rows": {"cable": 1},
    }
    assert len(data["left_out"]) == 1
    assert "my cable" in run("catalog", "show", "mine", *arguments)[1]
    assert "the reel (measured)" in run("catalog", "show", "cable:x-4", *arguments)[1]


def test_a_part_with_every_figure_and_its_source(run):
    data = json.loads(run("catalog", "show", "cable:thinwall-2.5", "--json")[1])["part"]
    assert data["key"] == "cable:demo-cables/thinwall-2.5"
    assert data["figures"]["ohm_per_km"] == 7.6
    assert data["confidence"] == "invented"
    assert "cable:demo-cables/thinwall-2.5" in json.loads(run("catalog", "show", "demo-cables", "--json")[1])["parts"]


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("demo-cable", "there is no catalog 'demo-cable' (did you mean 'demo-cables'"),
        ("cable:thinwal-2.5", "did you mean 'thinwall-2.5'"),
        ("cabel:x", "did you mean 'cable'?"),
        ("cable:demo-fuses/thinwall-2.5", "there is no cable 'thinwall-2.5'"),
    ],
)
def test_a_wrong_name_suggests_the_nearest(run, name, says):
    code, _, err = run("catalog", "show", name)
    assert code == 2
    assert says in err


def test_the_list_of_catalogs_has_a_heading(run):
    assert run("catalog", "list")[1].startswith("catalog                  rows by kind of part")


@pytest.mark.parametrize(
    ("part", "says", "name", "plain"),
    [
        ("battery:agm-80", "0 11.9; 50 12.4; 100 12.85", "rest_v", [[0, 11.9], [50, 12.4], [100, 12.85]]),
        ("ring:m8-16", "17 x 9 mm", "rigid", "17 x 9 mm"),
        ("connector:uhf-plug", "18.5 mm round", "rigid", "18.5 mm round"),
        ("antenna:vhf-quarter", "144000000 174000000", "bands", [[144e6, 174e6]]),
    ],
)
def test_curves_and_sizes_are_shown_as_people_write_them(run, part, says, name, plain):
    assert says in run("catalog", "show", part)[1]
    assert json.loads(run("catalog", "show", part, "--json")[1])["part"]["figures"][name] == plain


def test_the_curve_of_a_fuse_is_data(run):
    out = run("catalog", "show", "fuse:blade-10")[1]
    assert "Gate(" not in out
    assert "multiple 1.35, least_s 0.75, most_s 1800" in " ".join(out.split())
    curve = json.loads(run("catalog", "show", "fuse:blade-10", "--json")[1])["part"]["figures"]["curve"]
    assert curve["gates"][1]["multiple"] == 1.35
