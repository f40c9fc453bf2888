"""The design in hand beside another one: as it was last saved, or one in a file."""

from __future__ import annotations

from pathlib import Path as FilePath

from rigfeed.assess import Assessment, assess
from rigfeed.design.model import Design
from rigfeed.parts.shelf import Shelf, open_shelf
from rigfeed.quantity import System
from rigfeed.trials.compare import Comparison, compare_assessments
from rigfeed.view import Tell
from rigfeed_gui.logic.papering import Preview, preview_of
from rigfeed_gui.logic.words import say


def in_file(path: FilePath) -> tuple[Design, Shelf]:
    """The design of another file with the catalogs beside it; raises as `rigfeed.load` does."""
    from rigfeed.load import load

    return load(path), open_shelf(path)


def comparing(
    other: Design, other_shelf: Shelf, design: Design, shelf: Shelf, *, assessed: Assessment | None, tell: Tell
) -> Comparison:
    """Another design first, that in hand second (`assessed`, if that is done already). To be run as a `Job`.

    Raises
    ------
    InputError, Cancelled
        As `rigfeed.assess` does.
    """
    tell(0.0, say("comparing.first"))
    one = assess(other, shelf=other_shelf)
    tell(0.5, say("comparing.second"))
    return compare_assessments(one, assessed or assess(design, shelf=shelf))


def rows(comparison: Comparison, system: System) -> Preview:
    """The comparison as texts."""
    from rigfeed.papers.comparison import comparison_table

    return preview_of(comparison_table(comparison, system), system)
