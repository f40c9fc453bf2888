"""How figures look: colours by their use, and for everything of which there may be several a stroke or a pattern that
tells it from the others where there is no colour."""

from __future__ import annotations

from rigfeed.figures.figure import Shape
from rigfeed.frozen import frozen

SERIES = 5  # colours for one after the other
HATCHES = ("////", "\\\\\\\\", "....", "----", "xxxx")  # of bands
DASHES: tuple[tuple[float, ...], ...] = ((), (7.0, 2.0), (2.0, 1.5), (7.0, 2.0, 1.5, 2.0), (4.0, 3.0))  # of curves
MARKERS: dict[Shape, str] = {"dot": "o", "diamond": "D", "cross": "X", "arrow": ">", "ring": "o"}


@frozen
class Look:
    """Colours as ``#rrggbb``. `ink` is written on `paper`, and so is `quiet`; `faint` are the lines of the grid, `area`
    is behind a range. `limit` is for what must not be passed, `series` for everything else, one after the other."""

    paper: str
    ink: str
    quiet: str
    faint: str
    area: str
    limit: str
    series: tuple[str, ...]


PRINTED = Look(
    paper="#ffffff", ink="#111111", quiet="#55595f", faint="#d5d5d0", area="#e9e8e2", limit="#96161f",
    series=("#1f6673", "#8a5a00", "#5f4a8b", "#34682c", "#2c558f"),
)
