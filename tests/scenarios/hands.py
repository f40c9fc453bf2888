"""What the tests of the scenarios do by hand: change a design, read what is found, run one formula."""

from __future__ import annotations

import rigfeed
from rigfeed import Path, Set
from rigfeed.registry import installed_registry


def changed(name: str, *edits: object, **values: object):
    """A demonstration design with edits, and with values at places: `nodes__F1__part`."""
    sets = [Set(Path.parse(path.replace("__", ".")), value) for path, value in values.items()]
    return rigfeed.apply(rigfeed.load(rigfeed.example(name)), [*edits, *sets])


def cabled(cable: str, *conductors: str) -> dict[str, object]:
    """The values that give conductors another cable."""
    return {f"conductors__{name}__cable": cable for name in conductors}


def names(assessment) -> set[tuple[str, str]]:
    """What is found, and at what."""
    return {(finding.check, str(finding.subject)) for finding in assessment.findings}


def checks(assessment) -> set[str]:
    """What is found, anywhere."""
    return {finding.check for finding in assessment.findings}


def found(assessment, check: str, subject: str):
    """The one finding of a check at a subject."""
    (one,) = [f for f in assessment.findings if (f.check, str(f.subject)) == (check, subject)]
    return one


def calc(name: str, **inputs: object):
    """What a calculator answers."""
    return installed_registry().calculators[name].run(inputs)
