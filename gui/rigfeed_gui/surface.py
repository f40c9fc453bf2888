"""The drawing to look at and to work on: zoomed, moved, selected, dragged, joined, by pointer and by keyboard."""

from __future__ import annotations

import tkinter as tk
import tkinter.font as tkfont
from functools import partial
from tkinter import ttk

from rigfeed.drawing.flat import Primitive
from rigfeed.drawing.scene import Point, Scene
from rigfeed.errors import InputError
from rigfeed.path import Path
from rigfeed_gui import painting
from rigfeed_gui.gestures import Pointer
from rigfeed_gui.logic import joining, surface
from rigfeed_gui.logic.joining import RoutePick
from rigfeed_gui.logic.surface import Direction, Hit, Picture, Viewport
from rigfeed_gui.logic.words import say
from rigfeed_gui.logic.work import Work
from rigfeed_gui.painting import BY_HAND, Placing
from rigfeed_gui.panels.context import Context
from rigfeed_gui.panels.scrolled import bind_wheel

FAMILIES = ("Liberation Sans", "Arial", "Helvetica")
STEP = 1.25  # one step of zoom
SLACK = 5.0  # how far beside a thing one may point at it [px at 96 dpi]
NUDGE_MM = 2.0
PUSH = 40  # pixels
READABLE = 3.2  # pixels at 96 dpi for a millimetre: small letters are 8 pixels then
FRAMED = ("nodes", "points", "passages")  # what is long or large is shown by its lines alone
ARROWS: tuple[tuple[str, Direction, int, int], ...] = (
    ("Left", "left", -1, 0), ("Right", "right", 1, 0), ("Up", "up", 0, -1), ("Down", "down", 0, 1),
)
# one call for a whole picture: a call for each item would hand the interpreter to a busy thread each time
PAINT = "proc ::rigfeed_paint {canvas items} {foreach item $items {$canvas create {*}$item}}"


