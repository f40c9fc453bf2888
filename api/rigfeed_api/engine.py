"""The kit as this server uses it: one registry, a shelf for each thread, designs bounded in size."""

from __future__ import annotations

import threading
import time
from collections import Counter
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field
from typing import Any

from flask import current_app

from rigfeed.assess import Assessment, assess
from rigfeed.design.model import Design
from rigfeed.design.schema import to_plain
from rigfeed.errors import Cancelled, DesignError, InputError, Place, known_or_raise
from rigfeed.parts.shelf import Shelf, own_catalogs, stock_files
from rigfeed.path import TOP, Path
from rigfeed.registry import Registry
from rigfeed.view import Tell
from rigfeed_api.settings import Limits, Settings

LONG = 100  # characters: a longer text breaks into lines wherever it is printed


@dataclass
class Engine:
    """`shelf` and `assess` are all that a view needs of the kit's state."""

    settings: Settings
    registry: Registry
    _local: threading.local = field(default_factory=threading.local, repr=False)

    def __post_init__(self) -> None:
        _ = self.registry.calculators, self.registry.practices.names()  # read now, not by two threads at once

    def shelf(self) -> Shelf:
        """The shelf of this thread: the plugins' catalogs, this server's own and its stock, never what lies beside a
        design.

        It is opened anew when one of the own files has changed.
        """
        own, stock = own_catalogs(), stock_files()
        paths = [*(file.path for file in own), *stock]
        state = tuple((str(path), path.stat().st_mtime_ns) for path in paths if path.exists())
        if getattr(self._local, "state", None) != state:
            self._local.shelf, self._local.state = Shelf(self.registry, own=own, stock=stock), state
        shelf: Shelf = self._local.shelf
        return shelf

    def assess(
        self, design: Design, practice: str | None = None, *, only: Collection[str] | None = None
    ) -> Assessment:
        """The assessment of a design that is not too large, by all checks or only some.

        Raises
        ------
        DesignError, InputErrors
            If it is larger than this server takes on, or as `rigfeed.assess` does.
        """
        known_or_raise(list(self.too_large(design)))
        in_time = self._clock_of_one()
        try:
            return assess(design, shelf=self.shelf(), practice=practice, only=only, tell=in_time)
        except Cancelled as error:
            raise DesignError(error.what, remedy="assess it on the command line") from None

    def _clock_of_one(self) -> Tell:
        """What stops an assessment that takes too long, when a study next tells how far it is."""
        seconds = self.settings.limits.seconds
        until = time.monotonic() + seconds

        def tell(done: float, text: str, /) -> None:
            if time.monotonic() > until:
                raise Cancelled(f"the assessment takes longer than the {seconds:g} s that this server gives it")

        return tell

    def too_large(self, design: Design) -> Iterator[InputError]:
        """What a design has too many of."""
        limits = self.settings.limits
        for path, what, count, most in _counted(design, limits):
            if count > most:
                told = f"{count} {what}; this server takes at most {most}"
                yield DesignError(told, place=Place(path=path), remedy="assess it on the command line")
        long = [(path, length) for path, length in _texts(to_plain(design)) if length > LONG]
        for path, length in long:
            if length > limits.text:
                told = f"is {length} characters long; this server takes at most {limits.text}"
                yield DesignError(told, place=Place(path=path), remedy="say it shorter")
        total = sum(length for _, length in long)
        if total > limits.texts:
            what = f"{total} characters in texts of more than {LONG}; this server takes at most {limits.texts}"
            yield DesignError(what, remedy="say it shorter")


def _counted(design: Design, limits: Limits) -> Iterator[tuple[Path, str, int, int]]:
    """Where, of what, how many, and how many at most: all that the time for an assessment grows with."""
    for name in ("nodes", "conductors", "states", "runs", "passages", "deviations"):
        yield Path(name), name, len(getattr(design, name)), getattr(limits, name)
    laid = Counter(run for conductor in design.conductors.values() for run in conductor.route)
    yield Path("conductors"), "runs in all routes together", laid.total(), limits.laid
    for id_, passage in design.passages.items():
        path = Path("passages", id_, "existing")
        yield path, "cables that were there before", len(passage.existing), limits.existing
    through = sum(laid[passage.run] + len(passage.existing) for passage in design.passages.values())
    yield Path("passages"), "cables in all holes together", through, limits.through


def _texts(plain: Any, path: Path = TOP) -> Iterator[tuple[Path, int]]:
    """Where a text or a name stands in plain data, and how long it is: papers break it into lines."""
    if isinstance(plain, str):
        yield path, len(plain)
    elif isinstance(plain, dict):
        for key, item in plain.items():
            yield path, len(key)
            yield from _texts(item, path / key)
    elif isinstance(plain, list):
        for number, item in enumerate(plain):
            yield from _texts(item, path / number)


def engine() -> Engine:
    """The engine of the app that serves this request."""
    found: Engine = current_app.extensions["rigfeed"]
    return found
