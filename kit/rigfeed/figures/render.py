"""Figures as SVG and PNG, by matplotlib, which is loaded when the first one is drawn.

The same figure gives the same bytes: fonts are those that come with the library, settings of a user are left aside, and
no date or version is written. One figure is drawn at a time, since the settings of the library are those of the
whole program.
"""

from __future__ import annotations

import io
import logging
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Literal
from xml.sax.saxutils import escape

import numpy as np

from rigfeed.drawing.font import plain
from rigfeed.errors import RigfeedError
from rigfeed.figures.figure import Figure
from rigfeed.figures.look import PRINTED, Look
from rigfeed.frozen import frozen
from rigfeed.quantity import System

if TYPE_CHECKING:
    from rigfeed.figures.sheet import Sheet

Picture = Literal["svg", "png"]
WIDTH_MM = 180.0  # what an upright A4 page has between its margins
INCH_MM = 25.4
PRINT_DPI = 200.0
_ONE_AT_A_TIME = threading.Lock()
_SETTINGS: Any = {
    "font.family": ["DejaVu Sans"], "svg.fonttype": "path", "svg.hashsalt": "figure", "hatch.linewidth": 0.5,
    "text.parse_math": False, "axes.unicode_minus": False, "path.simplify": False,
    "text.hinting": "none",
}


class NoPictures(RigfeedError):
    """What draws figures is not installed."""

    def __init__(self) -> None:
        super().__init__(
            "figures are drawn by matplotlib, which is not installed",
            remedy="install the extra: pip install 'rigfeed[figures]'; the numbers can be had as JSON without it",
        )


@frozen
class Wish:
    """How a figure shall be drawn: its colours, the units of its axes, how wide and (None: as high as it needs) how
    high it is, and what stands above and below it."""

    look: Look = PRINTED
    system: System = "metric"
    width_mm: float = WIDTH_MM
    height_mm: float | None = None
    job: str = ""
    cautions: tuple[str, ...] = ()


def svg_bytes(figure: Figure, wish: Wish) -> bytes:
    """A figure as SVG, its letters as outlines.

    Raises
    ------
    NoPictures
        If matplotlib is not installed.
    """
    with _sheet(figure, wish) as sheet:
        saved = io.BytesIO()
        sheet.picture.savefig(saved, format="svg", metadata={"Date": None, "Creator": None})
    title, description = escape(plain(f"{figure.title}. {wish.job}")), escape(plain(described(figure), 20_000))
    head, _, rest = saved.getvalue().decode("utf-8").partition("<svg ")
    attributes, _, body = rest.partition(">")
    named = f'<svg role="img" aria-labelledby="title desc" {attributes}>'
    return f'{head}{named}<title id="title">{title}</title><desc id="desc">{description}</desc>{body}'.encode()


def png_bytes(figure: Figure, wish: Wish, dpi: float = PRINT_DPI) -> bytes:
    """A figure as PNG with so many pixels to the inch; raises as `svg_bytes`."""
    with _sheet(figure, wish) as sheet:
        saved = io.BytesIO()
        metadata = {"Software": None, "Title": figure.title, "Description": described(figure)}
        sheet.picture.savefig(saved, format="png", dpi=dpi, metadata=metadata)
        return saved.getvalue()


def ppm_bytes(figure: Figure, wish: Wish, dpi: float) -> tuple[int, int, bytes]:
    """A figure as plain pixels with so many to the inch: width, height, and a PPM file (P6); raises as `svg_bytes`."""
    with _sheet(figure, wish) as sheet:
        from matplotlib.backends.backend_agg import FigureCanvasAgg

        sheet.picture.set_dpi(dpi)
        canvas: Any = FigureCanvasAgg(sheet.picture)
        canvas.draw()
        pixels = np.asarray(canvas.buffer_rgba())[:, :, :3]
    high, wide = pixels.shape[:2]
    return wide, high, b"P6\n%d %d\n255\n" % (wide, high) + pixels.tobytes()


def described(figure: Figure) -> str:
    """The figure in words, for whoever cannot see it."""
    parts = [*(band.name for band in figure.bands), *(curve.name for curve in figure.curves)]
    parts += [mark.name for mark in figure.marks]
    parts += [f"{name}: {beside}" for name, beside in zip(figure.y.names, figure.y.beside, strict=False)]
    return "; ".join(parts)


@contextmanager
def _sheet(figure: Figure, wish: Wish) -> Iterator[Sheet]:
    """The figure laid out, with our settings and no others for as long as it is worked with."""
    logging.getLogger("matplotlib").setLevel(logging.ERROR)  # it tells of fonts that it looks for
    try:
        import matplotlib
    except ImportError as error:
        raise NoPictures from error
    from rigfeed.figures.sheet import Sheet

    with _ONE_AT_A_TIME, matplotlib.rc_context():
        matplotlib.rcdefaults()
        matplotlib.rcParams.update(_SETTINGS)
        yield Sheet(figure, wish)
