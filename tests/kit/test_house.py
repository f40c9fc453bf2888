"""The house is as its papers say: the map, the public names, what an import costs."""

from __future__ import annotations

import doctest
import importlib
import pkgutil
import re
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

import rigfeed
from rigfeed.hooks import Hooks

ROOT = Path(__file__).parents[2]
PACKAGES = ("rigfeed", "rigfeed_cables", "rigfeed_fuses", "rigfeed_batteries", "rigfeed_antennas")
HEAVY = {"tkinter", "flask", "openpyxl", "matplotlib", "scipy", "tomlkit"}


def mapped() -> list[str]:
    return re.findall(r"^\| `([^`]+)` \|", (ROOT / "DEVELOPERS.md").read_text(), re.M)


def test_everything_on_the_map_exists():
    assert [path for path in mapped() if not (ROOT / path).exists()] == []


def test_everything_that_exists_is_on_the_map():
    kit = ROOT / "kit" / "rigfeed"
    here = [path for path in kit.iterdir() if path.name not in ("__init__.py", "__pycache__", "py.typed")]
    here += [path for path in (ROOT / "plugins").glob("rigfeed_*") if path.is_dir() and "egg-info" not in path.name]
    names = {f"{path.relative_to(ROOT)}{'/' if path.is_dir() else ''}" for path in here}
    assert names <= set(mapped())


@pytest.mark.parametrize("folder", ["kit", "plugins", "api", "gui", "catalogs", "tests"])
def test_every_top_level_folder_has_a_page(folder):
    assert len((ROOT / folder / "README.md").read_text().split()) > 30


def test_public_names_are_listed():
    public = {n for n, v in vars(rigfeed).items() if not n.startswith("_") and not isinstance(v, ModuleType)}
    assert set(rigfeed.__all__) == public


HOOKS = sorted(name for name in vars(Hooks) if name.startswith("register_"))


@pytest.mark.parametrize("hook", HOOKS)
def test_every_hook_has_its_line_in_the_guide_and_is_used_and_tested(hook):
    assert f"| `{hook}` |" in (ROOT / "plugins" / "README.md").read_text()
    used = [*(ROOT / "plugins").glob("rigfeed_*/__init__.py"), ROOT / "kit" / "rigfeed" / "builtin.py"]
    assert any(f"def {hook}(" in path.read_text() for path in used)
    assert f'"{hook}"' in (ROOT / "tests" / "plugins" / "strangers" / "bad" / "stranger_bad" / "raises.py").read_text()


def test_plugins_import_nothing_of_the_kit_but_its_door():
    wanted = re.compile(r"^\s*(?:from|import) (rigfeed(?:\.\w+)*)\b", re.M)
    for file in (ROOT / "plugins").glob("rigfeed_*/**/*.py"):
        assert set(wanted.findall(file.read_text())) <= {"rigfeed.plugin"}, file


def modules() -> list[str]:
    found = []
    for package in PACKAGES:
        folder = importlib.import_module(package).__path__
        found += [package, *(m.name for m in pkgutil.walk_packages(folder, f"{package}."))]
    return sorted(found)


@pytest.mark.parametrize("name", modules())
def test_docstring_examples(name):
    assert doctest.testmod(importlib.import_module(name)).failed == 0


def loaded_after(code: str) -> set[str]:
    script = f"import sys\n{code}\nprint(*sys.modules, file=sys.stderr)"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    return {name.split(".")[0] for name in done.stderr.split()}


def test_importing_the_kit_loads_no_plugin_and_nothing_heavy():
    loaded = loaded_after("import rigfeed")
    assert not loaded & HEAVY
    assert not loaded & {*PACKAGES[1:], "rigfeed_catalogs"}


def test_a_check_loads_nothing_heavy():
    code = "import rigfeed\nfrom rigfeed import cli\n"
    code += "cli.rigfeed.main(['check', str(rigfeed.example('hazel'))], standalone_mode=False)"
    assert not loaded_after(code) & HEAVY
