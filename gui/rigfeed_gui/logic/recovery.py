"""What survives a crash: after every edit the design goes to a file in the state folder of the platform.

The file is a design file with one remark in front, so it can be read with any editor even where the window cannot be
started. Each window marks its own files with a token, and holds a lock of that name while it runs: what has no holder
was left behind.
"""

from __future__ import annotations

import hashlib
import json
import logging
import os
import secrets
import threading
import time
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import IO, Any
from weakref import WeakKeyDictionary

from rigfeed.design.file import MOST_BYTES, parse
from rigfeed.design.model import Design
from rigfeed.errors import RigfeedError
from rigfeed.files import read_bytes, replace_file
from rigfeed_gui.logic.work import Work

HALF_DONE_S = 3600.0  # no writing takes longer
REMARK = "# not saved yet: "
log = logging.getLogger("rigfeed")


@dataclass(frozen=True)
class Lost:
    """A design that a crash left behind: the file it belongs to (None: it never had one), its title, when it was kept
    [s since 1970], where it is kept, and whether its own file was changed since."""

    file: FilePath | None
    title: str
    kept_s: float
    at: FilePath
    file_changed: bool


def recovery_folder() -> FilePath:
    """The folder in the state folder of the platform."""
    import platformdirs

    return platformdirs.user_state_path("rigfeed") / "recovery"


class Recovery:
    """Keeps the design in hand, by a thread of its own, at most one edit behind."""

    def __init__(self, folder: FilePath | None = None) -> None:
        self.folder = folder or recovery_folder()
        self.folder.mkdir(parents=True, exist_ok=True)
        self._token = secrets.token_hex(6)
        self._lock = _Lock(self.folder / f"{self._token}.lock")
        self._lock.take()
        self._places: WeakKeyDictionary[Work, FilePath] = WeakKeyDictionary()
        self._writing: threading.Thread | None = None
        self._trouble: str | None = None

    def keep(self, work: Work) -> None:
        """Write the design; waits for the writing of the one before, which is over long ago as a rule."""
        self._finish()
        place = self._places.setdefault(work, self.folder / _name(work, self._token))
        self._writing = threading.Thread(target=self._write, args=(work, work.design, place))
        self._writing.start()

    def forget(self, work: Work) -> None:
        """It is saved, or given up: its recovery file goes."""
        self._finish()
        place = self._places.pop(work, None)
        if place is not None:
            with suppress(OSError):
                place.unlink(missing_ok=True)

    def lost(self) -> tuple[Lost, ...]:
        """What crashes left behind, the newest first; what a running window holds is not among it."""
        self._clear()
        found = []
        for path in sorted(self.folder.glob("*.toml")):
            token = path.stem.rpartition("-")[2]
            if token != self._token and not _Lock(self.folder / f"{token}.lock").is_held():
                found += self._left(path)
        return tuple(sorted(found, key=lambda lost: (-lost.kept_s, str(lost.at))))

    def _clear(self) -> None:
        """Take away the locks of windows that are no more, and what their last writing left half done."""
        for path in self.folder.glob("*.lock"):
            if path != self._lock.path:
                _Lock(path).is_held()
        for path in self.folder.glob(".rigfeed-*.tmp"):
            with suppress(OSError):
                if time.time() - path.stat().st_mtime > HALF_DONE_S:
                    path.unlink()

    def restore(self, lost: Lost) -> Work:
        """The design of a crash; undo leads back to what its file holds. It stays kept until saved.

        Raises
        ------
        FileProblem, DesignError, UnknownName, InputErrors
            If what was kept cannot be read; it stays where it is.
        """
        _, text = _read(lost.at)
        work = Work.recovered(text, lost.file)
        self.keep(work)
        self._finish()
        if self._trouble is None:
            self.discard(lost)
        return work

    def discard(self, lost: Lost) -> None:
        """Give up what a crash left behind."""
        with suppress(OSError):
            lost.at.unlink(missing_ok=True)

    def trouble(self) -> str | None:
        """Why the last writing failed, None where it did not: for the status line."""
        return self._trouble

    def close(self) -> None:
        """Wait for the last writing. What was kept and not forgotten stays, for the next start."""
        self._finish()
        self._lock.leave()

    def _finish(self) -> None:
        if self._writing is not None:
            self._writing.join()
            self._writing = None

    def _write(self, work: Work, design: Design, place: FilePath) -> None:
        about = {"file": str(work.path.absolute()) if work.path else None, "title": work.title, "kept_s": time.time()}
        try:
            text = work.text(design)
            about["text"] = _digest(text)
            replace_file(place, f"{REMARK}{json.dumps(about)}\n{text}".encode())
            self._trouble = None
        except RigfeedError as error:
            self._trouble = str(error)
        except Exception as error:  # a thread has nobody to raise to
            log.exception("the design could not be kept")
            self._trouble = f"{type(error).__name__}: {error}"

    def _left(self, path: FilePath) -> list[Lost]:
        """What a recovery file holds, nothing where its own file holds the same: the crash came after the saving."""
        try:
            about, text = _read(path)
            file = FilePath(about["file"]) if about.get("file") else None
            if file is not None and file.exists():
                there = read_bytes(file, most=2 * MOST_BYTES)
                if there == text.encode():
                    path.unlink()
                    return []
                changed = file.stat().st_mtime > float(about["kept_s"])
            else:
                changed = False
            return [Lost(file, str(about["title"]), float(about["kept_s"]), path, changed)]
        except (RigfeedError, OSError, ValueError, KeyError, TypeError) as error:
            log.warning("%s cannot be read: %s", path, error)
            return []


def _read(path: FilePath) -> tuple[dict[str, Any], str]:
    """What the remark of a recovery file says, and the design below it."""
    remark, _, text = read_bytes(path, most=2 * MOST_BYTES).decode("utf-8").partition("\n")
    if not remark.startswith(REMARK):
        raise ValueError("it does not begin with the remark")
    about: dict[str, Any] = json.loads(remark.removeprefix(REMARK))
    if about["text"] != _digest(text):
        raise ValueError("it was changed since it was kept")
    parse(text, str(path))
    return about, text


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def _name(work: Work, token: str) -> str:
    what = str(work.path.resolve()) if work.path else secrets.token_hex(8)
    return f"{hashlib.sha256(what.encode()).hexdigest()[:16]}-{token}.toml"


class _Lock:
    """A file that is locked as long as a process lives, however it ends."""

    def __init__(self, path: FilePath) -> None:
        self.path = path
        self._file: IO[bytes] | None = None

    def take(self) -> bool:
        """Lock it; False where another process holds it."""
        file = open(self.path, "ab")  # noqa: SIM115 - stays open as long as the lock is held
        try:
            _lock(file)
        except OSError:
            file.close()
            return False
        self._file = file
        return True

    def is_held(self) -> bool:
        """Whether a process that lives holds it; where none does, it goes."""
        if not self.path.exists():
            return False
        if not self.take():
            return True
        self.leave()
        return False

    def leave(self) -> None:
        """Unlock and remove it."""
        if self._file is not None:
            self._file.close()
            self._file = None
            with suppress(OSError):
                self.path.unlink(missing_ok=True)


def _lock(file: IO[bytes]) -> None:
    """Lock an open file or raise OSError; the system lets go when the process ends."""
    if os.name == "nt":
        import msvcrt

        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined, unused-ignore]
    else:
        import fcntl

        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
