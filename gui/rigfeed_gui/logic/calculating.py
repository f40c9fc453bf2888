"""Calculators as forms: what to fill in, what came out, and on what it rests."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rigfeed.forms import FormField
from rigfeed.quantity import System
from rigfeed_gui.logic.fields import Typed


@dataclass(frozen=True)
class Entry:
    """A calculator in the list."""

    name: str
    group: str
    title: str


@dataclass(frozen=True)
class Sheet:
    """A calculator to fill in: inputs with an example of each, and what it rests on."""

    name: str
    title: str
    text: str
    formula: str
    validity: str
    source: str
    inputs: tuple[FormField, ...]
    usual: Mapping[str, str]


@dataclass(frozen=True)
class Answer:
    """What came out: (what, value) for each output; or what is missing or wrong, and with which input."""

    lines: tuple[tuple[str, str], ...] = ()
    error: str = ""
    remedy: str = ""
    input: str = ""


def entries(word: str = "") -> tuple[Entry, ...]:
    """All calculators with a word in name, group or title, by group and title."""
    raise NotImplementedError


def sheet(name: str) -> Sheet:
    """A calculator; raises UnknownName where there is none of that name."""
    raise NotImplementedError


def typed(field: FormField, text: str) -> Typed:
    """What a text in an input means, while it is typed."""
    raise NotImplementedError


def answer(name: str, texts: Mapping[str, str], system: System) -> Answer:
    """Compute with what is filled in; an empty text is not given. Never raises for what a person typed."""
    raise NotImplementedError
