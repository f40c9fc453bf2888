"""A practice: a named set of thresholds, defaults and states, each with its authority. No number of these is in code.

A practice is a TOML file that extends another one; several files may add to the same practice (a plugin ships the
thresholds of its own checks). What a check needs and no practice gives is not checked, and said so.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import field, replace
from functools import cached_property
from pathlib import Path as FilePath
from typing import Any

from marshmallow import ValidationError

from rigfeed.complaints import complaints
from rigfeed.errors import BadQuantity, Place, PracticeError, RigfeedError, UnknownName, nearest
from rigfeed.fields import OneOf, Series, TableOf, TableSchema, Text, one_of
from rigfeed.frozen import frozen
from rigfeed.keyed import Keyed
from rigfeed.parts.catalog import CatalogFile, LocalFile
from rigfeed.path import Path
from rigfeed.quantity import from_base, kind_of, parse

NAME = re.compile(r"[a-z][a-z0-9-]{0,47}")
KEY = re.compile(r"[a-z][a-z0-9-]*(?:\.[a-z][a-z0-9-]*)+")
SAID = re.compile(r"(?s).*\S.*")  # an authority of blanks is none
SEVERITIES = ("error", "warning", "advice", "off")


@frozen
class Threshold:
    """A number that a check compares with, declared in code: its key, unit and meaning. The value is the practice's."""

    key: str
    unit: str
    meaning: str


@frozen
class Setting:
    """The value of a threshold or of a default, as the practice gives it."""

    value: str
    authority: str
    meaning: str = ""
    where: str = ""


@frozen
class KeyedState:
    """A state that a practice supplies where a design has none: each device takes the first of `modes` that it has."""

    title: str
    engine: str
    air: str = "warmest"
    modes: tuple[str, ...] = ()


@frozen
class Practice:
    """All that was found for one name, its ancestors merged in."""

    name: str
    title: str = ""
    lineage: tuple[str, ...] = ()
    thresholds: Keyed[Setting] = Keyed()
    defaults: Keyed[Setting] = Keyed()
    severities: Keyed[str] = Keyed()
    states: Keyed[KeyedState] = Keyed()

    def threshold(self, threshold: Threshold) -> tuple[float, Setting] | None:
        """The number of a threshold in its unit, and where it comes from; None if the practice has none.

        Raises
        ------
        PracticeError
            If the value is not a quantity of that unit.
        """
        return self._number("thresholds", threshold)

    def default(self, threshold: Threshold) -> tuple[float, Setting] | None:
        """The number that stands in for a fact which the design leaves out; as `threshold`."""
        return self._number("defaults", threshold)

    @cached_property
    def _numbers(self) -> dict[tuple[str, Threshold], tuple[float, Setting] | None]:
        return {}

    def _number(self, part: str, threshold: Threshold) -> tuple[float, Setting] | None:
        """A number is read once, however many checks ask; one that cannot be read fails each of them."""
        key, numbers = (part, threshold), self._numbers  # taken once: two threads may each have made their own
        if key not in numbers:
            numbers[key] = self._read(part, threshold)
        return numbers[key]

    def _read(self, part: str, threshold: Threshold) -> tuple[float, Setting] | None:
        setting: Setting | None = getattr(self, part).get(threshold.key)
        if setting is None:
            return None
        try:
            number = from_base(parse(setting.value, threshold.unit), threshold.unit)
            if number < 0 and kind_of(threshold.unit) not in ("temperature", "decibel"):
                raise BadQuantity(f"{setting.value!r} is below zero", remedy="write the figure without its sign")
            return number, setting
        except BadQuantity as error:
            place = Place(file=setting.where or None, path=Path(part, threshold.key, "value"))
            what = f"practice {self.name!r}, {threshold.meaning}: {error.what}"
            raise PracticeError(what, place=place, remedy=error.remedy) from None


class SettingSchema(TableSchema):
    builds = Setting
    value = Text(required=True)
    authority = Text(SAID, like="33 CFR 183.455", required=True)
    meaning = Text(load_default="")


class KeyedStateSchema(TableSchema):
    builds = KeyedState
    title = Text(required=True)
    engine = OneOf(("on", "off"), required=True)
    air = OneOf(("warmest", "coldest"), load_default="warmest")
    modes = Series(Text(), load_default=())


@frozen
class Fragment:
    """One file of a practice."""

    practice: str
    title: str = ""
    extends: str | None = None
    thresholds: Keyed[Setting] = Keyed()
    defaults: Keyed[Setting] = Keyed()
    severities: Keyed[str] = Keyed()
    states: Keyed[KeyedState] = Keyed()
    where: str = field(default="", compare=False)


class FragmentSchema(TableSchema):
    builds = Fragment
    practice = Text(NAME, like="road", required=True)
    title = Text(load_default="")
    extends = Text(NAME, like="common", load_default=None)
    thresholds = TableOf(SettingSchema(), names=KEY, like="lead-drop-high.share")
    defaults = TableOf(SettingSchema(), names=KEY, like="body.path")
    severities = TableOf(OneOf(SEVERITIES), names=re.compile(r"[a-z][a-z0-9.-]*"), like="return-far")
    states = TableOf(KeyedStateSchema())


