"""What the window remembers from one day to the next."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import asdict, replace
from pathlib import Path as FilePath
from typing import Any

from rigfeed.errors import FileProblem, Place, RigfeedError
from rigfeed.files import read_bytes, replace_file
from rigfeed.frozen import frozen
from rigfeed.quantity import System
from rigfeed_gui.logic.words import say

MOST_RECENT = 10
MOST_BYTES = 2**18
LEAST_SCALING, MOST_SCALING = 0.5, 4.0


@frozen
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
        name = str(path.absolute())
        others = tuple(other for other in self.recent if other != name)
        return replace(self, recent=(name, *others)[:MOST_RECENT])


def settings_file() -> FilePath:
    """Where they are kept, in the configuration folder of the platform."""
    import platformdirs

    return platformdirs.user_config_path("rigfeed") / "window.json"


def load_settings(path: FilePath | None = None) -> Settings:
    """The settings of a file; whatever in it cannot be used is the usual value instead."""
    try:
        data = json.loads(read_bytes(path or settings_file(), most=MOST_BYTES))
    except (RigfeedError, ValueError, RecursionError):
        return Settings()
    given = data if isinstance(data, dict) else {}
    usable = {name: read(given[name]) for name, read in _READ.items() if name in given}
    return Settings(**{name: value for name, value in usable.items() if value is not None})


def store_settings(settings: Settings, path: FilePath | None = None) -> None:
    """Write them in one step; raises FileProblem where that fails."""
    file = path or settings_file()
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise FileProblem(say("settings.no-folder", why=error.strerror), place=Place(file=str(file.parent))) from error
    replace_file(file, (json.dumps(asdict(settings), indent=1) + "\n").encode())


# What each setting makes of plain data: None where it is nothing of the sort.


def _texts(value: Any) -> tuple[str, ...] | None:
    return tuple(text for text in value if isinstance(text, str))[:MOST_RECENT] if isinstance(value, list) else None


def _sashes(value: Any) -> tuple[tuple[str, int], ...] | None:
    return tuple((pair[0], pair[1]) for pair in value if _is_sash(pair)) if isinstance(value, list) else None


def _is_sash(pair: Any) -> bool:
    is_pair = isinstance(pair, list) and len(pair) == 2
    return is_pair and isinstance(pair[0], str) and isinstance(pair[1], int) and not isinstance(pair[1], bool)


def _scaling(value: Any) -> float | None:
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    return float(value) if is_number and LEAST_SCALING <= value <= MOST_SCALING else None


_READ: Mapping[str, Callable[[Any], Any]] = {
    "recent": _texts,
    "geometry": lambda value: value if isinstance(value, str) else None,
    "sashes": _sashes,
    "units": lambda value: value if value in ("metric", "us") else None,
    "palette": lambda value: value if value in ("light", "dark") else None,
    "scaling": _scaling,
    "cautions_seen": lambda value: value if isinstance(value, bool) else None,
}
