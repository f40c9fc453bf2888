"""What `rigfeed plugin new` writes: names that cannot be are refused, nothing is overwritten, and it all works."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import venv
from pathlib import Path

import pytest

from rigfeed.errors import FileProblem, InputError
from rigfeed.scaffold import project, write_project

ROOT = Path(__file__).parents[2]
PIP = ["-m", "pip", "--quiet", "--disable-pip-version-check"]


@pytest.mark.parametrize("name", ["", "x", "Fans", "../fans", "fans/x", "rigfeed", "1fan", "a" * 25, "fa ns", "fans\n"])
def test_a_name_that_cannot_be_is_refused(name):
    with pytest.raises(InputError, match="cannot be the name of a plugin"):
        project(name)


def test_nothing_that_exists_is_touched(tmp_path):
    (tmp_path / "fans").mkdir()
    with pytest.raises(FileProblem, match="is there already"):
        write_project("fans", tmp_path / "fans")
    assert list((tmp_path / "fans").iterdir()) == []


def test_no_placeholder_is_left():
    assert not [path for path, text in project("fans").items() if "@name@" in text.lower()]


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    """A fresh environment with the wheels of the project and of a plugin that was just written."""
    folder = tmp_path_factory.mktemp("scaffold")
    write_project("fans", folder / "plugin")
    ignore = shutil.ignore_patterns(".*", "build", "*.egg-info", "__pycache__", "rigfeed-papers")
    shutil.copytree(ROOT, folder / "rigfeed", ignore=ignore)
    for name in ("rigfeed", "plugin"):
        source = folder / name
        command = [sys.executable, *PIP, "wheel", "--no-deps", "--wheel-dir", str(folder / "wheels"), str(source)]
        subprocess.run(command, check=True, capture_output=True, timeout=300)
    venv.create(folder / "env", with_pip=True)
    wheels = [str(path) for path in (folder / "wheels").glob("*.whl")]
    command = [str(folder / "env/bin/python"), *PIP, "install", "-c", str(ROOT / ".ci" / "constraints.txt"), "pytest"]
    subprocess.run([*command, *wheels], check=True, capture_output=True, timeout=600)
    return folder


@pytest.fixture
def rigfeed(home):
    def run(*arguments: str) -> str:
        done = subprocess.run(
            [str(home / "env/bin/rigfeed"), *arguments], check=False, capture_output=True, text=True,
            cwd=home / "plugin", timeout=120,
        )
        assert done.returncode in (0, 1), done.stderr
        return done.stdout

    return run


@pytest.mark.slow
def test_its_own_tests_pass(home):
    command = [str(home / "env/bin/python"), "-m", "pytest", "-q", "-p", "no:cacheprovider", "tests"]
    done = subprocess.run(command, check=False, capture_output=True, text=True, cwd=home / "plugin", timeout=300)
    assert done.returncode == 0, done.stdout
    assert "3 passed" in done.stdout


@pytest.mark.slow
def test_all_that_it_adds_works_from_the_command_line(rigfeed, home):
    plugins = {plugin["name"]: plugin for plugin in json.loads(rigfeed("plugins", "--json"))["plugins"]}
    assert plugins["fans"]["state"] == "on"
    assert plugins["fans"]["troubles"] == []
    assert "small fans 40 W" in rigfeed("catalog", "show", "fans-parts")
    assert rigfeed("calc", "fans-hours", "capacity=80 Ah", "power=40 W") == "time: 24 h\n"
    findings = json.loads(rigfeed("check", "tests/van.toml", "--json"))["findings"]
    assert [finding["check"] for finding in findings if finding["check"].startswith("fans.")] == ["fans.thirsty"]
    rigfeed("papers", "tests/van.toml", "--out", "papers")
    (paper,) = (home / "plugin" / "papers").glob("*fans-list.csv")
    assert paper.read_text().splitlines()[1:] == ["large,240", "small,40"]
