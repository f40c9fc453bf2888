"""The registry: what plugins declare, in order, and every way in which one plugin can be broken."""

from __future__ import annotations

import sys
import time
from importlib.metadata import EntryPoint

import pytest
from tests.kit.resolve.bench import Bench, bench_registry

from rigfeed import registry as registry_module
from rigfeed.plugin import (
    Check,
    Default,
    Paper,
    PartKind,
    Resource,
    RowSchema,
    Study,
    Table,
    TableSchema,
    Text,
    Threshold,
    hookimpl,
)
from rigfeed.registry import PluginTrouble, make_registry

QUIET = Study("quiet", lambda view: 1)


def check(name: str, **more: object) -> Check:
    return Check(name, "bench", more.pop("severity", "error"), lambda view: (), **more)


def plugin(**declarations: object) -> object:
    """A plugin whose hooks return what is given by the name of the hook without "register_"."""

    def hook(given: object):
        return hookimpl(lambda: given() if callable(given) else given)

    class Made:
        pass

    made = Made()
    for name, given in declarations.items():
        function = hook(given)
        setattr(made, f"register_{name}", function)
    return made


def with_bad(bad: object, **options: object):
    """A registry with one bad plugin between two good ones."""
    plugins = {"a-good": plugin(checks=[check("good.a")]), "bad": bad, "c-good": plugin(checks=[check("good.c")])}
    return make_registry(plugins, installed=False, **options)


def test_declarations_come_sorted_whatever_the_order_of_the_plugin():
    names = ("made.c", "made.a", "made.b")
    made = plugin(
        checks=lambda: (check(name) for name in names),
        catalogs=[Resource("p", "z.csv"), Resource("p", "a.csv")],
        studies=[Study("y", len), Study("x", len)],
    )
    registry = make_registry({"made": made}, installed=False)
    assert [name for name in registry.checks if name in names] == sorted(names)
    assert [catalog.path for catalog in registry.catalogs] == ["a.csv", "z.csv"]
    assert [name for name in registry.studies if name in "xy"] == ["x", "y"]
    assert registry.troubles == []


def test_plugins_are_taken_in_by_name():
    for names in (("a", "b"), ("b", "a")):
        plugins = {name: plugin(catalogs=[Resource("p", f"{name}.csv")]) for name in names}
        assert [c.path for c in make_registry(plugins, installed=False).catalogs] == ["a.csv", "b.csv"]


def raising(error: BaseException):
    def call() -> None:
        raise error

    return call


def half() -> object:
    yield check("bad.first")
    raise RuntimeError("half way")


ITSELF = Study("itself", len)
object.__setattr__(ITSELF, "needs", (Study("between", len, needs=(ITSELF,)),))
KIND = {"title": "x"}

BAD = {
    "hook raises": (plugin(checks=raising(RuntimeError("no luck"))), "register_checks raised RuntimeError: no luck"),
    "hook leaves the program": (plugin(checks=raising(SystemExit(3))), "register_checks raised SystemExit: 3"),
    "hook stops half way": (plugin(checks=half), "register_checks raised RuntimeError: half way"),
    "no list": (plugin(checks=7), "register_checks raised TypeError"),
    "a lone declaration": (plugin(checks=lambda: check("bad.alone")), "register_checks raised TypeError"),
    "wrong type": (plugin(checks=[check("bad.one"), "two"]), "register_checks: 'two' is not a Check"),
    "study for a check": (plugin(checks=[QUIET]), "is not a Check"),
    "no name": (plugin(checks=[check(None)]), "its name is no text"),
    "no severity": (plugin(checks=[check("bad.x", severity="fatal")]), "severity is 'fatal', not one of error"),
    "needs no tuple": (plugin(checks=[check("bad.x", needs=QUIET)]), "needs is no tuple of studies"),
    "needs a name": (plugin(checks=[check("bad.x", needs=("quiet",))]), "it needs 'quiet', which is not a Study"),
    "no unit": (
        plugin(checks=[check("bad.x", thresholds=(Threshold("bad.x", "furlong", ""),))]),
        "has a unit or a key that no practice can hold",
    ),
    "no threshold": (plugin(checks=[check("bad.x", thresholds=("a.b",))]), "'a.b' is not a Threshold"),
    "no fact": (plugin(checks=[check("bad.x", facts=("clean",))]), "one of its facts is not a Fact"),
    "study that needs itself": (plugin(studies=[ITSELF]), "'between', which needs itself"),
    "check on such a study": (plugin(checks=[check("bad.x", needs=(ITSELF,))]), "'itself', which needs itself"),
    "paper on such a study": (plugin(papers=[Paper("bad", "Bad", Table, needs=(ITSELF,))]), "needs itself"),
    "kind in capitals": (plugin(part_kinds=[PartKind("Wire", "x")]), "no key of a part can begin with this name"),
    "row is no schema": (plugin(part_kinds=[PartKind("x", "x", row=dict)]), "not a subclass of RowSchema"),
    "row is an object": (plugin(part_kinds=[PartKind("x", "x", row=RowSchema())]), "not a subclass of RowSchema"),
    "settings are no schema": (plugin(part_kinds=[PartKind("x", "x", settings=dict)]), "subclass of TableSchema"),
    "standard is no part": (plugin(part_kinds=[PartKind("x", "x", standard="part")]), "standard is 'part', not a Part"),
    "default without setting": (
        plugin(part_kinds=[PartKind("x", "x", defaults=(Default("charge", Threshold("a.b", "%", "")),))]),
        "is not a Default for its settings",
    ),
    "resource of nothing": (plugin(catalogs=[Resource("package", None)]), "package and path are texts"),
}


