"""What each command does: one method for each row of the table of commands, named like it."""

from __future__ import annotations

import tkinter as tk
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path as FilePath
from typing import TYPE_CHECKING

from rigfeed_gui.dialogs import editing, files, helping
from rigfeed_gui.dialogs.ask import Ask
from rigfeed_gui.dialogs.base import Dialog
from rigfeed_gui.logic import findings, things
from rigfeed_gui.logic.commands import command
from rigfeed_gui.logic.words import say

if TYPE_CHECKING:
    from rigfeed.parts.shelf import Shelf
    from rigfeed_gui.logic.intaking import Listed
    from rigfeed_gui.window import Window

SCALES = (0.8, 0.9, 1.0, 1.1, 1.25, 1.5, 1.75, 2.0, 2.5, 3.0)


class Actions:
    """The commands of one window."""

    def __init__(self, window: Window) -> None:
        self._window, self._session, self._context = window, window.session, window.context

    def run(self, id_: str) -> None:
        """Do what a command says, if it can be done now."""
        if id_ == "save":
            self._session.file_is_gone()  # then there is something to save, though nothing was changed
        if command(id_).enabled(self._session.now):
            self.method(id_)()

    def method(self, id_: str) -> Callable[[], None]:
        """The method of a command."""
        found: Callable[[], None] = getattr(self, id_.replace("-", "_"))
        return found

    # the design and its file

    def when_settled(self, then: Callable[[], None]) -> None:
        """Do something that gives the design in hand up, once it is saved or nobody wants it."""
        work = self._session.work
        self._session.file_is_gone()
        if work is None or not work.dirty:
            then()
            return

        def saved() -> None:
            self.save(then)

        Ask(self._context.root, self._context.theme, say("unsaved.title"), say("unsaved.text", title=work.title),
            [(say("unsaved.save"), saved), (say("unsaved.drop"), then)], cancel=say("dialog.cancel"))

    def new(self) -> None:
        """The start page."""
        self.when_settled(self._session.leave)

    close = new

    def open(self) -> None:
        """Choose a file and open it."""

        def choose() -> None:
            recent = self._session.settings.recent
            path = files.ask_open(self._context.root, FilePath(recent[0]) if recent else None)
            if path is not None:
                self._session.open(path)

        self.when_settled(choose)

    def open_file(self, path: FilePath) -> None:
        """Open a file."""
        self.when_settled(lambda: self._session.open(path))

    def save(self, then: Callable[[], None] = lambda: None) -> None:
        """Save; ask where to if it has no file, and what to do if another program changed it."""
        work = self._session.work
        if work is None:
            return
        if work.path is None:
            self.save_as(then)
        elif work.changed_on_disk():
            self._window.ask_changed(then)
        else:
            self._session.save()
            then()

    def save_as(self, then: Callable[[], None] = lambda: None) -> None:
        """Save to another file."""
        work = self._session.work
        if work is None:
            return
        name = work.path.name if work.path else f"{'-'.join(work.title.split(':')[0].lower().split()) or 'design'}.toml"
        path = files.ask_save(self._context.root, work.path, name)
        if path is not None:
            self._session.save(path)
            then()

    def read_again(self) -> None:
        """Take what the file holds."""
        self._session.read_again()

    def quit(self) -> None:
        """End."""
        self.when_settled(self._window.end)

    # editing

    def undo(self) -> None:
        """Take the last edit back."""
        self._session.undo()

    def redo(self) -> None:
        """Do it again."""
        self._session.redo()

    def add(self) -> None:
        """A new thing, of the sort of the one in hand."""
        selection = self._session.selection
        many = selection is not None and len(selection) == 2 and selection[0] != "conductors"
        editing.Adding(self._context, str(selection[0]) if many and selection else "nodes")

    def connect(self) -> None:
        """A wire between two terminals."""
        work = self._session.work
        if work is not None:
            editing.Connecting(self._context, editing.ask_start(tuple(work.design.nodes), self._session.selection))

    def pick_route(self) -> None:
        """Choose the route of the conductor in hand, where the runs can be seen."""
        selection = self._session.selection
        if selection is not None:
            if "routes" in dict(self._session.drawings):
                self._session.show_drawing("routes")
            self._window.bench.surface.begin_route(str(selection[1]))

    def rename(self) -> None:
        """Another id for the thing in hand."""
        if self._session.selection is not None:
            editing.Renaming(self._context, self._session.selection)

    def remove(self) -> None:
        """Take the thing in hand away; ask where others go with it."""
        work, selection = self._session.work, self._session.selection
        if work is None or selection is None:
            return
        edits, others = things.removing(work.design, selection)

        def gone() -> None:
            self._session.edit(edits, say("did.remove", thing=selection[-1]))

        if not others:
            gone()
            return
        text = say("removing.text", thing=selection[-1], others=findings.together(others))
        Ask(self._context.root, self._context.theme, say("removing.title", thing=selection[-1]), text,
            [(say("removing.remove"), gone)], cancel=say("dialog.cancel"))

    def find(self) -> None:
        """Look for a thing by a word."""
        self._window.bench.go_everything()

    # looking

    def zoom_in(self) -> None:
        """Closer."""
        self._window.bench.surface.zoom(1.25)

    def zoom_out(self) -> None:
        """Further away."""
        self._window.bench.surface.zoom(0.8)

    def zoom_fit(self) -> None:
        """The whole page."""
        self._window.bench.surface.fit()

    def next_drawing(self) -> None:
        """The next drawing, around the end."""
        names = [name for name, _ in self._session.drawings]
        self._session.show_drawing(names[(names.index(self._session.drawing) + 1) % len(names)])
        self._window.bench.bar.refresh()

    def curves(self) -> None:
        """Curves in the place of the drawing; once more for the drawing."""
        self._session.show_curves(not self._session.curves_shown)
        self._window.bench.go_drawing()

    def next_state(self) -> None:
        """The figures of the next state; after the last one none."""
        states = [None, *(id_ for id_, _ in self._session.states)]
        at = states.index(self._session.state) if self._session.state in states else 0
        self._session.show_state(states[(at + 1) % len(states)])

    def go_drawing(self) -> None:
        """The keyboard goes to the drawing."""
        self._window.bench.go_drawing()

    def go_form(self) -> None:
        """The keyboard goes to the form."""
        self._window.bench.go_form()

    def go_findings(self) -> None:
        """The keyboard goes to what is wrong."""
        self._window.bench.go_findings()

    def dividers(self) -> None:
        """The keyboard goes to the first divider, then to the next."""
        self._window.bench.dividers.go()

    def units(self) -> None:
        """Metric or US."""
        self._session.set_units("us" if self._session.settings.units == "metric" else "metric")

    def palette(self) -> None:
        """Light or dark."""
        self._session.change_settings(palette="dark" if self._session.settings.palette == "light" else "light")

    def larger(self) -> None:
        """Everything larger."""
        self._rescale(next((s for s in SCALES if s > self._session.settings.scaling + 0.01), SCALES[-1]))

    def smaller(self) -> None:
        """Everything smaller."""
        self._rescale(next((s for s in reversed(SCALES) if s < self._session.settings.scaling - 0.01), SCALES[0]))

    def _rescale(self, scaling: float) -> None:
        self._session.settings = replace(self._session.settings, sashes=())
        self._session.change_settings(scaling=scaling)

    # findings

    def next_finding(self) -> None:
        """The next one of the list."""
        self._session.walk_findings(1)
        self._window.bench.show(self._window.bench.explaining)

    def previous_finding(self) -> None:
        """The one before."""
        self._session.walk_findings(-1)
        self._window.bench.show(self._window.bench.explaining)

    def fix(self) -> None:
        """Do what mends the chosen finding."""
        self._window.bench.explaining.apply()

    def accept(self) -> None:
        """Take a finding upon oneself; for one that is accepted, take that back."""
        work, finding = self._session.work, self._session.explained
        if work is not None and finding is not None and finding.accepted_by is not None:
            words = say("did.reopen", thing=findings.suspected(finding.check))
            self._session.edit(findings.reopening(work.design, finding), words)
        else:
            editing.Accepting(self._context)

    # tools and help

    def papers(self) -> None:
        """Look at papers and write them."""
        from rigfeed_gui.dialogs.papers import Papers

        Papers(self._context)

    def compare(self) -> None:
        """The design in hand beside another one."""
        from rigfeed_gui.dialogs.comparing import Comparing

        Comparing(self._context)

    def measured(self) -> None:
        """Two voltages and a current in the place of an assumption."""
        from rigfeed_gui.dialogs.measuring import Measuring

        Measuring(self._context)

    def catalogs(self) -> None:
        """Look through the shelf."""
        from rigfeed_gui.dialogs.catalogs import Catalogs

        Catalogs(self._context, lambda: self._shelf, self.shelf_changed)

    def add_list(self) -> None:
        """Read a supplier's list, and keep it as a catalog."""
        from rigfeed_gui.logic.intaking import listed

        path = files.ask_list(self._context.root)
        if path is not None:
            self._take_in(listed(path))

    def paste_list(self) -> None:
        """The same from the clipboard: a table that was copied out of a mail or a page."""
        from rigfeed_gui.logic.intaking import pasted

        self._take_in(pasted(files.clipboard(self._context.root)))

    def _take_in(self, list_: Listed) -> None:
        from rigfeed_gui.dialogs.intake import Intake

        Intake(self._context, list_, self._shelf.registry, self.shelf_changed)

    @property
    def _shelf(self) -> Shelf:
        work = self._session.work
        return work.shelf if work else self._window.start.shelf

    def shelf_changed(self) -> None:
        """A catalog was added, replaced or removed: everything is worked out anew."""
        self._window.start.look_again()
        self._session.look_again()
        from rigfeed_gui.dialogs.catalogs import Catalogs

        for dialog in dialogs(self._context.root):
            if isinstance(dialog, Catalogs):
                dialog.look_again()

    def calculators(self) -> None:
        """Compute one thing."""
        from rigfeed_gui.dialogs.calculators import Calculators

        Calculators(self._context)

    def keys(self) -> None:
        """All keys."""
        helping.Keys(self._context.root, self._context.theme)

    def cautions(self) -> None:
        """The usual cautions."""
        helping.Cautions(self._context.root, self._context.theme, self._cautions_seen)

    def _cautions_seen(self) -> None:
        if not self._session.settings.cautions_seen:
            self._session.change_settings(cautions_seen=True)

    def about(self) -> None:
        """What this is."""
        helping.about(self._context.root, self._context.theme)


def dialogs(root: tk.Misc) -> tuple[Dialog, ...]:
    """The dialogs that are open now, the newest last; what only passes by is none: a tooltip, a list of choices."""
    found: list[Dialog] = []
    todo = list(root.winfo_children())
    while todo:
        widget = todo.pop(0)
        if isinstance(widget, Dialog) and widget.winfo_viewable():
            found.append(widget)
        todo += widget.winfo_children()
    return tuple(found)
