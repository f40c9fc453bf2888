"""The window's one partner: the design in hand, its assessment, what is selected, and who wants to know.

A view calls a method and is told by `listen` what has changed; it then reads the properties. `poll` is called from the
loop of the window every few hundredths of a second and is what delivers the work of the threads.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import replace
from pathlib import Path as FilePath
from typing import Any, Literal

from rigfeed.assess import Assessment
from rigfeed.checks.check import Finding
from rigfeed.design.edit import Edit
from rigfeed.drawing.scene import Scene
from rigfeed.errors import InputError, InputErrors, RigfeedError
from rigfeed.papers.paper import Wanted
from rigfeed.path import Path
from rigfeed.quantity import System
from rigfeed_gui.logic import findings as finding_list
from rigfeed_gui.logic.assessor import Assessed, Assessor, Delivery, Drawn, Look
from rigfeed_gui.logic.commands import Now
from rigfeed_gui.logic.fields import Field, Typed
from rigfeed_gui.logic.findings import Fix
from rigfeed_gui.logic.recovery import Lost, Recovery
from rigfeed_gui.logic.settings import Settings, load_settings, store_settings
from rigfeed_gui.logic.states import StateShown
from rigfeed_gui.logic.things import FactRow, answering, filling, following, removable, selectable
from rigfeed_gui.logic.words import say
from rigfeed_gui.logic.work import Work

Event = Literal["work", "design", "assessed", "drawn", "failed", "selection", "settings", "saved", "progress", "view"]
FIRST_DRAWING = "circuit"


class Session:
    """`work` is None on the start page. `stale` is true from an edit until its findings are there.

    `assessment` and `scene` are the last that could be made; `failure` says why there is none of the newest design.
    """

    def __init__(
        self, settings: Settings | None = None, recovery: Recovery | None = None, assessor: Assessor | None = None,
        settings_path: FilePath | None = None,
    ) -> None:
        self._settings_path = settings_path
        self.settings = settings or load_settings(settings_path)
        self.recovery = recovery or Recovery()
        self._assessor = assessor or Assessor()
        self._listeners: dict[Event, list[Callable[[], None]]] = {}
        self._told: tuple[object, ...] = ()
        self.drawing = FIRST_DRAWING
        self._empty(None)

    def _empty(self, work: Work | None) -> None:
        self.work = work
        self._unasked = False  # whether the assessment waits until the design is shown
        self.selection: Path | None = None
        self.finding: Finding | None = None
        self._shown = StateShown()
        self.assessment: Assessment | None = None
        self.assessed_version = -1
        self.scene: Scene | None = None
        self.curves_shown = False
        self.failure: RigfeedError | None = None
        self.failure_is_ours = False

    def listen(self, event: Event, call: Callable[[], None]) -> None:
        """Call this whenever that has changed."""
        self._listeners.setdefault(event, []).append(call)

    def _tell(self, *events: Event) -> None:
        for event in events:
            for call in self._listeners.get(event, ()):
                call()

    # the design in hand

    def open(self, path: FilePath) -> None:
        """Take a file in hand; raises as `Work.open`. What was in hand before must have been saved or given up."""
        self._take(Work.open(path))
        self.change_settings(recent=self.settings.met(path).recent)

    def begin(self, text: str, *, kept: bool = False) -> None:
        """Take a design in hand that has no file yet; `kept` for a demonstration, of which nothing is lost."""
        self._take(Work.fresh(text, kept=kept))

    def restore(self, lost: Lost) -> None:
        """Take in hand what a crash left behind; raises as `Recovery.restore`."""
        self._take(self.recovery.restore(lost))

    def leave(self) -> None:
        """Give the design in hand up, and its recovery file with it; back to the start page."""
        if self.work is not None:
            self.recovery.forget(self.work)
        self._empty(None)
        self._tell("work", "selection")

    def _take(self, work: Work) -> None:
        if self.work is not None:
            self.recovery.forget(self.work)
        self._empty(work)
        if work.dirty:
            self.recovery.keep(work)
        self._unasked = True
        self._tell("work", "selection")

    def edit(self, edits: Iterable[Edit], words: str, select: Path | None = None) -> None:
        """Change the design and select something afterwards; raises InputError, and nothing has changed then."""
        work = self._in_hand()
        before = work.version
        work.edit(edits, words)
        if work.version != before:
            if select is not None:
                self.selection = select
            self._changed()

    def undo(self) -> None:
        """Take the last edit back."""
        self._in_hand().undo()
        self._changed()

    def redo(self) -> None:
        """Do again what was undone."""
        self._in_hand().redo()
        self._changed()

    def _changed(self) -> None:
        work = self._in_hand()
        self.recovery.keep(work)
        if self.selection is not None:
            self.selection = selectable(work.design, self.selection)
        self._ask()
        self._tell("design", "selection")

    def save(self, path: FilePath | None = None) -> None:
        """Write to its file, or to another one; raises FileProblem."""
        work = self._in_hand()
        version = work.version
        if path is None:
            work.save()
        else:
            work.save_as(path)
            self.change_settings(recent=self.settings.met(path).recent)
        self.recovery.forget(work)
        if work.version != version:  # other catalogs lie beside it now
            self._ask()
        self._tell("saved")

    def file_is_gone(self) -> bool:
        """Whether somebody took the file away since it was last looked for; what is in hand is kept from then on."""
        if self.work is None or not self.work.is_gone():
            return False
        self.recovery.keep(self.work)
        self._tell("saved")
        return True

    def read_again(self) -> None:
        """Take what another program wrote to the file; raises as `Work.open`, and nothing has changed then."""
        self._in_hand().read_again()
        self._changed()
        self._tell("saved")

    def look_again(self) -> None:
        """The catalogs have changed: what is in hand, if anything, is worked out anew with them."""
        if self.work is not None:
            self.work.look_again()
            self._ask()
            self._tell("design")

    def fill(self, field: Field, typed: Typed) -> Typed | None:
        """Put what was typed into a field of the form, as one edit; what is wrong with it all the same comes back, and
        nothing has changed then."""
        work, path = self._in_hand(), field.form.path
        edits = filling(field, typed)
        if typed.error or not edits:
            return typed if typed.error else None
        edits += following(work.design, field, typed, work.shelf)
        try:
            self.edit(edits, say("did.fill", field=field.form.label, thing=path[1] if len(path) > 2 else path[0]))
        except InputError as error:
            first = error.errors[0] if isinstance(error, InputErrors) else error
            return Typed(typed.value, error=first.what, remedy=first.remedy)
        return None

    def answer(self, row: FactRow, answer: bool | None) -> None:
        """Answer a question, or make it unknown again."""
        work = self._in_hand()
        thing = row.path[1] if row.path[0] != "vehicle" else row.path[0]
        self.edit(answering(work.design, row, answer), say("did.answer", thing=thing))

    def apply_fix(self, fix: Fix) -> None:
        """Mend a finding."""
        self.edit(fix.edits, fix.words)

    def _in_hand(self) -> Work:
        if self.work is None:
            raise ValueError("no design is in hand")
        return self.work

    # what is shown

    def select(self, path: Path | None) -> None:
        """Select a thing, or nothing; a path inside of a thing selects that."""
        chosen = selectable(self._in_hand().design, path) if path is not None else None
        if chosen != self.selection:
            self.selection = chosen
            if self.finding is not None and (chosen is None or self.finding.subject[: len(chosen)] != chosen):
                self.finding = None
            self._tell("selection")

    def choose_finding(self, finding: Finding | None) -> None:
        """Choose a finding: its subject is selected."""
        self.finding = finding
        if finding is not None:
            self.selection = selectable(self._in_hand().design, finding.subject)
        self._tell("selection")

    def walk_findings(self, step: int) -> None:
        """Choose the next (1) or the previous (-1) finding of the list, around its end."""
        found = self.assessment.findings if self.assessment else ()
        if found:
            self.choose_finding(finding_list.beside(found, self.finding, step))

    @property
    def state(self) -> str | None:
        """The state of which currents and volts are shown, None for none."""
        return self._shown.id

    def show_state(self, state: str | None) -> None:
        """Show currents and volts of a state, None for none."""
        self._shown = StateShown(state, by_hand=True)
        self._redraw()
        self._tell("selection")

    def show_drawing(self, name: str) -> None:
        """Show another drawing."""
        self.drawing, self.scene = name, None
        self._redraw()
        self.show_curves(False)

    def show_curves(self, shown: bool) -> None:
        """Show curves in the place of the drawing, or the drawing again."""
        if shown != self.curves_shown:
            self.curves_shown = shown
            self._tell("view")

    def set_units(self, units: System) -> None:
        """Metric or US, everywhere at once."""
        self.change_settings(units=units)
        self._redraw()
        if self.assessment is not None:
            self._tell("assessed", "selection")

    def change_settings(self, **changes: Any) -> None:
        """Change and store settings by name; what cannot be stored still holds until the end."""
        self.settings = replace(self.settings, **changes)
        with suppress(RigfeedError):
            store_settings(self.settings, self._settings_path)
        self._tell("settings")

    @property
    def stale(self) -> bool:
        """Whether what is shown belongs to an older version of the design."""
        return self.work is not None and self.assessed_version != self.work.version

    @property
    def busy(self) -> bool:
        """Whether a thread is at work for the window."""
        return self._unasked or self._assessor.busy

    @property
    def progress(self) -> tuple[float, str]:
        """How much of the assessment is done (0..1), and of what."""
        return self._assessor.progress

    @property
    def states(self) -> tuple[tuple[str, str], ...]:
        """Id and title of the states to choose from."""
        if self.assessment is None:
            return ()
        return tuple((id_, state.title) for id_, state in self.assessment.installation.states.items())

    @property
    def drawings(self) -> tuple[tuple[str, str], ...]:
        """Name and title of the drawings to choose from."""
        if self.work is None:
            return ()
        return tuple((name, drawing.title) for name, drawing in sorted(self.work.shelf.registry.drawings.items()))

    @property
    def figures(self) -> tuple[tuple[str, str], ...]:
        """Name and title of the figures to choose from."""
        if self.work is None:
            return ()
        return tuple((name, plot.title) for name, plot in sorted(self.work.shelf.registry.figures.items()))

    @property
    def now(self) -> Now:
        """For the commands: what can be done now."""
        work, found = self.work, self.assessment.findings if self.assessment else ()
        if work is None:
            return Now()
        return Now(
            open=True, dirty=work.dirty, filed=work.path is not None, undo=work.undoes is not None,
            redo=work.redoes is not None, selected=self.selection is not None,
            removable=self.selection is not None and removable(self.selection),
            conductor=self.selection is not None and self.selection[:1] == ("conductors",),
            finding=self.explained is not None, fixable=bool(self.fixes), findings=bool(found),
            assessed=self.assessment is not None, drawn=self.scene is not None and not self.curves_shown,
            busy=self.busy,
        )

    @property
    def explained(self) -> Finding | None:
        """The finding to explain: the chosen one; while none is, the first about the thing in hand, else the first of
        all. What somebody has accepted is not put forward."""
        if self.finding is not None or self.assessment is None:
            return self.finding
        return finding_list.foremost(self.assessment, self.selection)

    @property
    def fixes(self) -> tuple[Fix, ...]:
        """What mends the explained finding; nothing while it may have gone already."""
        explained = self.explained
        if explained is None or self.assessment is None or self.work is None or self.stale:
            return ()
        return finding_list.fixes(self.assessment, explained, self.work.shelf)

    # the loop

    def poll(self, *, showing: bool = False) -> None:
        """Fetch what the threads have finished and tell the listeners. While what they were told is still `showing`,
        no drawing is begun, and no design taken in hand is assessed."""
        if self._unasked and not showing:
            self._ask()
        for delivery in () if self._unasked else self._assessor.poll(showing=showing):  # those are of another design
            if self.work is not None and delivery.version == self.work.version:
                self._receive(delivery)
        progress = (self.busy, *self._assessor.progress)
        if progress != self._told:
            self._told = progress
            self._tell("progress")

    def close(self) -> None:
        """End the threads. What is not saved stays in the recovery file."""
        self._assessor.close()
        self.recovery.close()

    def _receive(self, delivery: Delivery) -> None:
        if isinstance(delivery, Assessed):
            self.assessment, self.assessed_version = delivery.assessment, delivery.version
            self.failure, self.failure_is_ours = None, False
            self.finding = finding_list.again(delivery.assessment.findings, self.finding)
            shown = self._shown
            self._shown = shown.among(delivery.assessment.installation.states)
            if self._shown.id != shown.id:
                self._redraw()
            self._tell("assessed", "selection")
        elif isinstance(delivery, Drawn):
            if delivery.look == self._look():
                self.scene, self.failure = delivery.scene, None
                self._tell("drawn")
        elif delivery.look in (None, self._look()):
            self.failure, self.failure_is_ours = delivery.error, delivery.ours
            self._tell("failed")

    def _look(self) -> Look | None:
        names = [name for name, _ in self.drawings]
        if not names:
            return None
        if self.drawing not in names:
            self.drawing = names[0]
        return Look(self.drawing, Wanted(state=self.state, system=self.settings.units))

    def _ask(self) -> None:
        work, self._unasked = self._in_hand(), False
        look = self._look()
        if look is not None and self.assessment is not None:
            # the state to show is settled with the findings
            look = replace(look, wanted=replace(look.wanted, state=self._shown.surviving(work.design)))
        self._assessor.ask(work.version, work.design, work.shelf, look)

    def _redraw(self) -> None:
        look = self._look()
        if look is not None and self.work is not None:
            self._assessor.look(look)
