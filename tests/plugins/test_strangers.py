"""Two strangers' plugins, built as wheels and installed beside the project's own wheel in a fresh environment.

One adds a part kind, a catalog, a calculator, a check, a paper and a figure, which work from the command line. The
other does wrong in more ways than ten; the rest works, and each is reported by name.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import venv
from pathlib import Path

import pytest

HERE = Path(__file__).parent / "strangers"
ROOT = Path(__file__).parents[2]
PIP = ["-m", "pip", "--quiet", "--disable-pip-version-check"]


def python(environment: Path) -> str:
    return str(environment / "bin" / "python")


def wheel(project: Path, copy: Path, to: Path) -> Path:
    """The wheel of a project, built from a copy so that nothing is left behind in the checkout."""
    ignore = shutil.ignore_patterns(".*", "build", "*.egg-info", "__pycache__", "rigfeed-papers")
    shutil.copytree(project, copy, ignore=ignore)
    command = [sys.executable, *PIP, "wheel", "--no-deps", "--wheel-dir", str(to), str(copy)]
    subprocess.run(command, check=True, capture_output=True, timeout=300)
    return next(to.glob("*.whl"))


@pytest.fixture(scope="module")
def installed(tmp_path_factory):
    """A fresh environment with the wheels of the project and of both strangers."""
    folder = tmp_path_factory.mktemp("strangers")
    projects = {"rigfeed": ROOT, "lamps": HERE / "lamps", "bad": HERE / "bad"}
    wheels = [wheel(path, folder / f"copy-{name}", folder / f"wheel-{name}") for name, path in projects.items()]
    environment = folder / "environment"
    venv.create(environment, with_pip=True)
    constraints = str(ROOT / ".ci" / "constraints.txt")
    command = [python(environment), *PIP, "install", "-c", constraints, *map(str, wheels)]
    subprocess.run(command, check=True, capture_output=True, timeout=600)
    return environment


@pytest.fixture
def rigfeed(installed, tmp_path):
    def run(*arguments: object) -> tuple[int, str, str]:
        done = subprocess.run(
            [str(installed / "bin" / "rigfeed"), *map(str, arguments)], check=False, capture_output=True, text=True,
            cwd=tmp_path, timeout=120,
        )
        return done.returncode, done.stdout, done.stderr

    return run


pytestmark = pytest.mark.slow


def test_the_strangers_part_kind_catalog_and_check_work(rigfeed):
    code, out, _ = rigfeed("check", HERE / "lamps" / "van.toml", "--json")
    assert code in (0, 1)  # what our own checks find in the design is not the point
    data = json.loads(out)
    (finding,) = [finding for finding in data["findings"] if finding["check"] == "lamps.beacon-low"]
    assert "stands at 0.9 m, below 1.2 m" in finding["message"]
    assert data["states"]["night"]["volts_across"]["lamp"] == pytest.approx(12.3, abs=0.1)


def test_the_strangers_paper_calculator_and_catalog_show(rigfeed, tmp_path):
    code, out, _ = rigfeed("papers", HERE / "lamps" / "van.toml", "--out", tmp_path)
    assert code == 0
    assert "van-lamps-beacons.csv" in out
    assert (tmp_path / "van-lamps-beacons.csv").read_text().splitlines()[1] == "lamp,20"
    assert rigfeed("calc", "lamps-count", "current=10 A", "watts=20 W")[1] == "lamps: 6\n"
    assert "flashing beacon 20 W" in rigfeed("catalog", "show", "beacons")[1]


def test_the_strangers_figure_is_had_as_numbers_where_nothing_can_draw_it(rigfeed):
    """The environment is as one gets it without extras: there is no matplotlib in it."""
    asked = ("plot", HERE / "lamps" / "van.toml", "--kind", "lamps-heights", "--out")
    code, out, _ = rigfeed(*asked, "-", "--format", "json")
    assert code == 0
    assert json.loads(out)["dots"][0]["places"] == [[0.9, json.loads(out)["y"]["names"].index("lamp")]]
    code, _, err = rigfeed(*asked, "x.svg")
    assert code == 2
    assert "pip install 'rigfeed[figures]'" in err


def test_every_bad_plugin_is_reported_by_name_and_the_rest_works(rigfeed):
    code, out, _ = rigfeed("plugins", "--json")
    assert code == 0
    plugins = {plugin["name"]: plugin for plugin in json.loads(out)["plugins"]}
    assert plugins["lamps"]["state"] == "on"
    assert plugins["lamps"]["version"] == "2.3"
    assert plugins["lamps"]["adds"]["calculators"] == ["lamps-count"]
    told = {name: f"{plugin['why']} {plugin['troubles']}" for name, plugin in plugins.items()}
    expected = {
        "bad-import": "this module cannot be imported",
        "bad-missing": "No module named 'stranger_bad.nowhere'",
        "bad-exit": "this module leaves the program",
        "bad-hang": "register_checks takes longer than 5 s",
        "bad-kinds": "broken in register_part_kinds",
        "bad-catalogs": "broken in register_catalogs",
        "bad-practices": "broken in register_practices",
        "bad-studies": "broken in register_studies",
        "bad-calculators": "broken in register_calculators",
        "bad-checks": "broken in register_checks",
        "bad-papers": "broken in register_papers",
        "bad-drawings": "broken in register_drawings",
        "bad-figures": "broken in register_figures",
        "bad-types": "is not a Check",
        "bad-taken": "'unfused-source' is taken",
        "bad-spelling": "register_cheks",
    }
    for name, says in expected.items():
        assert says in told[name], (name, told[name])
    code, out, _ = rigfeed("catalog", "list", "--json")
    assert any("not-there.csv" in trouble for trouble in json.loads(out)["left_out"])


def test_a_check_tells_what_was_left_out(rigfeed):
    code, out, _ = rigfeed("demo", "--out", "papers")
    assert code == 0
    text = " ".join(out.split())
    assert "VHF set 25 W: 11.9 V" in text
    for name in ("bad-import", "bad-hang", "bad-types", "bad-taken", "not-there.csv"):
        assert name in text
