"""Assessing beside the window: one thread, the newest design first, results fetched by the loop."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, TypeVar

from rigfeed.assess import Assessment
from rigfeed.design.model import Design
from rigfeed.drawing.scene import Scene
from rigfeed.errors import RigfeedError
from rigfeed.papers.paper import Wanted
from rigfeed.parts.shelf import Shelf
from rigfeed.view import Tell

R = TypeVar("R")


@dataclass(frozen=True)
class Look:
    """The drawing to be shown: its name and what it shall show."""

    name: str
    wanted: Wanted


@dataclass(frozen=True)
class Assessed:
    """The findings of a version of the design are there."""

    version: int
    assessment: Assessment
    took_s: float


@dataclass(frozen=True)
class Drawn:
    """A drawing of a version of the design is there."""

    version: int
    look: Look
    scene: Scene


@dataclass(frozen=True)
class Failed:
    """A version could not be assessed or drawn, and why; `ours` tells a fault of the program from one of the design."""

    version: int
    error: RigfeedError
    look: Look | None
    ours: bool


Delivery = Assessed | Drawn | Failed


class Assessor:
    """`ask` after every edit and `poll` from the loop every few hundredths of a second; neither ever waits."""

    def __init__(self) -> None:
        raise NotImplementedError

    def ask(self, version: int, design: Design, shelf: Shelf, look: Look | None) -> None:
        """Assess this design, then draw it. What is under way for an older one is given up."""
        raise NotImplementedError

    def look(self, look: Look) -> None:
        """Draw the assessed design another way."""
        raise NotImplementedError

    def poll(self) -> tuple[Delivery, ...]:
        """What has been finished since the last call, in order."""
        raise NotImplementedError

    @property
    def busy(self) -> bool:
        """Whether something is asked for that has not been delivered."""
        raise NotImplementedError

    @property
    def progress(self) -> tuple[float, str]:
        """How much of the current work is done (0..1), and of what."""
        raise NotImplementedError

    def close(self) -> None:
        """Give up what is under way and end the thread."""
        raise NotImplementedError


class Job(Generic[R]):
    """Long work in a thread of its own: papers, a trial. `poll` from the loop."""

    def __init__(self, title: str, run: Callable[[Tell], R]) -> None:
        self.title = title
        raise NotImplementedError

    @property
    def progress(self) -> tuple[float, str]:
        """How much is done (0..1), and of what."""
        raise NotImplementedError

    def cancel(self) -> None:
        """Ask it to stop; it does at its next step."""
        raise NotImplementedError

    def poll(self) -> bool:
        """Whether it has ended."""
        raise NotImplementedError

    def result(self) -> R:
        """What it gave, once ended; raises what it raised, `Cancelled` where it was stopped."""
        raise NotImplementedError
