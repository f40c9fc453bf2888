"""Every check speaks where it must and is silent next to it: the cases are data, in the files of each group.

`feeder.toml` and `feeder-survey.toml` are both files of the group feeder. The base of a case is an example, or
``file:yard`` for the design ``yard.toml`` in ``designs``; the parts of the catalogs beside those serve all cases.
"""

from __future__ import annotations

import tomllib
from dataclasses import replace
from pathlib import Path as FilePath

import pytest

import rigfeed
from rigfeed import Add, Path, Remove, Set
from rigfeed.keyed import Keyed
from rigfeed.parts.shelf import Shelf, catalogs_beside
from rigfeed.registry import installed_registry

FOLDER = FilePath(__file__).parent
DESIGNS = FOLDER / "designs"
SHELF = Shelf(installed_registry(), catalogs_beside(DESIGNS / "any.toml"))
CASES = [
    pytest.param(case, id=f"{case['check']}: {case['what']}")
    for file in sorted(FOLDER.glob("*.toml"))
    for case in tomllib.loads(file.read_text())["case"]
]


def changed(case, more=None):
    """The base design after the change, and after `more` of it."""
    edits = [Add(Path.parse(path), value) for path, value in case.get("add", {}).items()]
    edits += [Set(Path.parse(path), value) for path, value in {**case.get("set", {}), **(more or {})}.items()]
    edits += [Remove(Path.parse(path)) for path in case.get("remove", [])]
    name = case["base"].removeprefix("file:")
    file = DESIGNS / f"{name}.toml" if name != case["base"] else rigfeed.example(name)
    return rigfeed.apply(rigfeed.load(file), edits)


def said(design, check):
    """What a check says; one that the practice of the design switches off is switched on for its case."""
    practice = SHELF.registry.practices.get(design.job.practice)
    if practice.severities.get(check) == "off":
        others = {name: severity for name, severity in practice.severities.items() if name != check}
        practice = replace(practice, severities=Keyed(others))
    assessment = rigfeed.assess(design, shelf=SHELF, practice=practice, only=[check])
    return assessment.findings, [item for item in assessment.not_checked if item.check == check]


@pytest.mark.parametrize("case", CASES)
def test_case(case):
    findings, not_checked = said(changed(case), case["check"])
    if expected := case.get("not_checked"):
        assert not findings
        assert any(str(i.subject) == expected["subject"] and expected["says"] in i.why for i in not_checked), (
            not_checked
        )
        return
    expected = case["raises"]
    found = {str(finding.subject): finding for finding in findings}
    assert expected["subject"] in found, (findings, not_checked)
    finding = found[expected["subject"]]
    assert finding.severity == expected["severity"]
    assert expected["says"] in f"{finding.text()} {finding.advice()}"
    neighbour, _ = said(changed(case, case["silent"]), case["check"])
    assert expected["subject"] not in {str(finding.subject) for finding in neighbour}


def test_every_check_has_a_case_in_the_file_of_its_group():
    covered = {
        (case["check"], file.stem.partition("-")[0])
        for file in FOLDER.glob("*.toml")
        for case in tomllib.loads(file.read_text())["case"]
        if "raises" in case
    }
    assert {(check.name, check.group) for check in installed_registry().checks.values()} == covered


@pytest.mark.parametrize("case", CASES)
def test_the_words_of_a_finding_are_whole(case):
    for finding in said(changed(case), case["check"])[0]:
        for system in ("metric", "us"):
            for text in (finding.text(system), finding.advice(system)):
                assert text.endswith(".")
                assert "{" not in text
                assert "None" not in text
        assert finding.authority
