"""The guide for authors: its blocks are a plugin that works, and its commands run."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

GUIDE = (Path(__file__).parents[2] / "plugins" / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```(\w+) ?(\S*)\n(.*?)^```$", GUIDE, re.M | re.S)


@pytest.fixture(scope="module")
def project(tmp_path_factory) -> Path:
    """The files of the guide in a folder, with what an installation would leave beside them."""
    folder = tmp_path_factory.mktemp("guide")
    for _, name, text in BLOCKS:
        if name:
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text((path.read_text(encoding="utf-8") if path.exists() else "") + text, encoding="utf-8")
    about = tomllib.loads((folder / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    info = folder / f"{about['name'].replace('-', '_')}-{about['version']}.dist-info"
    info.mkdir()
    (info / "METADATA").write_text(f"Metadata-Version: 2.1\nName: {about['name']}\nVersion: {about['version']}\n")
    points = "".join(f"{name} = {value}\n" for name, value in about["entry-points"]["rigfeed.plugins"].items())
    (info / "entry_points.txt").write_text(f"[rigfeed.plugins]\n{points}")
    return folder


@pytest.fixture
def run(project):
    """Run a line of the guide in that folder."""
    programs = Path(sys.executable).parent
    environment = {**os.environ, "PYTHONPATH": str(project), "PATH": f"{programs}{os.pathsep}{os.environ['PATH']}"}

    def run_(line: str) -> str:
        done = subprocess.run(
            line, shell=True, check=False, capture_output=True, text=True, cwd=project, env=environment, timeout=120
        )
        assert done.returncode in (0, 1), (line, done.stdout, done.stderr)
        return done.stdout

    return run_


COMMANDS = [line for sort, _, text in BLOCKS if sort == "sh" for line in text.splitlines()]
SAYS = {
    "pytest": "4 passed", "plugins": "lamps 0.1.0 on", "catalog": "flood lamp 180 W", "calc": "time: 3 h",
    "check": "All lamps take 200 W, above 150 W", "papers": "van-lamp-list.csv",
}


def test_every_block_has_a_file_or_is_a_list_of_commands():
    assert [sort for sort, name, _ in BLOCKS if not name and sort != "sh"] == []
    assert len(COMMANDS) == len(SAYS)


@pytest.mark.parametrize(("line", "says"), [*zip(COMMANDS, SAYS.values(), strict=False)], ids=SAYS)
def test_each_command_does_what_the_guide_is_about(run, line, says):
    options = " -p no:cacheprovider -q" if "pytest" in line else ""
    assert says in " ".join(run(line + options).split())


def test_the_code_of_the_guide_is_as_tidy_as_that_of_the_house(project):
    command = [Path(sys.executable).with_name("ruff"), "check", "--no-cache", "--isolated", "--line-length", "120",
               "--select", "E,F,I,B,UP", "rigfeed_lamps"]
    done = subprocess.run(command, check=False, capture_output=True, text=True, cwd=project, timeout=60)
    assert done.returncode == 0, done.stdout
