"""What the shipped practices say, held against what their authorities print, and against each other."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from rigfeed.errors import BadQuantity
from rigfeed.practice import Practice, Practices, Threshold, practices_beside
from rigfeed.quantity import UNITS, parse, units_of
from rigfeed.registry import installed_registry

ROAD = ("road", "amateur", "apparatus")
NAMES = ("amateur", "apparatus", "common", "marine", "road")


def practice(name: str) -> Practice:
    return installed_registry().practices.get(name)


def number(name: str, key: str, unit: str) -> float:
    found = practice(name).threshold(Threshold(key, unit, key)) or practice(name).default(Threshold(key, unit, key))
    assert found is not None, f"{name} has no {key}"
    return found[0]


def authority(name: str, key: str) -> str:
    found = practice(name)
    return (found.thresholds.get(key) or found.defaults[key]).authority


# What the documents print: practice, key, number, unit, where.
PRINTED = [
    ("marine", "fuse-far-from-source.error", 7.0, "in", "33 CFR 183.455"),  # (b)(1): 7 inches along the conductor
    ("marine", "fuse-far-from-source.sheathed", 40.0, "in", "33 CFR 183.455"),  # (b)(2): 40 inches in a sheath
    ("marine", "fuse-above-ampacity.share", 150.0, "%", "33 CFR 183.455"),  # 150 percent of ampacity below 50 V
    ("marine", "fuse-above-ampacity.below", 50.0, "V", "33 CFR 183.455"),
    ("marine", "clips-too-far.spacing", 450.0, "mm", "ISO 10133:2012 7.3"),  # supports at most 450 mm apart
    ("common", "clips-too-far.spacing", 24.0, "in", "AC 43.13-1B 11-96"),  # clamps at most 24 inches apart
    ("apparatus", "no-low-voltage-alarm.time", 140.0, "s", "fire-apparatus purchase specifications (public)"),
    ("apparatus", "no-low-voltage-alarm.volts", 11.70, "V", "fire-apparatus purchase specifications (public)"),
    ("apparatus", "apparatus-margin.ampacity", 125.0, "%", "fire-apparatus purchase specifications (public)"),
    ("apparatus", "apparatus-margin.drop", 10.0, "%", "fire-apparatus purchase specifications (public)"),
    ("road", "exposure-sum.fraction", 1.0, "", "47 CFR 1.1307(b)(3)"),  # the sum of the fractions is below 1
    ("road", "exposure-inputs-missing.over-ground", 1.6**2, "", "FCC OET 65"),  # a field 1.6 times that in free space
    ("road", "near-fuel-filler.distance", 0.3, "m", "FCS 1362:2010 4.2.3.2"),
    ("road", "not-copper.clad-least", 1.55, "", "ASTM B566"),
    ("road", "not-copper.clad-most", 1.59, "", "ASTM B566"),
]


@pytest.mark.parametrize(("name", "key", "printed", "unit", "where"), PRINTED, ids=[f"{r[0]} {r[1]}" for r in PRINTED])
def test_a_figure_is_the_one_that_its_authority_prints(name, key, printed, unit, where):
    assert number(name, key, unit) == pytest.approx(printed, rel=1e-9)
    assert authority(name, key).startswith(where)
    assert "memory" not in authority(name, key)


def test_the_volts_that_an_equipment_stands_are_13_8_v_within_15_percent():
    """47 CFR 24.135(a): type tests from 85 to 115 percent of the rated supply voltage."""
    for name in ROAD:
        # 11.73 V, which the trade rounds to 11.7
        assert number(name, "load.least", "%") / 100 * 12 == pytest.approx(round(0.85 * 13.8, 1), rel=1e-9)
        assert number(name, "load.most", "%") / 100 * 12 == pytest.approx(1.15 * 13.8, rel=1e-9)
        assert "24.135" in authority(name, "load.least")


def test_the_volts_of_a_marine_radio_are_within_10_percent():
    """47 CFR 80.915(a): 10 percent at the terminals of the radiotelephone under full load."""
    assert number("marine", "load.least", "%") == pytest.approx(90.0)
    assert number("marine", "volts-below-minimum.device", "V") == pytest.approx(0.9 * 12)
    assert number("marine", "volts-below-minimum.battery", "V") > number("marine", "volts-below-minimum.device", "V")


DIFFERENT = [
    # key, unit, on the road, at sea
    ("clips-too-far.spacing", "mm", 300.0, 450.0),
    ("lead-drop-high.share", "%", 4.0, 3.0),
    ("fuse-far-from-source.warning", "mm", 254.0, 177.8),
    ("fuse-far-from-source.error", "mm", 305.0, 177.8),
    ("fuse-above-ampacity.share", "%", 100.0, 150.0),
]


@pytest.mark.parametrize(("key", "unit", "road", "marine"), DIFFERENT, ids=[row[0] for row in DIFFERENT])
def test_road_and_marine_differ(key, unit, road, marine):
    assert number("marine", key, unit) == pytest.approx(marine)
    for name in ROAD:
        assert number(name, key, unit) == pytest.approx(road)


def test_what_only_one_practice_asks_for_stands_there_alone():
    alone = {
        "marine": {
            "fuse-far-from-source.sheathed", "fuse-far-from-source.battery", "volts-below-minimum.device",
            "volts-below-minimum.battery",
        },
        "apparatus": {
            "apparatus-margin.drop", "apparatus-margin.ampacity", "no-low-voltage-alarm.volts",
            "no-low-voltage-alarm.time",
        },
    }
    for name, keys in alone.items():
        assert keys <= set(practice(name).thresholds)
        assert not any(keys & set(practice(other).thresholds) for other in NAMES if other != name)


def test_the_severities_that_depend_on_the_practice():
    wanted = {name: practice(name).severities for name in NAMES}
    assert wanted["amateur"]["negative-at-post-unfused"] == "error"
    assert wanted["marine"]["negative-at-post-unfused"] == "off"
    assert "negative-at-post-unfused" not in wanted["road"]  # there the check's own stands
    assert {name for name in NAMES if wanted[name]["apparatus-margin"] != "off"} == {"apparatus"}


@pytest.mark.parametrize("name", NAMES)
def test_every_value_is_a_quantity(name):
    kinds = {unit.kind for unit in UNITS.values()}
    for key, setting in {**practice(name).thresholds, **practice(name).defaults}.items():
        read = []
        for kind in kinds:
            try:
                read.append(parse(setting.value, next(iter(units_of(kind)), "")))
            except BadQuantity:
                continue
        assert len(read) == 1, f"{key} = {setting.value!r} is read as {len(read)} kinds of quantity"


WORDS = {
    "length": "distance length spacing sheathed height light-bar slack.end slack.equipment ring-hole-mismatch.larger",
    "ratio": "share ampacity usable-lead usable-lithium coverage recovered wavelengths fraction count ratio slimness "
    "hole-overfull.one hole-overfull.two hole-overfull.three bunch-1 bunch-2 bunch-9 aluminium coax-fixed "
    "bend-too-tight.power",
    "voltage": "volts charging-24v system lead-least lead-most lithium-least lithium-most dip "
    "plateau spike ripple below",
    "current": "small-battery medium-battery small-main large-branch standing-drain.current tap-overloaded.current",
    "time": "time dip-time",
    "temperature": "engine-bay cabin ordinary-pvc polyethylene lithium-too-hot.charge lithium-too-hot.discharge",
    "cross-section": "mechanically-thin.control mechanically-thin.power bonnet-control bonnet-power",
    "decibel": "vhf hf feeder-loss-high.error",
    "power": "eirp",
}


@pytest.mark.parametrize("name", NAMES)
def test_a_figure_is_of_the_kind_that_its_word_means(name):
    """Where no code declares the unit yet, the word still does; the whole key comes before its last word."""
    kinds = {word: kind for kind, words in WORDS.items() for word in words.split()}
    held = set()
    for key, setting in practice(name).thresholds.items():
        word = next((w for w in (key, key.rpartition(".")[2]) if w in kinds), None)
        if word is not None:
            parse(setting.value, next(iter(units_of(kinds[word])), ""))  # raises where it is of another kind
            held.add(word)
    assert set(kinds) - held <= {"sheathed", "ampacity", "volts"}  # in some practices only


@pytest.mark.parametrize("name", NAMES)
def test_figures_of_one_check_are_in_order(name):
    """A warning comes before its error, the least before the most, whatever a practice overrides."""
    found = practice(name).thresholds
    pairs = [("warning", "error"), ("least", "most"), ("sheathed", "battery"), ("control", "power"), ("small", "large")]
    compared = 0
    for key, setting in found.items():
        for low, high in pairs:
            other = re.sub(rf"\b{low}\b", high, key)
            if other != key and other in found:
                unit = setting.value.partition(" ")[2]
                assert parse(setting.value, unit) <= parse(found[other].value, unit), (key, other)
                compared += 1
    assert compared >= 12


def test_a_bunch_of_more_leaves_less_to_each():
    shares = [number("road", f"over-ampacity.bunch-{count}", "%") for count in (1, 2, 3, 4, 5, 6, 7, 9)]
    assert shares == sorted(shares, reverse=True)
    assert (shares[0], shares[-1]) == (100.0, 50.0)


def test_a_figure_from_memory_says_so():
    """Documents that nobody has opened: their figures keep the word."""
    unread = ("NEC", "IEC 60364", "ISO 16750", "national licence")
    settings = [s for name in NAMES for s in practice(name).thresholds.values() if s.authority.startswith(unread)]
    assert len(settings) >= 10
    assert all("(memory)" in setting.authority for setting in settings)


def test_the_titles_tell_the_practices_apart():
    assert len({practice(name).title for name in NAMES}) == len(NAMES)
    assert set(NAMES) <= set(installed_registry().practices.names())


# a shop's own

OWN = """
practice = "our-shop"
extends = "road"
thresholds."lead-drop-high.share" = { value = "1 %", authority = "house rule" }
"""


@pytest.fixture
def design(tmp_path):
    (tmp_path / "practices").mkdir()
    return tmp_path / "van.toml"


def test_no_folder_is_no_fault(tmp_path):
    assert practices_beside(tmp_path / "van.toml") == ()


def test_the_practices_beside_a_design_are_found_by_name(design):
    folder = design.parent / "practices"
    for name in ("b.toml", "a.toml", "notes.txt"):
        (folder / name).write_text('practice = "x"')
    assert [file.where for file in practices_beside(design)] == [str(folder / "a.toml"), str(folder / "b.toml")]


def shop(design, text: str) -> Practices:
    """All practices with one more beside the design."""
    (design.parent / "practices" / "our-shop.toml").write_text(text)
    return Practices([*installed_registry().practice_files, *practices_beside(design)])


def test_a_shops_own_practice_extends_a_shipped_one(design):
    found = shop(design, OWN).get("our-shop")
    assert found.lineage == ("our-shop", "road", "common")
    assert found.threshold(Threshold("lead-drop-high.share", "%", ""))[0] == pytest.approx(1.0)
    assert found.thresholds["clips-too-far.spacing"] == practice("road").thresholds["clips-too-far.spacing"]


def test_a_broken_one_beside_a_design_is_named_and_the_shipped_ones_stand(design):
    practices = shop(design, "practice = our-shop")
    assert practices.names() == installed_registry().practices.names()
    (trouble,) = practices.troubles
    assert trouble.place.file == str(design.parent / "practices" / "our-shop.toml")


def test_an_assessment_goes_by_the_practice_beside_its_design(design):
    import rigfeed
    from rigfeed.assess import assess
    from rigfeed.parts.shelf import Shelf

    hazel = rigfeed.load(rigfeed.example("hazel"))
    shop(design, OWN)
    installed = installed_registry()
    registry = replace(installed, practice_files=[*installed.practice_files, *practices_beside(design)])
    found = assess(hazel, shelf=Shelf(registry), practice="our-shop", only=["lead-drop-high"]).findings
    assert found
    assert {finding.limit.value for finding in found} == {0.12}
    assert assess(hazel, only=["lead-drop-high"]).findings == ()
