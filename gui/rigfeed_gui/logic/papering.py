"""Papers to choose, to look at before they are written, and to write."""

from __future__ import annotations

from collections.abc import Collection
from functools import partial
from pathlib import Path as FilePath
from typing import Literal

from rigfeed.assess import Assessment
from rigfeed.frozen import frozen
from rigfeed.papers.spared import spared
from rigfeed.papers.table import Cell, Column, Table, cell, headings
from rigfeed.quantity import System, three_digits
from rigfeed.registry import installed_registry
from rigfeed.view import Tell
from rigfeed_gui.logic.words import say


@frozen
class PaperRow:
    """A paper in the list; `drawing` tells pictures from tables, and `words` say where a picture is to be seen."""

    name: str
    title: str
    drawing: bool
    words: str = ""


@frozen
class Preview:
    """A table as texts: headings, rows, which columns stand to the right, their widths in characters, notes."""

    title: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    right: tuple[bool, ...]
    widths: tuple[int, ...]
    notes: tuple[str, ...]


@frozen
class Written:
    """The files that are there now, and what failed and was left out, a line each."""

    files: tuple[FilePath, ...]
    left_out: tuple[str, ...] = ()


def papers(assessment: Assessment) -> tuple[PaperRow, ...]:
    """All papers in the order of the workbook, then the drawings and the figures."""
    from rigfeed.figures.write import can_draw
    from rigfeed.papers.write import ORDER

    registry = installed_registry()
    names = sorted(assessment.papers, key=lambda name: (ORDER.index(name) if name in ORDER else len(ORDER), name))
    tables = [PaperRow(name, registry.papers[name].title, drawing=False) for name in names]
    seen = say("papers.drawing")
    drawings = [PaperRow(name, registry.drawings[name].title, True, seen) for name in assessment.drawings]
    seen = say("papers.figure" if can_draw() else "papers.no-figure")
    figures = [PaperRow(name, registry.figures[name].title, True, seen) for name in assessment.figures]
    return (*tables, *drawings, *figures)


def preview(assessment: Assessment, name: str, system: System) -> Preview | str:
    """A table as it will stand on paper; where it cannot be made, why: it will be left out."""
    failed: list[str] = []
    found = spared(f"paper {name!r}", partial(assessment.paper, name, system), failed)
    return preview_of(found, system) if found is not None else say("papers.failed", why=failed[0])


def preview_of(table: Table, system: System) -> Preview:
    """A table as texts."""
    rows = tuple(
        tuple(_text(value, column, system) for value, column in zip(row, table.columns, strict=True))
        for row in table.rows
    )
    heads = tuple(headings(table, system))
    numeric = tuple(_is_numeric(index, table.rows) for index in range(len(table.columns)))
    right = tuple(column.align == "right" or numbers for column, numbers in zip(table.columns, numeric, strict=True))
    widths = tuple(max(column.width, len(head)) for column, head in zip(table.columns, heads, strict=True))
    return Preview(table.title, heads, rows, right, widths, table.notes)


def _text(value: Cell, column: Column, system: System) -> str:
    shown = cell(value, column, system)
    if shown is None:
        return ""
    if isinstance(shown, float):
        return three_digits(shown) if column.decimals is None else f"{shown:.{column.decimals}f}"
    return str(shown)


def _is_numeric(index: int, rows: tuple[tuple[Cell, ...], ...]) -> bool:
    values = [row[index] for row in rows if row[index] is not None]
    return bool(values) and all(isinstance(value, int | float) and not isinstance(value, bool) for value in values)


def formats() -> tuple[tuple[str, str, bool], ...]:
    """The formats to choose from: name, what it is, whether it is a usual one."""
    from rigfeed.papers.write import FORMATS, USUAL

    return tuple((name, say(f"paper.{name}"), name in USUAL) for name in FORMATS)


def writing(
    assessment: Assessment, folder: FilePath, name: str, *, system: System, paper: Literal["A4", "Letter"],
    chosen: Collection[str], file: str, tell: Tell, only: Collection[str] | None = None,
) -> Written:
    """Write papers in the chosen formats, one after the other, all or `only` some.

    A paper that fails is left out: all others are written. To be run as a `Job`.

    Raises
    ------
    FileProblem
        If the folder cannot be made or a file not written.
    Cancelled
        If whoever watches said stop; what is written by then stays.
    """
    from rigfeed.papers.write import write_papers

    written: list[FilePath] = []
    left_out: dict[str, None] = {}  # what fails, fails in every format, and is told once
    for number, format_ in enumerate(sorted(chosen, key=[known for known, _, _ in formats()].index)):
        tell(number / max(len(chosen), 1), say("writing.format", format=say(f"paper.{format_}")))
        failed: list[str] = []
        written += write_papers(
            assessment, folder, name, system=system, paper=paper, formats=(format_,), file=file, only=only,
            left_out=failed,
        )
        left_out |= dict.fromkeys(failed)
    tell(1.0, say("writing.done", count=len(written)))
    return Written(tuple(written), tuple(left_out))
