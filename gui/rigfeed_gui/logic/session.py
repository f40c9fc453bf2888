"""The window's one partner: the design in hand, its assessment, what is selected, and who wants to know.

A view calls a method and is told by `listen` what has changed; it then reads the properties. `poll` is called from the
loop of the window every few hundredths of a second and is what delivers the work of the threads.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path as FilePath
from typing import Literal

from rigfeed.assess import Assessment
from rigfeed.checks.check import Finding
from rigfeed.design.edit import Edit
from rigfeed.drawing.scene import Scene
from rigfeed.errors import RigfeedError
from rigfeed.path import Path
from rigfeed_gui.logic.assessor import Assessor
from rigfeed_gui.logic.commands import Now
from rigfeed_gui.logic.findings import Fix
from rigfeed_gui.logic.recovery import Lost, Recovery
from rigfeed_gui.logic.settings import Settings
from rigfeed_gui.logic.work import Work

Event = Literal["work", "design", "assessed", "drawn", "failed", "selection", "settings", "saved", "progress"]


class Session:
    """`work` is None on the start page. `stale` is true from an edit until its findings are there."""

    work: Work | None
    settings: Settings
    selection: Path | None
    finding: Finding | None
    state: str | None
    drawing: str
    assessment: Assessment | None
    scene: Scene | None
    failure: RigfeedError | None

    def __init__(
        self, settings: Settings | None = None, recovery: Recovery | None = None, assessor: Assessor | None = None,
        settings_path: FilePath | None = None,
    ) -> None:
        raise NotImplementedError

    def listen(self, event: Event, call: Callable[[], None]) -> None:
        """Call this whenever that has changed."""
        raise NotImplementedError

    # the design in hand

    def open(self, path: FilePath) -> None:
        """Take a file in hand; raises as `Work.open`. What was in hand before must have been saved or given up."""
        raise NotImplementedError

    def begin(self, text: str) -> None:
        """Take a design in hand that has no file yet."""
        raise NotImplementedError

    def restore(self, lost: Lost) -> None:
        """Take in hand what a crash left behind."""
        raise NotImplementedError

    def leave(self) -> None:
        """Give the design in hand up, and its recovery file with it; back to the start page."""
        raise NotImplementedError

    def edit(self, edits: Iterable[Edit], words: str) -> None:
        """Change the design; raises InputError, and nothing has changed then. No edits: nothing happens."""
        raise NotImplementedError

    def undo(self) -> None:
        """Take the last edit back."""
        raise NotImplementedError

    def redo(self) -> None:
        """Do again what was undone."""
        raise NotImplementedError

    def save(self, path: FilePath | None = None) -> None:
        """Write to its file, or to another one; raises FileProblem."""
        raise NotImplementedError

    def read_again(self) -> None:
        """Take what another program wrote to the file."""
        raise NotImplementedError

    def apply_fix(self, fix: Fix) -> None:
        """Mend a finding."""
        raise NotImplementedError

    # what is shown

    def select(self, path: Path | None) -> None:
        """Select a thing, or nothing."""
        raise NotImplementedError

    def choose_finding(self, finding: Finding | None) -> None:
        """Choose a finding: its subject is selected."""
        raise NotImplementedError

    def show_state(self, state: str | None) -> None:
        """Show currents and volts of a state, None for none."""
        raise NotImplementedError

    def show_drawing(self, name: str) -> None:
        """Show another drawing."""
        raise NotImplementedError

    def set_units(self, units: Literal["metric", "us"]) -> None:
        """Metric or US, everywhere at once."""
        raise NotImplementedError

    def change_settings(self, **changes: object) -> None:
        """Change and store settings by name; one that cannot be stored still holds until the end."""
        raise NotImplementedError

    @property
    def stale(self) -> bool:
        """Whether what is shown belongs to an older version of the design."""
        raise NotImplementedError

    @property
    def states(self) -> tuple[tuple[str, str], ...]:
        """Id and title of the states to choose from."""
        raise NotImplementedError

    @property
    def drawings(self) -> tuple[str, ...]:
        """The names of the drawings to choose from."""
        raise NotImplementedError

    @property
    def now(self) -> Now:
        """For the commands: what can be done now (whether the surface has the focus is the view's to add)."""
        raise NotImplementedError

    # the loop

    def poll(self) -> None:
        """Fetch what the threads have finished and tell the listeners."""
        raise NotImplementedError

    def close(self) -> None:
        """End the threads. What is not saved stays in the recovery file."""
        raise NotImplementedError
