"""Which state the figures in a drawing are of: one that a person chose, or none, or the first there is."""

from __future__ import annotations

from collections.abc import Collection

from rigfeed.design.model import Design
from rigfeed.frozen import frozen


@frozen
class StateShown:
    """The id of a state, None for no figures; `by_hand` where a person wanted it so."""

    id: str | None = None
    by_hand: bool = False

    def among(self, states: Collection[str]) -> StateShown:
        """The same where it is there or none is wanted, else the first, so that a drawing has figures from the start.

        >>> StateShown().among(["off", "sending"]).id, StateShown("sending").among(["off", "sending"]).id
        ('off', 'sending')
        >>> StateShown(None, by_hand=True).among(["off"]).id
        """
        if self.id in states or (self.id is None and self.by_hand):
            return self
        return StateShown(next(iter(states), None))

    def surviving(self, design: Design) -> str | None:
        """Its id, unless the design lists states and it is not among them: no drawing must fail for that."""
        return self.id if not design.states or self.id in design.states else None
