"""The window: the start page or the workbench, the menus, and the loop that fetches what threads have done."""

from __future__ import annotations

import gc
import tkinter as tk
from collections.abc import Callable
from functools import partial
from pathlib import Path as FilePath
from typing import get_args

from rigfeed_gui.actions import Actions, dialogs
from rigfeed_gui.dialogs.ask import Ask, show
from rigfeed_gui.faults import Faults
from rigfeed_gui.logic.session import Event, Session
from rigfeed_gui.logic.words import say
from rigfeed_gui.logic.work import Work
from rigfeed_gui.menu import Menus
from rigfeed_gui.panels.context import Context
from rigfeed_gui.start import StartPage
from rigfeed_gui.theme import Theme, sharpen
from rigfeed_gui.tooltip import Tooltip
from rigfeed_gui.workbench import Workbench

BUSY_MS, IDLE_MS = 5, 40  # between two looks at what the threads have done: findings must not lie there unseen
WIDTH, HEIGHT = 1180, 800  # pixels at 96 dpi, where the screen has room
LEAST_WIDTH, LEAST_HEIGHT = 900, 600
MENU_HEIGHT = 30  # the bar of menus is not part of the height of a window, but of that of the screen
SOON_MS = 80  # when the window has its size


class Window:
    """One window with one session."""

    def __init__(self, session: Session | None = None) -> None:
        sharpen()
        self.root = tk.Tk(className="rigfeed")
        self.root.withdraw()
        self.session = session or Session()
        self.theme = Theme(self.root)
        self.theme.apply(self.session.settings.palette, self.session.settings.scaling)
        self._look = (self.session.settings.palette, self.session.settings.scaling)
        self.tips = Tooltip(self.root, self.theme)
        self.faults = Faults(self.root, self._tell)
        self._listeners: dict[Event, list[Callable[[], None]]] = {}
        self._due: list[Callable[[], None]] = []
        self._turning: str | None = None
        self.context = Context(self.root, self.session, self.theme, self.tips, self.do, self.note, self._listen)
        self.actions = Actions(self)
        self.menus = Menus(self.context)
        self._build()
        self.alive = True
        self._told_of_change = False  # of a change of the file that nobody has settled yet
        self._polling: str | None = None
        for event in get_args(Event):
            self.session.listen(event, partial(self._told, event))
        self.root.protocol("WM_DELETE_WINDOW", self.actions.quit)
        self.root.bind("<FocusIn>", self._focused, add="+")
        self._show_at()
        self._turn()
        self.root.deiconify()
        if not self.session.settings.cautions_seen:
            self.root.after(SOON_MS, self.actions.cautions)
        self._poll()
        gc.freeze()  # what is there now stays: no long search for garbage in it while somebody types
        self._frozen_with: Work | None = None

    def _build(self) -> None:
        self.start = StartPage(self.root, self.context, self.actions.open_file)
        self.bench = Workbench(self.root, self.context)
        self._listen(self._title, "work", "design", "saved")
        self._listen(self._turn, "work")
        self._listen(self._settled_with_file, "saved")
        self._listen(self._settings, "settings")
        self._listen(self._failed, "failed")
        self._listen(self._drawn, "drawn")

    def _listen(self, call: Callable[[], None], /, *events: Event) -> None:
        for event in events:
            self._listeners.setdefault(event, []).append(call)

    def _told(self, event: Event) -> None:
        """Each view is called once for all that was told, and each in a turn of the loop of its own."""
        for call in self._listeners.get(event, ()):
            if call not in self._due:
                self._due.append(call)
        if self._due and not self._turning:
            self._turning = self.root.after(0, self._next_view)

    def _next_view(self) -> None:
        self._turning = None
        if not self._due:
            return
        call = self._due.pop(0)
        if self._due:
            self._turning = self.root.after(1, self._next_view)
        call()

    @property
    def settled(self) -> bool:
        """Whether everything that is known is shown, and nothing is being worked out."""
        session = self.session
        under_way = self._due or session.busy or self.bench.curves.busy
        return not (under_way or (session.work is not None and session.stale and not session.failure))

    def _show_at(self) -> None:
        px, root = self.theme.px, self.root
        room_x, room_y = root.winfo_screenwidth(), root.winfo_screenheight() - px(MENU_HEIGHT)
        root.minsize(min(px(LEAST_WIDTH), room_x), min(px(LEAST_HEIGHT), room_y))
        wide, high = min(px(WIDTH), room_x), min(px(HEIGHT), room_y)
        try:
            root.geometry(self.session.settings.geometry or f"{wide}x{high}")
        except tk.TclError:  # a text that somebody changed by hand
            root.geometry(f"{wide}x{high}")

    # the loop

    def run(self) -> None:
        """Until the window is closed."""
        self.root.mainloop()

    def _poll(self) -> None:
        try:
            self.session.poll(showing=bool(self._due))
        finally:
            self._polling = self.root.after(BUSY_MS if self.session.busy else IDLE_MS, self._poll)

    def end(self) -> None:
        """Close for good; what is not saved by now is given up."""
        sashes = self.bench.sashes if self.bench.winfo_ismapped() else self.session.settings.sashes
        self.session.change_settings(geometry=self.root.geometry(), sashes=sashes)
        if self.session.work is not None:
            self.session.recovery.forget(self.session.work)
        self.destroy()

    def destroy(self) -> None:
        """End the threads and the window; what is not saved stays in its recovery file."""
        for waiting in (self._polling, self._turning):
            if waiting:
                self.root.after_cancel(waiting)
        self.alive = False
        self.session.close()
        self.theme.restore()
        self.root.destroy()

    # commands and messages

    def do(self, id_: str) -> None:
        """Run a command by id."""
        self.actions.run(id_)

    def note(self, text: str) -> None:
        """Say something in passing."""
        self.bench.status.note(text)

    def _tell(self, title: str, text: str) -> tk.Misc:
        open_now = dialogs(self.root)
        return show(open_now[-1] if open_now else self.root, self.theme, title, text)

    # what changes as a whole

    def _turn(self) -> None:
        """The start page without a design in hand, else the workbench."""
        shown, hidden = (self.start, self.bench) if self.session.work is None else (self.bench, self.start)
        if not shown.winfo_manager():
            hidden.pack_forget()
            if shown is self.start:
                self.start.refresh()
            shown.pack(fill="both", expand=True)
            self.root.after_idle(self.start.take_focus if shown is self.start else self.bench.surface.canvas.focus_set)
        self._title()
        self._settled_with_file()

    def _title(self) -> None:
        work = self.session.work
        if work is None:
            self.root.title(say("window.title"))
        else:
            self.root.title(say("window.dirty" if work.dirty else "window.clean", title=work.title))

    def _settled_with_file(self) -> None:
        """What is in hand and what is in the file are the same: the next change is told again."""
        work = self.session.work
        if work is None or not work.dirty:
            self._told_of_change = False

    def _drawn(self) -> None:
        """What a design needs is loaded when it is first drawn: catalogs, parts, the drawing. That stays too."""
        if self.session.work is not self._frozen_with:
            self._frozen_with = self.session.work
            gc.freeze()

    def _settings(self) -> None:
        look = (self.session.settings.palette, self.session.settings.scaling)
        if look != self._look:
            scaled, self._look = look[1] != self._look[1], look
            self.theme.apply(*look)
            if scaled:
                self.root.after_idle(self._build_again)

    def _build_again(self) -> None:
        """Another scale changes every distance: all views are made anew, the session goes on."""
        self._listeners.clear()
        self._due.clear()
        self.theme.forget_all()
        self.start.destroy()
        self.bench.destroy()
        self._build()
        self._turn()
        for event in get_args(Event):
            if self.session.work is not None and event not in ("work", "settings"):
                self._told(event)

    def _failed(self) -> None:
        """A fault of ours while assessing or drawing is told and logged like one in a handler."""
        cause = self.session.failure.__cause__ if self.session.failure is not None else None
        if self.session.failure_is_ours and cause is not None:
            self.faults.report(type(cause), cause, cause.__traceback__)

    # another program and the same file

    def _focused(self, event: tk.Event[tk.Misc]) -> None:
        work = self.session.work
        if event.widget is not self.root or work is None or self._told_of_change:
            return
        if self.session.file_is_gone():
            self._told_of_change = True
            self._tell_gone()
        elif work.changed_on_disk():
            self._told_of_change = True
            self.ask_changed(lambda: None)

    def _tell_gone(self) -> None:
        """The file was deleted, moved or renamed: it can be written again."""
        work = self.session.work
        assert work is not None
        assert work.path is not None
        Ask(self.root, self.theme, say("gone.title"), say("gone.text", file=work.path.name, folder=work.path.parent),
            [(say("gone.save"), self.actions.save), (say("gone.save-as"), self.actions.save_as)],
            cancel=say("changed.later"))

    def ask_changed(self, then: Callable[[], None]) -> None:
        """Another program changed the file: whose version shall stand?"""
        work = self.session.work
        assert work is not None
        assert work.path is not None
        path = work.path

        def keep() -> None:
            self.session.save(path)
            then()

        Ask(self.root, self.theme, say("changed.title"), say("changed.text", file=path.name),
            [(say("changed.read"), self.session.read_again), (say("changed.keep"), keep)], cancel=say("changed.later"))


def open_window(path: FilePath | None = None) -> None:
    """Open the window, with a file in hand if one is named, and stay until it is closed."""
    window = Window()
    if path is not None:
        window.root.after_idle(lambda: window.session.open(path))
    window.run()

