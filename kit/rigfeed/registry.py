"""Everything that plugins declare, found once, each plugin by itself: one that is broken is named and left out."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cache, partial
from importlib.metadata import Distribution, PackageNotFoundError, distribution, entry_points
from types import ModuleType
from typing import TYPE_CHECKING, Any, TypeVar

import pluggy

from rigfeed import builtin
from rigfeed.checks.check import SEVERITY_ORDER, Check, Fact
from rigfeed.errors import PluginError
from rigfeed.fields import PART_KEY, TableSchema, one_of
from rigfeed.frozen import frozen
from rigfeed.hooks import PROJECT, Hooks
from rigfeed.papers.paper import Drawing, Paper, Plot
from rigfeed.parts.catalog import CatalogFile, Resource
from rigfeed.parts.part import Default, Part, PartKind, RowSchema, StandIn
from rigfeed.parts.tables import LateRows
from rigfeed.practice import KEY, Practices, Threshold
from rigfeed.quantity import UNITS
from rigfeed.view import Study

if TYPE_CHECKING:
    from rigfeed.calculators import Calculator

GROUP = "rigfeed.plugins"
BUILT_IN = "rigfeed"
STEP_S = 5.0  # what a plugin has for each of its hooks
IMPORT_S = 20.0  # for its import, which a cold disk or a busy machine may slow down
HOOKS: Mapping[str, type[Any]] = {
    "register_part_kinds": PartKind,
    "register_catalogs": Resource,
    "register_practices": Resource,
    "register_studies": Study,
    "register_checks": Check,
    "register_papers": Paper,
    "register_drawings": Drawing,
    "register_figures": Plot,
}
R = TypeVar("R")
Begin = Callable[[str, float], None]  # a step by name, and how long it may take [s]


@frozen
class PluginTrouble:
    """A plugin, or one declaration of it, that was left out."""

    plugin: str
    what: str


@frozen
class PluginInfo:
    """A plugin that was met: the distribution it came in, the names of what it adds by hook, and why it is off if it
    is."""

    name: str
    distribution: Distribution | None
    adds: Mapping[str, tuple[str, ...]]
    off: str = ""

    @property
    def version(self) -> str:
        """The version of the distribution that it came in, read when asked for; empty where there is none."""
        return self.distribution.version if self.distribution else ""


@dataclass
class Registry:
    """All declarations by name, and the troubles met on the way."""

    plugins: list[PluginInfo] = field(default_factory=list)
    kinds: dict[str, PartKind] = field(default_factory=dict)
    catalogs: list[Resource] = field(default_factory=list)
    practice_files: list[CatalogFile] = field(default_factory=list)
    studies: dict[str, Study[Any]] = field(default_factory=dict)
    checks: dict[str, Check] = field(default_factory=dict)
    papers: dict[str, Paper] = field(default_factory=dict)
    drawings: dict[str, Drawing] = field(default_factory=dict)
    figures: dict[str, Plot] = field(default_factory=dict)
    troubles: list[PluginTrouble] = field(default_factory=list)
    late: list[tuple[str, Callable[[], list[Any]]]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self._practices: Practices | None = None
        self._calculators: dict[str, Calculator] = {}
        self._rows: dict[CatalogFile, LateRows] = {}

    def rows(self, catalog: CatalogFile) -> LateRows:
        """The rows of one of the catalogs, for all shelves: what is installed does not change while it is in use.

        Raises
        ------
        FileProblem, CatalogError
            If the file cannot be read.
        """
        if catalog not in self._rows:
            self._rows[catalog] = LateRows(catalog)
        return self._rows[catalog]

    @property
    def calculators(self) -> dict[str, Calculator]:
        """The calculators of all plugins, asked for when first wanted: assessing a design needs none of them."""
        while self.late:
            name, ask = self.late.pop(0)
            try:
                found = ask()
            except PluginError as error:
                self.troubles.append(PluginTrouble(name, f"its calculators are left out: {error.what}"))
                continue
            self.keep(name, found, self._calculators)
            adds = {"register_calculators": tuple(declaration.name for declaration in found)}
            self.plugins = [
                replace(info, adds={**info.adds, **adds}) if info.name == name and found else info
                for info in self.plugins
            ]
        return self._calculators

    def keep(self, plugin: str, declared: Iterable[Any], table: dict[str, Any]) -> None:
        """Put declarations into a table by name; a name that is taken is reported."""
        for declaration in declared:
            if declaration.name in table:
                sort = type(declaration).__name__
                self.troubles.append(PluginTrouble(plugin, f"the {sort} name {declaration.name!r} is taken"))
            else:
                table[declaration.name] = declaration

    @property
    def practices(self) -> Practices:
        """The practices of all plugins."""
        if self._practices is None:
            self._practices = Practices(self.practice_files)
        return self._practices


def make_registry(
    plugins: Mapping[str, ModuleType | object] | None = None, *, installed: bool = True, step_s: float = STEP_S
) -> Registry:
    """The registry of the built-in declarations, the plugins given, and (`installed`) those of the entry points.

    A plugin that takes longer than `step_s` [s] for one of its hooks, or `IMPORT_S` for its import, is left out.
    """
    registry = Registry()
    _add(registry, BUILT_IN, _distribution(BUILT_IN), _giving(builtin), step_s)
    for name, plugin in sorted((plugins or {}).items()):
        _add(registry, name, None, _giving(plugin), step_s)
    if installed:
        for entry in sorted(entry_points(group=GROUP), key=lambda entry: entry.name):
            _add(registry, entry.name, entry.dist, entry.load, step_s)
    return registry


@cache
def installed_registry() -> Registry:
    """The registry of this installation, made when first asked for."""
    return make_registry()


def _giving(plugin: object) -> Callable[[], object]:
    return lambda: plugin


def _distribution(name: str) -> Distribution | None:
    try:
        return distribution(name)
    except PackageNotFoundError:  # run from a folder that was never installed
        return None


def _add(registry: Registry, name: str, of: Distribution | None, load: Callable[[], object], step_s: float) -> None:
    """Take one plugin in whole, or leave it out whole: half of one would be checks without their practice."""
    try:
        manager, given = _in_time("its import", IMPORT_S, partial(_asked, name, load, step_s))
        declared = {hook: _sound(given[hook], sort, hook) for hook, sort in HOOKS.items()}
    except Exception as error:
        what = error.what if isinstance(error, PluginError) else f"{type(error).__name__}: {error}"
        registry.troubles.append(PluginTrouble(name, f"left out: {what}"))
        registry.plugins.append(PluginInfo(name, of, {}, what))
        return
    adds = {hook: tuple(d.name for d in found) for hook, found in declared.items() if found}
    registry.plugins.append(PluginInfo(name, of, adds))
    registry.catalogs += declared["register_catalogs"]
    registry.practice_files += declared["register_practices"]
    registry.keep(name, declared["register_part_kinds"], registry.kinds)
    registry.keep(name, declared["register_studies"], registry.studies)
    registry.keep(name, declared["register_checks"], registry.checks)
    registry.keep(name, declared["register_papers"], registry.papers)
    registry.keep(name, declared["register_drawings"], registry.drawings)
    registry.keep(name, declared["register_figures"], registry.figures)
    registry.late.append((name, partial(_calculators, manager, step_s)))


def _asked(
    name: str, load: Callable[[], object], step_s: float, begin: Begin
) -> tuple[pluggy.PluginManager, dict[str, list[Any]]]:
    """A manager for one plugin alone, so that it can disturb nobody else, and what the plugin gives for each hook."""
    plugin = load()
    begin("the look at its hooks", step_s)
    manager = pluggy.PluginManager(PROJECT)
    manager.add_hookspecs(Hooks)
    manager.register(plugin, name=name)
    manager.check_pending()
    return manager, {hook: _given(manager, hook, step_s, begin) for hook in HOOKS}


def _given(manager: pluggy.PluginManager, hook: str, step_s: float, begin: Begin) -> list[Any]:
    begin(hook, step_s)
    return [declaration for result in getattr(manager.hook, hook)() for declaration in result]


def _calculators(manager: pluggy.PluginManager, step_s: float) -> list[Any]:
    from rigfeed.calculators import Calculator

    hook = "register_calculators"
    return _sound(_in_time(hook, step_s, partial(_given, manager, hook, step_s)), Calculator, hook)


def _in_time(first: str, first_s: float, work: Callable[[Begin], R]) -> R:
    """The result of work on a plugin. It says when it begins another step than the first, and how long that may take;
    one that is overdue is left to the thread, which dies with the program."""
    results: list[R] = []
    errors: list[BaseException] = []
    steps: list[tuple[str, float, float]] = []

    def begin(step: str, most_s: float) -> None:
        steps.append((step, most_s, time.monotonic() + most_s))

    def run() -> None:
        try:
            results.append(work(begin))
        except BaseException as error:  # whoever leaves the program here would leave this thread only
            errors.append(error)

    begin(first, first_s)
    thread = threading.Thread(target=run, daemon=True)
    thread.start()
    while thread.is_alive():
        step, most_s, due = steps[-1]
        if (left_s := due - time.monotonic()) <= 0:
            raise PluginError(f"{step} takes longer than {most_s:g} s")
        thread.join(left_s)
    if errors:
        raise PluginError(f"{steps[-1][0]} raised {type(errors[0]).__name__}: {errors[0]}") from errors[0]
    return results[0]


# what a declaration must be, so that nothing that reads it later has to doubt it


def _sound(declarations: list[Any], sort: type[Any], hook: str) -> list[Any]:
    """The declarations of one hook, sorted."""
    for declaration in declarations:
        _must_be_sound(declaration, sort, hook)
    return sorted(declarations, key=lambda d: d.path if isinstance(d, Resource) else d.name)


def _must_be_sound(declaration: Any, sort: type[Any], hook: str) -> None:
    if not isinstance(declaration, sort):
        raise PluginError(f"{hook}: {declaration!r} is not a {sort.__name__}")
    for fault in _faults(declaration):
        name = getattr(declaration, "name", "")
        raise PluginError(f"{hook}: {sort.__name__} {name!r}: {fault}")


def _faults(declaration: Any) -> Iterator[str]:
    if isinstance(declaration, Resource):
        if not (isinstance(declaration.package, str) and isinstance(declaration.path, str)):
            yield "package and path are texts"
        return
    if not isinstance(declaration.name, str) or not declaration.name:
        yield "its name is no text"
    elif isinstance(declaration, PartKind):
        yield from _faults_of_kind(declaration)
    elif isinstance(declaration, Study | Check | Paper | Drawing | Plot):
        yield from _faults_of_needs(declaration.needs, (), set())
        if isinstance(declaration, Check):
            yield from _faults_of_check(declaration)


def _faults_of_kind(kind: PartKind) -> Iterator[str]:
    match = PART_KEY.fullmatch(kind.name)
    if not match or match["row"]:
        yield "no key of a part can begin with this name"
    for what, given, base in (("row", kind.row, RowSchema), ("settings", kind.settings, TableSchema)):
        if given is not None and not (isinstance(given, type) and issubclass(given, base)):
            yield f"{what} is {given!r}, not a subclass of {base.__name__}"
    if not isinstance(kind.standard, Part | None):
        yield f"standard is {kind.standard!r}, not a Part"
    known = set(one_of(kind.settings).fields) if kind.settings else set()
    for default in kind.defaults:
        if not isinstance(default, Default) or not {
            default.setting, *default.unless, *default.beside,
        } <= known:
            yield f"{default!r} is not a Default for its settings"
        else:
            yield from _faults_of_threshold(default.threshold)
    for stand_in in kind.stand_ins:
        if not isinstance(stand_in, StandIn) or stand_in.setting not in known or stand_in.unit not in UNITS:
            yield f"{stand_in!r} is not a StandIn for its settings"


def _faults_of_check(check: Check) -> Iterator[str]:
    if check.severity not in SEVERITY_ORDER:
        yield f"severity is {check.severity!r}, not one of {', '.join(SEVERITY_ORDER)}"
    for threshold in check.thresholds:
        yield from _faults_of_threshold(threshold)
    if not all(isinstance(fact, Fact) for fact in check.facts):
        yield "one of its facts is not a Fact"


def _faults_of_threshold(threshold: object) -> Iterator[str]:
    if not isinstance(threshold, Threshold):
        yield f"{threshold!r} is not a Threshold"
    elif threshold.unit not in UNITS or not KEY.fullmatch(threshold.key):
        yield f"{threshold!r} has a unit or a key that no practice can hold"


def _faults_of_needs(needs: object, above: tuple[Study[Any], ...], seen: set[Study[Any]]) -> Iterator[str]:
    if not isinstance(needs, tuple):
        yield "needs is no tuple of studies"
        return
    for study in needs:
        if not isinstance(study, Study):
            yield f"it needs {study!r}, which is not a Study"
        elif study in above:
            yield f"it needs study {study.name!r}, which needs itself"
        elif study not in seen:
            seen.add(study)
            yield from _faults_of_needs(study.needs, (*above, study), seen)
