"""Where does the black wire go: every way to return the negative of an equipment, assessed side by side, and the answer
for this vehicle with its reason, the rules that a fitter may hold, and the fact that would turn it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rigfeed.assess import Assessment, assess
from rigfeed.design.model import Design
from rigfeed.frozen import frozen
from rigfeed.installation import PlacedNode
from rigfeed.parts.shelf import Shelf, open_shelf
from rigfeed.practice import Practice
from rigfeed.studies.sections import SECTIONS, poles_of
from rigfeed.trials.return_options import Option, asked, assessed, fed_states, rank
from rigfeed.trials.return_turns import Turn, turns
from rigfeed.trials.return_ways import ReturnWire, Way, return_wires, ways_of
from rigfeed.trials.return_words import FAR_M, School, reason, schools
from rigfeed.view import Tell, silent


@frozen(eq=False)
class ReturnAnswer:
    """The answer for one equipment. The options stand from best to worst."""

    load: PlacedNode
    options: tuple[Option, ...]
    reason: str
    authority: str
    turns: tuple[Turn, ...]
    schools: tuple[School, ...]
    drawn: Way | None

    @property
    def best(self) -> Option:
        """What is advised."""
        return self.options[0]


@frozen(eq=False)
class ReturnTrial:
    """The answers by equipment, and the equipment of which the question cannot be asked, each with the reason."""

    answers: tuple[ReturnAnswer, ...]
    others: tuple[tuple[str, str], ...]


def try_returns(
    design: Design, *, shelf: Shelf | None = None, practice: Practice | str | None = None,
    only: Iterable[str] | None = None, tell: Tell | None = None,
) -> ReturnTrial:
    """Assess every way to return the negative of each equipment.

    Parameters
    ----------
    design : Design
        As read, or edited.
    shelf, practice, tell
        As for `rigfeed.assess`.
    only : iterable of str, optional
        The ids of the equipment to ask for; all by default.

    Raises
    ------
    DesignError, UnknownName, CatalogError, PracticeError, InputErrors
        As `rigfeed.assess` does.
    """
    shelf = shelf or open_shelf()
    return try_returns_of(assess(design, shelf=shelf, practice=practice, only=asked(shelf)), only=only, tell=tell)


def try_returns_of(base: Assessment, *, only: Iterable[str] | None = None, tell: Tell | None = None) -> ReturnTrial:
    """The same of a design that is assessed already; raises as `try_returns` does."""
    tell = tell or silent
    wires = list(return_wires(base.installation, base[SECTIONS]))
    chosen = None if only is None else set(only)
    answers = []
    for number, wire in enumerate(wires):
        if chosen is None or wire.load.id in chosen:
            tell(number / len(wires), f"the return of {wire.load.title}")
            answers.append(_answer(base, wire))
    return ReturnTrial(tuple(answers), tuple(_others(base, {wire.load.id for wire in wires})))


def _others(base: Assessment, asked: set[str]) -> Iterator[tuple[str, str]]:
    sections = base[SECTIONS]
    for node in base.installation.nodes.values():
        for positive, _ in poles_of(node) if node.id not in asked else ():
            pole = sections.other_pole(positive)
            if pole is None:
                yield node.id, "nothing feeds it"
            elif not sections.returns_over_body(pole):
                source = sections.node_at(pole).title
                yield node.id, f"fed over two wires from {source}, and the body is no way back to that"
            else:
                yield node.id, "no wire of yours is its negative, or what feeds it is no battery"


def _answer(base: Assessment, wire: ReturnWire) -> ReturnAnswer:
    design, practice = base.installation.design, base.practice
    far, drawn = practice.threshold(FAR_M), fed_states(base, wire)
    ways = ways_of(design, base.installation, wire, far[0] if far else 1.0)
    options = [assessed(way, wire, base, drawn) for way in ways]
    ranked = tuple(sorted(options, key=lambda option: rank(option, practice)))
    why, authority = reason(ranked[0], design.vehicle, practice)
    return ReturnAnswer(
        wire.load, ranked, why, authority, tuple(turns(ranked, wire, base, drawn)), schools(practice, ranked[0]),
        next((option.way for option in options if option.design == design), None),
    )
