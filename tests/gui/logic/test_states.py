"""Which state a drawing shows: what a person wanted, as long as it is there."""

from __future__ import annotations

import pytest

from rigfeed.design.file import parse
from rigfeed_gui.logic.states import StateShown

LISTED = parse("format = 1\n[states.off]\n[states.sending]\n")


@pytest.mark.parametrize(("shown", "states", "then"), [
    (StateShown(), ["off", "sending"], "off"), (StateShown("sending"), ["off", "sending"], "sending"),
    (StateShown("gone", by_hand=True), ["off"], "off"), (StateShown(None, by_hand=True), ["off"], None),
    (StateShown(), [], None), (StateShown("gone", by_hand=True), [], None),
])
def test_a_wish_holds_while_it_can(shown, states, then):
    assert shown.among(states).id == then


def test_a_state_that_went_is_no_wish_for_none():
    """All states went with an edit and came back with the next: there are figures again."""
    without = StateShown("off", by_hand=True).among([])
    assert without.among(["off", "sending"]).id == "off"


@pytest.mark.parametrize(("shown", "then"), [("off", "off"), ("gone", None), (None, None)])
def test_no_drawing_is_asked_for_with_a_state_that_an_edit_took_away(shown, then):
    assert StateShown(shown).surviving(LISTED) == then


def test_states_of_the_practice_are_not_listed_in_the_design():
    assert StateShown("parked").surviving(parse("format = 1\n")) == "parked"
