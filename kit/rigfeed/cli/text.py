"""Text for a terminal of 80 columns."""

from __future__ import annotations

import textwrap

WIDTH = 79


def hanging(lead: str, text: str) -> list[str]:
    """Lines of a text that begins after `lead`; the following ones are indented as far.

    >>> hanging("- ", "one two")
    ['- one two']
    """
    return textwrap.wrap(
        text, WIDTH, initial_indent=lead, subsequent_indent=" " * min(len(lead), WIDTH // 2), break_on_hyphens=False
    ) or [lead.rstrip()]
