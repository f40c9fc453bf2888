"""How a workbook shows the numbers that it holds: by the format of the cell (ISO/IEC 29500-1, 18.8.31), or as it says
itself.

A sheet that shows ``16 AWG``, ``2.5 mm`` or ``50 %`` may hold 16, 2.5 or 0.5: what stands around the number is read
with it. The digits themselves are those that the cell holds, which may be shown with fewer.
"""

from __future__ import annotations

import math
import re

from rigfeed.frozen import frozen
from rigfeed.intake.numbers import figures

LONGEST_FORMAT = 200  # characters that are looked at
DAYS = frozenset((*range(14, 23), *range(45, 48)))  # the number formats of days and times that need no declaration
PERCENT = frozenset((9, 10))  # and those of hundredths
_QUIET = re.compile(r'"[^"]*"|\\.|_.|\[(?!h+\]|m+\]|s+\])[^\]]*\]')  # parts of a number format that are no pattern
_PIECE = re.compile(
    r'"(?P<quoted>[^"]*)"|\\(?P<escaped>.)|[_*].|\[\$(?P<sign>[^\]-]*)[^\]]*\]|(?P<when>\[[<>=][^\]]*\])|\[[^\]]*\]'
    r"|(?P<digits>General|[0#?](?:[0#?.,/]|E[+-])*|\.[0#?]+)|(?P<end>;)|(?P<text>.)", re.IGNORECASE | re.DOTALL,
)
_UNIT = r"\s*[^\s\d.,:;/+*()'\u2019\u2212\u2013-].*"  # may hold a digit, as mm2 and EUR/100 m do; a fraction is none
_SHOWN = re.compile(
    rf"(\D*?)[-+\u2212]?\d(?:[\d.,'\u2019 \u00a0\u202f]*\d)?(?:E[-+]?\d+)?(\D*|{_UNIT})", re.IGNORECASE | re.DOTALL
)


@frozen
class Look:
    """How a cell shows its number: times `factor`, between two texts; or as a day."""

    before: str = ""
    after: str = ""
    factor: float = 1.0
    is_day: bool = False

    def text(self, value: str) -> str:
        """A number as it is shown; empty if it is none.

        >>> Look(after="%", factor=100.0).text("0.07"), Look(before="AWG ").text("16.0"), Look().text("x")
        ('7%', 'AWG 16', '')
        """
        number = shown_number(value)
        if number and self.factor != 1.0:
            number = shown_number(repr(float(number) * self.factor))
        return f"{self.before}{number}{self.after}".strip() if number else ""


PLAIN = Look()
HUNDREDTHS = Look(after="%", factor=100.0)


def look_of(code: str) -> Look:
    """What the format of a cell makes of a number that is above zero.

    >>> look_of('0.0" mm"'), look_of("0.00%").factor, look_of("dd/mm").is_day
    (Look(before='', after=' mm', factor=1.0, is_day=False), 100.0, True)
    """
    code = code[:LONGEST_FORMAT]
    if re.search("[dmyhs]", _QUIET.sub("", code), re.IGNORECASE):
        return Look(is_day=True)
    before, after, digits, factor = "", "", "", 1.0
    for piece in _PIECE.finditer(code):
        if piece["when"]:
            return PLAIN  # which of its parts is shown depends on the number
        if piece["end"]:
            break
        text = next((text for text in map(piece.group, ("quoted", "escaped", "sign", "text")) if text), "")
        factor *= 100.0 if piece["text"] == "%" else 1.0
        if piece["digits"] and digits and after:
            return PLAIN  # a text stands inside of the number
        if piece["digits"]:
            digits += piece["digits"]
        elif digits:
            after += text
        else:
            before += text
    if not digits or ",." in digits:
        return PLAIN  # a comma in front of the point makes thousands in one program and nothing in another
    thousands = len(digits) - len(digits.rstrip(","))
    return Look(before.removesuffix("+"), after, factor / 1000.0**thousands)  # a number brings its own sign


def look_in(shown: str, value: float) -> Look:
    """What stands around a number as it is shown; nothing where that is another number: 1.3k is not 1250k.

    >>> look_in("2,5 mm", 2.5), look_in("1.3k", 1250.0)
    (Look(before='', after=' mm', factor=1.0, is_day=False), Look(before='', after='', factor=1.0, is_day=False))
    """
    found = _SHOWN.fullmatch(shown)
    seen = figures(shown)[:1] if found else ()
    either = [other for number in seen for other in (number.value, number.other) if other is not None]
    if found and any(other == 0.0 or abs(value) / 2 <= other <= abs(value) * 2 for other in either):
        return Look(found[1], found[2])
    return PLAIN


def shown_number(text: str) -> str:
    """A number of a workbook as text, without the digits that come of binary; empty if it is none.

    >>> shown_number("2.5"), shown_number("16.0"), shown_number("0.30000000000000004"), shown_number("x")
    ('2.5', '16', '0.3', '')
    """
    try:
        value = float(text[:40])
    except ValueError:
        return ""
    if not math.isfinite(value) or abs(value) > 1e15:
        return text[:40]
    shown = f"{value:.12g}"
    return shown if "e" not in shown else f"{value:.15f}".rstrip("0").rstrip(".")
