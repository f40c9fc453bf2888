"""The start page: seven questions for a first design, files worked on lately, and the demonstration designs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path as FilePath

from rigfeed.beginning import LENGTHS, Answers, first_design
from rigfeed.errors import BadQuantity, InputError
from rigfeed.examples import example, examples
from rigfeed.frozen import frozen
from rigfeed.parts.interfaces import LoadDevice, SourceDevice
from rigfeed.parts.shelf import Shelf
from rigfeed.quantity import Quantity
from rigfeed_gui.logic.fields import Choice, Typed, builds, parts
from rigfeed_gui.logic.settings import Settings
from rigfeed_gui.logic.words import say

MOST_M = 100.0  # a longer lead is a slip of the pen
SORTS: Mapping[str, type[LoadDevice] | type[SourceDevice]] = {"load": LoadDevice, "battery": SourceDevice}
EXAMPLES = {"title": "", "to_fuse": "0.15 m", "bay": "1.2 m", "cabin": "3 m", "back": "0.5 m"}


@frozen
class Question:
    """One question: the name of its answer, what is asked, an example in grey, and what sort of part is chosen (empty:
    none)."""

    name: str
    words: str
    example: str
    kind: str = ""


@frozen
class Shortcut:
    """A file to open: its title and where it is."""

    title: str
    path: FilePath


def questions() -> tuple[Question, ...]:
    """The seven questions, in their order."""
    names = ("title", "load", "battery", *LENGTHS)
    return tuple(
        Question(
            name, say(f"question.{name}"), EXAMPLES.get(name) or say(f"question.{name}.like"),
            kind=name if name in SORTS else "",
        )
        for name in names
    )


def typed(question: Question, text: str, shelf: Shelf) -> Typed:
    """What an answer means, while it is typed."""
    bare = text.strip()
    if not bare:
        return Typed(error=say("field.missing"), remedy=question.example)
    try:
        if question.name in LENGTHS:
            if not 0 < Quantity.parse(bare, "m").si <= MOST_M:
                return Typed(error=say("start.no-length"), remedy=question.example)
        elif question.kind and not isinstance(shelf.part(bare), SORTS[question.kind]):
            return Typed(error=say("start.not-that", key=bare), remedy=say("field.no-part.do"))
    except BadQuantity as error:
        return Typed(error=error.what, remedy=error.remedy)
    except InputError:
        return Typed(error=say("field.no-part", key=bare), remedy=say("field.no-part.do"))
    return Typed(bare)


def choices(question: Question, text: str, shelf: Shelf, most: int = 50) -> Sequence[Choice]:
    """Sets or batteries on the shelf that fit what is typed; converters and alternators are no batteries."""
    if not question.kind:
        return ()
    kinds = [name for name, kind in shelf.kinds.items() if _is_wanted(builds(kind), question.name)]
    # a radio set is what most come for
    kinds.sort(key=lambda name: (name != "radio", name))
    found = [choice for kind in kinds for choice in parts(shelf, kind, text.strip(), most)]
    return tuple(found[:most])


def _is_wanted(made: type, name: str) -> bool:
    stores = getattr(made, "stores", False)
    return issubclass(made, SORTS[name]) and (name != "battery" or bool(stores))


def begun(answers: Mapping[str, str], practice: str, shelf: Shelf) -> str:
    """The text of the first design, for `Work.fresh`; raises what `rigfeed.beginning.first_design` raises.

    It assesses the design with one cable after the other: to be run as a `Job` where that could be noticed.
    """
    given = {question.name: answers.get(question.name, "").strip() for question in questions()}
    return first_design(Answers(**given, practice=practice), shelf)


def recent(settings: Settings) -> tuple[Shortcut, ...]:
    """Files worked on lately that are still there."""
    paths = [FilePath(name) for name in settings.recent]
    return tuple(Shortcut(path.stem, path) for path in paths if path.is_file())


def demonstrations() -> tuple[Shortcut, ...]:
    """The demonstration designs; they are opened as designs without a file, so that nobody saves over them."""
    return tuple(Shortcut(_title(example(name), name), example(name)) for name in examples())


def _title(path: FilePath, name: str) -> str:
    """The title of a design, without reading it as one: the start page must not wait for that."""
    for line in path.read_text(encoding="utf-8").splitlines():
        key, _, value = line.partition("=")
        if key.strip() == "title":
            return value.strip().strip('"')
    return name
