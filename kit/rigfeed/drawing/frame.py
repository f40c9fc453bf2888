"""The page of a drawing: its title, job line and caution, and what is drawn scaled into the middle of it.

A drawing is laid out at its natural size, with letters of `TEXT_MM`. On the page it grows or shrinks in steps. Where
nobody asks for a page it is A4 if letters of `EASY_TEXT_MM` have room there, else the first of the other `SIZES` on
which they are `LEAST_TEXT_MM` high. A page that somebody asks for stays: what is too much for it becomes smaller still,
and the page says so.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rigfeed.assess import Assessment
from rigfeed.cautions import CAUTIONS
from rigfeed.drawing.font import cut, plain, wrap
from rigfeed.drawing.legend import Legend, legend
from rigfeed.drawing.marks import Mark
from rigfeed.drawing.places import Box
from rigfeed.drawing.scene import Item, Lettering, Line, Scene, moved
from rigfeed.frozen import frozen
from rigfeed.papers.paper import Page, Wanted
from rigfeed.papers.write import job_line

PAGES: dict[Page, tuple[float, float]] = {  # lying, width and height [mm]; ISO 216, and the letter of ANSI Y14.1
    "A4": (297.0, 210.0), "A3": (420.0, 297.0), "A2": (594.0, 420.0), "A1": (841.0, 594.0), "A0": (1189.0, 841.0),
    "Letter": (279.4, 215.9),
}
SIZES: tuple[Page, ...] = ("A4", "A3", "A2", "A1", "A0")
MARGIN = 8.0
TEXT_MM = 2.5
LEAST_TEXT_MM = 1.8
EASY_TEXT_MM = 2.12  # what the first size must allow if nobody asks for it: little room makes many small letters
SCALES = (1.4, 1.3, 1.2, 1.1, 1.0, 0.92, 0.85, 0.78, 0.721)  # steps: what is added seldom changes the size
CAUTION_MM = 2.2
FOOT = 7.0
LEGEND_SHARE = 0.25  # of the height of the page


@frozen
class Content:
    """What is drawn, at its natural size: from (0, 0) to `width_mm` and `height_mm`, with letters of `TEXT_MM` and
    more. `note` is a line for the reader, such as which state the figures belong to. Positions of a person count in
    `room`; all of it if None."""

    items: tuple[Item, ...]
    width_mm: float
    height_mm: float
    note: str = ""
    room: Box | None = None


def page_scene(
    assessment: Assessment, name: str, title: str, description: str, content: Content, marks: Sequence[Mark],
    wanted: Wanted, tight: Callable[[], Content] | None = None,
) -> Scene:
    """A drawing on its page. `tight` makes the same content in less room, for where the page has not enough."""
    page, room, signs, content = _chosen(content, marks, wanted, tight)
    scale = _scale(content, room)
    left = room.left + (room.width - content.width_mm * scale) / 2
    top = room.top + (room.height - content.height_mm * scale) / 2
    wide, high = PAGES[page]
    note = content.note
    if TEXT_MM * scale < LEAST_TEXT_MM * 0.999:
        small = f"the smallest letters are {TEXT_MM * scale:.1f} mm high, a larger page shows them better"
        note = f"{note}; {small}" if note else small
    items = (
        *_title(assessment, title, note, wide), *moved(content.items, (left, top), scale),
        *moved(signs.items, (MARGIN, room.bottom + 3.0)), *_foot(wide, high),
    )
    job = assessment.installation.title
    own = content.room or Box(0.0, 0.0, content.width_mm, content.height_mm)
    placed = Box(own.left * scale, own.top * scale, own.right * scale, own.bottom * scale).moved(left, top)
    return Scene(name, plain(f"{title}: {job}"), description, wide, high, items, placed)


def _chosen(
    content: Content, marks: Sequence[Mark], wanted: Wanted, tight: Callable[[], Content] | None,
) -> tuple[Page, Box, Legend, Content]:
    """The page with the room on it, the legend for its width, and the content that fits."""
    forms = [content]
    for page in (wanted.page,) if wanted.page else SIZES:
        room, signs = _room(page, marks, wanted)
        least_mm = EASY_TEXT_MM if page == SIZES[0] and not wanted.page else LEAST_TEXT_MM
        for form in forms:
            if _fits(form, room, least_mm):
                return page, room, signs, form
        if tight is not None:
            forms, tight = [content, tight()], None
            if _fits(forms[-1], room, least_mm):
                break
    return page, room, signs, forms[-1]


def _scale(content: Content, room: Box) -> float:
    """The largest step at which it fits, else what just fits."""
    most = min(room.width / content.width_mm, room.height / content.height_mm)
    return next((scale for scale in SCALES if scale <= most + 1e-9), most)


def _fits(content: Content, room: Box, least_mm: float) -> bool:
    """Whether it goes into the room with letters of that size."""
    scale = least_mm / TEXT_MM
    return room.width >= content.width_mm * scale and room.height >= content.height_mm * scale


def _room(page: Page, marks: Sequence[Mark], wanted: Wanted) -> tuple[Box, Legend]:
    """The room between title and legend, which takes a quarter of the page as long as it can."""
    wide, high = PAGES[page]
    top, bottom = MARGIN + 14.5, high - MARGIN - FOOT - 2.0
    signs = legend(marks, wide - 2 * MARGIN, high * LEGEND_SHARE, wanted.system)
    taken = signs.height_mm + 3.0 if marks else 0.0
    return Box(MARGIN, top, wide - MARGIN, bottom - taken), signs


def _title(assessment: Assessment, title: str, note: str, wide: float) -> tuple[Item, ...]:
    room = wide - 2 * MARGIN
    rule = Line(((MARGIN, MARGIN + 12.5), (wide - MARGIN, MARGIN + 12.5)), 0.3)
    under = job_line(assessment) + (f" - {note}" if note else "")
    return (
        Lettering((MARGIN, MARGIN + 4.5), cut(plain(title), room, 5.0, bold=True), 5.0, bold=True),
        Lettering((MARGIN, MARGIN + 10.0), cut(plain(under), room, 3.0), 3.0), rule,
    )


def _foot(wide: float, high: float) -> tuple[Item, ...]:
    """The cautions."""
    top = high - MARGIN - FOOT
    lines = wrap(" ".join(CAUTIONS), wide - 2 * MARGIN, CAUTION_MM, most=2)
    rule = Line(((MARGIN, top), (wide - MARGIN, top)), 0.3)
    return (rule, *(Lettering((MARGIN, top + 3.0 * row + 0.2), text, CAUTION_MM) for row, text in enumerate(lines, 1)))
