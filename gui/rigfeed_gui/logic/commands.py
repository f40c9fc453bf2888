"""Every action of the window as a row: its words, its key, where it stands in the menu, and when it can be used."""

from __future__ import annotations

import re
from collections.abc import Callable

from rigfeed.frozen import frozen
from rigfeed_gui.logic.words import say


@frozen
class Now:
    """What decides which commands can be used."""

    open: bool = False
    dirty: bool = False
    filed: bool = False
    undo: bool = False
    redo: bool = False
    selected: bool = False
    removable: bool = False
    conductor: bool = False
    finding: bool = False
    fixable: bool = False
    findings: bool = False
    assessed: bool = False
    drawn: bool = False
    busy: bool = False


def _always(now: Now) -> bool:
    return True


def _open(now: Now) -> bool:
    return now.open


def _drawn(now: Now) -> bool:
    return now.drawn


@frozen
class Command:
    """`key` is a key of Tk (``<Control-s>``), empty where there is none; the words are those of ``command.<id>``. A
    `sort` groups the neighbours in a menu: a line is drawn where it changes."""

    id: str
    menu: str
    key: str = ""
    enabled: Callable[[Now], bool] = _open
    sort: str = ""

    @property
    def words(self) -> str:
        """What a menu or a button says."""
        return say(f"command.{self.id}")

    @property
    def shown_key(self) -> str:
        """The key as a menu shows it: ``Ctrl+S``.

        >>> command("save-as").shown_key
        'Ctrl+Shift+S'
        """
        *held, last = [_KEYS.get(piece, piece) for piece in re.findall(r"[^<>-]+", self.key)] or [""]
        return "+".join((*held, last.upper() if len(last) == 1 else last))


_KEYS = {
    "Control": "Ctrl", "Return": "Enter", "plus": "+", "minus": "-", "Delete": "Del", "Prior": "Page Up",
    "Next": "Page Down", "Key": "Key",
}

MENUS: tuple[str, ...] = ("file", "edit", "view", "check", "tools", "help")
COMMANDS: tuple[Command, ...] = (
    Command("new", "file", "<Control-n>", _always),
    Command("open", "file", "<Control-o>", _always),
    Command("save", "file", "<Control-s>", lambda now: now.open and (now.dirty or not now.filed), "keep"),
    Command("save-as", "file", "<Control-Shift-S>", sort="keep"),
    Command("read-again", "file", "<Control-F5>", lambda now: now.filed, "keep"),
    Command("close", "file", "<Control-w>", sort="end"),
    Command("quit", "file", "<Control-q>", _always, "end"),
    Command("undo", "edit", "<Control-z>", lambda now: now.undo, "steps"),
    Command("redo", "edit", "<Control-y>", lambda now: now.redo, "steps"),
    Command("add", "edit", "<Control-Shift-A>", sort="things"),
    Command("connect", "edit", "<Control-j>", sort="things"),
    Command("pick-route", "edit", "<Control-r>", lambda now: now.conductor, "things"),
    Command("rename", "edit", "<F2>", lambda now: now.removable, "things"),
    Command("remove", "edit", "<Control-Delete>", lambda now: now.removable, "things"),
    Command("find", "edit", "<Control-f>", sort="find"),
    Command("zoom-in", "view", "<Control-plus>", _drawn, "zoom"),
    Command("zoom-out", "view", "<Control-minus>", _drawn, "zoom"),
    Command("zoom-fit", "view", "<Control-0>", _drawn, "zoom"),
    Command("next-drawing", "view", "<Control-d>", _drawn, "drawing"),
    Command("curves", "view", "<Control-g>", lambda now: now.assessed, "drawing"),
    Command("next-state", "view", "<Control-t>", lambda now: now.assessed, "drawing"),
    Command("go-drawing", "view", "<F6>", sort="places"),
    Command("go-form", "view", "<F7>", sort="places"),
    Command("go-findings", "view", "<F8>", sort="places"),
    Command("dividers", "view", "<F9>", sort="places"),
    Command("units", "view", "<Control-u>", _always, "looks"),
    Command("palette", "view", "<Control-Shift-D>", _always, "looks"),
    Command("larger", "view", "<Control-F12>", _always, "looks"),
    Command("smaller", "view", "<Control-F11>", _always, "looks"),
    Command("next-finding", "check", "<F4>", lambda now: now.findings, "walk"),
    Command("previous-finding", "check", "<Shift-F4>", lambda now: now.findings, "walk"),
    Command("fix", "check", "<Control-Return>", lambda now: now.fixable, "mend"),
    Command("accept", "check", "<Control-Shift-Return>", lambda now: now.finding, "mend"),
    Command("papers", "tools", "<Control-p>", lambda now: now.assessed, "design"),
    Command("compare", "tools", "<Control-Shift-B>", sort="design"),
    Command("measured", "tools", "<Control-Shift-M>", sort="design"),
    Command("catalogs", "tools", "<Control-k>", _always),
    Command("add-list", "tools", "<Control-i>", _always),
    Command("paste-list", "tools", "<Control-Shift-I>", _always),
    Command("calculators", "tools", "<Control-l>", _always),
    Command("keys", "help", "<F1>", _always),
    Command("cautions", "help", "<Shift-F1>", _always),
    Command("about", "help", "", _always),
)
_BY_ID = {command.id: command for command in COMMANDS}


def command(id_: str) -> Command:
    """The command of an id; KeyError where there is none."""
    return _BY_ID[id_]


def in_menu(menu: str) -> tuple[Command, ...]:
    """The commands of a menu, in order."""
    return tuple(command for command in COMMANDS if command.menu == menu)
