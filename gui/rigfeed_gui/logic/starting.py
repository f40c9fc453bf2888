"""The start page: seven questions for a first design, files worked on lately, and the demonstration designs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path as FilePath

from rigfeed.parts.shelf import Shelf
from rigfeed_gui.logic.fields import Choice, Typed
from rigfeed_gui.logic.settings import Settings


@dataclass(frozen=True)
class Question:
    """One question: the name of its answer, what is asked, an example in grey, and whether parts can be chosen."""

    name: str
    words: str
    example: str
    kind: str = ""


@dataclass(frozen=True)
class Shortcut:
    """A file to open: its title and where it is."""

    title: str
    path: FilePath


def questions() -> tuple[Question, ...]:
    """The seven questions, in their order."""
    raise NotImplementedError


def typed(question: Question, text: str, shelf: Shelf) -> Typed:
    """What an answer means, while it is typed."""
    raise NotImplementedError


def choices(question: Question, text: str, shelf: Shelf) -> Sequence[Choice]:
    """Sets or batteries on the shelf that fit what is typed."""
    raise NotImplementedError


def begun(answers: Mapping[str, str], practice: str, shelf: Shelf) -> str:
    """The text of the first design, for `Work.fresh`; raises what `rigfeed.beginning.first_design` raises."""
    raise NotImplementedError


def recent(settings: Settings) -> tuple[Shortcut, ...]:
    """Files worked on lately that are still there."""
    raise NotImplementedError


def demonstrations() -> tuple[Shortcut, ...]:
    """The demonstration designs; they are opened as designs without a file, so that nobody saves over them."""
    raise NotImplementedError
