"""What is the matter with the chosen finding, who says so, and what to do; buttons for what can be done at once.

While none is chosen, it is the first one to mend: nobody has to look for it.
"""

from __future__ import annotations

import tkinter as tk
from functools import partial
from tkinter import ttk

from rigfeed.checks.check import Finding
from rigfeed.path import Path
from rigfeed_gui.logic import findings
from rigfeed_gui.logic.commands import command
from rigfeed_gui.logic.findings import Explanation, Fix
from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.context import Context
from rigfeed_gui.panels.scrolled import Reading

MOST_FIXES = 3


class ExplainingPanel(ttk.Frame):
    """The text beside the list of findings."""

    def __init__(self, parent: tk.Misc, context: Context) -> None:
        super().__init__(parent)
        self._context, px = context, context.px
        self.explained: Explanation | None = None
        reading = Reading(self, padx=px(10), pady=px(8), height=4, width=20, highlightthickness=1)
        self.text = reading.text
        self.buttons = ttk.Frame(self, padding=(0, px(4), 0, 0))  # after the text for Tab, and first to get room
        self.buttons.pack(side="bottom", fill="x")
        reading.pack(fill="both", expand=True)
        self._made: tuple[object, ...] = ()
        self._note: tuple[str, str, Path | None] | None = None  # heading, text, and what was in hand then
        context.listen(self._no_note, "work")
        context.listen(self.refresh, "work", "design", "assessed", "selection", "settings")
        context.theme.listen(self._recolour)
        self._recolour()
        self.refresh()

    def _recolour(self) -> None:
        colours = self._context.theme.palette
        for severity in ("error", "warning", "advice"):
            self.text.tag_configure(severity, foreground=getattr(colours, severity), font="TkHeadingFont", spacing3=3)
        self.text.tag_configure("quiet", foreground=colours.quiet)

    def refresh(self) -> None:
        """Explain the chosen finding."""
        session = self._context.session
        if self._note and (session.finding is not None or session.selection != self._note[2]):
            self._no_note()
        finding = session.explained
        if session.work is None or session.assessment is None or self._note or finding is None:
            self.explained = None
            if self._note:
                self.text.put((f"{self._note[0]}\n", "heading"), (self._note[1], ""))
            else:
                self.text.put((self._idle(), "quiet"))
            self._offer(None, ())
            return
        found = self.explained = findings.explanation(session.assessment, finding, session.settings.units)
        rest = f"{found.rest}\n" if found.rest else ""
        figures = "".join(f"{what}: {value}\n" for what, value in found.figures)
        parts = [(self._lead(finding), "quiet"), (found.heading + "\n", str(finding.severity)), (found.text + "\n", "")]
        if found.remedy:
            parts += [(say("explain.remedy") + "\n", "heading"), (found.remedy + "\n", "")]
        parts += [(say("explain.basis") + "\n", "heading"), (rest, ""), (figures, ""), (found.authority, "quiet")]
        others = found.subjects[1:]
        self.text.put(*parts, ("\n" + say("explain.also") if others else "", "quiet"))
        for subject in others:
            self.text.link(findings.about(subject), partial(session.select, subject))
        self._offer(finding, session.fixes)

    def _lead(self, finding: Finding) -> str:
        """Why this one, where nobody chose it."""
        session = self._context.session
        if session.finding is not None:
            return ""
        if session.selection is None:
            return say("explain.first") + "\n"
        if findings.is_about(finding, session.selection):
            return ""
        return say("explain.first-other", thing=findings.about(session.selection)) + "\n"

    def show_note(self, heading: str, text: str) -> None:
        """Something to read in full that belongs to no finding, until something else is chosen."""
        self._note = heading, text, self._context.session.selection
        self.refresh()

    def _no_note(self) -> None:
        self._note = None

    def _idle(self) -> str:
        session = self._context.session
        if session.work is None:
            return ""
        if session.failure is not None:
            return str(session.failure)
        if session.assessment is None:
            return say("findings.working")
        return findings.nothing_found(session.assessment)

    def _offer(self, finding: Finding | None, fixes: tuple[Fix, ...]) -> None:
        accepting = None if finding is None else say(f"explain.{'accept' if finding.accepted_by is None else 'reopen'}")
        wanted = (*(fix.words for fix in fixes[:MOST_FIXES]), accepting)
        if wanted == self._made:
            return
        self._made = wanted
        for button in self.buttons.winfo_children():
            button.destroy()
        self.buttons.configure(height=1)  # a frame without children would keep the height that it had
        for number, fix in enumerate(fixes[:MOST_FIXES]):
            button = ttk.Button(self.buttons, text=fix.words, style="TButton" if number else "Chief.TButton",
                                command=partial(self.apply, number))
            button.pack(side="top", fill="x", pady=(0, self._context.px(3)))
            if not number:
                self._context.tips.attach(button, command("fix").shown_key)
        if accepting:
            button = ttk.Button(self.buttons, text=accepting, command=lambda: self._context.do("accept"))
            button.pack(side="top", anchor="w")

    def apply(self, number: int = 0) -> None:
        """Do what a button says; an edit like any other."""
        session = self._context.session
        if number < len(session.fixes):
            session.apply_fix(session.fixes[number])
