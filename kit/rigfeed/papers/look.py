"""How the cells of a sheet look: black on white, emphasis by weight and rules, so that any printer will do."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from rigfeed.frozen import frozen
from rigfeed.papers.layout import TEXT_PT, TITLE_PT

if TYPE_CHECKING:
    from openpyxl.styles import Alignment, Border, Font

FONT = "Arial"  # asked for by name; a machine without it has another sans-serif font, and the layout allows for that
BLACK, GREY = "FF000000", "FF808080"


@frozen
class Look:
    """Fonts, rules and alignments, made once: a workbook stores each of them once and cells refer to it."""

    plain: Font
    bold: Font
    title: Font
    head_rules: Border
    row_rules: Border
    last_rules: Border
    group_rules: Border
    first_rules: Border
    left: Alignment
    right: Alignment
    number: Alignment
    paragraph: Alignment


@cache
def look() -> Look:
    """The look of every sheet; loads the spreadsheet library."""
    from openpyxl.styles import Alignment, Border, Font, Side

    thick, dark, thin, faint = Side("medium", BLACK), Side("thin", BLACK), Side("thin", GREY), Side("hair", GREY)
    return Look(
        plain=Font(name=FONT, size=TEXT_PT),
        bold=Font(name=FONT, size=TEXT_PT, bold=True),
        title=Font(name=FONT, size=TITLE_PT, bold=True),
        head_rules=Border(left=faint, right=faint, top=thick, bottom=thick),
        row_rules=Border(left=faint, right=faint, bottom=thin),
        last_rules=Border(left=faint, right=faint, bottom=thick),
        group_rules=Border(left=faint, right=faint, bottom=dark),
        first_rules=Border(left=faint, right=faint, top=thick, bottom=thin),
        left=Alignment("left", "center", wrap_text=True),
        right=Alignment("right", "center", wrap_text=True),
        number=Alignment("right", "center"),
        paragraph=Alignment("left", "top", wrap_text=True),
    )
