"""What a plugin can add: the pluggy specifications. Every hook returns declarations; the kit sorts and runs them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import pluggy

from rigfeed.checks.check import Check
from rigfeed.papers.paper import Drawing, Paper, Plot
from rigfeed.parts.catalog import Resource
from rigfeed.parts.part import PartKind
from rigfeed.view import Study

if TYPE_CHECKING:
    from rigfeed.calculators import Calculator

PROJECT = "rigfeed"
hookspec = pluggy.HookspecMarker(PROJECT)
hookimpl = pluggy.HookimplMarker(PROJECT)


class Hooks:
    """The hooks. Each is called once, when the registry is made."""

    @hookspec
    def register_part_kinds(self) -> Iterable[PartKind]:  # type: ignore[empty-body]
        """Kinds of parts, with the schemas of their catalog rows and of their settings on a node."""

    @hookspec
    def register_catalogs(self) -> Iterable[Resource]:  # type: ignore[empty-body]
        """Catalog files inside installed packages, by name; they are read when a part of them is asked for."""

    @hookspec
    def register_practices(self) -> Iterable[Resource]:  # type: ignore[empty-body]
        """Practice files inside installed packages; several files may add to one practice."""

    @hookspec
    def register_studies(self) -> Iterable[Study[Any]]:  # type: ignore[empty-body]
        """Computations over the whole installation."""

    @hookspec
    def register_calculators(self) -> Iterable[Calculator]:  # type: ignore[empty-body]
        """Formulas with named inputs and outputs, each runnable by itself."""

    @hookspec
    def register_checks(self) -> Iterable[Check]:  # type: ignore[empty-body]
        """Rules. A stranger's check is named ``<plugin>.<name>``."""

    @hookspec
    def register_papers(self) -> Iterable[Paper]:  # type: ignore[empty-body]
        """What can be printed or handed over."""

    @hookspec
    def register_drawings(self) -> Iterable[Drawing]:  # type: ignore[empty-body]
        """Pictures to print, to hand over, and to work on in the window."""

    @hookspec
    def register_figures(self) -> Iterable[Plot]:  # type: ignore[empty-body]
        """Curves with axes, as data: to look at, to print, and to have as numbers."""
