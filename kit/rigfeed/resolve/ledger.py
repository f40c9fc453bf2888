"""What a resolution has to hand, and the book it keeps: errors, assumptions, what could not be resolved."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from rigfeed.checks.check import NotChecked
from rigfeed.design.model import Design
from rigfeed.errors import DesignError, InputError, Place, RigfeedError
from rigfeed.fields import PART_KEY
from rigfeed.installation import Assumption
from rigfeed.measure import Measure
from rigfeed.parts.part import Part
from rigfeed.parts.shelf import Shelf
from rigfeed.path import Path
from rigfeed.practice import Practice, Setting, Threshold


@dataclass
class Ledger:
    """The inputs of a resolution and everything it has to report."""

    design: Design
    shelf: Shelf
    practice: Practice
    errors: list[InputError] = field(default_factory=list)
    assumptions: list[Assumption] = field(default_factory=list)
    not_checked: list[NotChecked] = field(default_factory=list)

    def error(self, what: str, path: Path, remedy: str = "") -> None:
        """Something stops; the resolution goes on to find more of it."""
        self.errors.append(DesignError(what, place=Place(path=path), remedy=remedy))

    def missing(self, subject: str, why: str, path: Path) -> None:
        """Something is not given yet, and what depends on it is not checked."""
        item = NotChecked(subject, why, path)
        if item not in self.not_checked:
            self.not_checked.append(item)

    def default(self, threshold: Threshold, path: Path) -> float:
        """The practice's stand-in for what the design leaves out, counted as an assumption."""
        number, authority = self._number(threshold, path, self.practice.default(threshold))
        assumption = Assumption(path, threshold.meaning, Measure(number, threshold.unit), authority)
        if assumption not in self.assumptions:
            self.assumptions.append(assumption)
        return number

    def rule(self, threshold: Threshold, path: Path) -> float:
        """A figure that the practice prescribes."""
        return self._number(threshold, path, self.practice.threshold(threshold))[0]

    def _number(self, threshold: Threshold, path: Path, found: tuple[float, Setting] | None) -> tuple[float, str]:
        if found is None:
            what = f"practice {self.practice.name!r} has no {threshold.key!r} ({threshold.meaning})"
            self.error(what, path, "give the figure in the design, or add the key to the practice")
            return 0.0, ""
        return found[0], found[1].authority

    def part(self, key: str, path: Path) -> Part | None:
        """The part of a key. One whose kind no plugin knows is kept as written and reported; a misspelt one stops."""
        match = PART_KEY.fullmatch(key)
        kind = match["kind"] if match else ""
        if kind not in self.shelf.kinds and not _is_misspelt(kind, self.shelf.kinds):
            self.missing("parts", f"no plugin here adds the part kind {kind!r}", path)
            return None
        try:
            return self.shelf.part(key)
        except InputError as error:
            self.errors.append(_beside(error, path))
        except RigfeedError as error:
            self.error(f"{key!r} cannot be read: {error}", path)
        return None


def _is_misspelt(kind: str, known: Iterable[str]) -> bool:
    """Whether a kind is so near to a known one that it cannot be another plugin's: "fuze", but not "converter", which
    is as near to "connector" as a suggestion may be."""
    import difflib

    return bool(difflib.get_close_matches(kind, known, n=1, cutoff=0.72))


def _beside(error: InputError, path: Path) -> InputError:
    """An error of the shelf as one of the design: it points at the key; the place in the catalog goes into the text."""
    where = str(error.place)
    found = type(error).__new__(type(error))
    found.__dict__.update(error.__dict__)
    found.what = f"{where}: {error.what}" if where else error.what
    found.place = Place(path=path)
    return found
