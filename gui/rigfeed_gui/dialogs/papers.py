"""Papers: look at each as a table, choose which to write, write them, open the folder."""

from __future__ import annotations

import os
import subprocess
import sys
import tkinter as tk
from collections.abc import Iterable
from pathlib import Path as FilePath
from tkinter import ttk
from typing import Any, Literal

from rigfeed.errors import Cancelled, RigfeedError
from rigfeed_gui.dialogs.ask import Ask, show
from rigfeed_gui.dialogs.base import Dialog
from rigfeed_gui.dialogs.files import ask_folder
from rigfeed_gui.dialogs.working import EVERY_MS, Working
from rigfeed_gui.faults import told
from rigfeed_gui.logic import papering
from rigfeed_gui.logic.assessor import Job
from rigfeed_gui.logic.papering import Preview, Written
from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.context import Context
from rigfeed_gui.panels.findings import Picking
from rigfeed_gui.panels.listing import Listing
from rigfeed_gui.panels.scrolled import Reading, flow

MOST_WIDE = 320  # pixels at 96 dpi, for a column
BOX = 24  # pixels at 96 dpi that the box before a title takes


class Papers(Dialog):
    """The list of papers at the left, the chosen one as a table at the right, formats and folder below."""

    def __init__(self, context: Context) -> None:
        super().__init__(context.root, context.theme, say("papers.title"))
        self._context = context
        assessment = context.session.assessment
        assert assessment is not None
        self._assessment = assessment
        self._papers = {paper.name: paper for paper in papering.papers(assessment)}
        self._left_out: set[str] = set()
        self._found: dict[str, Preview | str] = {}
        self._making: Job[Preview | str] | None = None
        px = context.px
        self.pane = ttk.Frame(self.body)
        self.pane.pack(fill="both", expand=True)
        self.pane.columnconfigure(1, weight=1)
        self.pane.rowconfigure(1, weight=1)
        self._build_choosing()
        self.heading = ttk.Label(self.pane, style="Heading.TLabel")
        self.take = ttk.Checkbutton(self.pane, text=say("papers.take"), command=self._toggle)
        self.take.state(["!alternate"])
        self.take.grid(row=0, column=2, sticky="e")
        if not context.narrow:  # there the list says it
            self.heading.grid(row=0, column=1, sticky="w", pady=(0, px(4)))
        self.table: Listing | None = None
        reading = Reading(self.pane, height=2 if context.narrow else 4, width=30, padx=px(6), pady=px(4),
                          highlightthickness=1)
        reading.grid(row=2, column=1, columnspan=2, sticky="ew", pady=(px(4), 0))
        self.note = reading.text
        self._build_writing()
        self._ready = True
        self.button(say("papers.write"), self.write, chief=True)
        self.button(say("dialog.close"), self.leave)
        self.present(self.list.tree, width=880, height=560)
        self.list.choose(next(iter(self._papers), None))

    def _build_choosing(self) -> None:
        px = self._context.px
        left = ttk.Frame(self.pane)
        left.grid(row=0, column=0, rowspan=3, sticky="ns", padx=(0, px(10)))
        both = ttk.Frame(left)
        both.pack(side="bottom", anchor="w", pady=(px(6), 0))
        self.everything = ttk.Button(both, text=say("papers.all"), command=lambda: self._leave_out(()))
        self.nothing = ttk.Button(both, text=say("papers.none"), command=lambda: self._leave_out(self._papers))
        for button in (self.everything, self.nothing):
            button.pack(side="left", padx=(0, px(6)))
        self.list = Listing(left, (), tree=True, height=3 if self._context.narrow else 12)
        tree = self.list.tree
        tree.column("#0", width=px(230))
        self.list.pack(fill="both", expand=True)
        for name in self._papers:
            tree.insert("", "end", iid=name)
        self._tick()
        tree.bind("<<TreeviewSelect>>", lambda event: self._preview())
        tree.bind("<space>", lambda event: self._toggle())
        tree.bind("<Button-1>", self._pressed, add="+")

    def _build_writing(self) -> None:
        px = self._context.px
        line = ttk.Frame(self.body)
        line.pack(side="bottom", fill="x", pady=(px(10), 0), before=self.pane)
        ttk.Label(line, text=say("papers.as")).pack(side="left")
        self.formats: dict[str, ttk.Checkbutton] = {}
        for name, what, usual in papering.formats():
            box = ttk.Checkbutton(line, text=name)
            box.state(["!alternate", "selected" if usual else "!selected"])
            box.pack(side="left", padx=(px(8), 0))
            self._context.tips.attach(box, what)
            self.formats[name] = box
        self.page = Picking(line, 8)
        self.page.offer((("A4", "A4"), ("Letter", "Letter")), "A4")
        ttk.Label(line, text=say("papers.size")).pack(side="left", padx=(px(20), px(6)))
        self.page.pack(side="left")
        flow(ttk.Label(self.body, style="Quiet.TLabel", text=say("papers.caution"), wraplength=px(400))).pack(
            side="bottom", fill="x", pady=(px(8), 0), before=line)

    # choosing

    @property
    def chosen_papers(self) -> tuple[str, ...]:
        """The papers and drawings to write."""
        return tuple(name for name in self._papers if name not in self._left_out)

    def _leave_out(self, names: Iterable[str]) -> None:
        self._left_out = set(names)
        self._tick()

    def _toggle(self) -> str:
        """Take the paper in sight, or leave it out."""
        if (name := self.list.chosen) is not None:
            self._leave_out(self._left_out ^ {name})
        return "break"

    def _pressed(self, event: tk.Event[ttk.Treeview]) -> None:
        """A press on the box before a title ticks it; on the title itself only shows the paper."""
        row = event.widget.identify_row(event.y)
        box = event.widget.bbox(row, "#0") if row else ""
        if box and event.x < box[0] + self._context.px(BOX):
            self._leave_out(self._left_out ^ {row})

    def _tick(self) -> None:
        for name, paper in self._papers.items():
            words = say("papers.left" if name in self._left_out else "papers.taken", title=paper.title)
            self.list.tree.item(name, text=words)
        self._tick_shown()

    def _tick_shown(self) -> None:
        if self._ready:
            self.take.state(["!selected" if self.list.chosen in self._left_out else "selected"])

    _ready = False

    @property
    def chosen_formats(self) -> tuple[str, ...]:
        """The formats to write."""
        return tuple(name for name, box in self.formats.items() if box.instate(["selected"]))

    def _preview(self) -> None:
        name = self.list.chosen
        if self.table is not None:
            self.table.destroy()
            self.table = None
        if name is None:
            return
        paper = self._papers[name]
        self._tick_shown()
        self.heading.configure(text=paper.title)
        if paper.drawing:
            self._say(paper.words)
            return
        if name in self._found:
            self._show(self._found[name])
            return
        self._say(say("papers.being-made"))
        if self._making is None:
            self._make(name)

    def _say(self, text: str) -> None:
        """What stands below the table."""
        self.note.put((text, ""))

    def _make(self, name: str) -> None:
        """Work a paper out in a thread: some try dozens of variants of the design for it. One at a time."""
        system = self._context.session.settings.units
        self._making = Job(name, lambda tell: papering.preview(self._assessment, name, system))
        self._look()

    def _look(self) -> None:
        making = self._making
        assert making is not None
        if not making.poll():
            self._looking = self.after(EVERY_MS, self._look)
            return
        self._looking = ""
        self._making = None
        self._found[making.title] = making.result()
        name = self.list.chosen
        if name is None or self._papers[name].drawing:
            return
        if name in self._found:
            self._show(self._found[name])
        else:
            self._make(name)

    def close(self) -> None:
        """Close; nobody wants to see any more what is being worked out."""
        if self._looking:
            self.after_cancel(self._looking)
        super().close()

    _looking = ""

    @property
    def busy(self) -> bool:
        """Whether a paper is being worked out to be shown."""
        return self._making is not None

    def _show(self, found: Preview | str) -> None:
        """A paper as a table, or why there is none."""
        if isinstance(found, str):
            self._say(found)
            return
        columns = [str(number) for number in range(len(found.headings))]
        table = self.table = Listing(self.pane, columns, found.headings, sideways=True)
        for at, (column, right) in enumerate(zip(columns, found.right, strict=True)):
            table.column(column, 0, anchor="e" if right else "w")
            table.fit(column, (row[at] for row in found.rows), self._context.px(MOST_WIDE))
        table.fill((str(number), row, ()) for number, row in enumerate(found.rows))
        table.grid(row=1, column=1, columnspan=2, sticky="nsew")
        self._say("\n".join(found.notes))

    # writing

    def write(self) -> None:
        """Ask where to, and write in the background."""
        session = self._context.session
        if not self.chosen_formats or not self.chosen_papers:
            self._say(say("papers.no-paper" if self.chosen_formats else "papers.no-format"))
            return
        beside = session.work.path if session.work else None
        folder = ask_folder(self, beside.parent if beside else None)
        if folder is not None:
            self.write_into(folder)

    def write_into(self, folder: FilePath) -> None:
        """Write the papers into a folder."""
        session = self._context.session
        assert session.work is not None
        title, system, formats = session.work.title, session.settings.units, self.chosen_formats
        only = self.chosen_papers
        file = session.work.path.name if session.work.path else ""
        size: Literal["A4", "Letter"] = "Letter" if self.page.chosen == "Letter" else "A4"

        def run(tell: Any) -> Written:
            return papering.writing(
                self._assessment, folder, _file_name(title), system=system, paper=size,
                chosen=formats, file=file, tell=tell, only=only,
            )

        job: Job[Written] = Job(say("papers.writing"), run)
        Working(self, self.theme, job, lambda: self._written(job, folder))

    def _written(self, job: Job[Written], folder: FilePath) -> None:
        try:
            written = job.result()
        except Cancelled:
            self._say(say("papers.cancelled"))
            return
        except RigfeedError as error:
            show(self, self.theme, say("fault.mendable"), "\n\n".join(part for part in told(error) if part))
            return
        if not (written.files or written.left_out):
            self._say(say("papers.nothing"))
            return
        text = say("papers.done-text", count=len(written.files), folder=folder)
        if written.left_out:
            text += "\n\n" + say("papers.left-out", what="\n".join(written.left_out))
        Ask(self, self.theme, say("papers.done-part" if written.left_out else "papers.done"), text,
            [(say("papers.open-folder"), lambda: open_folder(folder))], cancel=say("dialog.close"))


def _file_name(title: str) -> str:
    kept = "".join(c if c.isalnum() or c in "-_" else " " for c in title.split(":", maxsplit=1)[0])
    return "-".join(kept.lower().split()) or "design"


def open_folder(folder: FilePath) -> None:
    """Show a folder in the file manager of the platform."""
    if sys.platform == "win32":
        os.startfile(folder)
    else:
        program = "open" if sys.platform == "darwin" else "xdg-open"
        try:
            subprocess.Popen([program, str(folder)], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        except OSError as error:
            from rigfeed.errors import FileProblem

            raise FileProblem(say("papers.no-manager", folder=folder), remedy=str(error)) from error
