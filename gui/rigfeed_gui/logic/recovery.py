"""What survives a crash: after every edit the design goes to a file in the state folder of the platform.

The file is a design file with one remark in front, so it can be read with any editor even where the window cannot be
started.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path as FilePath

from rigfeed_gui.logic.work import Work


@dataclass(frozen=True)
class Lost:
    """A design that a crash left behind: the file it belongs to (None: it never had one), its title, when it was kept
    [s since 1970], where it is kept, and whether its own file was changed since."""

    file: FilePath | None
    title: str
    kept_s: float
    at: FilePath
    file_changed: bool


class Recovery:
    """Keeps the design in hand, by a thread of its own, at most one edit behind."""

    def __init__(self, folder: FilePath | None = None) -> None:
        raise NotImplementedError

    def keep(self, work: Work) -> None:
        """Write the design; waits for the writing of the one before, which is over long ago as a rule."""
        raise NotImplementedError

    def forget(self, work: Work) -> None:
        """It is saved, or given up: its recovery file goes."""
        raise NotImplementedError

    def lost(self) -> tuple[Lost, ...]:
        """What crashes left behind, the newest first; what another running window holds is not among it."""
        raise NotImplementedError

    def restore(self, lost: Lost) -> Work:
        """The design of a crash; undo leads back to what its file holds. It stays kept until saved."""
        raise NotImplementedError

    def discard(self, lost: Lost) -> None:
        """Give up what a crash left behind."""
        raise NotImplementedError

    def trouble(self) -> str | None:
        """Why the last writing failed, None where it did not: shown once in the status line."""
        raise NotImplementedError

    def close(self) -> None:
        """Wait for the last writing, end the thread."""
        raise NotImplementedError
