"""What can be measured in a design, and what a form full of texts says of it."""

from __future__ import annotations

import pytest

from rigfeed import assess, example, load
from rigfeed_gui.logic import measuring

LARCH = assess(load(example("larch")), only=())
INSTALLATION = LARCH.installation
FULL = {"node": "start", "idle": "12.62 V", "loaded": "12.49 V", "current": "11.2 A"}


def test_batteries_bolts_and_take_offs_can_be_measured_and_nothing_else():
    found = {choice.value: measuring.sort(INSTALLATION, choice.value) for choice in measuring.things(INSTALLATION)}
    assert found == {"aux": "battery", "box": "take-off", "start": "battery", "stud": "bolt"}
    assert measuring.sort(INSTALLATION, "nobody") is None
    assert {choice.value for choice in measuring.others(INSTALLATION)} == {"aux", "start", "strap"}


def test_a_form_that_is_not_full_says_nothing_and_one_that_cannot_be_says_why():
    assert measuring.answer(LARCH, {**FULL, "loaded": " "}) == measuring.Answer()
    assert "11.6 mohm" in measuring.answer(LARCH, FULL).lines[0][1]
    assert "do not fall" in measuring.answer(LARCH, {**FULL, "loaded": "12.7 V"}).error
    assert "decimal comma" in measuring.answer(LARCH, {**FULL, "loaded": "12,4 V"}).error
    assert "above 0 A" in measuring.answer(LARCH, {**FULL, "current": "0 A"}).error
    impossible = measuring.answer(LARCH, {**FULL, "current": "1 mA"})
    assert ("out of range" in impossible.error, impossible.lines) == (True, ())


@pytest.mark.parametrize(("name", "text", "fine"), [
    ("idle", "12.6 V", True), ("idle", "12.6", False), ("idle", "", False), ("temperature", "", True),
    ("temperature", "15 C", True), ("temperature", "15 V", False), ("current", "11200 mA", True),
])
def test_a_field_says_what_is_wrong_while_it_is_typed(name, text, fine):
    assert (not measuring.typed(name, text).error) == fine
