"""What can go wrong with what is kept.

::

    StoreError
    ├── NotKept           no design, or no revision, of that name
    ├── Deleted           there was one; its revisions can still be read
    ├── Changed           somebody else has changed it since the caller read it
    ├── NameTaken         a token of that name exists
    └── StoreProblem      the file cannot be read or written now: nothing was changed
        └── StoreFull     there is no room for more
"""

from __future__ import annotations

from rigfeed.errors import RigfeedError


class StoreError(RigfeedError):
    """Something that is asked of the store cannot be done."""


class NotKept(StoreError, LookupError):
    """There is no such design, revision or token."""


class Deleted(StoreError):
    """The design was deleted."""


class Changed(StoreError):
    """The design is not what the caller takes it for; `tag` is that of what it is now."""

    def __init__(self, what: str, tag: str) -> None:
        self.tag = tag
        super().__init__(what, remedy="read it again, and change what is there now")


class NameTaken(StoreError):
    """There is, or was, one of that name."""


class StoreProblem(StoreError, OSError):
    """The file of the store cannot be used now."""


class StoreFull(StoreProblem):
    """There is no room for more, on the disk or by the bounds of the store: nothing was changed."""
