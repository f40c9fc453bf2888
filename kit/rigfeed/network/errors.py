"""What can be wrong with a network: a fault of whoever compiled it, located by element and number.

A network that cannot run (no operating point, nothing feeds a load) is no error: the solution names what it is.
"""

from __future__ import annotations

from rigfeed.errors import Place, RigfeedError
from rigfeed.path import Path


class NetworkError(RigfeedError, ValueError):
    """An element or a value that no network can be made of; its place is ``network.<element>.<number>``."""

    @classmethod
    def about(cls, what: str, *keys: str, remedy: str = "") -> NetworkError:
        """The error at one element, or at one number of it."""
        return cls(what, place=Place(path=Path("network", *keys)), remedy=remedy)
