"""A design in hand: what it is now, how it came to that, and the file it belongs to."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path as FilePath

from rigfeed.design.edit import Edit
from rigfeed.design.model import Design
from rigfeed.parts.shelf import Shelf


class Work:
    """One design being worked on. Every change is an edit that can be undone, without limit.

    `design` is the newest, `version` counts every change of it (undo and redo too), `path` is None until it is saved
    for the first time, `shelf` are the parts in use.
    """

    path: FilePath | None
    shelf: Shelf

    @classmethod
    def open(cls, path: FilePath) -> Work:
        """Read a file; raises as `rigfeed.design.file.read` does."""
        raise NotImplementedError

    @classmethod
    def fresh(cls, text: str) -> Work:
        """A design that has no file yet, from the text that `rigfeed.beginning.first_design` wrote."""
        raise NotImplementedError

    @property
    def design(self) -> Design:
        """The design as it is now."""
        raise NotImplementedError

    @property
    def version(self) -> int:
        """Grows with every change."""
        raise NotImplementedError

    @property
    def title(self) -> str:
        """The title of the design, else the name of its file."""
        raise NotImplementedError

    @property
    def dirty(self) -> bool:
        """Whether it differs from what was last read or saved."""
        raise NotImplementedError

    @property
    def undoes(self) -> str | None:
        """What `undo` would take back, in words; None where there is nothing."""
        raise NotImplementedError

    @property
    def redoes(self) -> str | None:
        """What `redo` would do again, in words; None where there is nothing."""
        raise NotImplementedError

    def edit(self, edits: Iterable[Edit], words: str) -> None:
        """Change the design; `words` say what is done, for undo.

        Raises
        ------
        DesignError, UnknownName, InputErrors
            If the result is no valid design; nothing has changed then.
        """
        raise NotImplementedError

    def undo(self) -> None:
        """Take the last edit back; nothing happens where there is none."""
        raise NotImplementedError

    def redo(self) -> None:
        """Do again what was undone last; nothing happens where there is none."""
        raise NotImplementedError

    def save(self) -> None:
        """Write to its file.

        Raises
        ------
        FileProblem
            If it cannot be written, or was changed by another program since (`changed_on_disk`).
        """
        raise NotImplementedError

    def save_as(self, path: FilePath) -> None:
        """Write to another file, which is its file from then on; one that is there is replaced."""
        raise NotImplementedError

    def changed_on_disk(self) -> bool:
        """Whether another program changed the file since it was read or saved."""
        raise NotImplementedError

    def read_again(self) -> None:
        """Take what the file holds now, as an edit that can be undone; raises as `open` does."""
        raise NotImplementedError

    def text(self) -> str:
        """What `save` would write now."""
        raise NotImplementedError
