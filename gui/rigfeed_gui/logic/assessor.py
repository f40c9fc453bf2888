"""Assessing beside the window: one thread, the newest design first, results fetched by the loop."""

from __future__ import annotations

import logging
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Generic, TypeVar

from rigfeed.assess import Assessment, assess
from rigfeed.design.model import Design
from rigfeed.drawing.scene import Scene
from rigfeed.errors import Cancelled, RigfeedError
from rigfeed.frozen import frozen
from rigfeed.papers.paper import Wanted
from rigfeed.parts.shelf import Shelf
from rigfeed.view import Tell

R = TypeVar("R")
log = logging.getLogger("rigfeed")

# While a thread computes, the loop of the window waits this long at most for each of its calls [s]; the interpreter's
# own 5 ms would add up to a visible stop where a view makes a hundred calls in a row.
TURN_S = 0.0005


@frozen
class Look:
    """The drawing to be shown: its name and what it shall show."""

    name: str
    wanted: Wanted


@frozen
class Assessed:
    """The findings of a version of the design are there."""

    version: int
    assessment: Assessment
    took_s: float


@frozen
class Drawn:
    """A drawing of a version of the design is there."""

    version: int
    look: Look
    scene: Scene


@frozen
class Failed:
    """A version could not be assessed or drawn, and why; `ours` tells a fault of the program from one of the design."""

    version: int
    error: RigfeedError
    look: Look | None
    ours: bool


Delivery = Assessed | Drawn | Failed


@frozen
class _Asked:
    version: int
    design: Design
    shelf: Shelf


class Assessor:
    """`ask` after every edit and `poll` from the loop every few hundredths of a second; neither ever waits."""

    def __init__(self) -> None:
        self._wake = threading.Condition()
        self._asked: _Asked | None = None
        self._look: Look | None = None
        self._ready: list[Delivery] = []
        self._working = self._closing = self._held = False
        self._progress = (0.0, "")
        self._last: Assessed | None = None
        self._thread = threading.Thread(target=self._run, name="assessor", daemon=True)
        self._thread.start()

    def ask(self, version: int, design: Design, shelf: Shelf, look: Look | None) -> None:
        """Assess this design, then draw it. What is under way for an older one is given up."""
        with self._wake:
            self._asked, self._look = _Asked(version, design, shelf), look
            self._ready = []
            self._last, self._held = None, False
            self._wake.notify()

    def look(self, look: Look) -> None:
        """Draw the assessed design another way; what is under way of an older look is given up."""
        with self._wake:
            self._look = look
            self._wake.notify()

    def poll(self, *, showing: bool = False) -> tuple[Delivery, ...]:
        """What has been finished since the last call, in order.

        The drawing of an assessment is begun at the first call after that which fetches it, and not while the loop is
        still `showing` what there is: a thread that computes takes half of the loop's time just when the findings come.
        """
        with self._wake:
            ready, self._ready = tuple(self._ready), []
            if self._held and not ready and not showing:
                self._held = False
                self._wake.notify()
            return ready

    @property
    def busy(self) -> bool:
        """Whether something is asked for that has not been delivered."""
        with self._wake:
            return self._working or bool(self._ready) or self._wants()

    @property
    def progress(self) -> tuple[float, str]:
        """How much of the current work is done (0..1), and of what."""
        return self._progress

    def close(self) -> None:
        """Give up what is under way and end the thread."""
        with self._wake:
            self._closing = True
            self._wake.notify()
        self._thread.join()

    def _wants(self) -> bool:
        return self._asked is not None or (self._look is not None and self._last is not None)

    def _may(self) -> bool:
        return self._closing or (self._wants() and (self._asked is not None or not self._held))

    def _run(self) -> None:
        while True:
            with self._wake:
                self._working = False
                self._wake.wait_for(self._may)
                if self._closing:
                    return
                asked, self._asked = self._asked, None
                last = self._last
                look: Look | None = None
                if asked is None:
                    look, self._look = self._look, None
                self._working = True
            with short_turns():
                if asked is not None:
                    self._assess(asked)
                elif look is not None and last is not None:
                    self._draw(look, last)

    def _assess(self, asked: _Asked) -> None:
        start_s = time.perf_counter()
        try:
            tell = self._teller(lambda: self._asked is not None)
            assessment = assess(asked.design, shelf=asked.shelf, tell=tell)
        except Cancelled:
            return
        except Exception as error:
            self._deliver(_failed(asked.version, error, None))
            return
        done = Assessed(asked.version, assessment, time.perf_counter() - start_s)
        with self._wake:
            if self._asked is None:
                self._last, self._held = done, True
                self._ready.append(done)

    def _draw(self, look: Look, last: Assessed) -> None:
        try:
            self._teller(lambda: self._asked is not None or self._look is not None)(0.0, look.name)
            scene = last.assessment.drawing(look.name, look.wanted)
        except Cancelled:
            return
        except Exception as error:
            self._deliver(_failed(last.version, error, look))
            return
        self._deliver(Drawn(last.version, look, scene))

    def _deliver(self, delivery: Delivery) -> None:
        """Put it out, unless something newer has been asked for meanwhile."""
        with self._wake:
            if self._asked is None and (self._look is None or isinstance(delivery, Failed)):
                self._ready.append(delivery)

    def _teller(self, overtaken: Callable[[], bool]) -> Tell:
        def tell(done: float, text: str, /) -> None:
            self._progress = (done, text)
            if self._closing or overtaken():
                raise Cancelled("something newer is wanted")

        return tell


def _failed(version: int, error: Exception, look: Look | None) -> Failed:
    if isinstance(error, RigfeedError):
        return Failed(version, error, look, ours=False)
    log.error("the assessment failed", exc_info=error)
    told = RigfeedError(f"{type(error).__name__}: {error}")
    told.__cause__ = error
    return Failed(version, told, look, ours=True)


@contextmanager
def short_turns() -> Iterator[None]:
    """While this thread computes, the loop of the window waits for each of its calls but a moment."""
    usual_s = sys.getswitchinterval()
    sys.setswitchinterval(min(TURN_S, usual_s))
    try:
        yield
    finally:
        sys.setswitchinterval(usual_s)


class Job(Generic[R]):
    """Long work in a thread of its own: papers, a trial. `poll` from the loop."""

    def __init__(self, title: str, run: Callable[[Tell], R]) -> None:
        self.title = title
        self._progress = (0.0, "")
        self._stop = False
        self._results: list[R] = []
        self._error: BaseException | None = None
        self._thread = threading.Thread(target=self._run, args=(run,), name="job", daemon=True)
        self._thread.start()

    @property
    def progress(self) -> tuple[float, str]:
        """How much is done (0..1), and of what."""
        return self._progress

    def cancel(self) -> None:
        """Ask it to stop; it does at its next step."""
        self._stop = True

    def poll(self) -> bool:
        """Whether it has ended."""
        return not self._thread.is_alive()

    def result(self) -> R:
        """What it gave, once ended; raises what it raised, `Cancelled` where it was stopped."""
        self._thread.join()
        if self._error is not None:
            raise self._error
        return self._results[0]

    def _run(self, run: Callable[[Tell], R]) -> None:
        try:
            self._results.append(run(self._tell))
        except BaseException as error:  # whoever asks for the result is told
            self._error = error

    def _tell(self, done: float, text: str, /) -> None:
        self._progress = (done, text)
        if self._stop:
            raise Cancelled("stopped")
