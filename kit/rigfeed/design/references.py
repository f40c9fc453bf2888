"""Which values of a design name other things in it, and what becomes of them when the thing goes.

One table of patterns serves the check for unknown references, renaming, and removal with all that hangs on it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator
from typing import Any, Literal

from rigfeed.errors import InputError, Place, UnknownName
from rigfeed.frozen import frozen
from rigfeed.path import Path

Gone = Literal["clear", "remove"]

# "*": any key; "#": any list position; "@": any key, and the key itself is the reference.
# If what it names goes: "clear" this many last steps of the path, or "remove" the whole thing that refers.
PATTERNS: tuple[tuple[tuple[str, ...], str, Gone, int], ...] = (
    (("points", "*", "zone"), "zones", "clear", 0),
    (("runs", "*", "from"), "points", "remove", 0),
    (("runs", "*", "to"), "points", "remove", 0),
    (("runs", "*", "zone"), "zones", "clear", 0),
    (("passages", "*", "run"), "runs", "remove", 0),
    (("nodes", "*", "at"), "points", "clear", 0),
    (("conductors", "*", "from"), "nodes", "remove", 0),
    (("conductors", "*", "from", "#"), "nodes", "remove", 0),
    (("conductors", "*", "to"), "nodes", "remove", 0),
    (("conductors", "*", "to", "#"), "nodes", "remove", 0),
    (("conductors", "*", "route", "#"), "runs", "clear", 1),
    (("states", "*", "modes", "@"), "nodes", "clear", 0),
    (("states", "*", "start", "@"), "nodes", "clear", 0),
    (("duty", "*", "steps", "#", "state"), "states", "clear", 1),
)


@frozen
class Reference:
    """A value at `path` (or the last key of `path`) that names `id` in `collection`.

    `falls` is what is removed together with the thing named.
    """

    path: Path
    collection: str
    id: str
    is_key: bool
    falls: Path

    @property
    def is_terminal(self) -> bool:
        """Whether the value is ``node.terminal`` rather than a bare id."""
        return self.path[0] == "conductors" and self.collection == "nodes"


def references(plain: dict[str, Any]) -> Iterator[Reference]:
    """Every reference in the plain data of a design."""
    for pattern, collection, gone, steps in PATTERNS:
        for path, value in _matches(plain, pattern, Path()):
            falls = Path(*path[:2]) if gone == "remove" else Path(*path[: len(path) - steps])
            name = str(path[-1]) if pattern[-1] == "@" else value
            if isinstance(name, str):
                id_ = name.split(".")[0] if path[0] == "conductors" and collection == "nodes" else name
                yield Reference(path, collection, id_, pattern[-1] == "@", falls)


def _matches(data: Any, pattern: tuple[str, ...], path: Path) -> Iterator[tuple[Path, Any]]:
    if not pattern:
        yield path, data
        return
    head, rest = pattern[0], pattern[1:]
    if head == "#":
        if isinstance(data, list):
            for number, item in enumerate(data):
                yield from _matches(item, rest, path / number)
    elif isinstance(data, dict):
        for key in data if head in ("*", "@") else [head] if head in data else []:
            yield from _matches(data[key], rest, path / key)


def unknown_references(plain: object) -> Iterator[InputError]:
    """An error for every reference that names nothing. The data may be wrong in any other way."""
    if not isinstance(plain, dict):
        return
    tables = {key: table for key, table in plain.items() if isinstance(table, dict)}
    names = {key: tuple(map(str, table)) for key, table in tables.items()}  # shared by all errors
    for reference in references(plain):
        collection = reference.collection
        if reference.id not in tables.get(collection, {}) and isinstance(plain.get(collection, {}), dict):
            known = names.get(collection, ())
            yield UnknownName(collection.removesuffix("s"), reference.id, known, place=Place(path=reference.path))


def falling(plain: dict[str, Any], collection: str, id_: str) -> tuple[Path, ...]:
    """What goes with one thing when it is removed, the thing itself first, each path once.

    With each thing go the deviations that were accepted on it and its place in the drawing.
    """
    naming: dict[tuple[str, str], list[Reference]] = defaultdict(list)
    for reference in references(plain):
        naming[reference.collection, reference.id].append(reference)
    found, queue = dict.fromkeys([Path(collection, id_)]), [(collection, id_)]
    while queue:
        for reference in naming[queue.pop()]:
            if reference.falls not in found:
                found[reference.falls] = None
                if len(reference.falls) == 2:  # a whole thing: what hangs on it falls too
                    queue.append((str(reference.falls[0]), str(reference.falls[1])))
    whole = {path for path in found if len(path) == 2}
    kept = [path for path in found if len(path) == 2 or Path(*path[:2]) not in whole]
    return (*kept, *_accompanying(plain, whole))


def accepted(plain: dict[str, Any]) -> Iterator[tuple[int, dict[str, Any], Path]]:
    """The deviations with their subjects, those that can be read: between two edits the data may be wrong."""
    deviations = plain.get("deviations")
    for number, deviation in enumerate(deviations if isinstance(deviations, list) else ()):
        if isinstance(deviation, dict) and isinstance(deviation.get("subject"), str):
            yield number, deviation, Path.parse(deviation["subject"])


def placed(plain: dict[str, Any], collection: str) -> dict[str, Any]:
    """The things of a collection that have a place in the drawing."""
    drawing = plain.get("drawing")
    table = drawing.get(collection) if isinstance(drawing, dict) else None
    return table if isinstance(table, dict) else {}


def _accompanying(plain: dict[str, Any], gone: Collection[Path]) -> Iterator[Path]:
    for number, _, subject in accepted(plain):
        if subject[:2] in gone:
            yield Path("deviations", number)
    for path in sorted(gone, key=str):
        if path[1] in placed(plain, str(path[0])):
            yield Path("drawing", *path)
