"""What goes wrong while the window is open: told in a dialog with what to do; a fault of ours leaves a log file."""

from __future__ import annotations

import logging
import tkinter as tk
import traceback
from collections.abc import Callable
from datetime import datetime
from pathlib import Path as FilePath
from types import TracebackType

from rigfeed.errors import MOST_LISTED, Cancelled, InputErrors, Place, RigfeedError
from rigfeed_gui.logic.words import say

LOG = logging.getLogger("rigfeed")
MOST_LOGS = 20
Tell = Callable[[str, str], tk.Misc]


def log_folder() -> FilePath:
    """Where the log files of faults lie."""
    import platformdirs

    return FilePath(platformdirs.user_log_dir("rigfeed", appauthor=False))


def write_log(error: BaseException, folder: FilePath | None = None) -> FilePath | None:
    """A log file with the whole story of an error; None where not even that can be written. Old ones go."""
    folder = folder or log_folder()
    text = "".join(traceback.format_exception(error))
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for old in sorted(folder.glob("fault-*.log"))[: -MOST_LOGS + 1]:
            old.unlink(missing_ok=True)
        path = folder / f"fault-{datetime.now():%Y%m%d-%H%M%S-%f}.log"
        path.write_text(text, encoding="utf-8")
    except OSError:
        return None
    return path


def told(error: RigfeedError) -> tuple[str, str]:
    """What a dialog says about something that a person can mend: what is wrong, and what to do."""
    if isinstance(error, InputErrors) and len({each.place.file for each in error.errors}) == 1:
        return _listed(error), error.remedy
    where = str(error.place)
    what = str(error) if not error.what or "\n" in str(error) else error.what
    return (f"{where}: {what}" if where and where not in what else what), error.remedy


def _listed(error: InputErrors) -> str:
    """All errors of one file, the file once."""
    file = error.errors[0].place.file
    lines = [say("fault.in-file", file=file)] if file else []
    for each in error.errors[:MOST_LISTED]:
        place = each.place
        what = str(each).removeprefix(f"{Place(place.file, place.line, place.column)}: ")
        lines.append(say("fault.line", line=place.line, what=what) if place.line else what)
    if len(error.errors) > MOST_LISTED:
        lines.append(say("fault.more", count=len(error.errors) - MOST_LISTED))
    return "\n".join(lines)


class Faults:
    """Takes whatever a handler raises. The design is not touched: it stands as the last edit left it."""

    def __init__(self, root: tk.Tk, show: Tell) -> None:
        self._show = show
        self._open: dict[str, tk.Misc] = {}
        root.report_callback_exception = self.report

    def report(self, kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        """Called by Tk with what a handler raised."""
        if isinstance(error, Cancelled):
            return
        if isinstance(error, RigfeedError):
            self._once(say("fault.mendable"), "\n\n".join(part for part in told(error) if part))
            return
        LOG.error("a handler of the window failed", exc_info=error)
        path = write_log(error)
        where = say("fault.log", path=path) if path else say("fault.no-log", error=f"{type(error).__name__}: {error}")
        self._once(say("fault.title"), say("fault.text") + "\n\n" + where)

    def _once(self, title: str, text: str) -> None:
        """One dialog of a sort at a time: a handler that fails at every movement must not bury the window."""
        before = self._open.get(title)
        if before is None or not before.winfo_exists():
            self._open[title] = self._show(title, text)