def read_fragment(file: CatalogFile) -> Fragment:
    """One practice file.

    Raises
    ------
    FileProblem, PracticeError
        If it cannot be read or breaks the schema.
    """
    try:
        data = tomllib.loads(file.text())
        fragment: Fragment = one_of(FragmentSchema).load(data)
    except tomllib.TOMLDecodeError as error:
        remedy = "mend it there; every text stands in quotes"
        raise PracticeError(f"is not valid TOML: {error}", place=Place(file=file.where), remedy=remedy) from None
    except RecursionError:
        raise PracticeError("is nested too deeply", place=Place(file=file.where)) from None
    except ValidationError as error:
        path, complaint = next(complaints(error.messages))
        raise PracticeError(complaint, place=Place(file=file.where, path=path), remedy=complaint.remedy) from None
    marked = {
        name: Keyed({key: replace(s, where=file.where) for key, s in getattr(fragment, name).items()})
        for name in ("thresholds", "defaults")
    }
    return Fragment(**{**vars(fragment), **marked, "where": file.where})


class Practices:
    """The practices by name, put together when one is asked for; a broken file is left out and listed in `troubles`."""

    def __init__(self, files: Iterable[CatalogFile]) -> None:
        self._files = tuple(files)
        self._fragments: dict[str, list[Fragment]] | None = None
        self._merged: dict[str, Practice] = {}
        self.troubles: list[RigfeedError] = []

    def names(self) -> tuple[str, ...]:
        """All names."""
        return tuple(sorted(self._read()))

    def get(self, name: str) -> Practice:
        """The practice of a name, everything it extends merged in; what a child gives wins.

        Raises
        ------
        UnknownName
            If there is none.
        PracticeError
            If it extends itself or another one that does not exist, if two of its files extend different ones, or if
            two of them give the same key.
        """
        if name not in self._merged:
            self._merged[name] = self._put_together(name)
        return self._merged[name]

    def _put_together(self, name: str) -> Practice:
        lineage = self._lineage(name)
        merged: dict[str, dict[str, Any]] = {key: {} for key in ("thresholds", "defaults", "severities", "states")}
        title = name
        for ancestor in reversed(lineage):
            for key, into in merged.items():
                into.update(self._own(ancestor, key))
            title = next((f.title for f in self._read()[ancestor] if f.title), title)
        return Practice(name, title, lineage, **{key: Keyed(into) for key, into in merged.items()})

    def strange(self, thresholds: Collection[str], checks: Collection[str]) -> Iterator[PracticeError]:
        """What a person's own practice files set and nothing ever reads: a misspelt key would else be lost in silence.

        `thresholds` and `checks` are the names that code declares; what the shipped practices set counts as known.
        """
        every = [fragment for fragments in self._read().values() for fragment in fragments]
        own = {file.where for file in self._files if isinstance(file, LocalFile)}
        for part, declared in (("thresholds", thresholds), ("defaults", ()), ("severities", checks)):
            known = {*declared, *(key for f in every if f.where not in own for key in getattr(f, part))}
            for fragment in every:
                for key in getattr(fragment, part) if fragment.where in own else ():
                    if key not in known:
                        place = Place(file=fragment.where, path=Path(part, key))
                        yield PracticeError("nothing reads this key", place=place, remedy=nearest(key, known))

    def _lineage(self, name: str) -> tuple[str, ...]:
        """The name, what it extends, what that extends, ... up to the root."""
        if name not in self._read():
            error = UnknownName("practice", name, self._read())
            error.remedy += self._left_out()
            raise error
        lineage = [name]
        while (child := self._extending(lineage[-1])) and (parent := child.extends):
            place = Place(file=child.where, path=Path("extends"))
            if parent in lineage:
                what = f"practice {child.practice!r} extends {parent!r}, which extends it in turn"
                raise PracticeError(what, place=place, remedy="let one of them extend nothing")
            if parent not in self._read():
                remedy = nearest(parent, self._read()) + self._left_out()
                raise PracticeError(f"there is no practice {parent!r} to extend", place=place, remedy=remedy)
            lineage.append(parent)
        return tuple(lineage)

    def _extending(self, name: str) -> Fragment | None:
        """The file that says what a practice extends."""
        found = [fragment for fragment in self._read()[name] if fragment.extends]
        for other in found[1:]:
            if other.extends != found[0].extends:
                what = f"practice {name!r} extends {other.extends!r} here and {found[0].extends!r} in {found[0].where}"
                place = Place(file=other.where, path=Path("extends"))
                raise PracticeError(what, place=place, remedy="extend one practice; the other can extend that")
        return found[0] if found else None

    def _left_out(self) -> str:
        return "; left out as broken: " + "; ".join(map(str, self.troubles)) if self.troubles else ""

    def _own(self, name: str, part: str) -> Mapping[str, Any]:
        own: dict[str, Any] = {}
        first: dict[str, str] = {}
        for fragment in self._read()[name]:
            for key, value in getattr(fragment, part).items():
                if key in own:
                    place = Place(file=fragment.where, path=Path(part, key))
                    what = f"practice {name!r} has {key!r} already, in {first[key]}"
                    raise PracticeError(what, place=place, remedy="keep it in one of the files")
                own[key], first[key] = value, fragment.where
        return own

    def _read(self) -> dict[str, list[Fragment]]:
        if self._fragments is None:
            found: dict[str, list[Fragment]] = {}
            for file in self._files:
                try:
                    fragment = read_fragment(file)
                except RigfeedError as error:
                    self.troubles.append(error)
                else:
                    found.setdefault(fragment.practice, []).append(fragment)
            self._fragments = found
        return self._fragments


def practices_beside(design_file: FilePath) -> tuple[LocalFile, ...]:
    """The practice files in the folder ``practices`` beside a design, by name."""
    return tuple(LocalFile(path) for path in sorted((design_file.parent / "practices").glob("*.toml")))
