"""Practices: what extends what, who wins, and how a fault in one is told."""

from __future__ import annotations

import importlib
import pkgutil
import re

import pytest
from tests.kit.resolve.bench import TextFile, bench_registry

from rigfeed.errors import FileProblem, PracticeError, UnknownName
from rigfeed.parts.catalog import Resource
from rigfeed.practice import Practice, Practices, Threshold
from rigfeed.registry import installed_registry

SHARE = Threshold("drop.share", "%", "share of something")
LENGTH = Threshold("slack.end", "m", "spare at an end")


def practices(**texts: str) -> Practices:
    return Practices([TextFile(name, text) for name, text in texts.items()])


def practice(name: str, extends: str = "", body: str = "") -> str:
    extending = f'extends = "{extends}"\n' if extends else ""
    return f'practice = "{name}"\ntitle = "Title of {name}"\n{extending}{body}'


def threshold(value: str, key: str = "drop.share", authority: str = "a book") -> str:
    return f'[thresholds]\n"{key}" = {{ value = "{value}", authority = "{authority}" }}\n'


def test_a_chain_is_merged_and_the_child_wins():
    found = practices(
        a=practice("root", body=threshold("1 %") + '[severities]\n"one" = "off"\n"two" = "error"\n'),
        b=practice("middle", "root", threshold("100 mm", "slack.end")),
        c=practice("leaf", "middle", threshold("3 %") + '[severities]\n"one" = "advice"\n'),
    ).get("leaf")
    assert found.lineage == ("leaf", "middle", "root")
    assert found.threshold(SHARE)[0] == 3.0
    assert found.threshold(SHARE)[1].where == "c.csv"
    assert found.threshold(LENGTH)[0] == pytest.approx(0.1)
    assert dict(found.severities) == {"one": "advice", "two": "error"}
    assert found.title == "Title of leaf"


def test_a_practice_without_a_title_has_that_of_its_parent():
    assert practices(a=practice("root"), b='practice = "leaf"\nextends = "root"').get("leaf").title == "Title of root"


def test_the_parent_is_not_changed_by_the_child():
    both = practices(a=practice("root", body=threshold("1 %")), b=practice("leaf", "root", threshold("3 %")))
    assert (both.get("leaf").threshold(SHARE)[0], both.get("root").threshold(SHARE)[0]) == (3.0, 1.0)


def test_several_files_add_to_one_practice():
    found = practices(
        a=practice("root", body=threshold("1 %")),
        b='practice = "root"\n' + threshold("0.1 m", "slack.end"),
        c='practice = "root"\n[states.drive]\ntitle = "driving"\nengine = "on"\n',
    ).get("root")
    assert found.threshold(SHARE)[0] == 1.0
    assert found.threshold(LENGTH)[0] == pytest.approx(0.1)
    assert found.states["drive"].engine == "on"


@pytest.mark.parametrize("order", [1, -1])
def test_a_key_twice_in_one_practice_is_refused_with_both_files(order):
    files = [TextFile(name, practice("root", body=threshold(f"{number} %"))) for number, name in enumerate("ab")]
    with pytest.raises(PracticeError, match=r"has 'drop\.share' already") as caught:
        Practices(files[::order]).get("root")
    assert {"a.csv", "b.csv"} == {caught.value.place.file, caught.value.what.rsplit(" ", 1)[1]}
    assert caught.value.place.path == ("thresholds", "drop.share")


def test_a_cycle_is_refused_where_it_closes():
    with pytest.raises(PracticeError, match=r"'b' extends 'a', which extends it in turn") as caught:
        practices(x=practice("a", "b"), y=practice("b", "a")).get("a")
    assert (caught.value.place.file, str(caught.value.place.path)) == ("y.csv", "extends")


def test_a_practice_that_extends_itself_is_refused():
    with pytest.raises(PracticeError, match="extends 'a'"):
        practices(x=practice("a", "a")).get("a")


def test_two_files_cannot_make_a_practice_extend_two_others():
    found = practices(x=practice("a"), y=practice("b"), v=practice("c", "a"), w=practice("c", "b"))
    with pytest.raises(PracticeError, match=r"extends 'b' here and 'a' in v\.csv"):
        found.get("c")


def test_an_unknown_practice_names_the_nearest():
    with pytest.raises(UnknownName, match="did you mean 'road'"):
        practices(x=practice("road")).get("raod")


def test_an_unknown_parent_is_blamed_on_the_file_that_names_it():
    with pytest.raises(PracticeError, match=r"no practice 'comon' to extend.*did you mean 'common'") as caught:
        practices(x=practice("common"), y=practice("road", "comon")).get("road")
    assert caught.value.place.file == "y.csv"


BROKEN = {
    "no TOML": ("practice = ", "is not valid TOML"),
    "no name": ('title = "x"', "is missing"),
    "unknown key": (practice("bad", body="[treshold]\n"), "did you mean 'thresholds'"),
    "no authority": (practice("bad", body='[thresholds]\n"a.b" = { value = "1 %" }'), r"authority: is missing"),
    "blank authority": (practice("bad", body=threshold("1 %", authority="  ")), r"authority: is empty"),
    "number without unit": (practice("bad", body='[thresholds]\n"a.b" = { value = 1, authority = "x" }'), "a number w"),
    "key of one word": (practice("bad", body=threshold("1 %", "share")), "cannot be a name here"),
    "no such severity": (practice("bad", body='[severities]\n"one" = "fatal"'), 'use one of: "error"'),
    "no such engine": (practice("bad", body='[states.x]\ntitle = "x"\nengine = "idle"'), 'use one of: "on"'),
}


