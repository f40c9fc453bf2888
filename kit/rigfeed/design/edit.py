"""Pure edits: `apply` gives a new design, the old one is the undo. Nothing here knows the file."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from rigfeed.design.model import Design
from rigfeed.design.references import accepted, falling, placed, references
from rigfeed.design.schema import from_plain, to_plain
from rigfeed.errors import DesignError, Place, nearest, shown
from rigfeed.fields import ID
from rigfeed.frozen import frozen
from rigfeed.path import Path

DEEPEST_VALUE = 16  # tables or lists inside of one another in a value that is set or added
COLLECTIONS = ("zones", "points", "runs", "passages", "nodes", "conductors", "states", "duty")


@frozen
class Set:
    """Give the value at `path`, whether or not there was one. `value` is plain data, as in the file."""

    path: Path
    value: Any


@frozen
class Add:
    """Put something new at `path`; in a list, the position equal to its length appends."""

    path: Path
    value: Any


@frozen
class Remove:
    """Take away what is at `path`, and what cannot stand without it (see `consequences`)."""

    path: Path


@frozen
class Rename:
    """Give a thing another id; all references follow."""

    path: Path
    new: str


Edit = Set | Add | Remove | Rename


def apply(design: Design, edits: Iterable[Edit]) -> Design:
    """The design after the edits, in their order.

    Raises
    ------
    DesignError, UnknownName, InputErrors
        If a path does not exist, a name is taken, or the result is not a valid design; the given one stands.
    """
    plain = to_plain(design)
    for edit in edits:
        _one(plain, edit)
    return from_plain(plain)


def consequences(design: Design, edit: Edit) -> tuple[Path, ...]:
    """What an edit removes: for `Remove` the thing itself and all that hangs on it, for others nothing.

    Raises
    ------
    DesignError
        If the path of a `Remove` does not exist.
    """
    if not isinstance(edit, Remove):
        return ()
    plain = to_plain(design)
    _parent(plain, edit.path, must_exist=True)
    return _falls(plain, edit.path)


def _falls(plain: dict[str, Any], path: Path) -> tuple[Path, ...]:
    if len(path) == 2 and path[0] in COLLECTIONS:
        return falling(plain, str(path[0]), str(path[1]))
    return (path,)


def _one(plain: dict[str, Any], edit: Edit) -> None:
    if isinstance(edit, Remove):
        _parent(plain, edit.path, must_exist=True)
        # later list positions first, so that the earlier ones keep their place
        for path in sorted(_falls(plain, edit.path), key=lambda path: [str(k).rjust(9) for k in path], reverse=True):
            holder = _parent(plain, path, must_exist=True)
            del holder[path[-1]]
    elif isinstance(edit, Rename):
        _rename(plain, edit)
    else:
        holder = _parent(plain, edit.path, must_exist=False)
        _put(holder, edit)


def _put(holder: Any, edit: Set | Add) -> None:
    key, value = edit.path[-1], _plain_copy(edit.value, edit.path)
    if isinstance(holder, list):
        if not isinstance(key, int) or isinstance(key, bool) or not 0 <= key <= len(holder) - isinstance(edit, Set):
            remedy = f"positions run from 0; the list has {len(holder)}"
            raise DesignError(f"there is no position {key}", place=Place(path=edit.path), remedy=remedy)
        holder[key : key + isinstance(edit, Set)] = [value]
    elif isinstance(edit, Add) and key in holder:
        raise DesignError("is there already", place=Place(path=edit.path), remedy="set it, or use another name")
    else:
        holder[key] = value


def _plain_copy(value: Any, path: Path, depth: int = 0) -> Any:
    """A copy that shares nothing with what the caller holds."""
    if depth > DEEPEST_VALUE:
        raise DesignError("is nested too deeply", place=Place(path=path))
    if isinstance(value, Mapping):
        return {key: _plain_copy(item, path, depth + 1) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain_copy(item, path, depth + 1) for item in value]
    return value


def _parent(plain: Any, path: Path, *, must_exist: bool) -> Any:
    """The table or list that holds the last key; for Set and Add, missing ones on the way are made (never a thing)."""
    if not path:
        raise DesignError("the path is empty", remedy="name a place in the design, such as conductors.W1.length")
    here = plain
    for depth, key in enumerate(path[:-1]):
        if not must_exist and isinstance(here, dict) and key not in here and _may_be_made(path, depth):
            here[key] = [] if isinstance(path[depth + 1], int) else {}
        here = _step(here, key, Path(*path[: depth + 1]))
    if not isinstance(here, dict | list):
        raise DesignError("holds nothing inside", place=Place(path=Path(*path[:-1])))
    if must_exist:
        _step(here, path[-1], path)
    return here


def _may_be_made(path: Path, depth: int) -> bool:
    """Whether a missing table on the way may be made: a collection, or a table inside of a thing, never a thing."""
    return depth != 1 or path[0] not in COLLECTIONS


def _step(here: Any, key: str | int, path: Path) -> Any:
    if isinstance(here, dict) and key in here:
        return here[key]
    if isinstance(here, list) and isinstance(key, int) and 0 <= key < len(here):
        return here[key]
    known = [str(name) for name in here] if isinstance(here, dict) else []
    raise DesignError("does not exist", place=Place(path=path), remedy=nearest(str(key), known))


def _rename(plain: dict[str, Any], edit: Rename) -> None:
    holder = _parent(plain, edit.path, must_exist=True)
    collection, old = str(edit.path[0]), str(edit.path[-1])
    if len(edit.path) != 2 or collection not in COLLECTIONS:
        raise DesignError("only a thing with an id can be renamed", place=Place(path=edit.path))
    if not isinstance(edit.new, str) or not ID.fullmatch(edit.new):
        remedy = "a letter, then letters, digits, - and _, 32 characters at most"
        raise DesignError(f"{shown(str(edit.new))} cannot be a name", place=Place(path=edit.path), remedy=remedy)
    if edit.new != old and edit.new in holder:
        raise DesignError(f"the name {edit.new!r} is taken", place=Place(path=edit.path), remedy="choose another")
    for reference in list(references(plain)):
        if (reference.collection, reference.id) == (collection, old):
            here = _parent(plain, reference.path, must_exist=True)
            key = reference.path[-1]
            if reference.is_key:
                _rename_key(here, old, edit.new)
            else:
                here[key] = edit.new + here[key][len(old) :] if reference.is_terminal else edit.new
    _rename_key(holder, old, edit.new)
    for _, deviation, subject in accepted(plain):
        if subject[:2] == edit.path:
            deviation["subject"] = str(Path(collection, edit.new, *subject[2:]))
    if old in placed(plain, collection):
        _rename_key(placed(plain, collection), old, edit.new)


def _rename_key(table: dict[str, Any], old: str, new: str) -> None:
    items = [(new if key == old else key, value) for key, value in table.items() if key == old or key != new]
    table.clear()
    table.update(items)
