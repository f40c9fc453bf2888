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
from rigfeed import plugin
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


def test_frozen_dataclasses_are_made_by_the_quick_decorator():
    slow = re.compile(r"^ *@dataclass\((?=.*frozen=True)(?!.*slots=True)", re.M)
    ours = [file for folder in ("kit", "plugins", "api", "gui") for file in (ROOT / folder).rglob("*.py")]
    assert [str(file) for file in ours if slow.search(file.read_text())] == []


def modules() -> list[str]:
    found = []
    for package in PACKAGES:
        folder = importlib.import_module(package).__path__
        found += [package, *(m.name for m in pkgutil.walk_packages(folder, f"{package}."))]
    return sorted(found)


@pytest.mark.parametrize("name", modules())
def test_docstring_examples(name):
    assert doctest.testmod(importlib.import_module(name)).failed == 0


def modules_after(code: str) -> set[str]:
    script = f"import sys\n{code}\nprint(*sys.modules, file=sys.stderr)"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    return set(done.stderr.split())


def packages(modules: set[str]) -> set[str]:
    return {name.split(".")[0] for name in modules}


def test_importing_the_kit_loads_no_plugin_and_nothing_heavy():
    loaded = packages(modules_after("import rigfeed"))
    assert not loaded & HEAVY
    assert not loaded & {*PACKAGES[1:], "rigfeed_catalogs"}


CHECK = "import rigfeed\nfrom rigfeed import cli\n"
CHECK += "cli.rigfeed.main(['check', str(rigfeed.example('hazel'))], standalone_mode=False)"


def test_a_check_loads_nothing_heavy():
    assert not packages(modules_after(CHECK)) & HEAVY


def test_a_check_loads_nothing_that_only_another_command_needs():
    others = "calculators|drawing|figures|forms|intake|json_report|plugin_check|scaffold|stock|trials"
    loaded = modules_after(CHECK)
    assert sorted(name for name in loaded if re.match(rf"rigfeed\.({others})\b", name)) == []
    assert sorted(name for name in loaded if name.startswith("rigfeed.papers.")) == [
        "rigfeed.papers.declared", "rigfeed.papers.paper",
    ]


def test_a_check_of_a_sound_design_loads_nothing_that_only_mistakes_need():
    assert not modules_after(CHECK) & {"difflib", "rigfeed.design.places", "rigfeed.design.syntax"}


def test_what_plugins_get_late_is_on_the_list_and_there():
    for module, names in plugin.LATE.items():
        for name in names:
            assert getattr(plugin, name) is getattr(importlib.import_module(module), name)
    late = {name for names in plugin.LATE.values() for name in names}
    assert late <= set(plugin.__all__)
    assert set(plugin.__all__) - late <= set(vars(plugin))
    with pytest.raises(AttributeError, match="nothing_of_ours"):
        _ = plugin.nothing_of_ours
