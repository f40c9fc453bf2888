"""The thing in hand: its fields, the questions that only an eye can answer, and what is computed for it."""

from __future__ import annotations

import tkinter as tk
from collections.abc import Sequence
from tkinter import ttk

from rigfeed.path import Path
from rigfeed_gui.logic import things
from rigfeed_gui.logic.commands import command
from rigfeed_gui.logic.fields import Choice, Field, Typed, choices_for
from rigfeed_gui.logic.things import FactRow, Thing
from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.context import Context
from rigfeed_gui.panels.fieldrows import Answer, FieldRow
from rigfeed_gui.panels.scrolled import Column

COMMANDS = ("pick-route", "rename", "remove")


class ThingPanel(ttk.Frame):
    """The form of what is selected. It is built anew for another thing and refilled for the same one."""

    def __init__(self, parent: tk.Misc, context: Context) -> None:
        super().__init__(parent)
        self._context = context
        self.thing: Thing | None = None
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
            button = ttk.Button(self._tools, text=words, style="Tool.TButton", command=lambda id_=id_: context.do(id_))  # type: ignore[misc]
            context.tips.attach(button, f"{command(id_).words}  {command(id_).shown_key}")
            self._buttons[id_] = button
        self._help = ttk.Label(self, style="Quiet.Note.TLabel", padding=(px(10), px(4)), anchor="w", justify="left",
                               wraplength=px(330), font="TkSmallCaptionFont")
        self._help.pack(side="bottom", fill="x")
        self._column = Column(self, padding=px(10))
        self._column.pack(fill="both", expand=True)
        self._column.body.columnconfigure(1, weight=1)
        self._parts: list[tk.Misc] = []
        self.bind("<Configure>", self._resized)
        context.listen(self.refresh, "work", "design", "assessed", "selection", "settings")
        self.refresh()

    def _resized(self, event: tk.Event[tk.Misc]) -> None:
        wide = max(event.width - self._context.px(24), 50)
        self._heading.configure(wraplength=wide)
        self._help.configure(wraplength=wide)

    def refresh(self) -> None:
        """Show the selected thing as it is now."""
        session = self._context.session
        before = self.thing
        if session.work is None or session.selection is None:
            self.thing = None
        else:
            self.thing = things.thing(
                session.work.design, session.selection, session.work.shelf, session.assessment, session.state,
                session.settings.units,
            )
        if self.thing is None:
            self._clear()
            self._heading.configure(text=say("form.nothing") if session.work else "", style="Quiet.TLabel")
            self._show_tools()
            return
        self._heading.configure(text=self.thing.heading, style="Large.TLabel")
        if before is None or _outline(before) != _outline(self.thing):
            self._show_tools()
            self._build(self.thing, again=before is not None and before.path == self.thing.path)
        self._fill(self.thing)

    def _show_tools(self) -> None:
        now = self._context.session.now
        for id_, button in self._buttons.items():
            if command(id_).enabled(now) and not button.winfo_manager():
                button.pack(side="left")
            elif not command(id_).enabled(now) and button.winfo_manager():
                button.pack_forget()

    def take_focus(self) -> None:
        """The keyboard goes to the first field."""
        first = next(iter(self.rows.values()), None)
        (first.focus if first else self).focus_set()

    def show_field(self, path: Path) -> None:
        """The keyboard goes to the field of a path, where there is one."""
        if path in self.rows:
            self.rows[path].focus.focus_set()

    # building and filling

    def _clear(self) -> None:
        for row in self.rows.values():
            row.destroy()
        for part in self._parts:
            part.destroy()
        self.rows, self.facts, self._parts = {}, {}, []
        self._help.configure(text="")

    def _build(self, thing: Thing, *, again: bool) -> None:
        focus = self.focus_get()
        at = next((path for path, row in self.rows.items() if row.focus is focus), None)
        self._clear()
        for number, field in enumerate(thing.fields):
            self.rows[field.form.path] = self._row(number, field)
        row = 2 * len(thing.fields)
        row = self._build_computed(thing, row)
        self._build_facts(thing, row)
        self._column.adopt(self._column.body)
        if not again:
            self._column.top()
        elif at in self.rows:
            self.rows[at].focus.focus_set()

    def _row(self, number: int, field: Field) -> FieldRow:
        path = field.form.path
        return FieldRow(
            self._column.body, number, self._context.theme, label=_label(field), required=field.form.required,
            yes_no=field.form.sort == "yes-no", judge=lambda text: self._field(path).typed(text),
            done=lambda typed: self._set(path, typed),
            offer=(lambda text: self._offer(path, text)) if field.pick else None,
            listed=field.form.sort == "list", entered=lambda: self._explain(path),
        )

    def _build_computed(self, thing: Thing, row: int) -> int:
        body, px = self._column.body, self._context.px
        if not thing.computed:
            return row
        heading = ttk.Label(body, style="Heading.TLabel", text=say("form.computed"))
        heading.grid(row=row, column=0, columnspan=2, sticky="w", pady=(px(14), px(2)))
        self._parts.append(heading)
        self._computed = []
        for number, line in enumerate(thing.computed, row + 1):
            what = ttk.Label(body, text=line.what, wraplength=px(118), justify="left")
            value = ttk.Label(body, text=line.value, wraplength=px(190), justify="left")
            what.grid(row=number, column=0, sticky="nw", pady=px(2))
            value.grid(row=number, column=1, sticky="nw", pady=px(2))
            self._parts += [what, value]
            self._computed.append((what, value))
        return row + len(thing.computed) + 1

    def _build_facts(self, thing: Thing, row: int) -> None:
        body, px = self._column.body, self._context.px
        if not thing.facts:
            return
        heading = ttk.Label(body, style="Heading.TLabel", text=say("form.facts"))
        heading.grid(row=row, column=0, columnspan=2, sticky="w", pady=(px(14), px(2)))
        self._parts.append(heading)
        for number, fact in enumerate(thing.facts):
            question = ttk.Label(body, text=fact.question, wraplength=px(310), justify="left")
            question.grid(row=row + 1 + 2 * number, column=0, columnspan=2, sticky="w", pady=(px(6), 0))
            answer = Answer(body, self._context.theme)
            answer.on_done = lambda text, path=fact.path: self._answer(path, text)  # type: ignore[misc]
            answer.grid(row=row + 2 + 2 * number, column=0, columnspan=2, sticky="w")
            self.facts[fact.path] = answer
            self._parts += [question, answer]

    def _fill(self, thing: Thing) -> None:
        for field in thing.fields:
            ghost = say("form.assumed", value=field.assumed) if field.assumed else ""
            self.rows[field.form.path].put(field.text, ghost)
        for fact in thing.facts:
            self.facts[fact.path].put({True: "yes", False: "no", None: ""}[fact.answer])
        if thing.computed:
            for (what, value), line in zip(self._computed, thing.computed, strict=True):
                what.configure(text=line.what)
                value.configure(text=line.value)

    # what a person does

    def _field(self, path: Path) -> Field:
        assert self.thing is not None
        return self.thing.field(path)

    def _offer(self, path: Path, text: str) -> Sequence[Choice]:
        work = self._context.session.work
        return choices_for(self._field(path), text, work.design, work.shelf) if work else ()

    def _explain(self, path: Path) -> None:
        field = self._field(path)
        guessed = field.assumed and not field.text
        why = say("form.why", value=field.assumed, authority=field.assumed_why) if guessed else ""
        self._help.configure(text="  ".join(part for part in (field.form.help, why) if part) or say("form.no-help"))

    def _set(self, path: Path, typed: Typed) -> Typed | None:
        return self._context.session.fill(self._field(path), typed)

    def _answer(self, path: Path, text: str) -> None:
        row: FactRow | None = next((f for f in self.thing.facts if f.path == path), None) if self.thing else None
        if row is not None:
            self._context.session.answer(row, {"yes": True, "no": False, "": None}[text])


def _outline(thing: Thing) -> tuple[object, ...]:
    """What decides which widgets there are."""
    return (
        thing.path, tuple((f.form.path, f.form.sort, f.pick) for f in thing.fields),
        tuple((fact.path, fact.question) for fact in thing.facts), len(thing.computed),
    )


def _label(field: Field) -> str:
    return field.form.label
