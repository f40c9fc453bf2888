"""What a pointer does on the drawing: point, select, drag, join two terminals, move the page, ask for a menu."""

from __future__ import annotations

import tkinter as tk
from functools import partial
from typing import TYPE_CHECKING, TypeGuard

from rigfeed.path import Path
from rigfeed_gui.dialogs.editing import Connecting
from rigfeed_gui.logic.commands import command
from rigfeed_gui.logic.surface import Hit
from rigfeed_gui.logic.words import say

if TYPE_CHECKING:
    from rigfeed_gui.surface import Surface

STILL = 4  # how far a pointer may move between press and release and still be a click [px at 96 dpi]
MENU = ("go-form", "connect", "pick-route", "rename", "remove")
MOST_FINDINGS = 6


class Pointer:
    """The pointer over one surface, from press to release."""

    def __init__(self, surface: Surface) -> None:
        self._surface, self._context = surface, surface.context
        self._canvas = surface.canvas
        self._press: tuple[int, int] | None = None
        self._last = (0, 0)
        self._held: Hit | None = None
        self._moving = self._panning = False
        self._shown: Path | None = None
        self._menu: tk.Menu | None = None
        canvas = self._canvas
        canvas.bind("<Motion>", self._hover)
        canvas.bind("<Leave>", lambda event: self._context.tips.hide())
        canvas.bind("<ButtonPress-1>", self._down)
        canvas.bind("<B1-Motion>", self._drag)
        canvas.bind("<ButtonRelease-1>", self._up)
        canvas.bind("<Double-Button-1>", self._double)
        for button in (2, 3):
            canvas.bind(f"<ButtonPress-{button}>", self._down_other)
            canvas.bind(f"<B{button}-Motion>", self._drag_page)
        canvas.bind("<ButtonRelease-3>", self._up_other)

    # resting and moving

    def _hover(self, event: tk.Event[tk.Canvas]) -> None:
        hit = self._surface.hit(event.x, event.y)
        self._canvas.delete("terminal")
        if hit is not None and hit.terminal and self._surface.pick is None:
            self._ring(hit)
        cursor = "" if hit is None else "tcross" if hit.terminal else "hand2"
        self._canvas.configure(cursor=cursor)
        subject = hit.subject if hit else None
        if subject != self._shown:
            self._shown = subject
            self._context.tips.hide()
            if hit is not None and hit.title:
                words = say("surface.terminal", title=hit.title, terminal=hit.terminal) if hit.terminal else hit.title
                self._context.tips.soon(words, event.x_root, event.y_root)

    def _ring(self, hit: Hit) -> None:
        x, y = self._surface.view.to_screen(hit.at)
        r, px = self._context.px(6), self._context.px
        self._canvas.create_oval(x - r, y - r, x + r, y + r, outline=self._context.theme.palette.focus, width=px(2),
                                 tags=("terminal",))

    # the first button

    def _down(self, event: tk.Event[tk.Canvas]) -> None:
        self._context.tips.hide()
        self._canvas.focus_set()
        self._press = self._last = (event.x, event.y)
        self._held = self._surface.hit(event.x, event.y)
        self._moving = False

    def _drag(self, event: tk.Event[tk.Canvas]) -> None:
        if self._press is None:
            return
        far = abs(event.x - self._press[0]) + abs(event.y - self._press[1])
        if not self._moving and far <= self._context.px(STILL):
            return
        self._moving = True
        dx, dy = event.x - self._last[0], event.y - self._last[1]
        self._last = (event.x, event.y)
        held = self._held
        if self._wires(held):
            self._stretch(event, held)
        elif held is not None and held.dragged is not None and self._surface.pick is None:
            self._canvas.move(f"d:{held.dragged}", dx, dy)
        else:
            self._surface.pan(dx, dy)

    def _wires(self, held: Hit | None) -> TypeGuard[Hit]:
        """Whether dragging what is held draws a wire: from a terminal, or from a device that stands where it stands."""
        if held is None or self._surface.pick is not None:
            return False
        return bool(held.terminal) or (held.dragged is None and held.subject[0] == "nodes")

    def _connect(self, held: Hit, over: Hit) -> None:
        """Between two terminals at once; where only the device is known, a dialog asks which of its terminals."""
        if held.terminal and over.terminal:
            self._surface.join(held.terminal, over.terminal)
        elif over.terminal or over.subject[0] == "nodes":
            Connecting(self._context, *(hit.terminal or f"{hit.subject[1]}." for hit in (held, over)))

    def _stretch(self, event: tk.Event[tk.Canvas], held: Hit) -> None:
        """The wire that is being drawn from a terminal."""
        canvas, colours, px = self._canvas, self._context.theme.palette, self._context.px
        canvas.delete("wire")
        canvas.create_line(*self._surface.view.to_screen(held.at), event.x, event.y, fill=colours.lit, width=px(2),
                           dash=(px(6), px(3)), tags=("wire",))
        canvas.delete("terminal")
        over = self._surface.hit(event.x, event.y)
        if over is not None and over.terminal:
            self._ring(over)

    def _up(self, event: tk.Event[tk.Canvas]) -> None:
        press, held, moving = self._press, self._held, self._moving
        self.cancel()
        if press is None:
            return
        if not moving:
            self._click(held)
        elif self._wires(held):
            over = self._surface.hit(event.x, event.y)
            if over is not None and (over.terminal, over.subject) != (held.terminal, held.subject):
                self._connect(held, over)
        elif held is not None and held.dragged is not None and self._surface.pick is None:
            self._surface.drop(held.dragged, event.x - press[0], event.y - press[1])

    def _click(self, hit: Hit | None) -> None:
        surface = self._surface
        if surface.session.work is None:
            return
        if surface.pick is not None:
            if hit is not None and hit.subject[0] == "runs":
                surface.take_run(str(hit.subject[1]))
            return
        surface.choose(hit.subject if hit else None)

    def _double(self, event: tk.Event[tk.Canvas]) -> None:
        if self._surface.hit(event.x, event.y) is not None and self._surface.pick is None:
            self._context.do("go-form")

    def cancel(self) -> bool:
        """Forget what was begun; whether anything was."""
        begun = self._press is not None and self._moving
        self._press, self._held, self._moving = None, None, False
        self._canvas.delete("wire", "terminal")
        return begun

    # the other buttons

    def _down_other(self, event: tk.Event[tk.Canvas]) -> None:
        self._context.tips.hide()
        self._press = self._last = (event.x, event.y)
        self._panning = False

    def _drag_page(self, event: tk.Event[tk.Canvas]) -> None:
        if self._press is None:
            return
        far = abs(event.x - self._press[0]) + abs(event.y - self._press[1])
        if self._panning or far > self._context.px(STILL):
            self._panning = True
            self._surface.pan(event.x - self._last[0], event.y - self._last[1])
            self._last = (event.x, event.y)

    def _up_other(self, event: tk.Event[tk.Canvas]) -> None:
        was_still = self._press is not None and not self._panning
        self._press = None
        if was_still and self._surface.pick is None:
            hit = self._surface.hit(event.x, event.y)
            if hit is not None:
                self._surface.choose(hit.subject)
            self._show_menu(event.x_root, event.y_root, some=hit is not None)

    def menu_for_selection(self) -> str:
        """The menu of what is selected, beside it: for the keyboard."""
        selection = self._surface.session.selection
        at = self._surface.screen_of(selection) if selection is not None else None
        x, y = at or (self._canvas.winfo_width() / 2, self._canvas.winfo_height() / 2)
        self._show_menu(self._canvas.winfo_rootx() + round(x), self._canvas.winfo_rooty() + round(y),
                        some=selection is not None)
        return "break"

    def _show_menu(self, x: int, y: int, *, some: bool) -> None:
        if self._menu is not None:
            self._menu.destroy()
        menu = self._menu = tk.Menu(self._canvas, tearoff=False)
        now = self._surface.session.now
        for id_ in MENU if some else ("add", "connect", "zoom-fit"):
            if command(id_).enabled(now):
                menu.add_command(label=command(id_).words, accelerator=command(id_).shown_key,
                                 command=partial(self._context.do, id_))
        if some:
            self._add_findings(menu)
        menu.tk_popup(x, y)

    def _add_findings(self, menu: tk.Menu) -> None:
        session = self._surface.session
        selection, assessment = session.selection, session.assessment
        if selection is None or assessment is None:
            return
        found = [f for f in assessment.findings if f.subject[: len(selection)] == selection]
        if found:
            menu.add_separator()
        for finding in found[:MOST_FINDINGS]:
            menu.add_command(label=f"{finding.severity}: {finding.check}",
                             command=partial(session.choose_finding, finding))
