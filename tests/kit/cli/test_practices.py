"""Practices from the command line: the list, one of them, two held against each other, a shop's own."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from rigfeed import registry
from rigfeed.checks.check import Check
from rigfeed.practice import Threshold
from rigfeed.registry import installed_registry, make_registry

README = Path(__file__).parents[3] / "catalogs" / "README.md"
SHIPPED = ("amateur", "apparatus", "common", "marine", "road")


def practice(name: str):
    return installed_registry().practices.get(name)


def data(run, *arguments: object):
    code, out, err = run("practice", *arguments, "--json")
    assert (code, err) == (0, "")
    found = json.loads(out, parse_constant=pytest.fail)
    assert found["schema"] == 1
    assert out == run("practice", *arguments, "--json")[1]
    return found


@pytest.fixture
def beside(tmp_path):
    """Write practices beside a design; gives the arguments that name the design."""
    (tmp_path / "practices").mkdir()

    def write(**files: str) -> tuple[object, ...]:
        for name, text in files.items():
            (tmp_path / "practices" / f"{name}.toml").write_text(text)
        return "--design", tmp_path / "van.toml"

    return write


def figure(key: str, value: str, authority: str = "house rule", meaning: str = "") -> str:
    return f'thresholds."{key}" = {{ value = "{value}", authority = "{authority}", meaning = "{meaning}" }}\n'


def own(name: str, body: str = "", extends: str = "road") -> str:
    return f'practice = "{name}"\ntitle = "Title of {name}"\nextends = "{extends}"\n{body}'


# list


def test_the_list_says_name_title_parent_and_how_many(run):
    code, out, err = run("practice", "list")
    assert (code, err) == (0, "")
    count = len(practice("marine").thresholds)
    assert f"marine     Small craft, extends common, {count} thresholds\n" in out
    assert re.search(r"^common +Common root, \d+ thresholds$", out, re.M)
    found = data(run, "list")
    assert [p["name"] for p in found["practices"]] == sorted(SHIPPED)
    assert found["left_out"] == []
    assert found["practices"][0] == {
        "name": "amateur", "title": "Amateur radio in road vehicles", "extends": "road",
        "lineage": ["amateur", "road", "common"], "thresholds_count": len(practice("amateur").thresholds),
        "defaults_count": len(practice("amateur").defaults),
    }
    assert found["practices"][2]["extends"] is None


def test_the_list_names_what_is_beside_a_design_and_what_is_broken(run, beside):
    design = beside(a=own("our-shop"), b=own("lost", extends="nowhere"), c="practice = x")
    out = run("practice", "list", *design)[1]
    assert "our-shop   Title of our-shop, extends road" in out
    assert out.count("left out:") == 2
    found = data(run, "list", *design)
    assert {p["name"] for p in found["practices"]} == {*SHIPPED, "our-shop"}
    assert "c.toml" in found["left_out"][0]
    assert "no practice 'nowhere' to extend" in found["left_out"][1]
    assert "our-shop" not in run("practice", "list")[1]


# show


@pytest.mark.parametrize("name", SHIPPED)
def test_a_practice_is_shown_whole_with_meaning_authority_and_file(run, name):
    code, out, err = run("practice", "show", name)
    assert (code, err) == (0, "")
    assert max(map(len, out.splitlines())) < 80
    assert "\x1b" not in out
    flat = " ".join(out.split())
    for key, setting in {**practice(name).thresholds, **practice(name).defaults}.items():
        file = setting.where.rsplit("/", 1)[-1]
        assert f"{key} = {setting.value} {setting.meaning} {setting.authority} [{file}]" in flat
    for check, severity in practice(name).severities.items():
        assert f"{check}: {severity}" in out
    assert "parked: parked: engine off, warmest air" in out


def test_a_figure_is_told_from_the_file_of_its_own_practice(run):
    out = run("practice", "show", "amateur")[1]
    assert out.startswith("amateur: Amateur radio in road vehicles\n  extends road, common\n")
    assert "clips-too-far.spacing = 300 mm\n    greatest distance" in out
    assert "    common practice, no source [road.toml]\n" in out
    assert "    FCS 1362:2010 4.2.3.2 [common.toml]\n" in out


def test_plain_data_of_a_practice(run):
    found = data(run, "show", "marine")
    assert set(found) == {
        "schema", "name", "title", "extends", "lineage", "thresholds_count", "defaults_count", "check", "thresholds",
        "defaults", "severities", "states",
    }
    assert found["check"] is None
    assert found["thresholds"]["fuse-far-from-source.error"] == {
        "value": "7 in", "number": {"value": 0.1778, "unit": "m"}, "authority": "33 CFR 183.455(b)(1)",
        "meaning": "cable from the source to the first fuse: error above",
        "where": "rigfeed_catalogs/practices/marine.toml",
    }
    assert found["thresholds"]["swr-high.error"]["number"] == {"value": 2.0, "unit": ""}
    assert found["thresholds"]["hole-overfull.one"]["number"] == {"value": 0.53, "unit": ""}
    assert found["defaults"]["zone.coldest"]["number"] == {"value": -20.0, "unit": "degC"}
    assert len(found["thresholds"]) == found["thresholds_count"]
    assert found["severities"]["negative-at-post-unfused"] == "off"
    assert found["states"]["parked"] == {
        "title": "parked", "engine": "off", "air": "warmest", "modes": ["standby", "off"],
    }


def test_a_value_that_is_no_quantity_is_shown_as_it_stands(run, beside):
    design = beside(a=own("our-shop", figure("made.word", "a hand's width")))
    assert "made.word = a hand's width\n    house rule [a.toml]" in run("practice", "show", "our-shop", *design)[1]
    figures = data(run, "show", "our-shop", *design)["thresholds"]
    assert figures["made.word"]["number"] is None


def test_one_check_alone(run):
    out = run("practice", "show", "marine", "--check", "lead-drop-high")[1]
    assert out.splitlines()[2] == "lead-drop-high: warning, its own severity"
    assert "lead-drop-high.share = 3 %" in out
    assert (out.count(" = "), "lead-drop-high.cable-alone = 1" in out) == (2, True)
    out = run("practice", "show", "apparatus", "--check", "apparatus-margin")[1]
    assert "apparatus-margin: error, as this practice wants it" in out
    assert (out.count(" = "), "apparatus-margin.drop = 10 %" in out) == (2, True)
    found = data(run, "show", "apparatus", "--check", "apparatus-margin")
    assert found["check"] == "apparatus-margin"
    assert list(found["thresholds"]) == ["apparatus-margin.ampacity", "apparatus-margin.drop"]
    assert (found["defaults"], found["states"]) == ({}, {})
    assert found["severities"] == {"apparatus-margin": "error"}


def test_a_check_is_not_taken_for_another_that_begins_alike(run, beside):
    design = beside(a=own("our-shop", figure("swr-high-up.most", "3") + figure("swr-high.sub.most", "4")))
    keys = data(run, "show", "our-shop", "--check", "swr-high", *design)["thresholds"]
    assert list(keys) == ["swr-high.error", "swr-high.warning"]


def test_a_check_without_figures_says_so(run):
    out = run("practice", "show", "road", "--check", "fuse-above-equipment-limit")[1]
    assert out.endswith("\n\nIt compares with no figure of practice 'road'.\n")


def test_a_figure_under_another_name_belongs_to_the_check_that_declares_it(run, monkeypatch):
    class Plugin:
        @registry.pluggy.HookimplMarker("rigfeed")
        def register_checks(self):
            threshold = Threshold("slack.end", "m", "spare at an end")
            return [Check("made.too-short", "routing", "advice", lambda view: (), thresholds=(threshold,))]

    found = make_registry({"made": Plugin()})
    monkeypatch.setattr(registry, "installed_registry", lambda: found)
    out = run("practice", "show", "road", "--check", "made.too-short")[1]
    assert "made.too-short: advice, its own severity" in out
    assert "slack.end = 150 mm" in out
    assert "slack.equipment" not in out


def test_figures_of_a_check_that_is_not_installed_say_so(run, beside):
    design = beside(a=own("our-shop", figure("strangers-rule.most", "3 m")))
    out = run("practice", "show", "our-shop", "--check", "strangers-rule", *design)[1]
    assert "strangers-rule: figures for a check that is not installed here" in out
    assert "strangers-rule.most = 3 m" in out


# compare


def test_a_comparison_says_what_differs_and_nothing_else(run):
    code, out, err = run("practice", "compare", "road", "marine")
    assert (code, err) == (0, "")
    assert max(map(len, out.splitlines())) < 80
    assert (
        "clips-too-far.spacing\n    greatest distance between the supports of a cable\n"
        "  road    300 mm; common practice, no source\n  marine  450 mm; ISO 10133:2012 7.3\n"
    ) in out
    assert "  road    not given\n  marine  40 in; 33 CFR 183.455(b)(2)\n" in out
    assert "negative-at-post-unfused\n  road    the check's own\n  marine  off\n" in out
    assert "near-exhaust" not in out
    assert "States" not in out


def test_plain_data_of_a_comparison_is_complete(run):
    found = data(run, "compare", "road", "marine")
    road, marine = practice("road").thresholds, practice("marine").thresholds
    differing = {key for key in {*road, *marine} if (key in road) != (key in marine) or road[key] != marine[key]}
    assert [row["key"] for row in found["thresholds"]] == sorted(differing)
    (row,) = [row for row in found["thresholds"] if row["key"] == "lead-drop-high.share"]
    assert (row["a"]["value"], row["a"]["authority"]) == ("4 %", "common practice, no source")
    assert (row["b"]["number"], row["b"]["authority"]) == ({"value": 0.03, "unit": ""}, "ABYC E-11 (secondary source)")
    assert [row["key"] for row in found["defaults"]] == ["load.least", "return.post"]
    ashore = ["frame-unbonded", "in-airbag-zone", "maker-point-limit", "near-sunroof", "negative-at-post-unfused"]
    assert found["severities"] == [{"key": check, "a": None, "b": "off"} for check in ashore]
    assert (found["a"]["name"], found["b"]["name"], found["states"]) == ("road", "marine", [])
    back = data(run, "compare", "marine", "road")
    assert [(r["key"], r["b"], r["a"]) for r in back["thresholds"]] == [
        (r["key"], r["a"], r["b"]) for r in found["thresholds"]
    ]


def test_a_number_written_otherwise_is_no_difference_but_another_authority_is(run, beside):
    clips = figure("clips-too-far.spacing", "0.3 m", "common practice, no source")  # road: 300 mm
    coax = figure("near-exhaust.distance", "200 mm", "house rule")  # road: the same by common practice
    kind = figure("swr-high.error", "2.0 V", "common practice, no source")  # road: 2.0
    design = beside(a=own("our-shop", clips + coax + kind))
    out = run("practice", "compare", "road", "our-shop", *design)[1]
    assert "clips-too-far" not in out
    assert "  road      200 mm; common practice, no source\n  our-shop  200 mm; house rule\n" in out
    assert "  our-shop  2.0 V; common practice, no source\n" in out


def test_states_are_compared_too(run, beside):
    design = beside(a=own("our-shop", '[states.parked]\ntitle = "in the shed"\nengine = "off"\nair = "coldest"\n'))
    out = run("practice", "compare", "road", "our-shop", *design)[1]
    assert "  our-shop  in the shed: engine off, coldest air\n" in out
    (row,) = data(run, "compare", "road", "our-shop", *design)["states"]
    assert (row["key"], row["a"]["air"], row["b"]["air"]) == ("parked", "warmest", "coldest")


def test_a_practice_is_as_itself(run):
    out = run("practice", "compare", "road", "road")[1]
    assert out.endswith("\n\nThey have the same figures.\n")
    assert not any(data(run, "compare", "road", "road")[name] for name in ("thresholds", "severities", "states"))


# what is wrong with what was asked


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["show", "raod"], "there is no practice 'raod' (did you mean 'road'?)"),
        (["show", "raod", "--json"], "did you mean 'road'?"),
        (["show", "road", "--check", "clips-to-far"], "there is no check 'clips-to-far' (did you mean 'clips-too-far'"),
        (["show", "road", "--check", "unfused-sauce"], "did you mean 'unfused-source'?"),
        (["compare", "road", "marin"], "there is no practice 'marin' (did you mean 'marine'?)"),
        (["compare", "amature", "road"], "did you mean 'amateur' or 'marine'?"),
        (["compare", "road"], "Missing argument"),
        (["show"], "Missing argument"),
        (["shew"], "No such command"),
    ],
)
def test_bad_usage_ends_with_2_and_says_why(run, arguments, says):
    code, out, err = run("practice", *arguments)
    assert (code, out) == (2, "")
    assert says in err
    assert "Traceback" not in err


# the page of the catalogs


def test_the_practice_of_ones_own_on_the_page_works(run, beside):
    (text,) = re.findall(r"```toml\n(.*?)```", README.read_text(), re.S)
    assert len(text.splitlines()) == 6
    design = beside(shop=text)
    out = run("practice", "compare", "road", "our-shop", *design)[1]
    assert "  road      4 %; common practice, no source\n  our-shop  3 %; house rule\n" in out
    assert "splice-in-main-feed\n  road      the check's own\n  our-shop  error\n" in out
    assert "exposure-record-missing\n  road      off\n  our-shop  warning\n" in out
    assert set(practice("road").thresholds) == set(data(run, "show", "our-shop", *design)["thresholds"])
