"""What the window remembers from one day to the next."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path as FilePath

from rigfeed.quantity import System

MOST_RECENT = 10


@dataclass(frozen=True)
class Settings:
    """`recent` are the files worked on, the newest first; `geometry` is a text of Tk; `sashes` are positions of
    dividers by name [px]; `scaling` multiplies that of the screen."""

    recent: tuple[str, ...] = ()
    geometry: str = ""
    sashes: tuple[tuple[str, int], ...] = ()
    units: System = "metric"
    palette: str = "light"
    scaling: float = 1.0
    cautions_seen: bool = False

    def met(self, path: FilePath) -> Settings:
        """The settings with a file as the most recent one."""
        raise NotImplementedError


def settings_file() -> FilePath:
    """Where they are kept, in the configuration folder of the platform."""
    raise NotImplementedError


def load_settings(path: FilePath | None = None) -> Settings:
    """The settings of a file; whatever in it cannot be used is the usual value instead."""
    raise NotImplementedError


def store_settings(settings: Settings, path: FilePath | None = None) -> None:
    """Write them in one step; raises FileProblem where that fails."""
    raise NotImplementedError
