"""What can be selected: the things of a design, each with its fields, its facts and its title."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rigfeed.assess import Assessment
from rigfeed.design.edit import Edit
from rigfeed.design.model import Design
from rigfeed.parts.shelf import Shelf
from rigfeed.path import Path
from rigfeed.quantity import System
from rigfeed_gui.logic.fields import Field, Typed


@dataclass(frozen=True)
class Listed:
    """A thing in the list of all things: its path, its id and title, and how many findings it has."""

    path: Path
    words: str
    findings: int = 0


@dataclass(frozen=True)
class Section:
    """The things of one collection, under its heading."""

    collection: str
    heading: str
    things: tuple[Listed, ...]


@dataclass(frozen=True)
class FactRow:
    """A question that only an eye can answer on a thing; None is unknown."""

    path: Path
    question: str
    answer: bool | None


@dataclass(frozen=True)
class Line:
    """Something computed, to be read only: what it is, and its value in words."""

    what: str
    value: str


@dataclass(frozen=True)
class Thing:
    """The thing in hand."""

    path: Path
    heading: str
    fields: tuple[Field, ...]
    facts: tuple[FactRow, ...]
    computed: tuple[Line, ...]

    def field(self, path: Path) -> Field:
        """The field of a path; KeyError where there is none."""
        raise NotImplementedError


def sections(design: Design, assessment: Assessment | None) -> tuple[Section, ...]:
    """Everything that can be selected, by collection; the vehicle and the job first."""
    raise NotImplementedError


def selectable(design: Design, path: Path) -> Path | None:
    """The thing that a path of a finding points into; None where the design has it no more."""
    raise NotImplementedError


def thing(
    design: Design, path: Path, shelf: Shelf, assessment: Assessment | None, state: str | None, system: System
) -> Thing:
    """The thing at a path of `sections`; `computed` shows the chosen state.

    Raises
    ------
    KeyError
        If the design has none there.
    """
    raise NotImplementedError


def filling(field: Field, typed: Typed) -> tuple[Edit, ...]:
    """The edits that put what was typed into a field; none where nothing changes or it has an error."""
    raise NotImplementedError


def answering(design: Design, row: FactRow, answer: bool | None) -> tuple[Edit, ...]:
    """The edits that answer a question, or make it unknown again."""
    raise NotImplementedError


def fresh_id(design: Design, collection: str, like: str = "") -> str:
    """A free id as people would number it: ``W17`` after ``W16``, ``F3`` for a fuse."""
    raise NotImplementedError


@dataclass(frozen=True)
class Addition:
    """A new thing: the edits that make it and the path to select after them."""

    edits: tuple[Edit, ...]
    path: Path


def adding(design: Design, collection: str, part: str = "", at: str = "") -> Addition:
    """A new thing of a collection with the least that is valid; for a node its part and its point may be given.

    Raises
    ------
    DesignError
        If it cannot stand yet: a run needs two points, a passage a run. The remedy says so.
    """
    raise NotImplementedError


def removing(design: Design, path: Path) -> tuple[tuple[Edit, ...], Sequence[Path]]:
    """The edit that takes a thing away, and everything that goes with it, to be shown before it is done."""
    raise NotImplementedError
