"""Characters that a file format or a printer cannot carry, made visible instead of lost."""

from __future__ import annotations

import re

# C0 controls except tab and line breaks, DEL and C1 controls except the line break among them, halves of surrogate
# pairs, and the two code points that are no characters: what XML 1.0 section 2.2 forbids or discourages. A byte order
# mark inside a text is none.
_UNSEEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufeff\ufffe\uffff]")
_BREAK = re.compile("\r\n?|[\x85\u2028\u2029]")


def visible(text: str) -> str:
    r"""The text with every control character as its control picture, or as the replacement character.

    >>> visible("bell\x07")
    'bell␇'
    """
    return _UNSEEN.sub(_picture, text)


def plain_lines(text: str) -> str:
    r"""The text with every kind of line break as the one that a sheet knows, and a blank for a tab, which it hides.

    >>> plain_lines("one\r\ntwo\rthree\tfour")
    'one\ntwo\nthree four'
    """
    return _BREAK.sub("\n", text).replace("\t", " ")


def _picture(match: re.Match[str]) -> str:
    code = ord(match[0])
    if code < 0x20:
        return chr(0x2400 + code)
    return "\u2421" if code == 0x7F else "\ufffd"
