"""Cuts into a TOML text: each change where it stands, everything else byte for byte as it was.

`Splice` walks over what was and what shall be, side by side, and collects cuts. A thing may stand under a header of its
own, on one line in its collection, or as dotted keys; each is changed in the form in which it stands.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from difflib import SequenceMatcher
from typing import Any

from rigfeed.design.lists import Piece, respaced
from rigfeed.design.places import Keys, Mark, marks
from rigfeed.design.values import line_end, same, toml_block, toml_key, toml_value

Table = Mapping[str, Any]


class Splice:
    """The cuts into one text. `raw` is the plain data of the text as its reader gives it."""

    def __init__(self, text: str, raw: Table) -> None:
        self.text, self.raw = text, raw
        self.line_end = line_end(text)
        self._cuts: list[tuple[int, int, str]] = []
        self._tokens: dict[Keys, list[Mark]] = defaultdict(list)
        self._values: dict[Keys, Mark] = {}
        self._inside: dict[Keys, list[Mark]] = defaultdict(list)
        self._blocks: list[_Block] = [_Block((), 0, 0)]
        for mark in marks(text):
            self._sort(mark)

    def _sort(self, mark: Mark) -> None:
        if mark.sort == "key":
            self._tokens[mark.keys].append(mark)
        elif mark.sort == "header":
            self._blocks.append(_Block(mark.keys, mark.start, mark.end))
        else:
            self._values[mark.keys] = mark
            if mark.sort == "entry":
                self._blocks[-1].entries.append(mark)
            else:
                self._inside[mark.keys[:-1]].append(mark)

    def done(self) -> str:
        """The text with all cuts made."""
        parts, at = [], 0
        for start, end, new in sorted(self._cuts, key=lambda cut: cut[:2]):
            parts += [self.text[at : max(at, start)], new.replace("\r\n", "\n").replace("\n", self.line_end)]
            at = max(at, end)
        return "".join([*parts, self.text[at:]])

    # tables

    def table(self, keys: Keys, before: Table, after: Table) -> None:
        """Change the table at `keys`, which has no braces, from one content to another."""
        renamed = renames(before, after)
        for old, new in renamed.items():
            for token in self._tokens[(*keys, old)]:
                self._cut(token.start, token.end, toml_key(new))
        for key in before:
            if key not in after and key not in renamed:
                self.remove((*keys, key))
        was = {renamed.get(key, key): key for key in before}
        for key, value in after.items():
            if key not in was and key in (here := self._raw(keys)):
                self._change((*keys, key), key, _emptied(here[key]), value)  # it stands there empty: not given
            elif key not in was:
                self._add(keys, key, value)
            elif not same(before[was[key]], value):
                self._change((*keys, was[key]), key, before[was[key]], value)

    def _change(self, keys: Keys, name: str, before: Any, after: Any) -> None:
        raw = self._raw(keys)
        if (mark := self._values.get(keys)) is not None:
            self._cut(mark.value, mark.end, self._value(mark, raw, before, after))
        elif isinstance(raw, dict) and isinstance(before, dict) and isinstance(after, dict):
            self.table(keys, before, after)
        elif isinstance(raw, list) and isinstance(before, list) and isinstance(after, list):
            self._tables(keys, before, after)
        else:
            self.remove(keys)
            self._add(keys[:-1], name, after)

    def _tables(self, keys: Keys, before: list[Any], after: list[Any]) -> None:
        """Change an array of tables, each under its own header."""
        for was, now in aligned(before, after):
            if was is not None and now is not None:
                if isinstance(before[was], dict) and isinstance(after[now], dict):
                    self.table((*keys, was), before[was], after[now])
            elif was is not None:
                self.remove((*keys, was))
        for now, position in _added(before, after):
            block = toml_block((*keys, 0), after[now])
            found = [b for b in self._blocks if b.keys[: len(keys) + 1] == (*keys, position)]
            if found:
                at = self._line_start(found[0].start)
                self._cut(at, at, block + "\n")
            else:
                self._after_last(keys, block)

    def remove(self, keys: Keys) -> None:
        """Take out all that stands at `keys` and below."""
        for block in self._blocks:
            if block.has_header and block.keys[: len(keys)] == keys:
                self._cut_block(block)
            else:
                for entry in block.entries:
                    if entry.keys[: len(keys)] == keys:
                        self._cut(self._line_start(entry.start), self._line_stop(entry.end), "")

    def _cut_block(self, block: _Block) -> None:
        start, end = self._line_start(block.start), self._line_stop(block.last)
        blank = end
        while blank < len(self.text) and not self.text[end : self._line_stop(blank)].strip():
            blank = self._line_stop(blank)
        last_of_text = blank >= len(self.text)
        self._cut(start, blank if not last_of_text or start == 0 else end, "")

    # what is new

    def append(self, key: str, value: Any) -> None:
        """Write a top-level key, in front of the drawing."""
        self._add((), key, value)

    def _add(self, keys: Keys, key: str, value: Any) -> None:
        own = [block for block in self._blocks if block.keys == keys and block.has_header]
        # keys of the table that stand dotted in a table around it: `nodes.F1.part = ...`
        dotted = [
            (block, entry) for block in self._blocks for entry in block.entries
            if len(block.keys) < len(keys) < len(entry.keys) and entry.keys[: len(keys)] == keys
        ]
        if not keys and not _is_table(value):
            top = self._blocks[0]
            at = self._line_stop(top.last) if top.entries else 0
            self._cut(at, at, self._starting(at) + f"{toml_key(key)} = {toml_value(value)}\n")
        elif own and (len(keys) != 1 or own[0].entries or not _is_table(value)):
            self._entry_in(own[0], toml_key(key), value)
        elif dotted:
            block, last = dotted[-1]
            written = ".".join(toml_key(str(part)) for part in (*keys[len(block.keys) :], key))
            at = self._line_stop(last.end)
            self._cut(at, at, self._starting(at) + f"{written} = {toml_value(value)}\n")
        elif len(keys) < 2 and keys != ("drawing",):
            self._after_last(keys, toml_block((*keys, key), value))
        else:
            self._after_last(keys, toml_block(keys, {key: value}))

    def _entry_in(self, block: _Block, key: str, value: Any) -> None:
        at = self._line_stop(block.last)
        first = block.entries[-1].start if block.entries else block.start
        indent = self.text[self._line_start(first) : first]
        indent = indent if not indent.strip() else ""
        self._cut(at, at, f"{self._starting(at)}{indent}{key} = {toml_value(value)}\n")

    def _after_last(self, keys: Keys, block: str) -> None:
        """A new block behind the last of its collection, else in front of the drawing, else at the end."""
        related = [b for b in self._blocks if keys and b.has_header and b.keys[: len(keys)] == keys]
        drawing = [b for b in self._blocks if b.keys[:1] == ("drawing",)]
        if related:
            at = self._line_stop(related[-1].last)
            self._cut(at, at, f"{self._starting(at)}\n{block}")
        elif drawing:
            at = self._line_start(drawing[0].start)
            self._cut(at, at, f"{block}\n")
        else:
            at = len(self.text)
            self._cut(at, at, f"{self._starting(at)}\n{block}")

    def _starting(self, at: int) -> str:
        return "" if at == 0 or self.text[at - 1] == "\n" else "\n"

    # values

    def _value(self, mark: Mark, raw: Any, before: Any, after: Any) -> str:
        """The new text of a value that stood at `mark`."""
        if same(before, after):
            return self.text[mark.value : mark.end]
        inside = self._inside[mark.keys]
        simple = all(len(inner.keys) == len(mark.keys) + 1 for inner in inside)
        if isinstance(raw, dict) and isinstance(before, dict) and isinstance(after, dict) and inside and simple:
            return self._braces(mark, inside, before, after)
        if isinstance(raw, list) and isinstance(before, list) and isinstance(after, list) and inside and after:
            return self._brackets(mark, inside, before, after)
        return toml_value(after)

    def _braces(self, mark: Mark, inside: list[Mark], before: Table, after: Table) -> str:
        renamed = renames(before, after)
        pieces: list[Piece] = []
        for inner in inside:
            old = str(inner.keys[-1])
            new = renamed.get(old, old)
            if new in after and old in before:
                value = self._value(inner, self._raw(inner.keys), before[old], after[new])
                name = self.text[inner.start : inner.value] if new == old else f"{toml_key(new)} = "
                pieces.append(Piece(inner.start, inner.end, name + value))
            elif new in after:  # it stands there empty, which counts as not given
                pieces.append(Piece(inner.start, inner.end, f"{toml_key(new)} = {toml_value(after[new])}"))
            else:
                pieces.append(Piece(inner.start, inner.end, None))
        known = {str(inner.keys[-1]) for inner in inside}
        fresh = [key for key in after if key not in known and key not in renamed.values()]
        pieces += [Piece(mark.end, mark.end, f"{toml_key(key)} = {toml_value(after[key])}") for key in fresh]
        return respaced(self.text, mark, pieces) or toml_value(after)

    def _brackets(self, mark: Mark, inside: list[Mark], before: list[Any], after: list[Any]) -> str:
        if len(inside) != len(before):
            return toml_value(after)
        pieces: list[Piece] = []
        for was, now in aligned(before, after):
            if was is None:
                at = pieces[-1].end if pieces else inside[0].start
                pieces.append(Piece(at, at, toml_value(after[now])))
                continue
            inner = inside[was]
            text = None if now is None else self._value(inner, self._raw(inner.keys), before[was], after[now])
            pieces.append(Piece(inner.start, inner.end, text))
        return respaced(self.text, mark, pieces) or toml_value(after)

    # the text

    def _raw(self, keys: Keys) -> Any:
        here: Any = self.raw
        for key in keys:
            here = here[key]
        return here

    def _cut(self, start: int, end: int, new: str) -> None:
        self._cuts.append((start, end, new))

    def _line_start(self, at: int) -> int:
        return self.text.rfind("\n", 0, at) + 1

    def _line_stop(self, at: int) -> int:
        return self.text.find("\n", at) + 1 or len(self.text)


def _emptied(value: Any) -> Any:
    return {} if isinstance(value, dict) else [] if isinstance(value, list) else None


def _is_table(value: Any) -> bool:
    return isinstance(value, dict) or (isinstance(value, list) and bool(value) and isinstance(value[0], dict))


class _Block:
    """A header and the entries below it; the first block of a text has no header."""

    def __init__(self, keys: Keys, start: int, end: int) -> None:
        self.keys, self.start, self.end = keys, start, end
        self.entries: list[Mark] = []

    @property
    def has_header(self) -> bool:
        """Whether it is not the top of the text."""
        return self.start < self.end

    @property
    def last(self) -> int:
        """Where its last entry ends; remarks below that belong to what follows."""
        return self.entries[-1].end if self.entries else self.end


def renames(before: Table, after: Table) -> dict[str, str]:
    """Old key -> new key of what was renamed: it stands at the same place in the order and holds much the same."""
    found: dict[str, str] = {}
    matcher = SequenceMatcher(None, list(before), list(after), autojunk=False)
    for sort, i1, i2, j1, j2 in matcher.get_opcodes():
        if sort == "replace":
            pairs = zip(list(before)[i1:i2], list(after)[j1:j2], strict=False)
            found |= {old: new for old, new in pairs if new not in before and _alike(before[old], after[new])}
    return found


def _alike(one: Any, other: Any) -> bool:
    if isinstance(one, dict) and isinstance(other, dict):
        equal = sum(key in other and same(value, other[key]) for key, value in one.items())
        return 2 * equal >= max(len(one), len(other))
    return same(one, other)


def aligned(before: list[Any], after: list[Any]) -> list[tuple[int | None, Any]]:
    """Pairs of positions (old, new) of two lists: None where an item is new, or gone."""
    pairs: list[tuple[int | None, Any]] = []
    matcher = SequenceMatcher(None, [repr(item) for item in before], [repr(item) for item in after], autojunk=False)
    for _, i1, i2, j1, j2 in matcher.get_opcodes():
        both = min(i2 - i1, j2 - j1)
        pairs += [(i1 + k, j1 + k) for k in range(both)]
        pairs += [(i, None) for i in range(i1 + both, i2)] + [(None, j) for j in range(j1 + both, j2)]
    return pairs


def _added(before: list[Any], after: list[Any]) -> list[tuple[int, int]]:
    """(new position, the old position in front of which it comes) of what is new in a list."""
    found, position = [], 0
    for was, now in aligned(before, after):
        if was is None:
            found.append((now, position))
        else:
            position = was + 1
    return found
