"""What the tests of the plugins share: a design in a text, assessed with catalogs that are texts too."""

from __future__ import annotations

from dataclasses import dataclass

from rigfeed.assess import Assessment, assess
from rigfeed.design.file import parse
from rigfeed.parts.shelf import Shelf
from rigfeed.registry import make_registry


@dataclass(frozen=True)
class TextFile:
    """A catalog that is only a text."""

    name: str
    content: str

    @property
    def where(self) -> str:
        return f"{self.name}.csv"

    def text(self) -> str:
        return self.content


def assessed(text: str, *rows: str) -> Assessment:
    """The assessment of a design (`format = 1` is added) with rows written ``kind:row: column=cell | column=cell``."""
    files = [catalog(number, row) for number, row in enumerate(rows)]
    shelf = Shelf(make_registry(), files)  # type: ignore[arg-type]
    return assess(parse(f"format = 1\n{text}"), shelf=shelf, only=[])


def catalog(number: int, row: str) -> TextFile:
    key, _, written = row.partition(": ")
    cells = {"part": key, "title": key, "source": "a test", "confidence": "invented"}
    cells |= dict(cell.strip().split("=") for cell in written.split("|") if cell.strip())
    return TextFile(f"row-{number}", f"{','.join(cells)}\n{','.join(cells.values())}\n")
