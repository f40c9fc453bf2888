"""Findings in a picture: each gets a number in a mark whose shape is its severity; the legend has the words.

An error is a filled square, a warning a triangle, an advice a circle: shapes that no colour is needed to tell apart.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence

from rigfeed.checks.check import Finding
from rigfeed.drawing.font import CAPITAL, plain, width_mm
from rigfeed.drawing.places import Box
from rigfeed.drawing.scene import Circle, Group, Ink, Lettering, Line, Point
from rigfeed.frozen import frozen
from rigfeed.path import Path

SIZE = 3.0  # mm, height and least width of a mark
PEAK = 3.2  # mm, height of a triangle
NUMBER_MM = 2.5
GAP = 0.6


@frozen
class Mark:
    """A finding with its number in this picture."""

    number: int
    finding: Finding

    @property
    def severity(self) -> Ink:
        """Its severity, which is also its ink."""
        word = self.finding.severity
        return word if word in ("error", "warning") else "advice"

    @property
    def word(self) -> str:
        """What the legend calls it."""
        return f"{self.severity}, accepted" if self.finding.accepted_by else self.severity


def numbered(findings: Iterable[Finding], drawn: Collection[Path]) -> tuple[Mark, ...]:
    """The findings whose subjects are drawn, numbered in the order of the assessment; what lies within a subject (its
    end, its setting) counts as the subject."""
    shown = [finding for finding in findings if _drawn(finding.subject, drawn) is not None]
    return tuple(Mark(number, finding) for number, finding in enumerate(shown, 1))


def by_subject(marks: Iterable[Mark], drawn: Collection[Path]) -> Mapping[Path, tuple[Mark, ...]]:
    """The marks that belong on each subject that is drawn."""
    found: dict[Path, tuple[Mark, ...]] = {}
    for mark in marks:
        subject = _drawn(mark.finding.subject, drawn)
        if subject is not None:
            found[subject] = (*found.get(subject, ()), mark)
    return found


def _drawn(subject: Path, drawn: Collection[Path]) -> Path | None:
    return next((Path.of(subject[:n]) for n in range(len(subject), 0, -1) if Path.of(subject[:n]) in drawn), None)


def mark_width(mark: Mark) -> float:
    """How wide a mark is [mm]."""
    number = width_mm(str(mark.number), NUMBER_MM, bold=True)
    if mark.severity == "warning":  # the triangle is as wide as the number at the height of its digits
        return (number + 0.3) / (1 - (CAPITAL * NUMBER_MM + 0.25) / PEAK)
    return number + (1.9 if mark.severity == "advice" else 1.6)


def marks_width(marks: Sequence[Mark]) -> float:
    """How wide marks in a row are, with the gap behind each [mm]."""
    return sum(mark_width(mark) + GAP for mark in marks)


def marks_row(marks: Iterable[Mark], left_middle: Point) -> tuple[Group, ...]:
    """Marks side by side, from the middle of their left edge."""
    found: list[Group] = []
    x, y = left_middle
    for mark in marks:
        wide = mark_width(mark)
        found.append(_drawn_mark(mark, (x + wide / 2, y)))
        x += wide + GAP
    return tuple(found)


def _drawn_mark(mark: Mark, middle: Point) -> Group:
    x, y = middle
    half, wide = SIZE / 2, mark_width(mark) / 2
    ink = mark.severity
    outline: Line | Circle
    if ink == "error":
        outline = Line(Box(x - wide, y - half, x + wide, y + half).corners, 0.3, ink, closed=True, fill=ink)
    elif ink == "warning":
        corners = ((x - wide, y + half), (x, y + half - PEAK), (x + wide, y + half))
        outline = Line(corners, 0.3, ink, closed=True, fill="paper")
    else:
        outline = Circle(middle, wide, 0.3, ink, fill="paper")
    base = (x, y + (half - 0.25 if ink == "warning" else CAPITAL / 2 * NUMBER_MM))
    number = Lettering(base, str(mark.number), NUMBER_MM, "middle", "paper" if ink == "error" else "ink", bold=True)
    title = f"{mark.number} {mark.word}, {mark.finding.check}: {mark.finding.text()}"
    return Group(mark.finding.subject, (outline, number), plain(title))
