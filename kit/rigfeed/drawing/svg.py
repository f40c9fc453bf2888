"""A scene as SVG: real text, titles for who cannot see it, no script, no foreign address, the same bytes every time."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from xml.sax.saxutils import escape, quoteattr

from rigfeed.drawing.font import FAMILY, plain, width_mm
from rigfeed.drawing.scene import Circle, Group, Ink, Item, Lettering, Line, Scene
from rigfeed.drawing.symbols import strokes

COLOURS: dict[Ink, str] = {
    "ink": "#111111", "faint": "#767676", "paper": "#ffffff", "area": "#f2f2ee", "error": "#a80f1e",
    "warning": "#7a5200", "advice": "#1d4c87",
}

LONGEST = 20_000  # letters of a description


def svg_text(scene: Scene) -> str:
    """The scene as one SVG document, its page in millimetres."""
    wide, high = _number(scene.width_mm), _number(scene.height_mm)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="title desc" width="{wide}mm" '
        f'height="{high}mm" viewBox="0 0 {wide} {high}" font-family={_quoted(FAMILY)} '
        'stroke-linecap="round" stroke-linejoin="round" style="font-kerning:none">'
    )
    names = _Names()
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>', head, f'<title id="title">{_escaped(scene.title)}</title>',
        f'<desc id="desc">{escape(plain(scene.description, LONGEST))}</desc>',
        f'<rect width="{wide}" height="{high}" fill="{COLOURS["paper"]}"/>', *_written(scene.items, names), "</svg>",
    ]
    return "\n".join(lines) + "\n"


class _Names:
    """Ids of groups: the path of the subject; a second group of the same subject gets a number."""

    def __init__(self) -> None:
        self._taken: dict[str, int] = {}

    def name(self, subject: str) -> str:
        safe = re.sub(r"[^A-Za-z0-9_.-]", "_", subject)
        number = self._taken[safe] = self._taken.get(safe, 0) + 1
        return f"of-{safe}" if number == 1 else f"of-{safe}~{number}"


def _written(items: Iterable[Item], names: _Names) -> Iterator[str]:
    for item in items:
        if isinstance(item, Group):
            subject = str(item.subject)
            yield f"<g id={_quoted(names.name(subject))} data-subject={_quoted(subject)}>"
            if item.title:
                yield f"<title>{_escaped(item.title)}</title>"
            yield from _written(item.items, names)
            yield "</g>"
        elif isinstance(item, Line):
            yield _line(item)
        elif isinstance(item, Circle):
            yield _circle(item)
        elif isinstance(item, Lettering):
            yield _lettering(item)
        else:
            yield from _written(strokes(item), names)


def _line(line: Line) -> str:
    points = " ".join(f"{_number(x)},{_number(y)}" for x, y in line.points)
    dash = f' stroke-dasharray="{" ".join(map(_number, line.dash))}"' if line.dash else ""
    tag = "polygon" if line.closed else "polyline"
    return f'<{tag} points="{points}" {_pen(line.ink, line.width_mm, line.fill if line.closed else None)}{dash}/>'


def _circle(circle: Circle) -> str:
    x, y = circle.at
    pen = _pen(circle.ink, circle.width_mm, circle.fill)
    return f'<circle cx="{_number(x)}" cy="{_number(y)}" r="{_number(circle.radius_mm)}" {pen}/>'


def _pen(ink: Ink, width_mm: float, fill: Ink | None) -> str:
    inside = COLOURS[fill] if fill else "none"
    return f'fill="{inside}" stroke="{COLOURS[ink]}" stroke-width="{_number(width_mm)}"'


def _lettering(text: Lettering) -> str:
    """`textLength` keeps the layout where a viewer has none of the fonts."""
    shown = plain(text.text)
    if not shown:
        return ""
    x, y = map(_number, text.at)
    wide = _number(width_mm(shown, text.size_mm, bold=text.bold))
    anchor = f' text-anchor="{text.anchor}"' if text.anchor != "start" else ""
    weight = ' font-weight="bold"' if text.bold else ""
    turn = f' transform="rotate({text.turn} {x} {y})"' if text.turn else ""
    return (
        f'<text x="{x}" y="{y}" font-size="{_number(text.size_mm)}" fill="{COLOURS[text.ink]}"{anchor}{weight}{turn} '
        f'textLength="{wide}" lengthAdjust="spacingAndGlyphs">{_escaped(shown)}</text>'
    )


def _number(value: float) -> str:
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _escaped(text: str) -> str:
    return escape(plain(text))


def _quoted(text: str) -> str:
    return quoteattr(plain(text))