class Surface(ttk.Frame):
    """A canvas with the scene of the session. `view` is where the page lies.

    A drawing opens as large as it can be read, at what is in hand or to be mended first. `fit` shows all of it.
    """

    def __init__(self, parent: tk.Misc, context: Context) -> None:
        super().__init__(parent)
        self.context, self.session = context, context.session
        self.view, self._placing = Viewport(), Placing()
        self._views: dict[str, tuple[Viewport, Placing]] = {}  # of each drawing, where somebody wanted it
        self._of: Work | None = None
        self.picture: Picture | None = None
        self.pick: RoutePick | None = None
        self._cursor: Path | None = None
        self._chosen_here: Path | None = None
        self.tk.eval(PAINT)
        known = set(tkfont.families(self))
        self._family = next((family for family in FAMILIES if family in known), "TkDefaultFont")
        self._banner()
        self.canvas = tk.Canvas(self, highlightthickness=context.px(2), borderwidth=0, takefocus=True, width=200,
                                height=120)
        self.canvas.pack(fill="both", expand=True)
        self.note = ttk.Label(self.canvas, style="Quiet.Note.TLabel", padding=(context.px(8), context.px(3)))
        self.pointer = Pointer(self)
        self._bind_events()
        context.listen(self.refresh, "work", "drawn", "failed")
        context.listen(self._show_note, "design")
        context.listen(self._show_note, "assessed")
        context.listen(self._selected, "selection")
        context.theme.listen(self.repaint)

    # what is shown

    @property
    def scene(self) -> Scene | None:
        """The scene on the canvas."""
        return self.picture.scene if self.picture else None

    @property
    def _shapes(self) -> tuple[Primitive, ...]:
        return self.picture.primitives if self.picture else ()

    def refresh(self) -> None:
        """Show the newest scene."""
        scene = self.session.scene
        if scene is not self.scene:
            before, self.picture = self.scene, surface.picture(scene) if scene else None
            if self.session.work is not self._of:
                self._of, before = self.session.work, None
                self._views.clear()
            if scene is not None and (before is None or before.name != scene.name):
                self._begin(scene.name)
            self._place()
            self.repaint()
        self._show_note()

    def _begin(self, name: str) -> None:
        """Another drawing comes: it lies where it was left, else where it is to be looked at first."""
        if name in self._views:
            self.view, self._placing = self._views[name]
        else:
            self._placing = Placing(at=self._first_place())

    def _first_place(self) -> Point | None:
        session, finding = self.session, self.session.explained
        wanted = [session.selection, *((finding.subject, *finding.also) if finding is not None else ())]
        assert self.picture is not None
        places = (self.picture.centre(Path(*subject[:2])) for subject in wanted if subject)
        return next((place for place in places if place is not None), None)

    def repaint(self) -> None:
        """Paint everything anew, where the view says."""
        canvas, colours = self.canvas, self.context.theme.palette
        canvas.configure(background=colours.area)
        canvas.delete("all")
        if self.scene is None:
            return
        whole = [painting.page(self.scene, self.view, colours)]
        whole += painting.items(self._shapes, self.view, colours, self._family)
        self._paint(whole)
        self._glow()

    def _paint(self, whole: list[painting.Item]) -> None:
        self.tk.call("::rigfeed_paint", str(self.canvas), tuple(whole))

    def _glow(self) -> None:
        """Show what is selected, the runs of a route being chosen, and where the keyboard is."""
        self.canvas.delete("glow")
        subjects = {self.session.selection} if self.session.selection is not None else set()
        if self.pick is not None:
            subjects = {Path("runs", run) for run in self.pick.runs}
        colours = self.context.theme.palette
        self._paint(list(painting.glowing(self._shapes, subjects, self.view, colours, self._family, "glow")))
        for subject in (self._cursor, self.session.selection if self.pick is None else None):
            if subject is None or self.picture is None or not (subject[0] in FRAMED or subject == self._cursor):
                continue
            if box := self.picture.bounds(subject):
                self._frame(box, is_written=self.picture.is_written(subject))

    def _frame(self, box: tuple[float, float, float, float], *, is_written: bool) -> None:
        """Around what is drawn with a gap, around a line of text close between its neighbours."""
        gap, px = self.context.px(2), self.context.px
        over = 0 if is_written else gap
        left, top = self.view.to_screen(box[:2])
        right, bottom = self.view.to_screen(box[2:])
        self.canvas.create_rectangle(left - gap, top - over, right + gap, bottom + over, tags=("glow",), width=px(1),
                                     outline=self.context.theme.palette.focus, dash=(px(4), px(3)))

    def _selected(self) -> None:
        """Chosen in the drawing, a thing is in sight; chosen elsewhere, it is brought there, large enough to read."""
        self._glow()
        selection, here = self.session.selection, self._chosen_here
        self._chosen_here = None
        at = self.picture.centre(selection) if selection is not None and self.picture else None
        if at is None:
            return
        if selection != here and self.view.scale < self._readable:
            self._keep(painting.centred(at, self._readable, *self.room))
            self.repaint()
        else:
            self._look_at(at)

    def choose(self, subject: Path | None) -> None:
        """Select something by pointing at it, or by keys in the drawing."""
        self._chosen_here = subject
        self.session.select(subject)

    def _look_at(self, at: Point) -> None:
        there = self.view.showing(at, *self.room)
        if there == self.view or self.picture is None:
            return  # it is in sight: what there is around it need not be known
        if self.view != painting.framed(painting.content(self.picture), *self.room):
            self._move(there)

    def _show_note(self) -> None:
        """Say so where the picture is older than the design, or where there is none."""
        session = self.session
        if session.work is None:
            words = ""
        elif session.failure is not None:
            words = say("surface.failed", why=session.failure)
        elif session.stale or session.scene is None:
            words = say("surface.stale") if self.scene else say("surface.none")
        else:
            words = ""
        if words:
            self.note.configure(text=words, wraplength=max(self.canvas.winfo_width() - self.context.px(40), 100))
            self.note.place(relx=1.0, x=-self.context.px(8), y=self.context.px(8), anchor="ne")
        else:
            self.note.place_forget()

    # where the page lies

    @property
    def room(self) -> tuple[int, int]:
        """Width and height of the canvas [px]."""
        return max(self.canvas.winfo_width(), 1), max(self.canvas.winfo_height(), 1)

    def fit(self) -> None:
        """Show the whole drawing, from now on whatever the size of the window is."""
        self._keep(self.view, Placing(whole=True))
        self._place()
        self.repaint()

    @property
    def _readable(self) -> float:
        return self.context.px(READABLE * 100) / 100

    def _place(self) -> None:
        """Put the page where it belongs, unless somebody put it elsewhere."""
        if self.picture is not None and not self._placing.by_hand:
            readable = 0.0 if self.picture.is_empty else self._readable  # of an empty page the whole is to be seen
            self.view = self._placing.view(painting.content(self.picture), readable, *self.room)

    def _resized(self, event: tk.Event[tk.Misc]) -> None:
        if not self._placing.by_hand:
            self._place()
            self.repaint()
        self._show_note()

    def zoom(self, factor: float, about: Point | None = None) -> None:
        """Larger or smaller by a factor; the page stays where the pointer is, else in the middle."""
        width, height = self.room
        self._keep(self.view.zoomed(factor, about or (width / 2, height / 2)))
        self.repaint()

    def pan(self, dx: float, dy: float) -> None:
        """Move the page by so many pixels."""
        self._move(self.view.panned(dx, dy))

    def _move(self, view: Viewport) -> None:
        dx, dy = view.x - self.view.x, view.y - self.view.y
        if dx or dy:
            self._keep(view)
            self.canvas.move("all", dx, dy)

    def _keep(self, view: Viewport, placing: Placing = BY_HAND) -> None:
        self.view, self._placing = view, placing
        if self.scene:
            self._views[self.scene.name] = view, placing

    # what is where

    def hit(self, x: float, y: float) -> Hit | None:
        """What is under a place on the canvas [px]."""
        if self.picture is None:
            return None
        return self.picture.hit(self.view.to_page((x, y)), self.context.px(SLACK) / self.view.scale)

    def screen_of(self, subject: Path) -> Point | None:
        """Where a thing is on the canvas [px]."""
        at = self.picture.centre(subject) if self.picture else None
        return self.view.to_screen(at) if at else None

    # editing

    def drop(self, subject: Path, dx: float, dy: float) -> None:
        """A thing was dragged by so many pixels."""
        work = self.session.work
        if work is None or self.scene is None:
            return
        by = dx / self.view.scale, dy / self.view.scale
        edits = surface.dragging(self.scene, work.design, subject, by)
        self.session.edit(edits, say("did.move", thing=subject[-1]))

    def join(self, start: str, end: str) -> None:
        """A wire was drawn from one terminal to another."""
        work = self.session.work
        if work is None:
            return
        made = joining.joining(work.design, work.shelf, start, end)
        if made.refused:
            self.context.note(made.refused)
            return
        self.session.edit(made.edits, say("did.connect", thing=f"{start} - {end}"), select=made.path)

    # choosing a route

    def _banner(self) -> None:
        px = self.context.px
        self.banner = ttk.Frame(self, style="Note.TFrame", padding=(px(10), px(5)))
        self._banner_text = ttk.Label(self.banner, style="Note.TLabel", wraplength=px(420), justify="left")
        self._banner_text.pack(side="left", fill="x", expand=True)
        self.done = ttk.Button(self.banner, text=say("surface.route-done"), style="Chief.TButton",
                               command=self.end_route)
        self.done.pack(side="left", padx=(px(6), 0))
        leave = ttk.Button(self.banner, text=say("dialog.cancel"), command=self.leave_route)
        leave.pack(side="left", padx=(px(6), 0))

    def begin_route(self, conductor: str) -> None:
        """Choose the route of a conductor by clicking runs."""
        work = self.session.work
        if work is not None:
            self._show_pick(joining.picking(work.design, conductor))
            self.canvas.focus_set()

    def take_run(self, run: str) -> None:
        """A run was clicked."""
        work = self.session.work
        if self.pick is not None and work is not None:
            self._show_pick(joining.picked(work.design, self.pick, run))

    def end_route(self) -> None:
        """The route is as wanted."""
        pick = self.pick
        if pick is not None:
            self.leave_route()
            self.session.edit(joining.routing(pick), say("did.route", thing=pick.conductor))

    def leave_route(self) -> None:
        """Choose no route."""
        self.pick = self._cursor = None
        self.banner.pack_forget()
        self._glow()

    def _show_pick(self, pick: RoutePick) -> None:
        self.pick = pick
        self._banner_text.configure(text=pick.words)
        self.done.state(["!disabled" if pick.complete else "disabled"])
        if not self.banner.winfo_manager():
            self.banner.pack(side="top", fill="x", before=self.canvas)
        self._glow()

    # the keyboard

    def _bind_events(self) -> None:
        canvas = self.canvas
        canvas.bind("<Configure>", self._resized)
        bind_wheel(canvas, lambda steps: None)
        canvas.bind("<MouseWheel>", lambda event: self._wheel(event, 1 if event.delta > 0 else -1))
        canvas.bind("<Button-4>", lambda event: self._wheel(event, 1))
        canvas.bind("<Button-5>", lambda event: self._wheel(event, -1))
        for key, direction, x, y in ARROWS:
            canvas.bind(f"<{key}>", partial(self._go, direction))
            canvas.bind(f"<Control-{key}>", partial(self._push, x, y))
            canvas.bind(f"<Alt-{key}>", partial(self._nudge, x, y))
        canvas.bind("<plus>", lambda event: self.zoom(STEP))
        canvas.bind("<minus>", lambda event: self.zoom(1 / STEP))
        canvas.bind("0", lambda event: self.fit())
        canvas.bind("n", lambda event: self._walk(1))
        canvas.bind("p", lambda event: self._walk(-1))
        canvas.bind("<space>", lambda event: self._press_space())
        canvas.bind("<Return>", lambda event: self.end_route() if self.pick else self.context.do("go-form"))
        canvas.bind("<Escape>", lambda event: self._escape())
        for key in ("<Shift-F10>", "<Menu>"):
            canvas.bind(key, lambda event: self.pointer.menu_for_selection())
        canvas.bind("<FocusIn>", lambda event: self._glow())

    def _wheel(self, event: tk.Event[tk.Canvas], steps: int) -> str:
        self.zoom(STEP**steps, (event.x, event.y))
        return "break"

    @property
    def _here(self) -> Path | None:
        return self._cursor if self.pick else self.session.selection

    def _go(self, direction: Direction, event: tk.Event[tk.Misc]) -> str:
        if self.picture:
            self._come_to(self.picture.neighbour(self._here, direction))
        return "break"

    def _walk(self, step: int) -> None:
        if self.picture:
            self._come_to(self.picture.step(self._here, step))

    def _come_to(self, subject: Path | None) -> None:
        if subject is None:
            return
        if self.pick is None:
            self.choose(subject)
        else:
            self._cursor = subject
            self._glow()
            if self.picture and (at := self.picture.centre(subject)):
                self._look_at(at)

    def _press_space(self) -> None:
        if self.pick is not None and self._cursor is not None and self._cursor[0] == "runs":
            self.take_run(str(self._cursor[1]))

    def _escape(self) -> None:
        if self.pick is not None:
            self.leave_route()
        elif not self.pointer.cancel():
            self.session.select(None)

    def _push(self, x: int, y: int, event: tk.Event[tk.Misc]) -> str:
        self.pan(-PUSH * x, -PUSH * y)
        return "break"

    def _nudge(self, x: int, y: int, event: tk.Event[tk.Misc]) -> str:
        selection, step = self.session.selection, NUDGE_MM * self.view.scale
        if selection is not None:
            try:
                self.drop(selection, x * step, y * step)
            except InputError as error:
                self.context.note(error.what)
        return "break"
