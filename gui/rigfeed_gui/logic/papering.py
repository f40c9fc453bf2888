"""Papers to choose, to look at before they are written, and to write."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import Literal

from rigfeed.assess import Assessment
from rigfeed.quantity import System
from rigfeed.view import Tell


@dataclass(frozen=True)
class PaperRow:
    """A paper in the list; `drawing` tells pictures from tables."""

    name: str
    title: str
    drawing: bool


@dataclass(frozen=True)
class Preview:
    """A table as texts: headings, rows, which columns stand to the right, notes."""

    title: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    right: tuple[bool, ...]
    widths: tuple[int, ...]
    notes: tuple[str, ...]


def papers(assessment: Assessment) -> tuple[PaperRow, ...]:
    """All papers in the order of the workbook, then the drawings."""
    raise NotImplementedError


def preview(assessment: Assessment, name: str, system: System) -> Preview:
    """A table as it will stand on paper."""
    raise NotImplementedError


def formats() -> tuple[tuple[str, str, bool], ...]:
    """The formats to choose from: name, what it is, whether it is a usual one."""
    raise NotImplementedError


def writing(
    assessment: Assessment, folder: FilePath, name: str, *, system: System, paper: Literal["A4", "Letter"],
    chosen: Collection[str], file: str, tell: Tell,
) -> tuple[FilePath, ...]:
    """Write the papers; the files that are there then. To be run as a `Job`. Raises FileProblem, Cancelled."""
    raise NotImplementedError
