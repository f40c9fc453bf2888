"""The colours by their use, light and dark, and the contrast that they must have."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from rigfeed.frozen import frozen

Name = Literal["light", "dark"]
TEXT_CONTRAST = 4.5  # WCAG 2.2, success criterion 1.4.3 (level AA), text of ordinary size
SHAPE_CONTRAST = 3.0  # WCAG 2.2, success criterion 1.4.11 (level AA), parts of controls and of pictures


@frozen
class Palette:
    """Colours as ``#rrggbb``.

    `ground` is behind everything, `sheet` behind what is read or filled in, `text` and `quiet` are written on both
    (`quiet`: notes, and an assumption until it is replaced). `edge` is the outline of a control, `lit` the background
    and `on_lit` the text of what is selected, `focus` the ring of the keyboard. `error`, `warning`, `advice` are for
    text and marks on ground and sheet. The drawing uses `sheet` as paper, `text` as ink, `faint` and `area`; curves
    take the colours of `series` one after the other.
    """

    name: Name
    ground: str
    sheet: str
    text: str
    quiet: str
    edge: str
    lit: str
    on_lit: str
    focus: str
    error: str
    warning: str
    advice: str
    faint: str
    area: str
    series: tuple[str, ...]

    def ink(self, ink: str) -> str:
        """The colour of an ink of a `Scene`."""
        return {"ink": self.text, "paper": self.sheet}.get(ink) or str(getattr(self, ink))


LIGHT = Palette(
    name="light", ground="#eceae4", sheet="#fdfcf9", text="#22262b", quiet="#5b6068", edge="#7b7f86", lit="#2d5e6e",
    on_lit="#ffffff", focus="#2d5e6e", error="#a3201c", warning="#7a5200", advice="#2b5c8a", faint="#767b82",
    area="#f0eee7", series=("#1f6673", "#8a5a00", "#5f4a8b", "#34682c", "#2c558f"),
)
DARK = Palette(
    name="dark", ground="#23272c", sheet="#1a1d21", text="#e8e6e1", quiet="#a7abb1", edge="#868b92", lit="#8fc3d1",
    on_lit="#14181b", focus="#8fc3d1", error="#ff9a90", warning="#e8bd5c", advice="#8ebdf0", faint="#868b92",
    area="#262b30", series=("#6fc3d3", "#e0b45c", "#bba6ea", "#8fca8a", "#90b6ee"),
)
PALETTES: Mapping[str, Palette] = {"light": LIGHT, "dark": DARK}


def luminance(colour: str) -> float:
    """Relative luminance of a colour ``#rrggbb``, 0 to 1 (WCAG 2.2, definition of relative luminance)."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.2, definition of contrast ratio).

    >>> round(contrast("#000000", "#ffffff"), 1)
    21.0
    """
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@frozen
class Pair:
    """A colour that stands on another, and how much they must differ."""

    front: str
    back: str
    least: float


_ON_BOTH = ("ground", "sheet")
_WRITTEN = ("text", "quiet", "error", "warning", "advice")
PAIRS: tuple[Pair, ...] = (
    *(Pair(front, back, TEXT_CONTRAST) for front in _WRITTEN for back in _ON_BOTH),
    *(Pair(front, back, SHAPE_CONTRAST) for front in ("edge", "focus", "lit") for back in _ON_BOTH),
    Pair("on_lit", "lit", TEXT_CONTRAST),
    Pair("lit", "sheet", TEXT_CONTRAST),  # what can be followed in a text
    Pair("lit", "area", TEXT_CONTRAST),
    Pair("text", "area", TEXT_CONTRAST),
    Pair("quiet", "area", TEXT_CONTRAST),
    Pair("faint", "sheet", SHAPE_CONTRAST),
    Pair("faint", "area", SHAPE_CONTRAST),
)
