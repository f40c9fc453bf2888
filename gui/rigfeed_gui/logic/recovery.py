"""What survives a crash: every edit goes to a journal in the state folder of the platform.

Each window marks its own files with a token, and holds a lock of that name while it runs: what has no holder
was left behind.
"""

from __future__ import annotations

import hashlib
import logging
import os
import secrets
import threading
from contextlib import suppress
from pathlib import Path as FilePath
from typing import IO
from weakref import WeakKeyDictionary

from rigfeed.design.file import MOST_BYTES
from rigfeed.errors import FileProblem, Place, RigfeedError
from rigfeed.files import read_bytes
from rigfeed.frozen import frozen
from rigfeed_gui.logic.journal import Journal, read_journal
from rigfeed_gui.logic.words import say
from rigfeed_gui.logic.work import Work

log = logging.getLogger("rigfeed")


@frozen
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
    """Keeps the design in hand."""

    def __init__(self, folder: FilePath | None = None) -> None:
        self.folder = folder or recovery_folder()
        self._token = secrets.token_hex(6)
        self._lock = _Lock(self.folder / f"{self._token}.lock")
        self._journals: WeakKeyDictionary[Work, Journal] = WeakKeyDictionary()
        self._flushing: threading.Thread | None = None
        self._trouble: str | None = None
        try:
            self._begin()
        except OSError as error:  # a window without this is better than none: it says so, and edits try again
            self._failed(error)

    def _begin(self) -> None:
        """The folder, and the lock in it."""
        self.folder.mkdir(parents=True, exist_ok=True)
        if not self._lock.taken:
            self._lock.take()

    def keep(self, work: Work) -> None:
        """Write what was done last. Nothing waits for the disk: a thread sees to it that it takes what was written."""
        journal = self._journals.get(work)
        try:
            self._begin()
            if journal is None or not journal.goes_on(work):
                place = journal.place if journal else self.folder / _name(work, self._token)
                journal = self._journals[work] = Journal(place, work)
            self._trouble = None
            self._flush(journal)
        except (RigfeedError, OSError) as error:
            self._failed(error)
            self._journals.pop(work, None)

    def _failed(self, error: RigfeedError | OSError) -> None:
        log.warning("the design could not be kept: %s", error)
        reason = getattr(error, "strerror", None) or error
        self._trouble = str(FileProblem(say("recovery.failed", why=reason), place=Place(file=str(self.folder))))

    def forget(self, work: Work) -> None:
        """It is saved, or given up: its recovery file goes."""
        journal = self._journals.pop(work, None)
        if journal is not None:
            with suppress(OSError):
                journal.place.unlink(missing_ok=True)

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
        """Take away the locks of windows that are no more."""
        for path in self.folder.glob("*.lock"):
            if path != self._lock.path:
                _Lock(path).is_held()

    def restore(self, lost: Lost) -> Work:
        """The design of a crash; undo leads back to what its file holds. It stays kept until saved.

        Raises
        ------
        FileProblem, DesignError, UnknownName, InputErrors
            If what was kept cannot be read; it stays where it is.
        """
        kept = read_journal(lost.at)
        work = Work.recovered(kept.text, lost.file, kept.replay)
        self.keep(work)
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
        """Have the disk take everything. What was kept and not forgotten stays, for the next start."""
        if self._flushing is not None:
            self._flushing.join()
        for journal in self._journals.values():
            _flushed(journal)
        self._lock.leave()

    def _flush(self, journal: Journal) -> None:
        """One thread at a time; what is written while it is at work is taken along with what comes next."""
        if self._flushing is None or not self._flushing.is_alive():
            self._flushing = threading.Thread(target=_flushed, args=(journal,), daemon=True)
            self._flushing.start()

    def _left(self, path: FilePath) -> list[Lost]:
        """What a recovery file holds, nothing where its own file holds the same: the crash came after the saving."""
        try:
            kept = read_journal(path)
            file = FilePath(kept.about["file"]) if kept.about.get("file") else None
            work, changed = kept.work, False
            if file is not None and file.exists():
                there = read_bytes(file, most=2 * MOST_BYTES)
                if there == work.text().encode():
                    path.unlink()
                    return []
                changed = file.stat().st_mtime > float(kept.about["kept_s"])
            return [Lost(file, work.title, path.stat().st_mtime, path, changed)]
        except (RigfeedError, OSError, ValueError, KeyError, TypeError) as error:
            log.warning("%s cannot be read: %s", path, error)
            return []


def _flushed(journal: Journal) -> None:
    with suppress(OSError):  # it may be forgotten meanwhile
        journal.flush()


def _name(work: Work, token: str) -> str:
    what = str(work.path.resolve()) if work.path else secrets.token_hex(8)
    return f"{hashlib.sha256(what.encode()).hexdigest()[:16]}-{token}.toml"


class _Lock:
    """A file that is locked as long as a process lives, however it ends."""

    def __init__(self, path: FilePath) -> None:
        self.path = path
        self._file: IO[bytes] | None = None

    @property
    def taken(self) -> bool:
        """Whether this object holds it, and everybody can see that: nobody has taken the file away."""
        return self._file is not None and self.path.exists()

    def take(self) -> bool:
        """Lock it; False where another process holds it."""
        file = open(self.path, "ab")  # noqa: SIM115 - stays open as long as the lock is held
        try:
            _lock(file)
        except OSError:
            file.close()
            return False
        if self._file is not None:
            self._file.close()
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
