"""A first design from seven answers."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest

import rigfeed
from rigfeed.beginning import Answers, first_design
from rigfeed.design.file import parse
from rigfeed.parts.shelf import Shelf
from rigfeed.registry import installed_registry

FLAGS = {
    "--title": 'The "old" van', "--set": "radio:vhf-25", "--battery": "battery:flooded-45", "--to-fuse": "6 in",
    "--bay": "0.9 m", "--cabin": "2.4 m", "--back": "0.4 m",
}


def flags(**changed: str) -> list[str]:
    given = {**FLAGS, **{f"--{name.replace('_', '-')}": value for name, value in changed.items()}}
    return [word for pair in given.items() for word in pair]


def test_the_file_is_short_and_assesses_at_once(run, tmp_path):
    file = tmp_path / "van.toml"
    code, out, _ = run("new", file, *flags())
    assert code == 0
    assert f"rigfeed check {file}" in out
    assert len(file.read_text().splitlines()) < 40
    assessment = rigfeed.assess_file(file)
    assert assessment.installation.title == 'The "old" van'
    # no blade fuse of this rating breaks what a battery drives when it is cold and new: that is told, not hidden
    assert {finding.check for finding in assessment.findings} <= {"breaking-capacity-low"}
    assert assessment.installation.nodes["F1"].part.rated_a == 10  # as the maker states
    assert assessment.not_checked  # what nobody has looked at is said


def test_the_cable_is_the_smallest_with_which_the_set_has_its_volts(run, tmp_path):
    areas = {}
    for way in ("1 m", "6 m", "20 m"):
        file = tmp_path / f"{way.split()[0]}.toml"
        run("new", file, *flags(cabin=way))
        areas[way] = rigfeed.assess_file(file).installation.conductors["W2"].cable.area_mm2
        assert {finding.check for finding in rigfeed.assess_file(file).findings} <= {"breaking-capacity-low"}
    assert areas["1 m"] < areas["6 m"] < areas["20 m"]


def test_where_no_cable_is_enough_the_text_says_so_and_the_checks_find_it():
    registry = installed_registry()
    shelf = Shelf(replace(registry, catalogs=[c for c in registry.catalogs if c.name.startswith("demo-")]))
    answers = Answers("far", "radio:vhf-25", "battery:flooded-45", "0.15 m", "99 m", "99 m", "0.4 m")
    text = first_design(answers, shelf)
    assert "no cable on the shelf is thick enough" in text
    assert rigfeed.assess(parse(text), shelf=shelf).count("error") > 0


def test_what_is_not_given_is_asked(run, tmp_path, monkeypatch):
    monkeypatch.setattr("sys.stdin", io.StringIO("Asked\n\n\n\n4 ft\n\n\n"))
    file = tmp_path / "asked.toml"
    code, out, _ = run("new", file)
    assert code == 0
    assert out.count("How far") == 4
    assert rigfeed.load(file).job.title == "Asked"
    assert rigfeed.load(file).runs["bay"].length.text == "4 ft"


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"bay": "0,9 m"}, "write 0.9 m"),
        ({"bay": "-1 m"}, "is no length of a cable"),
        ({"set": "radio:vhf-26"}, "did you mean 'vhf-25'"),
        ({"set": "fuse:blade-10"}, "'fuse:blade-10' cannot be the set"),
        ({"practice": "roda"}, "did you mean 'road'?"),
    ],
)
def test_a_bad_answer_writes_nothing(run, tmp_path, changed, says):
    code, _, err = run("new", tmp_path / "van.toml", *flags(**changed))
    assert code == 2
    assert says in err
    assert not (tmp_path / "van.toml").exists()


def test_an_existing_file_is_not_touched(run, tmp_path):
    (tmp_path / "van.toml").write_text("mine")
    code, _, err = run("new", tmp_path / "van.toml", *flags())
    assert code == 2
    assert "is there already" in err
    assert (tmp_path / "van.toml").read_text() == "mine"
