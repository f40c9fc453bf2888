"""Every action of the window as a row: its words, its key, where it stands in the menu, and when it can be used."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Now:
    """What decides which commands can be used."""

    open: bool = False
    dirty: bool = False
    undo: bool = False
    redo: bool = False
    selected: bool = False
    removable: bool = False
    conductor: bool = False
    assessed: bool = False
    busy: bool = False
    on_surface: bool = False


@dataclass(frozen=True)
class Command:
    """`key` is a key of Tk (``<Control-s>``); the words are those of ``command.<id>``."""

    id: str
    menu: str
    key: str
    enabled: Callable[[Now], bool]

    @property
    def words(self) -> str:
        """What a menu or a button says."""
        raise NotImplementedError

    @property
    def shown_key(self) -> str:
        """The key as a menu shows it: ``Ctrl+S``."""
        raise NotImplementedError


MENUS: tuple[str, ...] = ("file", "edit", "view", "design", "papers", "help")
COMMANDS: tuple[Command, ...] = ()


def command(id_: str) -> Command:
    """The command of an id; KeyError where there is none."""
    raise NotImplementedError


def in_menu(menu: str) -> tuple[Command, ...]:
    """The commands of a menu, in order."""
    raise NotImplementedError
