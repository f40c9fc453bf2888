"""The drawing surface without its widget: where the page lies, what is under the pointer, what a gesture edits."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rigfeed.design.edit import Edit
from rigfeed.design.model import Design
from rigfeed.drawing.scene import Point, Scene
from rigfeed.parts.shelf import Shelf
from rigfeed.path import Path

LEAST_SCALE, MOST_SCALE = 0.5, 60.0  # pixels per millimetre
Direction = Literal["left", "right", "up", "down"]


@dataclass(frozen=True)
class Viewport:
    """Where the page lies on the screen: ``screen [px] = page [mm] * scale + (x, y)``."""

    scale: float = 3.0
    x: float = 0.0
    y: float = 0.0

    def to_screen(self, point: Point) -> Point:
        """A place on the page [mm] on the screen [px]."""
        raise NotImplementedError

    def to_page(self, point: Point) -> Point:
        """A place on the screen [px] on the page [mm]."""
        raise NotImplementedError

    def zoomed(self, factor: float, about: Point) -> Viewport:
        """Larger by a factor, within bounds; the page stays under `about` [px]."""
        raise NotImplementedError

    def panned(self, dx: float, dy: float) -> Viewport:
        """Moved by so many pixels."""
        raise NotImplementedError

    def showing(self, point: Point, width: float, height: float) -> Viewport:
        """Moved just so far that a place on the page [mm] is well inside of a window of that size [px]."""
        raise NotImplementedError


def fitted(scene: Scene, width: float, height: float, margin: float = 12.0) -> Viewport:
    """The whole page in a window of that size, with a margin [px]."""
    raise NotImplementedError


@dataclass(frozen=True)
class Hit:
    """What is under the pointer: the subject, its title, whether it may be dragged, the terminal if on one, and where
    the thing (or the terminal) is [mm]."""

    subject: Path
    title: str
    movable: bool
    terminal: str | None
    at: Point


def hit(scene: Scene, at: Point, slack_mm: float) -> Hit | None:
    """What is at a place on the page, within a slack; the innermost, and of several the topmost."""
    raise NotImplementedError


def centre(scene: Scene, subject: Path) -> Point | None:
    """The middle of what belongs to a subject, None where it is not drawn."""
    raise NotImplementedError


def bounds(scene: Scene, subject: Path) -> tuple[float, float, float, float] | None:
    """The box around what belongs to a subject: left, top, right, bottom [mm]."""
    raise NotImplementedError


def walk(scene: Scene) -> tuple[Path, ...]:
    """All subjects in reading order, for the tabulator key."""
    raise NotImplementedError


def neighbour(scene: Scene, subject: Path | None, direction: Direction) -> Path | None:
    """The nearest subject in a direction, for the arrow keys; the first one where none is selected."""
    raise NotImplementedError


def dragging(scene: Scene, design: Design, subject: Path, by_mm: Point) -> tuple[Edit, ...]:
    """The edits that put a thing elsewhere in this drawing; none where it is not movable."""
    raise NotImplementedError


@dataclass(frozen=True)
class Joining:
    """A new conductor: the edits, the path to select after them; or why there can be none."""

    edits: tuple[Edit, ...] = ()
    path: Path = Path()
    refused: str = ""


def joining(design: Design, shelf: Shelf, start: str, end: str) -> Joining:
    """A conductor between two terminals, with the next free id and the cable of its neighbours where they agree."""
    raise NotImplementedError


@dataclass(frozen=True)
class RoutePick:
    """A route being chosen by clicking runs. `words` say where it has got to and what is missing."""

    conductor: str
    runs: tuple[str, ...]
    words: str
    complete: bool


def picking(design: Design, conductor: str) -> RoutePick:
    """Begin with the route that the conductor has."""
    raise NotImplementedError


def picked(design: Design, pick: RoutePick, run: str) -> RoutePick:
    """Take a run to the route, or off it if it is on it; runs are kept in the order of the way."""
    raise NotImplementedError


def routing(pick: RoutePick) -> tuple[Edit, ...]:
    """The edits that give the conductor the chosen route; a length of its own goes with it."""
    raise NotImplementedError
