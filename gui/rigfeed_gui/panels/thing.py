"""The thing in hand: its fields, the questions that only an eye can answer, and what is computed for it."""

from __future__ import annotations

import tkinter as tk
from collections.abc import Sequence
from functools import partial
from tkinter import ttk

from rigfeed.path import Path
from rigfeed_gui.logic import things
from rigfeed_gui.logic.commands import command
from rigfeed_gui.logic.computed import Line
from rigfeed_gui.logic.cutting import bound
from rigfeed_gui.logic.fields import Choice, Field, Typed, choices_for, likes_of
from rigfeed_gui.logic.things import FactRow, Thing
from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.context import Context
from rigfeed_gui.panels.fieldrows import Answer, FieldRow
from rigfeed_gui.panels.scrolled import Column, flow

COMMANDS = ("pick-route", "rename", "remove")
WHOLE = (Path("vehicle"), Path("job"))


class ThingPanel(ttk.Frame):
    """The form of what is selected. It is built anew for another thing and refilled for the same one."""

    def __init__(self, parent: tk.Misc, context: Context) -> None:
        super().__init__(parent)
        self._context = context
        self.thing: Thing | None = None
        self._wanted = Path()
        self.rows: dict[Path, FieldRow] = {}
        self.facts: dict[Path, Answer] = {}
        px = context.px
        self._heading = ttk.Label(self, style="Large.TLabel", wraplength=px(330), justify="left")
        self._heading.pack(fill="x", padx=px(10), pady=(px(8), px(2)))
        self._tools = ttk.Frame(self)
        self._tools.pack(fill="x", padx=px(6))
        self._buttons = {}
        for id_ in COMMANDS:
            words = say(f"form.{id_}")
            button = ttk.Button(self._tools, text=words, style="Tool.TButton", command=partial(context.do, id_))
            context.tips.attach(button, f"{command(id_).words}  {command(id_).shown_key}")
            self._buttons[id_] = button
        self._help = ttk.Label(self, style="Quiet.Note.TLabel", padding=(px(10), px(4)), anchor="w", justify="left",
                               wraplength=px(330), font="TkSmallCaptionFont")
        self._column = Column(self, padding=px(10))
        self._column.pack(fill="both", expand=True)
        self._row_style = self._column.rows("Ways")
        self._column.body.columnconfigure(0, weight=1)
        self._ways: list[ttk.Button] = []
        self._parts: dict[str, ttk.Frame] = {}
        self._outlines: dict[str, tuple[object, ...]] = {}
        self._computed: list[tuple[ttk.Label, ttk.Label]] = []
        self._lines: tuple[Line, ...] = ()  # what stands in them
        self.bind("<Configure>", self._resized)
        context.listen(self.refresh, "work", "design", "assessed", "selection", "settings")
        self.refresh()

    def _resized(self, event: tk.Event[tk.Misc]) -> None:
        wide = max(event.width - self._context.px(24), 50)
        self._heading.configure(wraplength=wide)
        self._help.configure(wraplength=wide)

    def refresh(self) -> None:
        """Show the selected thing as it is now."""
        session, before = self._context.session, self.thing
        if before is not None and before.path != session.selection:
            self._finish()
        if session.work is None or session.selection is None:
            self.thing = None
            self._clear()
            if session.work is not None and not self._ways:
                self._offer_ways()
            return
        self._ways = []
        self.thing = things.thing(
            session.work.design, session.selection, session.work.shelf, session.assessment, session.state,
            session.settings.units,
        )
        self._heading.configure(text=self.thing.heading, style="Large.TLabel")
        self._build(self.thing, again=before is not None and before.path == self.thing.path)
        self._fill(self.thing)
        if self._wanted[: len(self.thing.path)] == self.thing.path:
            self.after_idle(self._bring)

    def _finish(self) -> None:
        """Another thing comes into hand: what was typed and not taken over yet is taken over, where it can be."""
        for row in self.rows.values():
            if row.touched:
                row.finish()

    def _show_tools(self) -> None:
        now = self._context.session.now
        wanted = [button for id_, button in self._buttons.items() if command(id_).enabled(now)]
        if wanted != self._tools.pack_slaves():
            for button in self._tools.pack_slaves():
                button.pack_forget()
            for button in wanted:  # always in the same order
                button.pack(side="left")
        self._tools.configure(height=1)  # a frame without children would keep the height that it had

    def take_focus(self) -> None:
        """The keyboard goes to the first field."""
        first = next(iter(self.rows.values()), None)
        (first.focus if first else self._ways[0] if self._ways else self).focus_set()

    def bring(self, path: Path) -> None:
        """Bring the field or the question of a path into sight, now or when its thing is in hand."""
        self._wanted = path
        self.after_idle(self._bring)

    def _bring(self) -> None:
        path, row = self._wanted, self.rows.get(self._wanted)
        widget = row.focus if row else self.facts.get(path)
        if widget is not None:
            self._wanted = Path()
            self.update_idletasks()
            self._column.see(widget)

    # building and filling

    def _clear(self) -> None:
        if self._ways and self._context.session.work is not None:
            return  # what is offered then is there
        for part in self._parts.values():
            part.destroy()
        self._parts, self._outlines, self._ways = {}, {}, []
        self.rows, self.facts, self._computed = {}, {}, []
        self._help.pack_forget()
        self._heading.configure(text="")
        self._show_tools()

    def _offer_ways(self) -> None:
        """Nothing is in hand: say how to take something up, and offer what has no place in the drawing."""
        px = self._context.px
        self._heading.configure(text=say("form.nothing"))
        part = self._parts["ways"] = ttk.Frame(self._column.body)
        part.grid(row=0, column=0, sticky="ew")
        part.columnconfigure(0, weight=1)
        text = ttk.Label(part, text=say("form.nothing-text"), style="Quiet.TLabel", wraplength=px(200), justify="left")
        flow(text).grid(row=0, column=0, sticky="ew", pady=(0, px(6)))
        ways = [(say(f"form.take-{path}"), partial(self._context.session.select, path)) for path in WHOLE]
        ways += [(say(f"form.way-{id_}"), partial(self._context.do, id_)) for id_ in ("add", "find")]
        for number, (words, call) in enumerate(ways, 1):
            button = ttk.Button(part, text=words, style=self._row_style, command=call)
            button.bind("<Return>", partial(_press, button))
            button.grid(row=number, column=0, sticky="ew", pady=(px(2), 0))
            self._ways.append(button)
        self._column.adopt(part)
        self._column.top()

    def _build(self, thing: Thing, *, again: bool) -> None:
        """Make the parts anew whose outline has changed: who types in a field is not disturbed by a new figure."""
        if "ways" in self._parts:
            self._parts.pop("ways").destroy()
        for number, (name, build) in enumerate(
            (("fields", self._build_fields), ("computed", self._build_computed), ("facts", self._build_facts))
        ):
            outline = _outline(thing, name)
            if self._outlines.get(name) == outline:
                continue
            self._outlines[name] = outline
            if name in self._parts:
                self._parts[name].destroy()
            part = self._parts[name] = ttk.Frame(self._column.body)
            part.grid(row=number, column=0, sticky="ew")
            part.columnconfigure(1, weight=1)
            build(thing, part)
            self._column.adopt(part)
        if not again:
            self._help.pack_forget()
            self._show_tools()
            self._column.top()

    def _build_fields(self, thing: Thing, part: ttk.Frame) -> None:
        focus = self.focus_get()
        at = next((path for path, row in self.rows.items() if row.focus is focus), None)
        self.rows = {field.form.path: self._row(part, number, field) for number, field in enumerate(thing.fields)}
        if at in self.rows:
            self.rows[at].focus.focus_set()

    def _row(self, part: ttk.Frame, number: int, field: Field) -> FieldRow:
        path = field.form.path
        return FieldRow(
            part, number, self._context.theme, label=_label(field), required=field.form.required,
            yes_no=field.form.sort == "yes-no", judge=lambda text: self._field(path).typed(text),
            done=lambda typed: self._set(path, typed),
            offer=(lambda text: self._offer(path, text)) if field.pick else None,
            likes=(lambda text: self._likes(path, text)) if field.pick else None, entered=lambda: self._explain(path),
        )

    def _head(self, part: ttk.Frame, words: str) -> None:
        heading = ttk.Label(part, style="Heading.TLabel", text=words)
        heading.grid(row=0, column=0, columnspan=2, sticky="w", pady=(self._context.px(14), self._context.px(2)))

    def _build_computed(self, thing: Thing, part: ttk.Frame) -> None:
        px = self._context.px
        self._computed, self._lines = [], thing.computed
        if thing.computed:
            self._head(part, say("form.computed"))
        for number, line in enumerate(thing.computed, 1):
            what = ttk.Label(part, text=line.what, wraplength=px(118), justify="left")
            value = flow(ttk.Label(part, text=bound(line.value), wraplength=px(120), justify="left"))
            what.grid(row=number, column=0, sticky="nw", padx=(0, px(8)), pady=px(2))
            value.grid(row=number, column=1, sticky="new", pady=px(2))
            self._computed.append((what, value))

    def _build_facts(self, thing: Thing, part: ttk.Frame) -> None:
        px = self._context.px
        self.facts = {}
        if thing.facts:
            self._head(part, say("form.facts"))
        for number, fact in enumerate(thing.facts):
            question = flow(ttk.Label(part, text=fact.question, wraplength=px(200), justify="left"))
            question.grid(row=1 + 2 * number, column=0, columnspan=2, sticky="ew", pady=(px(6), 0))
            answer = Answer(part, self._context.theme)
            answer.on_done = partial(self._answer, fact.path)
            answer.grid(row=2 + 2 * number, column=0, columnspan=2, sticky="w")
            self.facts[fact.path] = answer

    def _fill(self, thing: Thing) -> None:
        for field in thing.fields:
            ghost = say("form.assumed", value=field.assumed) if field.assumed else ""
            self.rows[field.form.path].put(field.text, ghost)
        for fact in thing.facts:
            self.facts[fact.path].put({True: "yes", False: "no", None: ""}[fact.answer])
        if thing.computed != self._lines:
            self._lines = thing.computed
            for (what, value), line in zip(self._computed, thing.computed, strict=True):
                what.configure(text=line.what)
                value.configure(text=bound(line.value))

    # what a person does

    def _field(self, path: Path) -> Field:
        assert self.thing is not None
        return self.thing.field(path)

    def _offer(self, path: Path, text: str) -> Sequence[Choice]:
        work = self._context.session.work
        return choices_for(self._field(path), text, work.design, work.shelf) if work else ()

    def _likes(self, path: Path, text: str) -> Sequence[Choice]:
        work = self._context.session.work
        return likes_of(self._field(path), text, work.design, work.shelf) if work else ()

    def _explain(self, path: Path) -> None:
        field = self._field(path)
        guessed = field.assumed and not field.text
        why = say("form.why", value=field.assumed, authority=field.assumed_why) if guessed else ""
        words = "  ".join(part for part in (field.form.help, why) if part)
        self._help.configure(text=bound(words) or say("form.no-help"))
        if words and not self._help.winfo_manager():  # from then on it keeps its place: fields must not jump about
            self._help.pack(side="bottom", fill="x", before=self._column)
            self.update_idletasks()
            self._column.see(self.rows[path].line)

    def _set(self, path: Path, typed: Typed) -> Typed | None:
        return self._context.session.fill(self._field(path), typed)

    def _answer(self, path: Path, text: str) -> None:
        row: FactRow | None = next((f for f in self.thing.facts if f.path == path), None) if self.thing else None
        if row is not None:
            self._context.session.answer(row, {"yes": True, "no": False, "": None}[text])


def _outline(thing: Thing, part: str) -> tuple[object, ...]:
    """What decides which widgets a part has."""
    if part == "fields":
        return thing.path, tuple((field.form.path, field.form.sort, field.pick) for field in thing.fields)
    if part == "facts":
        return thing.path, tuple((fact.path, fact.question) for fact in thing.facts)
    return (len(thing.computed),)


def _press(button: ttk.Button, event: tk.Event[tk.Misc]) -> None:
    button.invoke()


def _label(field: Field) -> str:
    return field.form.label
