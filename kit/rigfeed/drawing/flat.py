"""A scene as a flat list of strokes and texts, symbols taken apart, for whoever paints it: a window, another format."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from rigfeed.drawing.font import plain
from rigfeed.drawing.scene import Circle, Group, Item, Lettering, Line, Scene, Symbol
from rigfeed.drawing.symbols import strokes
from rigfeed.frozen import frozen
from rigfeed.path import Path


@frozen
class Primitive:
    """One stroke or text in millimetres on the page; `subject` is that of the innermost group, None outside of all.

    `dragged` is the subject of the innermost movable group around it: what a pointer that takes it here moves.
    """

    shape: Line | Circle | Lettering
    subject: Path | None
    title: str = ""
    dragged: Path | None = None


def primitives(scene: Scene) -> tuple[Primitive, ...]:
    """Everything on the page in painting order."""
    return tuple(_flat(scene.items, Primitive(Line(()), None)))


def _flat(items: Iterable[Item], around: Primitive) -> Iterator[Primitive]:
    for item in items:
        if isinstance(item, Group):
            dragged = item.subject if item.movable else around.dragged
            yield from _flat(item.items, Primitive(around.shape, item.subject, plain(item.title), dragged))
        elif isinstance(item, Symbol):
            yield from (_shaped(shape, around) for shape in strokes(item))
        elif isinstance(item, Lettering):
            if text := plain(item.text):
                yield _shaped(replace(item, text=text), around)
        else:
            yield _shaped(item, around)


def _shaped(shape: Line | Circle | Lettering, around: Primitive) -> Primitive:
    return Primitive(shape, around.subject, around.title, around.dragged)