@pytest.mark.parametrize("case", BAD.values(), ids=BAD)
def test_a_broken_plugin_is_named_and_left_out_whole(case):
    bad, says = case
    registry = with_bad(bad)
    assert [trouble.plugin for trouble in registry.troubles] == ["bad"]
    assert says in registry.troubles[0].what
    assert registry.troubles[0].what.startswith("left out: ")
    assert {"good.a", "good.c"} <= set(registry.checks)
    names = (*registry.checks, *registry.studies, *registry.papers)
    assert not [name for name in names if name == "bad" or name.startswith("bad.")]
    assert not {"x", "Wire"} & registry.kinds.keys()


def test_one_bad_hook_takes_the_good_ones_of_its_plugin_with_it():
    bad = plugin(part_kinds=[PartKind("thing", "thing")], checks=raising(RuntimeError("no luck")))
    assert "thing" not in with_bad(bad).kinds


def test_a_misspelt_hook_is_a_fault():
    registry = with_bad(plugin(chekcs=[check("bad.x")]))
    (trouble,) = registry.troubles
    assert trouble.plugin == "bad"
    assert "register_chekcs" in trouble.what
    assert {"good.a", "good.c"} <= set(registry.checks)


def test_a_taken_name_is_refused_and_the_rest_of_the_plugin_stands():
    registry = with_bad(plugin(checks=[check("good.a"), check("bad.own")], part_kinds=[PartKind("joint", "x")]))
    assert sorted(trouble.what for trouble in registry.troubles) == [
        "the Check name 'good.a' is taken", "the PartKind name 'joint' is taken",
    ]
    assert {trouble.plugin for trouble in registry.troubles} == {"bad"}
    assert registry.kinds["joint"].title == "stud, busbar or splice"
    assert "bad.own" in registry.checks


def test_a_name_twice_in_one_plugin_is_taken_too():
    registry = with_bad(plugin(studies=[Study("twin", len), Study("twin", len)]))
    assert registry.troubles == [PluginTrouble("bad", "the Study name 'twin' is taken")]


def test_a_plugin_that_takes_too_long_is_left_out():
    registry = with_bad(plugin(checks=lambda: time.sleep(5)), step_s=0.2)
    assert registry.troubles == [PluginTrouble("bad", "left out: register_checks takes longer than 0.2 s")]
    assert {"good.a", "good.c"} <= set(registry.checks)


@pytest.mark.parametrize(
    ("source", "says"),
    [
        ("raise RuntimeError('no luck')", "its import raised RuntimeError: no luck"),
        ("import no_such_module_anywhere", "its import raised ModuleNotFoundError"),
        ("raise SystemExit(1)", "its import raised SystemExit"),
        ("def", "its import raised SyntaxError"),
    ],
)
def test_a_plugin_that_cannot_be_imported_is_left_out(source, says, tmp_path, monkeypatch):
    (tmp_path / "unlucky_plugin.py").write_text(source)
    monkeypatch.syspath_prepend(tmp_path)
    entry = EntryPoint("unlucky", "unlucky_plugin", registry_module.GROUP)
    monkeypatch.setattr(registry_module, "entry_points", lambda group: [entry])
    registry = make_registry({"bench": Bench()})
    sys.modules.pop("unlucky_plugin", None)
    (trouble,) = registry.troubles
    assert trouble.plugin == "unlucky"
    assert says in trouble.what
    assert {"wire", "joint"} <= registry.kinds.keys()


def test_a_plugin_that_declares_nothing_is_fine():
    assert with_bad(plugin(checks=None)).troubles == []
    assert with_bad(object()).troubles == []


def test_a_study_may_be_needed_on_two_ways():
    top = Study("top", len, needs=(Study("left", len, needs=(QUIET,)), Study("right", len, needs=(QUIET, QUIET))))
    assert with_bad(plugin(studies=[top, QUIET])).troubles == []


def test_a_kind_with_settings_and_defaults_is_sound():
    class Settings(TableSchema):
        charge = Text()

    kind = PartKind("thing", "x", settings=Settings, defaults=(Default("charge", Threshold("a.b", "%", "")),))
    assert with_bad(plugin(part_kinds=[kind])).troubles == []


def test_the_shipped_plugins_make_no_trouble():
    registry = make_registry()
    assert registry.troubles == []
    assert {"cable", "fuse", "battery", "radio", "joint"} <= registry.kinds.keys()
    assert set(bench_registry().kinds) & {"cable", "fuse"} == set()
