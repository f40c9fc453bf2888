"""A field of a form: the text in it, what that means, what is wrong with it, and what could be chosen instead."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from marshmallow import Schema

from rigfeed.design.model import Design
from rigfeed.forms import FormField
from rigfeed.parts.shelf import Shelf


@dataclass(frozen=True)
class Typed:
    """What a text means: plain data for an edit (None: the field is empty), or what is wrong and what to do."""

    value: Any = None
    error: str = ""
    remedy: str = ""


@dataclass(frozen=True)
class Choice:
    """One thing to choose: what the field then holds, and what it is, for people."""

    value: str
    words: str


@dataclass(frozen=True)
class Field:
    """A field with what it holds. `text` is empty where nothing is given; `assumed` is what is used instead, to be
    shown in grey, with its authority in `assumed_why`. `pick` tells whether `choices_for` has anything to offer."""

    form: FormField
    schema: Schema
    text: str
    assumed: str = ""
    assumed_why: str = ""
    pick: bool = False

    def typed(self, text: str) -> Typed:
        """What a text in this field means; called at every key, never raises."""
        raise NotImplementedError


def text_of(form: FormField, value: Any) -> str:
    """How a value of plain data stands in its field: a list with commas, a table as ``exhaust = 300 mm``."""
    raise NotImplementedError


def choices_for(field: Field, typed: str, design: Design, shelf: Shelf, most: int = 50) -> Sequence[Choice]:
    """What fits what has been typed so far: words of a choice, parts of the shelf by key and title, things of the
    design by id and title."""
    raise NotImplementedError
