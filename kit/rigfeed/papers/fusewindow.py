"""The window of every fuse: why no smaller one, why no larger one, and what there is between the two."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from rigfeed.measure import Measure
from rigfeed.papers.places import natural
from rigfeed.papers.table import Cell, Column, Table
from rigfeed.quantity import System
from rigfeed.studies.ratings import RATINGS, Bound, Window

if TYPE_CHECKING:
    from rigfeed.assess import Assessment

COLUMNS = (
    Column("id", "id", width=6, bold=True),
    Column("rating", "fitted", "A", width=7, align="right"),
    Column("side", "bound", width=10, bold=True),
    Column("amps", "rating", "A", width=8, align="right"),
    Column("reason", "because", width=54),
    Column("about", "about", width=15),
    Column("authority", "authority", width=26),
)
LEAST, MOST, WISHED, FITS, UNKNOWN = "at least", "at most", "better from", "what fits", "not known"
NOTES = (
    "The first of \"at least\" and the first of \"at most\" decide; the others say how much room is left. What fits is "
    "of the family that is fitted, from the catalogs, for its volts and with no less breaking capacity.",
    "Shorts are judged by the longest times of the family, everywhere behind the fuse up to the next one. Whether the "
    "fuse in front of it waits that long is another question (poor-selectivity).",
    "Nothing here says that a design is safe: the maker of vehicle and equipment, and the rules of the place, have the "
    "last word.",
)
FAILED = "The ratings could not be worked out: see what was not checked."


def fuse_window(assessment: Assessment, system: System) -> Table:
    """The rows of every fuse and breaker, by id."""
    ratings = assessment.get(RATINGS)
    windows = sorted(ratings.windows.values(), key=lambda w: natural(w.node.id)) if ratings is not None else []
    rows = tuple(row for window in windows for row in _rows(window, system))
    notes = NOTES if ratings is not None else (*NOTES, FAILED)
    return Table(
        "fuse-window", "Fuse ratings", COLUMNS, rows, notes, group="id",
        use="between which ratings each fuse may be, and why",
    )


def _rows(window: Window, system: System) -> Iterator[tuple[Cell, ...]]:
    yield window.node.id, window.device.rated_a, FITS, None, what_fits(window, system), None, None
    sides = [(LEAST, window.least), (WISHED, (window.wished,) if window.wished else ()), (MOST, window.most)]
    for side, bounds in sides:
        for bound in bounds:
            about = str(bound.subject[-1])
            yield window.node.id, None, side, bound.rating_a, bound.text(system), about, bound.authority
    for what in window.unknown:
        yield window.node.id, None, UNKNOWN, None, what, None, None


def what_fits(window: Window, system: System = "metric") -> str:
    """The outcome in a sentence."""
    fitting = [Measure(rated_a, "A").text(system) for rated_a in window.fitting_a]
    if not window.is_open:
        return f"nothing: {_governing(window.least[0], LEAST, system)}, and {_governing(window.most[0], MOST, system)}"
    if not fitting:
        return "nothing of its family in the catalogs"
    return " or ".join([", ".join(fitting[:-1]), fitting[-1]]) if len(fitting) > 1 else fitting[0]


def _governing(bound: Bound, side: str, system: System) -> str:
    return f"{side} {Measure(bound.rating_a, 'A').text(system)} ({bound.subject[-1]})"
