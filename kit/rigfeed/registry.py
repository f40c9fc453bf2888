"""Everything that plugins declare, found once, each plugin by itself: one that is broken is named and left out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib.metadata import entry_points
from types import ModuleType
from typing import Any, TypeVar

import pluggy

from rigfeed.checks.check import Check
from rigfeed.errors import PluginError
from rigfeed.hooks import PROJECT, Hooks
from rigfeed.papers.paper import Paper
from rigfeed.parts.catalog import Resource
from rigfeed.parts.interfaces import PartKind
from rigfeed.practice import Practices
from rigfeed.view import Study

GROUP = "rigfeed.plugins"
BUILT_IN = "rigfeed"
D = TypeVar("D")


@dataclass(frozen=True)
class PluginTrouble:
    """A plugin, or one declaration of it, that was left out."""

    plugin: str
    what: str


@dataclass
class Registry:
    """All declarations by name, and the troubles met on the way."""

    kinds: dict[str, PartKind] = field(default_factory=dict)
    catalogs: list[Resource] = field(default_factory=list)
    practice_files: list[Resource] = field(default_factory=list)
    studies: dict[str, Study[Any]] = field(default_factory=dict)
    checks: dict[str, Check] = field(default_factory=dict)
    papers: dict[str, Paper] = field(default_factory=dict)
    troubles: list[PluginTrouble] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._practices: Practices | None = None

    @property
    def practices(self) -> Practices:
        """The practices of all plugins."""
        if self._practices is None:
            self._practices = Practices(self.practice_files)
        return self._practices


def make_registry(plugins: Mapping[str, ModuleType | object] | None = None, *, installed: bool = True) -> Registry:
    """The registry of the built-in declarations, the plugins given, and (`installed`) those of the entry points."""
    from rigfeed import builtin

    registry = Registry()
    _add(registry, BUILT_IN, lambda: builtin)
    for name, plugin in sorted((plugins or {}).items()):
        _add(registry, name, lambda plugin=plugin: plugin)
    if installed:
        for entry in sorted(entry_points(group=GROUP), key=lambda entry: entry.name):
            _add(registry, entry.name, entry.load)
    _refuse_cycles(registry)
    return registry


@cache
def installed_registry() -> Registry:
    """The registry of this installation, made when first asked for."""
    return make_registry()


def _add(registry: Registry, name: str, load: Callable[[], Any]) -> None:
    """Take one plugin in by a manager of its own, so that what it does wrong touches nobody else."""
    manager = pluggy.PluginManager(PROJECT)
    manager.add_hookspecs(Hooks)
    try:
        manager.register(load(), name=name)
        manager.check_pending()
    except Exception as error:
        registry.troubles.append(PluginTrouble(name, f"cannot be used: {type(error).__name__}: {error}"))
        return
    for hook, sort, keep in (
        ("register_part_kinds", PartKind, _named(registry.kinds)),
        ("register_catalogs", Resource, registry.catalogs.append),
        ("register_practices", Resource, registry.practice_files.append),
        ("register_studies", Study, _named(registry.studies)),
        ("register_checks", Check, _named(registry.checks)),
        ("register_papers", Paper, _named(registry.papers)),
    ):
        try:
            for declaration in _declared(manager, hook, sort):
                keep(declaration)
        except Exception as error:
            registry.troubles.append(PluginTrouble(name, f"{hook}: {type(error).__name__}: {error}"))


def _declared(manager: pluggy.PluginManager, hook: str, sort: type[D]) -> list[D]:
    found: list[D] = []
    for result in getattr(manager.hook, hook)():
        for declaration in result:
            if not isinstance(declaration, sort):
                raise PluginError(f"{declaration!r} is not a {sort.__name__}")
            found.append(declaration)
    return sorted(found, key=lambda d: d.path if isinstance(d, Resource) else d.name)  # type: ignore[attr-defined]


def _named(table: dict[str, Any]) -> Callable[[Any], None]:
    def keep(declaration: Any) -> None:
        if declaration.name in table:
            raise PluginError(f"the name {declaration.name!r} is taken")
        table[declaration.name] = declaration

    return keep


def _refuse_cycles(registry: Registry) -> None:
    """A study that needs itself, over others or not, is left out together with the checks and papers on it."""

    def circular(study: Study[Any], above: tuple[Study[Any], ...] = ()) -> bool:
        return study in above or any(circular(needed, (*above, study)) for needed in study.needs)

    tables: Iterable[tuple[str, dict[str, Any]]] = (
        ("study", registry.studies), ("check", registry.checks), ("paper", registry.papers),
    )  # fmt: skip
    for sort, table in tables:
        for name, declaration in list(table.items()):
            studies = [declaration] if sort == "study" else declaration.needs
            if any(circular(study) for study in studies):
                del table[name]
                registry.troubles.append(PluginTrouble(name, f"the {sort} needs a study that needs itself"))
