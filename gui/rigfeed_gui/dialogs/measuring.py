"""A reading to fill in: two voltages and a current; what they say is shown while they are typed."""

from __future__ import annotations

from functools import partial
from tkinter import ttk

from rigfeed.assess import assess
from rigfeed.path import Path
from rigfeed_gui.dialogs.editing import Form
from rigfeed_gui.logic import measuring
from rigfeed_gui.logic.fields import Choice, Typed
from rigfeed_gui.logic.words import say
from rigfeed_gui.panels.context import Context
from rigfeed_gui.panels.picker import Line
from rigfeed_gui.panels.scrolled import flow

LIKE = {"idle": "12.62 V", "loaded": "12.49 V", "current": "11.2 A", "temperature": "15 C"}


class Measuring(Form):
    """Enters the resistance of a battery, of the way through the body, or of the vehicle's own wiring."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, say("measuring.title"), say("measuring.enter"))
        work, chosen = context.session.work, context.session.selection
        assert work is not None
        self._assessment = assess(work.design, shelf=work.shelf, only=())
        installation = self._assessment.installation
        self._things = measuring.things(installation)
        near = measuring.others(installation)
        px = context.px
        self._how = flow(ttk.Label(self.body, justify="left", wraplength=px(430)))
        self._how.pack(before=self.grid_, fill="x", pady=(0, px(4)))
        self.answer = flow(ttk.Label(self.body, style="Quiet.TLabel", justify="left", wraplength=px(430)))
        self.answer.pack(fill="x", pady=(px(8), 0))
        start = str(chosen[1]) if chosen is not None and chosen[:1] == ("nodes",) else ""
        known = start if start in {choice.value for choice in self._things} else ""
        offered = partial(_matching, self._things)
        self.row("node", say("measuring.node"), judge=self._is_known, offer=offered, text=known)
        for name in ("idle", "loaded", "current", "temperature"):
            ghost = say("measuring.like", text=LIKE[name])
            self.row(name, say(f"measuring.{name}"), judge=partial(measuring.typed, name), ghost=ghost)
        self.row("to", say("measuring.to"), offer=partial(_matching, near))
        for row in self.rows.values():
            assert isinstance(row.line, Line)
            row.line.on_type = partial(self._typed, row.line.on_type)
            row.line.on_done = partial(self._typed, row.line.on_done)
        self._look()
        self.present(self.rows["idle" if known else "node"].focus, width=500)

    def _is_known(self, text: str) -> Typed:
        if text.strip() in {choice.value for choice in self._things}:
            return Typed(text.strip())
        return Typed(error=say("measuring.which" if self._things else "measuring.nothing"))

    def _typed(self, before: object, text: str) -> None:
        before(text)  # type: ignore[operator]
        self._look()

    def _look(self) -> None:
        """Show the fields that this sort of thing has, how it is measured, and what the reading says so far."""
        sort = measuring.sort(self._assessment.installation, self.text("node"))
        self.rows["temperature"].show(sort == "battery")
        self.rows["to"].show(sort == "bolt")
        how = say("measuring.choose") if self._things else say("measuring.nothing")
        self._how.configure(text=f"{how} {say(f'measuring.{sort}')}" if sort else how)
        found = measuring.answer(self._assessment, self._texts())
        said = [line for _, line in found.lines] or [part for part in (found.error, found.remedy) if part]
        self.answer.configure(text="\n".join(said), style="error.TLabel" if found.error else "Quiet.TLabel")
        self.grow()

    def _texts(self) -> dict[str, str]:
        return {name: self.text(name) for name, row in self.rows.items() if row.shown}

    def apply(self) -> None:
        """Put it into the design, and take the thing in hand."""
        found = measuring.reading(self._assessment, self._texts())
        node = found.reading.node
        self._context.session.edit(found.edits, say("did.measured", thing=node), select=Path("nodes", node))


def _matching(choices: tuple[Choice, ...], text: str) -> tuple[Choice, ...]:
    """The choices that contain what is typed."""
    word = text.strip().casefold()
    return tuple(choice for choice in choices if word in f"{choice.value} {choice.words}".casefold())
