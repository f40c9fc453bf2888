"""Sizes as cable lists print them: every way to read a text, and the one on which the row agrees with itself.

Four languages: mm2, American gauge (also called B&S), strands x diameter, and outside-diameter names ("6 mm auto", of
which only the outside is defined). A text may be read in several; what else the row says (strands, resistance, outside
diameter) decides, and a draw is not decided here.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import lru_cache

from rigfeed.plugin import frozen
from rigfeed_cables import awg

AUTO_MM2 = {"3": 0.85, "4": 1.85, "6": 4.6}  # common practice, no source: by outside diameter of the insulation
MOST_CORES = 7  # of a cable for power; more of anything are strands
NEAR = 1.16  # two areas are the same size within this: less metal in a gauge, strands that fall short of the name
PAIR = 1.04  # strands fall short of their name by 2 %, and a gauge in round mm2 is as near; more is a wrong pair
_N = r"(\d+(?:[.,]\d+)?|[.,]\d+)"
_GAUGE = r"(?:awg|b\s?&\s?s|b\s?&amp;\s?s|ga(?:uge)?|swg)\b"
_MM2 = r"(?:mm²|mm2|mm\^2|sq\.?\s?mm|qmm|sq\b|mmq\b)"
_STRANDS = r"(?<![\d.,/])(\d{1,5})\s*(?:[/x×]|g(?=\s?\d))\s*((?:\d+(?:[.,]\d+)?|[.,]\d+))\s*(mm|\"|in\b|awg)?(?!\w)"
_PATTERNS = (
    ("cores", re.compile(rf"(?<![\d.,/])(\d{{1,2}})\s*(?:[x×*]|g(?=\s?\d))\s*{_N}\s*{_MM2}", re.I)),
    ("area", re.compile(rf"(?<![\d.,/x×]){_N}\s*{_MM2}", re.I)),
    ("kcmil", re.compile(rf"{_N}\s*(?:kcmil|mcm)\b", re.I)),
    ("zeros", re.compile(rf"(?<![\d.,/])([1-4])/0(?![\d.,])(?:\s*{_GAUGE})?", re.I)),
    ("zeros", re.compile(rf"(?<![\d.,/])(0{{2,4}})(?![\d.,/])(?:\s*{_GAUGE})?", re.I)),
    ("strands", re.compile(_STRANDS, re.I)),
    ("awg", re.compile(rf"(?<![\d.,/])(\d{{1,2}})\s*-?\s*{_GAUGE}", re.I)),
    ("awg", re.compile(r"(?<!\w)(?:awg|b\s?&\s?s|gauge|ga)\s*(?:no\.?)?\s*(\d{1,2})(?![\d./])", re.I)),
    ("mm", re.compile(rf"(?<![\d.,/x×]){_N}\s*mm(?!\w|²)", re.I)),
)
_SAYS_MM2 = re.compile(r"mm²|mm2|mm\^2|sq|qmm|querschnitt|sezione mm")
_BARE = re.compile(r"\d+(?:[.,]\d+)?")


@frozen
class Size:
    """One way to read a text: an area, what the text was taken for, and (where it says so) strands, gauge, cores."""

    area_mm2: float
    taken_for: str
    rank: int  # 0 stated in mm2, 1 strands, 2 gauge or cmil, 3 outside-diameter name: whose figure the catalog gets
    strands: int | None = None
    gauge: int | None = None
    cores: int | None = None

    def __str__(self) -> str:
        return self.taken_for if self.rank == 0 else f"{self.taken_for}, {self.area_mm2:.3g} mm2"


@frozen
class Text:
    """A text that names a size, and every way to read it; a vague one names no unit of area: it may be an outside."""

    column: str
    text: str
    sizes: tuple[Size, ...]
    is_vague: bool = False


def _number(text: str) -> float:
    return float(text.replace(",", "."))


@lru_cache(maxsize=20_000)
def sizes_in(column: str, text: str, header: str) -> tuple[Text, ...]:
    """Every size that a text names, each with its readings. A bare number is one in the size column only.

    >>> [str(size) for size in sizes_in("strands", "16/.030", "")[0].sizes]
    ['16 strands of 0.030 mm, 0.0113 mm2', '16 strands of 0.030 inch, 7.3 mm2', '16 strands of AWG 30, 0.815 mm2']
    """
    found, rest = [], text
    for sort, pattern in _PATTERNS:
        for match in pattern.finditer(rest):
            if sizes := tuple(_READERS[sort](match, header)):
                found.append(Text(column, match[0].strip(), sizes, sort == "mm" and not says_unit(header)))
                rest = rest.replace(match[0], " " * len(match[0]), 1)
    if column == "size" and not found and (bare := _BARE.search(text)):
        sizes = tuple(_bare(bare[0], header))
        if text.startswith("#"):  # the sign of a gauge, never of an area; which gauge, the rest of the row must show
            sizes = tuple(size for size in sizes if size.gauge is not None)
        found.append(Text(column, text, sizes, not says_unit(header)))
    return tuple(item for item in found if item.sizes)


def _area(match: re.Match[str], header: str) -> Iterator[Size]:
    yield Size(_number(match[1]), f"{match[1]} mm2", 0)


def _cores(match: re.Match[str], header: str) -> Iterator[Size]:
    yield Size(_number(match[2]), f"{match[1]} cores of {match[2]} mm2", 0, cores=int(match[1]))


def _kcmil(match: re.Match[str], header: str) -> Iterator[Size]:
    yield Size(1000 * awg.CMIL_MM2 * _number(match[1]), f"{match[1]} kcmil", 2)


def _zeros(match: re.Match[str], header: str) -> Iterator[Size]:
    count = int(match[1]) if match[1] != "0" * len(match[1]) else len(match[1])
    yield _gauge(1 - count)


def _gauge(number: int) -> Size:
    return Size(awg.area_mm2(float(number)), f"AWG {awg.gauge_name(number).removesuffix(' AWG')}", 2, gauge=number)


def _awg(match: re.Match[str], header: str) -> Iterator[Size]:
    if "swg" not in match[0].lower() and int(match[1]) <= awg.THINNEST:
        yield _gauge(int(match[1]))


def _strands(match: re.Match[str], header: str) -> Iterator[Size]:
    """n strands of a diameter in mm, in inch, or of a gauge: what digits and unit leave open."""
    count, text, unit = int(match[1]), match[2].replace(",", "."), (match[3] or "").lower()
    if "/" not in match[0] and count <= MOST_CORES and unit != "awg":  # 2x1.5 may be two cores of 1.5 mm2
        yield Size(_number(text), f"{count} cores of {match[2]} mm2", 0, cores=count)
        if "g" in match[0].lower() or _SAYS_MM2.search(header):
            return
        if text.isdecimal() and int(text) <= awg.THINNEST:
            yield replace(_gauge(int(text)), taken_for=f"{count} cores of AWG {text}", cores=count)
    shown = f"0{text}" if text.startswith(".") else text
    if not unit:
        unit = next((word for word, sign in (("in", "inch"), ("mm", "[mm]"), ("mm", "(mm)")) if sign in header), "")
    digits = int(text.replace(".", "") or 0)
    if "." in text and unit in ("", "mm") and 0 < _number(text) < 6:
        yield _round(count, _number(text), f"{count} strands of {shown} mm")
    if "." in text and unit in ("", "in", '"') and 0 < _number(text) < 0.3:
        yield _round(count, 25.4 * _number(text), f"{count} strands of {shown} inch")
    is_gauge = "." not in text or (text.startswith(".") and unit == "")
    if is_gauge and unit in ("", "awg") and 20 <= digits <= awg.THINNEST and count < 10_000:
        yield _round(count, awg.diameter_mm(float(digits)), f"{count} strands of AWG {digits}")


def _round(count: int, wire_mm: float, taken_for: str) -> Size:
    return Size(count * awg.area_of_round_mm2(wire_mm), taken_for, 1, strands=count)


def _mm(match: re.Match[str], header: str) -> Iterator[Size]:
    yield from _bare(match[1], header, is_gauge_possible=False)


def says_unit(header: str) -> bool:
    """Whether a header says in what its sizes are."""
    return bool(_SAYS_MM2.search(header) or "auto" in header or re.search(_GAUGE, header))


def _bare(text: str, header: str, *, is_gauge_possible: bool = True) -> Iterator[Size]:
    """A number alone, or with "mm" only: mm2, a gauge, or an outside-diameter name, unless the header says which."""
    number, bare = _number(text), f"{_number(text):g}"
    says_mm2, says_auto = bool(_SAYS_MM2.search(header)), "auto" in header
    says_gauge = bool(re.search(_GAUGE, header))
    if not number:
        if is_gauge_possible and not says_mm2:
            yield _gauge(0)
        return
    if not says_gauge and not says_auto and number <= 1000:
        yield Size(number, f"{bare} mm2", 0)
    if is_gauge_possible and not says_mm2 and not says_auto and number == int(number) and number <= awg.THINNEST:
        yield _gauge(int(number))
    if bare in AUTO_MM2 and not says_mm2 and not says_gauge:
        yield Size(AUTO_MM2[bare], f"outside-diameter name '{bare} mm'", 3)


_READERS = {
    "cores": _cores, "area": _area, "kcmil": _kcmil, "zeros": _zeros, "strands": _strands, "awg": _awg, "mm": _mm,
}


def same(first_mm2: float, second_mm2: float) -> bool:
    """Whether two areas are one size."""
    return max(first_mm2, second_mm2) <= NEAR * min(first_mm2, second_mm2)


@frozen
class Agreed:
    """The size on which most of a row agrees, the reading taken of each text, and the texts that say otherwise."""

    area_mm2: float
    taken: tuple[tuple[Text, Size], ...]
    against: tuple[Text, ...]

    @property
    def is_open(self) -> bool:
        """Whether a single text that can be read in several ways, or names no unit, is all there is."""
        first = self.taken[0][0]
        return len(self.taken) == 1 and (len(first.sizes) > 1 or first.is_vague)

    @property
    def has_outside_name(self) -> bool:
        """Whether a text was taken for an outside-diameter name."""
        return any(size.rank == 3 for _, size in self.taken)


def near(first_mm2: float, second_mm2: float) -> bool:
    """Whether two areas differ by no more than what is lost in the printing of a pair that belongs together."""
    return max(first_mm2, second_mm2) <= PAIR * min(first_mm2, second_mm2)


def _area_of(taken: list[Size]) -> float:
    """The figure for the catalog: the one in mm2, before strands, before a gauge; but never more than the others have,
    where an area in mm2 is no fair name for them."""
    best = min(taken, key=lambda size: (size.rank, size.area_mm2))
    least = min(size.area_mm2 for size in taken)
    return best.area_mm2 if best.rank or near(best.area_mm2, least) else least


def agree(texts: Iterable[Text], possible: Iterable[float], most_mm2: float, cores: int = 1) -> tuple[Agreed, ...]:
    """The sizes on which the row agrees best, one for each area that has as much for it as any other.

    `possible` are areas that the resistance leaves open (none: it says nothing); `most_mm2` is what the outside
    diameter can hold of all `cores`.
    """
    texts, areas = tuple(texts), tuple(possible)
    found: list[tuple[int, Agreed]] = []
    fitting = (size for text in texts for size in text.sizes if (size.cores or cores) * size.area_mm2 <= most_mm2)
    for first in dict.fromkeys(fitting):
        taken, against = [], []
        for text in texts:
            near = [size for size in text.sizes if same(size.area_mm2, first.area_mm2)]
            if near:
                taken.append((text, min(near, key=lambda size: abs(math.log(size.area_mm2 / first.area_mm2)))))
            else:
                against.append(text)
        score = 2 * len(taken) + 2 * any(same(area, first.area_mm2) for area in areas)
        found.append((score, Agreed(_area_of([size for _, size in taken]), tuple(taken), tuple(against))))
    top = max((score for score, _ in found), default=0)
    winners: list[Agreed] = []
    for score, agreed in found:
        if score == top and not any(same(agreed.area_mm2, other.area_mm2) for other in winners):
            winners.append(agreed)
    return tuple(winners)
