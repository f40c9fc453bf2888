"""Small forms that end in one edit: a new thing, a wire between two terminals, another id, an accepted finding."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from functools import partial
from tkinter import ttk

from rigfeed.design.edit import COLLECTIONS
from rigfeed.design.schema import ConductorSchema, NodeSchema
from rigfeed.errors import InputError
from rigfeed.fields import one_of
from rigfeed.forms import form
from rigfeed.path import Path
from rigfeed_gui.dialogs.base import Dialog
from rigfeed_gui.logic import findings, things
from rigfeed_gui.logic.fields import Choice, Field, Typed, choices_for
from rigfeed_gui.logic.joining import joining
from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.context import Context
from rigfeed_gui.panels.fieldrows import FieldRow
from rigfeed_gui.panels.findings import Picking

NEW_FIRST = ("nodes", "conductors")


class Form(Dialog):
    """A few rows, one chief button, and a line for what is wrong with the whole."""

    def __init__(self, context: Context, title: str, chief: str) -> None:
        super().__init__(context.root, context.theme, title)
        self._context = context
        px = context.px
        ttk.Label(self.body, style="Large.TLabel", text=title, wraplength=px(430)).pack(anchor="w", pady=(0, px(4)))
        self.grid_ = ttk.Frame(self.body)
        self.grid_.pack(fill="x")
        self.grid_.columnconfigure(1, weight=1)
        self.wrong = ttk.Label(self.body, style="error.TLabel", wraplength=px(430), justify="left")
        self.rows: dict[str, FieldRow] = {}
        self.chief = self.button(chief, self._apply, chief=True)
        self.button(say("dialog.cancel"), self.leave)

    def row(
        self, name: str, label: str, *, judge: Callable[[str], Typed] = Typed,
        offer: Callable[[str], Sequence[Choice]] | None = None, text: str = "", ghost: str = "",
    ) -> FieldRow:
        """One more row."""
        made = FieldRow(self.grid_, len(self.rows) + 1, self.theme, label=label, judge=judge, done=lambda typed: None,
                        offer=offer)
        made.put(text, ghost)
        self.rows[name] = made
        return made

    def text(self, name: str) -> str:
        """What stands in a row."""
        return self.rows[name].line.text.strip()

    def _apply(self) -> None:
        wrong = [row for row in self.rows.values() if row.shown and not row.check()]
        if wrong:
            wrong[0].focus.focus_set()
            return
        try:
            self.apply()
        except InputError as error:
            self.wrong.configure(text=f"{error.what}. {error.remedy}" if error.remedy else error.what)
            self.wrong.pack(anchor="w", pady=(self._context.px(6), 0))
            self.grow()
        else:
            self.close()

    def apply(self) -> None:
        """Do it; what is wrong is raised."""
        raise NotImplementedError


def _offered(field: Field, context: Context, text: str) -> Sequence[Choice]:
    work = context.session.work
    return choices_for(field, text, work.design, work.shelf) if work is not None else ()


class Adding(Form):
    """A new thing: what sort, and of a device which part and where."""

    def __init__(self, context: Context, collection: str = "nodes") -> None:
        super().__init__(context, say("adding.title"), say("adding.add"))
        px = context.px
        sorts = (*NEW_FIRST, *(name for name in COLLECTIONS if name not in NEW_FIRST))
        ttk.Label(self.grid_, text=say("adding.sort")).grid(row=0, column=0, sticky="w", pady=(px(6), 0))
        self.sort = Picking(self.grid_, 22)
        self.sort.offer(tuple((name, say(f"adding.{name}")) for name in sorts), collection)
        self.sort.grid(row=0, column=1, sticky="ew", pady=(px(6), 0))
        self.sort.bind("<<ComboboxSelected>>", lambda event: self._sorted(), add="+")
        fields = {str(field.path[-1]): field for field in form(one_of(NodeSchema), Path("nodes", "new"))}
        for name in ("part", "at"):
            field = Field(fields[name], one_of(NodeSchema), "", pick=True)
            self.row(name, say(f"adding.{name}"), judge=field.typed, offer=partial(_offered, field, context))
        self._sorted()
        self.present(self.sort, width=440)

    def _sorted(self) -> None:
        for row in self.rows.values():
            row.show(self.sort.chosen == "nodes")

    def apply(self) -> None:
        """Make the thing and select it."""
        session = self._context.session
        assert session.work is not None
        collection = self.sort.chosen
        part, at = (self.text("part"), self.text("at")) if collection == "nodes" else ("", "")
        made = things.adding(session.work.design, collection, part, at)
        session.edit(made.edits, say("did.add", thing=made.path[-1]), select=made.path)


class Connecting(Form):
    """A wire between two terminals, chosen by name."""

    def __init__(self, context: Context, start: str = "", end: str = "") -> None:
        super().__init__(context, say("connecting.title"), say("connecting.connect"))
        work = context.session.work
        assert work is not None
        fields = {str(field.path[-1]): field for field in form(one_of(ConductorSchema), Path("conductors", "new"))}
        for name, text in (("from", start), ("to", end)):
            field = Field(fields[name], one_of(ConductorSchema), "", pick=True)
            self.row(name, say(f"connecting.{name}"), judge=field.typed, text=text,
                     offer=partial(_offered, field, context))
        first = next((row for row in self.rows.values() if row.line.text.endswith(".") or not row.line.text), None)
        self.present((first or self.rows["to"]).focus, width=460)

    def apply(self) -> None:
        """Draw the wire and select it."""
        session = self._context.session
        assert session.work is not None
        start, end = self.text("from"), self.text("to")
        made = joining(session.work.design, session.work.shelf, start, end)
        if made.refused:
            raise InputError(made.refused)
        session.edit(made.edits, say("did.connect", thing=f"{start} - {end}"), select=made.path)


class Renaming(Form):
    """Another id for the thing in hand; all that refers to it follows."""

    def __init__(self, context: Context, path: Path) -> None:
        super().__init__(context, say("renaming.title", thing=path[-1]), say("renaming.rename"))
        self._path = path
        row = self.row("id", say("renaming.id"), text=str(path[-1]))
        self.present(row.focus, width=380)
        row.focus.select_range(0, "end")  # type: ignore[attr-defined]

    def apply(self) -> None:
        """Rename, and keep it selected."""
        session = self._context.session
        assert session.work is not None
        new = self.text("id")
        made = things.renaming(session.work.design, self._path, new)
        session.edit(made.edits, say("did.rename", thing=self._path[-1]), select=made.path)


class Accepting(Form):
    """A finding that somebody takes upon himself, with the reason and a name: it stays visible."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, say("accepting.title"), say("accepting.accept"))
        finding = context.session.explained
        assert finding is not None
        self._finding = finding
        text = finding.text(context.session.settings.units)
        ttk.Label(self.body, text=text, wraplength=context.px(430), justify="left").pack(
            before=self.grid_, anchor="w", pady=(0, context.px(4)))
        self.row("reason", say("accepting.reason"), judge=_needed)
        self.row("by", say("accepting.by"), judge=_needed)
        self.present(self.rows["reason"].focus, width=460)

    def apply(self) -> None:
        """Write it down."""
        session = self._context.session
        assert session.work is not None
        edits = findings.accepting(
            session.work.design, self._finding, self.text("reason"), self.text("by"), date.today().isoformat()
        )
        session.edit(edits, say("did.accept", thing=findings.suspected(self._finding.check)))


def _needed(text: str) -> Typed:
    return Typed(text) if text.strip() else Typed(error=say("accepting.needed"))


def ask_start(design_nodes: Sequence[str], selection: Path | None) -> str:
    """The beginning of a terminal's name where a device is in hand."""
    if selection is not None and selection[0] == "nodes" and selection[1] in design_nodes:
        return f"{selection[1]}."
    return ""

