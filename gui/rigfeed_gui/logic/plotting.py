"""Curves beside the window: asked for by a view, made in a thread, the newest wish first."""

from __future__ import annotations

from rigfeed.assess import Assessment
from rigfeed.errors import InputError, RigfeedError
from rigfeed.figures.figure import About, Figure
from rigfeed.figures.look import Look
from rigfeed.frozen import frozen
from rigfeed.quantity import System
from rigfeed.view import Tell
from rigfeed_gui.logic.assessor import Job, short_turns
from rigfeed_gui.logic.palette import Palette
from rigfeed_gui.logic.words import say

GRID = 0.35  # how much of the colour of faint lines those of a grid have
MM = 25.4


@frozen
class Wish:
    """What a view wants to show: a figure by name, of the thing with this id if it can be about it, in so many pixels
    with so many to the inch."""

    assessment: Assessment
    name: str
    subject: str | None
    system: System
    palette: Palette
    width: int
    height: int
    dpi: float


@frozen
class Pixels:
    """A picture as a PPM file (P6): red, green and blue of each pixel."""

    width: int
    height: int
    ppm: bytes


@frozen
class Plotted:
    """What became of a wish: what the figure can be about, what it is, and the picture, or `why` there is none."""

    wish: Wish
    subjects: tuple[About, ...]
    subject: str | None
    figure: Figure | None = None
    pixels: Pixels | None = None
    why: str = ""


class Plotter:
    """`ask` whenever something has changed and `poll` from the loop; neither ever waits."""

    def __init__(self) -> None:
        self._next: Wish | None = None
        self._job: Job[Plotted] | None = None

    def ask(self, wish: Wish) -> None:
        """Draw this next; what waits is forgotten."""
        self._next = wish
        self._begin()

    def poll(self) -> Plotted | None:
        """What has been made since the last call, unless something newer is wanted already."""
        if self._job is None or not self._job.poll():
            return None
        done, self._job = self._job.result(), None
        if self._next is None:
            return done
        self._begin()
        return None

    @property
    def busy(self) -> bool:
        """Whether something is asked for that has not been fetched."""
        return self._job is not None

    def _begin(self) -> None:
        if self._job is None and self._next is not None:
            wish, self._next = self._next, None
            self._job = Job(wish.name, lambda tell: plotted(wish, tell))


def plotted(wish: Wish, tell: Tell) -> Plotted:
    """Make a figure and its picture; whatever goes wrong becomes the reason why there is none."""
    with short_turns():
        subjects: tuple[About, ...] = ()
        subject = None
        try:
            tell(0.0, say("curves.being-drawn"))
            subjects = wish.assessment.subjects(wish.name)
            subject = chosen(subjects, wish.subject)
            figure = wish.assessment.figure(wish.name, subject, wish.system)
            return Plotted(wish, subjects, subject, figure, _pixels(figure, wish))
        except RigfeedError as error:
            lacking = type(error) is InputError and not subjects  # it is about one thing, and there is none
            return Plotted(wish, subjects, subject, why=say("curves.no-subject") if lacking else str(error))
        except Exception as error:  # a stranger's figure, as a rule
            return Plotted(wish, subjects, subject, why=f"{type(error).__name__}: {error}")


def chosen(subjects: tuple[About, ...], wanted: str | None) -> str | None:
    """What a figure is about: what is wanted if it can be, else the first usual thing, else the first of all."""
    ids = [about.id for about in subjects]
    if wanted in ids:
        return wanted
    usual = [about.id for about in subjects if about.usual]
    return next(iter((*usual, *ids)), None)


def _pixels(figure: Figure, wish: Wish) -> Pixels:
    from rigfeed.figures import render

    inches = render.Wish(
        look=look_of(wish.palette), system=wish.system, width_mm=wish.width / wish.dpi * MM,
        height_mm=wish.height / wish.dpi * MM,
    )
    return Pixels(*render.ppm_bytes(figure, inches, wish.dpi))


def look_of(palette: Palette) -> Look:
    """The colours of a figure on a sheet of the window."""
    return Look(
        paper=palette.sheet, ink=palette.text, quiet=palette.quiet, faint=mixed(palette.sheet, palette.faint, GRID),
        area=palette.area, limit=palette.error, series=palette.series,
    )


def mixed(one: str, other: str, share: float) -> str:
    """A colour between two.

    >>> mixed("#000000", "#ffffff", 0.5), mixed("#102030", "#ffffff", 0.0)
    ('#808080', '#102030')
    """
    pairs = [(int(one[i : i + 2], 16), int(other[i : i + 2], 16)) for i in (1, 3, 5)]
    return "#" + "".join(f"{round(a + (b - a) * share):02x}" for a, b in pairs)


def words_of(about: About) -> str:
    """How a subject stands in the list: a feed by its title, a conductor with its id in front of it anyway."""
    return say("curves.about", id=about.id, title=about.title) if about.usual else about.title
