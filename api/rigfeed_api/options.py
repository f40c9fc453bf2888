"""The options of views, as they stand in a query."""

from __future__ import annotations

from typing import Any, ClassVar, get_args

from marshmallow import Schema, fields, post_load

from rigfeed.complaints import refuse
from rigfeed.fields import OneOf, Text
from rigfeed.frozen import frozen
from rigfeed.papers.paper import Page
from rigfeed.practice import NAME
from rigfeed.quantity import System

MOST_ON_A_PAGE = 500


class Count(fields.Field[int]):
    """A whole number within bounds, as digits."""

    def __init__(self, least: int, most: int, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.least, self.most = least, most

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> int:
        digits = value if isinstance(value, str) and value.isascii() and value.isdecimal() and len(value) < 12 else ""
        if not digits or not self.least <= int(digits) <= self.most:
            raise refuse("is not a whole number in range", f"allowed: {self.least} to {self.most}")
        return int(digits)


class Options(Schema):
    """A schema that makes the frozen thing that it `builds`."""

    builds: ClassVar[type[Any]]

    @post_load
    def _build(self, data: dict[str, Any], **kwargs: Any) -> Any:
        return self.builds(**data)


@frozen
class Asked:
    """Which practice to hold a design against instead of its own, and the units of sentences."""

    practice: str | None = None
    units: System = "metric"


class AskedSchema(Options):
    builds = Asked
    practice = Text(NAME, like="road", metadata={"description": "hold the design against this practice, not its own"})
    units = OneOf(get_args(System), metadata={"description": "units of sentences and tables; JSON is in its own"})


@frozen
class AskedPaper(Asked):
    """The page of what is to be printed; None leaves the choice to whoever makes it."""

    page: Page | None = None


class AskedPaperSchema(AskedSchema):
    builds = AskedPaper
    page = OneOf(get_args(Page), metadata={
        "description": "size of the printed page; by default A4, and for a drawing the smallest that it can be read on",
    })


@frozen
class AskedDrawing(AskedPaper):
    """The state whose figures are shown."""

    state: str | None = None


class AskedDrawingSchema(AskedPaperSchema):
    builds = AskedDrawing
    state = Text(metadata={"description": "show the volts and amps of this state of the design"})


@frozen
class AskedFigure(Asked):
    """What a figure is about."""

    subject: str | None = None


class AskedFigureSchema(AskedSchema):
    builds = AskedFigure
    subject = Text(metadata={
        "description": "id of what the figure is about, where it is about one thing; not needed where there is one",
    })


@frozen
class Paged:
    """A part of a list: so many, from a position on."""

    offset: int = 0
    limit: int = 100


class PagedSchema(Options):
    builds = Paged
    offset = Count(0, 10**9, metadata={"description": "how many to leave out at the beginning"})
    limit = Count(1, MOST_ON_A_PAGE, metadata={"description": "how many at most"})
