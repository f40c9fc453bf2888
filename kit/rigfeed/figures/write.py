"""Figures of an assessment as files: pictures and plain data, with the job and the cautions."""

from __future__ import annotations

import json
from importlib.util import find_spec
from typing import TYPE_CHECKING, Literal

from rigfeed.cautions import CAUTIONS
from rigfeed.figures.figure import Figure, figure_json
from rigfeed.papers.write import SCHEMA, job_line
from rigfeed.quantity import System

if TYPE_CHECKING:
    from rigfeed.assess import Assessment

Format = Literal["svg", "png", "json"]
FORMATS: tuple[Format, ...] = ("svg", "png", "json")


def can_draw() -> bool:
    """Whether what draws figures is installed; nothing is loaded to find that out."""
    return find_spec("matplotlib") is not None


def figure_bytes(assessment: Assessment, figure: Figure, form: Format, system: System = "metric") -> bytes:
    """A figure as a file of its own.

    Raises
    ------
    NoPictures
        If a picture is wanted and matplotlib is not installed.
    """
    if form == "json":
        return figure_text(assessment, figure).encode("utf-8")
    from rigfeed.figures.render import Wish, png_bytes, svg_bytes

    wish = Wish(system=system, job=job_line(assessment), cautions=CAUTIONS)
    return svg_bytes(figure, wish) if form == "svg" else png_bytes(figure, wish)


def figure_text(assessment: Assessment, figure: Figure) -> str:
    """A figure as JSON, numbers in the base units of its axes, with the job and the cautions."""
    data = {"schema": SCHEMA, "job": job_line(assessment), "cautions": list(CAUTIONS), **figure_json(figure)}
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2) + "\n"
