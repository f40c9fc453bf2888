"""A yes or a no in a cell of a catalog, where every cell is text."""

from __future__ import annotations

from typing import Any

from rigfeed.plugin import OneOf


class Answer(OneOf):
    """``yes`` or ``no``; an empty cell is unknown."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(("yes", "no"), **kwargs)

    def _deserialize(self, value: Any, attr: Any, data: Any, **kwargs: Any) -> Any:
        return super()._deserialize(value, attr, data, **kwargs) == "yes"
