"""Edits that mend a finding, where what to do is plain and the shelf has what it takes.

Whoever shows findings asks `fixes_for`; nothing is changed unless a person says so.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rigfeed.checks.check import Finding
from rigfeed.design.edit import Edit
from rigfeed.parts.shelf import Shelf

if TYPE_CHECKING:
    from rigfeed.assess import Assessment


def fixes_for(finding: Finding, assessment: Assessment, shelf: Shelf) -> list[tuple[Edit, ...]]:
    """The edits that mend a finding of an assessment, one tuple for each way to do it."""
    return []
