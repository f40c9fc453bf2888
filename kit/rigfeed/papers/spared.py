"""A paper, drawing or figure that fails is named and left out; all others are made.

What fails is as a rule a stranger's, and a cut list must not be missing because some other paper has a fault. Each
function adds what it leaves out to `left_out`; where that is None, the error is raised as it came.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from rigfeed.errors import Cancelled, NothingToShow
from rigfeed.papers.csv import csv_text
from rigfeed.papers.paper import Wanted
from rigfeed.papers.table import Table, table_json
from rigfeed.quantity import System

if TYPE_CHECKING:
    from rigfeed.assess import Assessment
    from rigfeed.figures.write import Format

T = TypeVar("T")


def spared(what: str, make: Callable[[], T], left_out: list[str] | None) -> T | None:
    """What `make` makes, None where it fails; `what` is the name for `left_out`. `Cancelled` is no failure."""
    try:
        return make()
    except Cancelled:
        raise
    except Exception as error:
        if left_out is None:
            raise
        left_out.append(f"the {what} failed: {type(error).__name__}: {error}")
        return None


def tables_of(
    assessment: Assessment, names: Iterable[str], system: System, left_out: list[str] | None = None
) -> list[Table]:
    """The papers of these names, each such that it can be written as JSON and CSV."""
    found = (spared(f"paper {name!r}", partial(_table, assessment, name, system), left_out) for name in names)
    return [table for table in found if table is not None]


def _table(assessment: Assessment, name: str, system: System) -> Table:
    table = assessment.paper(name, system)
    csv_text(table, system=system), table_json(table)  # a cell that nobody can write shows here, by the paper's name
    return table


def book_of(
    tables: Sequence[Table], make: Callable[[Sequence[Table]], bytes], left_out: list[str] | None = None
) -> bytes | None:
    """The workbook that `make` makes of tables, without those of which it cannot make a sheet; None if none is left."""
    book = spared("workbook", partial(make, tables), None if left_out is None else []) if tables else None
    if book is not None or left_out is None:
        return book
    sound = [t for t in tables if spared(f"sheet {t.name!r}", partial(make, [t]), left_out) is not None]
    return make(sound) if sound else None


def svg_of(assessment: Assessment, name: str, wanted: Wanted, left_out: list[str] | None = None) -> str | None:
    """A drawing as SVG, None where it fails."""
    from rigfeed.drawing.svg import svg_text

    return spared(f"drawing {name!r}", lambda: svg_text(assessment.drawing(name, wanted)), left_out)


def figures_of(
    assessment: Assessment, name: str, forms: Sequence[Format], system: System = "metric",
    left_out: list[str] | None = None,
) -> Iterator[tuple[str, bytes]]:
    """A figure as files of these forms, each with the ending of its name: ``time-current-hf.svg``, one for each of its
    usual subjects of which there is something to show."""
    what = f"figure {name!r}"
    for subject in spared(what, lambda: assessment.usual_subjects(name), left_out) or ():
        ending = name if subject is None else f"{name}-{subject}"
        made = partial(_figure_files, assessment, name, subject, tuple(forms), system)
        for form, content in (spared(what, made, left_out) or {}).items():
            yield f"{ending}.{form}", content


def _figure_files(
    assessment: Assessment, name: str, subject: str | None, forms: Sequence[Format], system: System
) -> dict[str, bytes]:
    from rigfeed.figures.write import figure_bytes

    try:
        figure = assessment.figure(name, subject, system)
    except NothingToShow:
        return {}
    return {form: figure_bytes(assessment, figure, form, system) for form in forms}
