"""What a paper is: a name, a title, and a pure function from an assessment to its content."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import field
from typing import TYPE_CHECKING, Any, Literal

from rigfeed.frozen import frozen
from rigfeed.quantity import System
from rigfeed.view import Study

if TYPE_CHECKING:
    from rigfeed.assess import Assessment
    from rigfeed.drawing.scene import Scene
    from rigfeed.figures.figure import About, Figure
    from rigfeed.papers.table import Table

Page = Literal["A4", "A3", "A2", "A1", "A0", "Letter"]


@frozen(eq=False)
class Paper:
    """Something to print. `needs` are the studies whose results its content reads from the assessment. Where `wanted`
    says no, it is not printed unless somebody asks for it by name.

    Writers convert the numbers in cells; the content is told the unit system for the numbers inside of sentences.
    """

    name: str
    title: str
    content: Callable[[Assessment, System], Table]
    needs: tuple[Study[Any], ...] = ()
    wanted: Callable[[Assessment], bool] = field(default=lambda assessment: True)


@frozen
class Wanted:
    """What a drawing shall show: the figures of one state (by id; None: no figures), on which page (None: the smallest
    on which it can be read)."""

    state: str | None = None
    page: Page | None = None
    system: System = "metric"


PLAIN = Wanted()


@frozen(eq=False)
class Drawing:
    """A paper that is a picture."""

    name: str
    title: str
    content: Callable[[Assessment, Wanted], Scene]
    needs: tuple[Study[Any], ...] = ()


@frozen(eq=False)
class Plot:
    """A paper that is a figure: curves, bands and dots between two axes.

    `content` is told which of its `subjects` the figure is to be about, by id; None where it has none, because the
    figure is about the whole installation. It gives None where there is nothing to show.
    """

    name: str
    title: str
    content: Callable[[Assessment, str | None, System], Figure | None]
    needs: tuple[Study[Any], ...] = ()
    subjects: Callable[[Assessment], Iterable[About]] | None = None
