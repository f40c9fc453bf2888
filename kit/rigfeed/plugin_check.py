"""For authors of plugins: everything about a plugin that can be found without a design."""

from __future__ import annotations

from collections.abc import Iterator
from types import ModuleType

from rigfeed.calculators import Calculator
from rigfeed.errors import InputError, RigfeedError
from rigfeed.parts.shelf import Shelf
from rigfeed.registry import BUILT_IN, PluginInfo, Registry, make_registry


def check_plugin(plugin: ModuleType | object, name: str = "plugin") -> tuple[str, ...]:
    """What is wrong with a plugin, a sentence each; empty where nothing was found.

    Registers it as the kit would, then builds every row of its catalogs, reads its practices, holds the thresholds of
    its checks against them, and looks at the defaults of its calculators.
    """
    registry = make_registry({name: plugin}, installed=False)
    calculators = registry.calculators  # asked for now, so that what is wrong there is told as well
    info = next(info for info in registry.plugins if info.name == name)
    if info.off:
        return (info.off,)
    troubles = [trouble.what for trouble in registry.troubles if trouble.plugin == name]
    own = next(info for info in registry.plugins if info.name == name).adds.get("register_calculators", ())
    # the checks that come with the kit bear the names of the trade, without a plugin in front
    ours = str(getattr(plugin, "__name__", "")).startswith(f"{BUILT_IN}_")
    odd = (fault for name in own for fault in _calculator(calculators[name]))
    return (*troubles, *_faults(registry, info, ours=ours), *odd)


def _faults(registry: Registry, info: PluginInfo, *, ours: bool) -> Iterator[str]:
    yield from _rows(registry, set(info.adds.get("register_catalogs", ())))
    practices = registry.practices
    common = practices.get("common")
    yield from (str(trouble) for trouble in practices.troubles)
    for name in info.adds.get("register_checks", ()):
        if "." not in name and not ours:
            yield f"check {name!r}: name it {info.name}.{name}, so that no other plugin takes the name"
        for threshold in registry.checks[name].thresholds:
            try:
                given = common.threshold(threshold)
            except InputError as error:
                yield str(error)
            else:
                if given is None:
                    yield f"check {name!r}: no practice gives {threshold.key!r}, so it will never run"


def _rows(registry: Registry, catalogs: set[str]) -> Iterator[str]:
    shelf = Shelf(registry)
    yield from (str(error) for error in shelf.troubles)
    for file, rows in shelf.catalogs():
        if file.name not in catalogs:
            continue
        for kind in rows.kinds():
            for id_ in rows.ids(kind):
                try:
                    shelf.part(f"{kind}:{file.name}/{id_}")
                except RigfeedError as error:
                    yield str(error)


def _calculator(calculator: Calculator) -> Iterator[str]:
    for field in calculator.inputs:
        given, least, most = field.default, field.least, field.most
        if isinstance(given, int | float) and least is not None and most is not None and not least <= given <= most:
            yield f"calculator {calculator.name!r}: the default of {field.path} is out of its own range"
        if isinstance(given, str) and field.choices and given not in field.choices:
            yield f"calculator {calculator.name!r}: the default of {field.path} is none of its choices"
