"""Two voltages and a current: what can be measured in the design in hand, and what a reading says."""

from __future__ import annotations

from collections.abc import Mapping

from rigfeed.assess import Assessment
from rigfeed.checks.returns import strap_points
from rigfeed.errors import InputError
from rigfeed.installation import Installation
from rigfeed.quantity import Quantity
from rigfeed.trials.measured import Measured, Sort, entered, measured_text, reading_of, sort_of
from rigfeed_gui.logic.calculating import Answer
from rigfeed_gui.logic.fields import Choice, Typed
from rigfeed_gui.logic.words import say

UNITS = {"idle": "V", "loaded": "V", "current": "A", "temperature": "degC"}


def things(installation: Installation) -> tuple[Choice, ...]:
    """What a reading can be entered for, by id."""
    found = [node for node in installation.nodes.values() if sort_of(installation, node.id) is not None]
    return tuple(Choice(node.id, node.title) for node in found)


def others(installation: Installation) -> tuple[Choice, ...]:
    """Where the other probe may have been when a bolt was measured: bolts of straps, and batteries."""
    straps = strap_points(installation)
    nodes = installation.nodes.values()
    near = [node for node in nodes if node.id in straps or sort_of(installation, node.id) == "battery"]
    return tuple(Choice(node.id, node.title) for node in near)


def sort(installation: Installation, node: str) -> Sort | None:
    """What sort of thing an id is, for the question which fields it takes; None where nothing can be entered."""
    return sort_of(installation, node) if node in installation.nodes else None


def typed(name: str, text: str) -> Typed:
    """What a text in a field means, while it is typed; the temperature may be left out."""
    bare = text.strip()
    if not bare:
        return Typed() if name == "temperature" else Typed(error=say("field.missing"))
    try:
        Quantity.parse(bare, UNITS[name])
    except InputError as error:
        return Typed(error=error.what, remedy=error.remedy)
    return Typed(bare)


def reading(assessment: Assessment, texts: Mapping[str, str]) -> Measured:
    """What the filled-in form says; raises InputError where it is not complete or cannot be."""
    idle, loaded, current = (texts.get(name, "") for name in ("idle", "loaded", "current"))
    asked = reading_of(texts.get("node", ""), idle, loaded, current, texts.get("temperature"), texts.get("to"))
    return entered(assessment, asked)


def answer(assessment: Assessment, texts: Mapping[str, str]) -> Answer:
    """The same in sentences; empty while something is missing, and what is wrong where it cannot be."""
    if not all(texts.get(name, "").strip() for name in ("node", "idle", "loaded", "current")):
        return Answer()
    try:
        return Answer(tuple(("", line) for line in measured_text(reading(assessment, texts))))
    except InputError as error:
        return Answer(error=error.what, remedy=error.remedy)
