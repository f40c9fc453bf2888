"""A design in hand: what it is now, how it came to that, and the file it belongs to."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path as FilePath
from typing import Literal

from rigfeed.design.edit import Edit, apply
from rigfeed.design.file import DesignFile, parse
from rigfeed.design.model import Design
from rigfeed.errors import InputError
from rigfeed.frozen import frozen
from rigfeed.parts.shelf import Shelf, open_shelf
from rigfeed_gui.logic.words import say


@frozen
class _Step:
    """The design before and after one edit, and what was done, in words."""

    before: Design
    after: Design
    words: str


@frozen
class Done:
    """What was done last: an edit with its edits, `undo`, `redo`, or `other` (the file was read again); `version` is
    that of the design after it, `before` the design before."""

    sort: Literal["edit", "undo", "redo", "other"]
    version: int
    before: Design
    edits: tuple[Edit, ...] = ()
    words: str = ""


class Work:
    """One design being worked on. Every change is an edit that can be undone, without limit.

    `design` is the newest, `version` counts every change of it (undo and redo too), `path` is None until it is saved
    for the first time, `shelf` are the parts in use.
    """

    def __init__(self, file: DesignFile, path: FilePath | None, saved: Design | None) -> None:
        self.path = path
        self.shelf: Shelf = open_shelf(path)
        self._file, self._saved = file, saved
        self._design, self._version = file.design, 0
        self._done: list[_Step] = []
        self._undone: list[_Step] = []
        self.last: Done | None = None

    @classmethod
    def open(cls, path: FilePath) -> Work:
        """Read a file; raises as `rigfeed.design.file.read` does."""
        file = DesignFile.open(path)
        return cls(file, path, file.design)

    @classmethod
    def fresh(cls, text: str, *, kept: bool = False) -> Work:
        """A design that has no file yet, from the text of one; raises as `rigfeed.design.file.parse` does.

        `kept`: the text is to be had again (a demonstration), so nothing is lost as long as nobody edits it.
        """
        design = parse(text)
        return cls(DesignFile(FilePath(), text, design), None, design if kept else None)

    @classmethod
    def recovered(cls, text: str, path: FilePath | None, replay: Callable[[Work], None]) -> Work:
        """A design that was not saved when the program ended: its text, and what had been done to it since.

        Undo leads back to what its file holds now, if there is one that can be read.
        """
        design = parse(text)
        found = cls(DesignFile(path or FilePath(), text, design), path, None)
        try:
            there = cls.open(path) if path is not None and path.exists() else None
        except InputError:  # what stands there now is no design; saving says that it was changed
            there = None
        if there is None or there.design == design:
            found = there or found
            replay(found)
            return found
        replay(found)
        there._change(found.design, say("did.recover"))
        return there

    def __repr__(self) -> str:
        return f"<Work {self.title!r}, version {self.version}{', not saved' if self.dirty else ''}>"

    @property
    def design(self) -> Design:
        """The design as it is now."""
        return self._design

    @property
    def version(self) -> int:
        """Grows with every change."""
        return self._version

    @property
    def title(self) -> str:
        """The title of the design, else the name of its file."""
        return self._design.job.title or (self.path.stem if self.path else say("work.untitled"))

    @property
    def dirty(self) -> bool:
        """Whether it differs from what was last read or saved."""
        return self._saved is None or (self._design is not self._saved and self._design != self._saved)

    @property
    def saved(self) -> Design | None:
        """The design as it was last read or saved; None for one that has no file yet."""
        return self._saved if self.path is not None else None

    @property
    def undoes(self) -> str | None:
        """What `undo` would take back, in words; None where there is nothing."""
        return self._done[-1].words if self._done else None

    @property
    def redoes(self) -> str | None:
        """What `redo` would do again, in words; None where there is nothing."""
        return self._undone[-1].words if self._undone else None

    def edit(self, edits: Iterable[Edit], words: str) -> None:
        """Change the design; `words` say what is done, for undo. What changes nothing leaves nothing to undo.

        Raises
        ------
        DesignError, UnknownName, InputErrors
            If the result is no valid design; nothing has changed then.
        """
        edits = tuple(edits)
        before, after = self._design, apply(self._design, edits)
        if after != before:
            self._change(after, words)
            self.last = Done("edit", self._version, before, edits, words)

    def undo(self) -> None:
        """Take the last edit back; nothing happens where there is none."""
        if self._done:
            step = self._done.pop()
            self._undone.append(step)
            self._become(step.before)
            self.last = Done("undo", self._version, step.after)

    def redo(self) -> None:
        """Do again what was undone last; nothing happens where there is none."""
        if self._undone:
            step = self._undone.pop()
            self._done.append(step)
            self._become(step.after)
            self.last = Done("redo", self._version, step.before)

    def save(self) -> None:
        """Write to its file.

        Raises
        ------
        FileProblem
            If it cannot be written, or was changed by another program since (`changed_on_disk`).
        ValueError
            If it has no file yet: a fault of the window, which asks for a name first.
        """
        if self.path is None:
            raise ValueError("there is no file to save to")
        self._file.save(self._design)
        self._saved = self._design

    def save_as(self, path: FilePath) -> None:
        """Write to another file, which is its file from then on; one that is there is replaced."""
        self._file.save(self._design, other=path)
        moved = self.path is None or self.path.parent.resolve() != path.parent.resolve()
        self.path, self._saved = path, self._design
        if moved:
            self.shelf = open_shelf(path)
            self._version += 1  # other catalogs may lie beside it there

    def look_again(self) -> None:
        """Open the shelf anew: its catalogs have changed."""
        self.shelf = open_shelf(self.path)
        self._version += 1

    def changed_on_disk(self) -> bool:
        """Whether another program changed the file since it was read or saved."""
        return self.path is not None and self._file.changed_on_disk()

    def is_gone(self) -> bool:
        """Whether the file it was read from, or saved to, is there no more. From then on it counts as not saved."""
        if self.path is None or self._saved is None:
            return False
        try:
            gone = not self.path.exists()
        except OSError:  # nobody can tell: saving will say what is wrong
            return False
        if gone:
            self._saved = None
        return gone

    def read_again(self) -> None:
        """Take what the file and the catalogs beside it hold now; undo leads back. Raises as `open` does."""
        if self.path is None:
            return
        file = DesignFile.open(self.path)
        self.shelf = open_shelf(self.path)
        self._file, self._saved = file, file.design
        self._change(file.design, say("did.read-again"))

    def text(self, design: Design | None = None) -> str:
        """What `save` would write, of this or of an older design."""
        return self._file.text(self._design if design is None else design)

    def _change(self, after: Design, words: str) -> None:
        before = self._design
        self._done.append(_Step(before, after, words))
        self._undone.clear()
        self._become(after)
        self.last = Done("other", self._version, before, words=words)

    def _become(self, design: Design) -> None:
        self._design = design
        self._version += 1
