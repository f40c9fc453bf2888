"""A paper's content as data: columns with units, rows of plain values, notes. Writers turn it into files.

Numbers stand in the base unit of their column until a writer asks for `cell`; nothing rounds them before that.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Literal

from rigfeed.frozen import frozen
from rigfeed.quantity import UNITS, System, convert, shown_in

Cell = str | float | int | None

_SYMBOL = {"temperature difference": "K"}  # where the name of a unit is not what people write


@frozen
class Column:
    """One column. `unit` is the base unit of its numbers; a writer converts and names the unit in the heading.

    `width` is in characters, for the sheet; text wider than that wraps. A unit that the kit does not know (a currency,
    "pieces") is shown as it is. Whole numbers are counts or values as they are; a converted one becomes a float.
    `us` is the unit shown to people who think in US units, where the usual one would be unhandy; `decimals` are those
    that the sheet shows, where three significant digits would not do (money, a length to cut); `bold` columns are
    what is looked for first.
    """

    key: str
    heading: str
    unit: str = ""
    width: int = 12
    align: Literal["left", "right"] = "left"
    us: str = ""
    decimals: int | None = None
    bold: bool = False


@frozen
class Table:
    """A paper that is a table. Numbers are in the base unit of their column; None is an empty cell.

    Rows that belong together stand together; `group` is the key of the column that tells, and the sheet draws a heavier
    rule where its value changes. `use` says in a line what the paper is for; the first sheet of a workbook lists it.

    Raises
    ------
    ValueError
        If there is no column, two columns have one key, `group` is none of them, or a row is longer or shorter than
        the columns: a fault of whoever made the table, never of a design.
    """

    name: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    notes: tuple[str, ...] = ()
    group: str = ""
    use: str = ""

    def __post_init__(self) -> None:
        keys = [column.key for column in self.columns]
        if not keys or len(set(keys)) != len(keys):
            raise ValueError(f"table {self.name!r} needs columns with different keys, not {keys}")
        if self.group and self.group not in keys:
            raise ValueError(f"table {self.name!r} has no column {self.group!r} to group by")
        for number, row in enumerate(self.rows):
            if len(row) != len(keys):
                raise ValueError(f"table {self.name!r}: row {number} has {len(row)} cells for {len(keys)} columns")


def unit_of(column: Column, system: System = "metric") -> str:
    """The unit in which the numbers of a column are shown.

    >>> unit_of(Column("cut", "cut length", "m", us="in"), "us"), unit_of(Column("cut", "cut length", "m", us="in"))
    ('in', 'm')
    """
    return column.us if system == "us" and column.us else shown_in(column.unit, system)


def heading(column: Column, system: System = "metric") -> str:
    """The text above a column, with the unit in which its numbers are shown.

    >>> heading(Column("length", "length", "m")), heading(Column("length", "length", "m"), "us")
    ('length [m]', 'length [ft]')
    """
    unit = unit_of(column, system)
    return f"{column.heading} [{_SYMBOL.get(unit, unit)}]" if unit else column.heading


def cell(value: Cell, column: Column, system: System = "metric") -> Cell:
    """A value in the units of a system, unrounded: a text as it is, a number as the heading says.

    None for None and for what is not finite: why a value is missing is said by whoever made the table. A truth value
    becomes "yes" or "no".

    Raises
    ------
    TypeError
        If the value is neither text nor a number: a fault of whoever made the table.

    >>> round(cell(1.2, Column("length", "length", "m"), "us"), 3), cell(float("nan"), Column("length", "length", "m"))
    (3.937, None)
    """
    if value is None or isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "yes" if value else "no"
    if not isinstance(value, int | float):
        raise TypeError(f"column {column.key!r} holds a {type(value).__name__}, not a text or a number")
    if not _finite(value):
        return None
    if column.unit not in UNITS:
        return value
    shown = convert(value, column.unit, unit_of(column, system))
    return shown if _finite(shown) else None


def headings(table: Table, system: System = "metric") -> list[str]:
    """All headings of a table, left to right."""
    return [heading(column, system) for column in table.columns]


def cells(table: Table, system: System = "metric") -> Iterable[list[Cell]]:
    """The rows of a table, each value as `cell` gives it."""
    for row in table.rows:
        yield [cell(value, column, system) for value, column in zip(row, table.columns, strict=True)]


def nine_digits(value: float) -> float:
    """A number for machines: nine significant digits, which no measurement here exceeds, and no minus zero.

    >>> nine_digits(0.1 + 0.2), nine_digits(1234567.891234), nine_digits(-0.0)
    (0.3, 1234567.89, 0.0)
    """
    return float(f"{value:.9g}") + 0.0


def table_json(table: Table) -> dict[str, object]:
    """A table as plain data for JSON, in base units: each row under the keys of the columns, floats with nine digits.

    What is missing or not finite is None (null): JSON has no word for infinity.

    >>> table_json(Table("t", "T", (Column("l", "length", "m"),), ((2.5,), (float("inf"),))))["rows"]
    [{'l': 2.5}, {'l': None}]
    """
    keys = [column.key for column in table.columns]
    return {
        "name": table.name,
        "title": table.title,
        "columns": [{"key": column.key, "heading": column.heading, "unit": column.unit} for column in table.columns],
        "rows": [dict(zip(keys, map(_plain, row), strict=True)) for row in table.rows],
        "notes": list(table.notes),
    }


def _plain(value: Cell) -> Cell:
    if value is None or isinstance(value, str | bool):
        return value
    if not _finite(value):
        return None
    return value if isinstance(value, int) else nine_digits(value)


def _finite(value: float) -> bool:
    try:
        return math.isfinite(value)
    except OverflowError:  # an integer beyond every float
        return False