@pytest.mark.parametrize("text", BROKEN.values(), ids=BROKEN)
def test_a_broken_file_is_left_out_and_named_and_the_others_stand(text):
    content, says = text
    found = practices(good=practice("good", body=threshold("1 %")), bad=content)
    assert found.names() == ("good",)
    assert found.get("good").threshold(SHARE)[0] == 1.0
    (trouble,) = found.troubles
    assert isinstance(trouble, PracticeError)
    assert trouble.place.file == "bad.csv"
    assert re.search(says, str(trouble)), trouble
    with pytest.raises(UnknownName, match=r"left out as broken: bad\.csv"):
        found.get("bad")


def test_a_file_that_is_not_there_is_left_out():
    found = Practices([Resource("rigfeed_catalogs", "practices/none.toml"), TextFile("good", practice("good"))])
    assert found.names() == ("good",)
    assert isinstance(found.troubles[0], FileProblem)


def test_what_no_practice_gives_is_none_and_never_a_number():
    found = practices(x=practice("a")).get("a")
    assert found.threshold(SHARE) is None
    assert found.default(SHARE) is None


def test_a_number_is_read_once():
    found = practices(x=practice("a", body=threshold("4 %"))).get("a")
    assert found.threshold(SHARE) == (4.0, found.thresholds["drop.share"])
    assert found.threshold(SHARE) is found.threshold(SHARE)


def test_two_threads_that_each_made_a_memory_for_a_practice_both_get_the_number(monkeypatch):
    """From Python 3.12 on nothing keeps two threads from making it at once: the one does not stay what it was."""
    found = practices(x=practice("a", body=threshold("4 %"))).get("a")
    monkeypatch.setattr(Practice, "_numbers", property(lambda self: {}))
    assert found.threshold(SHARE) == (4.0, found.thresholds["drop.share"])


def test_thresholds_and_defaults_are_two_tables():
    found = practices(x=practice("a", body=threshold("1 %"))).get("a")
    assert found.default(SHARE) is None


@pytest.mark.parametrize(("value", "says"), [("4 V", "is a voltage"), ("4", "has no unit"), ("four %", "not a number")])
def test_a_value_of_another_unit_is_refused_where_it_stands(value, says):
    found = practices(x=practice("a", body=threshold(value, "slack.end"))).get("a")
    with pytest.raises(PracticeError, match=says) as caught:
        found.threshold(LENGTH)
    assert caught.value.place.file == "x.csv"
    assert caught.value.place.path == ("thresholds", "slack.end", "value")
    assert "spare at an end" in caught.value.what


def test_a_value_is_given_in_the_unit_that_the_code_declares():
    found = practices(x=practice("a", body=threshold("6 in", "slack.end"))).get("a")
    assert found.threshold(Threshold("slack.end", "mm", ""))[0] == pytest.approx(152.4)


# what is shipped


def declared() -> dict[str, Threshold]:
    """Every threshold that is declared in a module of the kit or of a first-party plugin, by key."""
    found: dict[str, Threshold] = {}
    for package in ("rigfeed", "rigfeed_cables", "rigfeed_fuses", "rigfeed_batteries", "rigfeed_antennas"):
        folder = importlib.import_module(package).__path__
        for name in (package, *(module.name for module in pkgutil.walk_packages(folder, f"{package}."))):
            values = vars(importlib.import_module(name)).values()
            found |= {value.key: value for value in values if isinstance(value, Threshold)}
    return found


@pytest.mark.parametrize("name", installed_registry().practices.names())
def test_every_shipped_key_has_value_meaning_and_authority_and_the_unit_that_code_declares(name):
    found, known = installed_registry().practices.get(name), declared()
    assert found.lineage[-1] == "common"
    for setting in (*found.thresholds.values(), *found.defaults.values()):
        assert all(text.strip() and "\n" not in text for text in (setting.value, setting.meaning, setting.authority))
    for key in known:
        given = found.threshold(known[key]), found.default(known[key])  # each raises where the unit is of another kind
        assert None in given, f"{key} is a threshold and a default"


def test_every_key_that_code_declares_is_shipped():
    practices = [installed_registry().practices.get(name) for name in installed_registry().practices.names()]
    shipped = {key for found in practices for key in (*found.thresholds, *found.defaults)}
    assert declared().keys() - shipped == set()


def test_the_common_root_gives_what_checks_and_kinds_ask_for():
    registry = installed_registry()
    common = registry.practices.get("common")
    asked = {threshold.key for check in registry.checks.values() for threshold in check.thresholds}
    assert asked <= set(common.thresholds)
    filled = {default.threshold.key for kind in registry.kinds.values() for default in kind.defaults}
    assert filled <= set(common.defaults)


def test_every_shipped_practice_is_read():
    practices = installed_registry().practices
    assert {"amateur", "common", "road"} <= set(practices.names())
    assert practices.troubles == []
    assert bench_registry().practices.names() == practices.names()
    for name in practices.names():
        states = practices.get(name).states
        assert {state.engine for state in states.values()} == {"on", "off"}
