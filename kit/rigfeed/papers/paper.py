"""What a paper is: a name, a title, and a pure function from an assessment to its content."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from rigfeed.papers.table import Table
from rigfeed.quantity import System
from rigfeed.view import Study

if TYPE_CHECKING:
    from rigfeed.assess import Assessment


@dataclass(frozen=True, eq=False)
class Paper:
    """Something to print. `needs` are the studies whose results its content reads from the assessment.

    Writers convert the numbers in cells; the content is told the unit system for the numbers inside of sentences.
    """

    name: str
    title: str
    content: Callable[[Assessment, System], Table]
    needs: tuple[Study[Any], ...] = ()
