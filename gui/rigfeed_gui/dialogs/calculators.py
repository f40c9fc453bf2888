"""The calculators: choose one, fill it in, read what comes out and on what it rests."""

from __future__ import annotations

from collections.abc import Mapping
from tkinter import ttk

from rigfeed.forms import FormField
from rigfeed_gui.dialogs.base import Dialog
from rigfeed_gui.logic import calculating
from rigfeed_gui.logic.calculating import Answer, Sheet
from rigfeed_gui.logic.fields import Choice, Typed
from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.context import Context
from rigfeed_gui.panels.fieldrows import FieldRow
from rigfeed_gui.panels.listing import Listing
from rigfeed_gui.panels.picker import Line
from rigfeed_gui.panels.scrolled import Column, Reading, flow


class Calculators(Dialog):
    """Stays open beside the window."""

    def __init__(self, context: Context) -> None:
        super().__init__(context.root, context.theme, say("calculators.title"), modal=False)
        self._context = context
        px = context.px
        self.body.columnconfigure(1, weight=1)
        self.body.rowconfigure(1, weight=1)
        self.word = Line(self.body, context.theme)
        self.word.put("", say("calculators.search"))
        self.word.on_type = lambda text: self._list()
        self.word.grid(row=0, column=0, sticky="ew", pady=(0, px(6)))
        self.list = Listing(self.body, (), tree=True, height=16)
        self.list.tree.column("#0", width=px(150 if context.narrow else 300))
        self.list.grid(row=1, column=0, sticky="nsew")
        self.list.tree.bind("<<TreeviewSelect>>", lambda event: self._show())
        right = ttk.Frame(self.body)
        right.grid(row=0, column=1, rowspan=2, sticky="nsew", padx=(px(12), 0))
        style, lines = ("Heading.TLabel", 2) if context.narrow else ("Large.TLabel", 7)
        self.heading = flow(ttk.Label(right, style=style, wraplength=px(200), justify="left"))
        self.heading.pack(fill="x")
        answer = Reading(right, height=min(lines, 5), width=30, padx=px(8), pady=px(6), highlightthickness=1)
        basis = Reading(right, height=lines, width=30, padx=px(8), pady=px(6), highlightthickness=1)
        basis.pack(side="bottom", fill="x", pady=(px(6), 0))
        answer.pack(side="bottom", fill="x", pady=(px(8), 0))
        self.answer, self.basis = answer.text, basis.text
        self.form = Column(right)
        self.form.pack(fill="both", expand=True, pady=(px(6), 0))
        self.form.body.columnconfigure(1, weight=1)
        self.rows: dict[str, FieldRow] = {}
        self.sheet: Sheet | None = None
        self.button(say("dialog.close"), self.leave)
        context.theme.listen(self._recolour)
        self._recolour()
        self._list()
        self.present(self.word.entry, width=840, height=580)

    def _recolour(self) -> None:
        for text in (self.answer, self.basis):
            text.tag_configure("quiet", foreground=self.theme.palette.quiet)
            text.tag_configure("error", foreground=self.theme.palette.error)

    def close(self) -> None:
        """Close; the theme need not tell any more."""
        self.theme.forget(self._recolour)
        super().close()

    def _list(self) -> None:
        tree = self.list.tree
        self.list.clear()
        for entry in calculating.entries(self.word.text):
            if not tree.exists(f"*{entry.group}"):
                self.list.add("", f"*{entry.group}", entry.group)
            self.list.add(f"*{entry.group}", entry.name, entry.title)
        self.list.choose(next((row for head in tree.get_children() for row in tree.get_children(head)), None))
        tree.yview_moveto(0)

    def _show(self) -> None:
        name = self.list.chosen
        if name is None or name.startswith("*") or (self.sheet and self.sheet.name == name):
            return
        for row in self.rows.values():
            row.destroy()
        sheet = self.sheet = calculating.sheet(name)
        self.heading.configure(text=sheet.title)
        self.rows = {str(field.path): self._row(number, field) for number, field in enumerate(sheet.inputs)}
        self.form.adopt(self.form.body)
        self.form.top()
        self.basis.put((say("calculators.formula"), "heading"), (f" {sheet.formula}\n", ""),
                       (say("calculators.validity", validity=sheet.validity, source=sheet.source), "quiet"))
        self._compute()

    def _row(self, number: int, field: FormField) -> FieldRow:
        def judge(text: str) -> Typed:
            return calculating.typed(field, text)

        choices = tuple(Choice(word, "") for word in field.choices)
        row = FieldRow(
            self.form.body, number, self.theme, label=field.help or field.label, judge=judge,
            label_width=110 if self._context.narrow else 200,
            done=lambda typed: None, offer=(lambda text: choices) if choices else None,
        )
        assert self.sheet is not None
        example = "" if choices else calculating.example(field)
        row.put("", self.sheet.usual.get(str(field.path), "") or example)
        assert isinstance(row.line, Line)
        before = row.line.on_type

        def typed(text: str) -> None:
            before(text)
            self._compute()

        row.line.on_type = typed
        return row

    def _compute(self) -> None:
        assert self.sheet is not None
        texts = {name: row.line.text for name, row in self.rows.items() if row.line.text.strip()}
        found = calculating.answer(self.sheet.name, texts, self._context.session.settings.units)
        if found.error:
            self._say_why_not(found, texts)
        else:
            parts = [part for what, value in found.lines for part in ((f"{what}\n", "quiet"), (f"{value}\n", "large"))]
            self.answer.put(*parts)

    def _say_why_not(self, found: Answer, texts: Mapping[str, str]) -> None:
        """What is still to be filled in, or which input is wrong."""
        assert self.sheet is not None
        what = next((f.help or f.label for f in self.sheet.inputs if str(f.path) == found.input), "")
        if what and found.input not in texts:
            self.answer.put((say("calculators.fill-in", what=what), "quiet"))
            return
        error = say("calculators.wrong", what=what, error=found.error) if what else found.error
        self.answer.put((error, "error"), (f"\n{found.remedy}" if found.remedy else "", "quiet"))
