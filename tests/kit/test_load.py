"""From a path to an assessment: catalogs beside the design, and where errors point."""

from __future__ import annotations

import subprocess
import sys

import pytest

import rigfeed
from rigfeed.errors import CatalogError, DesignError, FileProblem, InputErrors, UnknownName
from rigfeed.registry import installed_registry

HEADER = "part,title,area_mm2,ohm_per_km,od_mm,source,confidence\n"
OWN = HEADER + "cable:shop-16,cable of the shop,16,1.16,8.3,a measurement,measured\n"
DESIGN = """format = 1
[nodes]
a = { part = "joint" }
b = { part = "joint" }
[conductors.W1]
cable = "cable:shop-16"
from = "a.x"
to = "b.x"
length = "1 m"
"""


@pytest.fixture(autouse=True)
def no_catalogs_of_the_user(monkeypatch, tmp_path_factory):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path_factory.mktemp("data")))


@pytest.fixture
def shop(tmp_path):
    """A folder with a design; `catalogs` gives texts of catalogs beside it by name."""

    def made(text: str = DESIGN, **catalogs: str):
        for name, content in catalogs.items():
            (tmp_path / "catalogs").mkdir(exist_ok=True)
            (tmp_path / "catalogs" / f"{name}.csv").write_text(content)
        file = tmp_path / "design.toml"
        file.write_text(text)
        return file

    return made


def test_a_catalog_beside_the_design_is_on_its_shelf(shop):
    assessment = rigfeed.assess_file(shop(own=OWN))
    assert assessment.installation.conductors["W1"].cable.key == "cable:own/shop-16"
    assert assessment.troubles == ()


def test_without_it_the_part_is_unknown_where_it_stands(shop):
    file = shop()
    with pytest.raises(UnknownName, match="no cable 'shop-16'") as caught:
        rigfeed.assess_file(file)
    place = caught.value.place
    assert (place.file, place.line, str(place.path)) == (str(file), 6, "conductors.W1.cable")


def test_only_the_folder_beside_counts(shop, tmp_path):
    file = shop(own=OWN)
    deeper = tmp_path / "jobs"
    deeper.mkdir()
    (deeper / "design.toml").write_text(file.read_text())
    with pytest.raises(UnknownName):
        rigfeed.assess_file(deeper / "design.toml")


def test_a_broken_catalog_beside_is_told_and_stops_only_who_uses_it(shop):
    assessment = rigfeed.assess_file(shop(own=OWN, torn="no header\n"))
    (trouble,) = assessment.troubles
    assert "torn.csv:1: has no column 'part'" in trouble
    with pytest.raises(CatalogError, match=r"torn\.csv:1") as caught:
        rigfeed.assess_file(shop(DESIGN.replace("cable:shop", "cable:torn/shop")))
    assert caught.value.place.line == 6


def test_a_catalog_beside_that_hides_a_shipped_one_says_so(shop):
    shipped = next(catalog for catalog in installed_registry().catalogs if "cable" in catalog.path)
    file = shop(**{shipped.name: OWN})
    (trouble,) = rigfeed.assess_file(file).troubles
    assert f"{shipped.where}: another catalog has the name {shipped.name!r}: {file.parent}" in trouble


def test_a_folder_that_is_named_like_a_catalog_is_told(shop, tmp_path):
    file = shop(own=OWN)
    (tmp_path / "catalogs" / "odd.csv").mkdir()
    assert "odd.csv" in rigfeed.assess_file(file).troubles[0]


def test_all_errors_of_a_design_point_at_their_lines_in_rising_order(shop):
    text = DESIGN.replace('part = "joint"', 'part = "fuse:none"').replace("a.x", "a.a").replace("b.x", "b.b")
    file = shop(text, own=OWN)
    with pytest.raises(InputErrors) as caught:
        rigfeed.assess_file(file)
    assert [(error.place.file, error.place.line) for error in caught.value.errors] == [(str(file), 3), (str(file), 4)]


def test_an_error_of_the_caller_is_not_blamed_on_the_design(shop):
    file = shop(own=OWN)
    with pytest.raises(UnknownName) as caught:
        rigfeed.assess_file(file, practice="raod")
    assert str(caught.value).startswith("there is no practice 'raod'")
    with pytest.raises(UnknownName) as caught:
        rigfeed.assess_file(file, only=["no-check"])
    assert str(caught.value).startswith("there is no check 'no-check'")


def test_an_unknown_practice_of_the_design_has_its_line(shop):
    file = shop(DESIGN + '[job]\npractice = "raod"\n', own=OWN)
    with pytest.raises(UnknownName, match="did you mean 'road'") as caught:
        rigfeed.assess_file(file)
    assert (caught.value.place.file, caught.value.place.line) == (str(file), 11)


def test_what_cannot_be_read(shop, tmp_path):
    with pytest.raises(FileProblem, match="cannot be read"):
        rigfeed.assess_file(tmp_path / "none.toml")
    with pytest.raises(DesignError, match="not valid TOML"):
        rigfeed.load(shop("format ="))


def test_an_assessment_with_all_its_numbers_loads_nothing_heavy():
    code = (
        "import sys, json, rigfeed\n"
        "from rigfeed.json_report import assessment_json\n"
        "json.dumps(assessment_json(rigfeed.assess_file(rigfeed.example('hazel'))))\n"
        "print(*{name.split('.')[0] for name in sys.modules}, *(name for name in sys.modules if name == 'numpy.ma'))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert not set(done.stdout.split()) & {
        "tkinter", "flask", "openpyxl", "matplotlib", "scipy", "tomlkit", "numpy.ma"}
