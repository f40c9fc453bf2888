"""The hole list: what goes through each hole, how full it gets, and which ends are fitted afterwards."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rigfeed.installation import Installation, LaidPassage
from rigfeed.papers.places import natural
from rigfeed.papers.table import Cell, Column, Table
from rigfeed.quantity import System, show
from rigfeed.studies.bundles import BUNDLES, Bundles, Pull, Side

if TYPE_CHECKING:
    from rigfeed.assess import Assessment

COLUMNS = (
    Column("id", "id", width=6, bold=True),
    Column("title", "hole", width=17),
    Column("run", "on run", width=10),
    Column("diameter", "diameter", "mm", width=9, align="right"),
    Column("bore", "bore", "mm", width=7, align="right"),
    Column("edge", "edge", width=10),
    Column("existing", "in it already", width=11),
    Column("passes", "passes, with diameter", width=20),
    Column("fill", "fill", "%", width=6, align="right", decimals=0),
    Column("bundle", "bundle diameter", "mm", width=9, align="right"),
    Column("after", "fit after pulling", width=30),
)
NOTES = (
    "Fill is the share of the hole's area that cables take, those in it already included. The bundle is the smallest "
    "circle around all of them. The bore is that of the grommet or gland: what is stiff has to pass it.",
    "An end to be fitted after pulling is stiff and does not pass a hole on its way, or nobody knows whether it does.",
)


def hole_list(assessment: Assessment, system: System) -> Table:
    """A row for each passage, by id; then the order in which to pull."""
    installation, bundles = assessment.installation, assessment.get(BUNDLES)
    found = sorted(installation.passages.values(), key=lambda passage: natural(passage.id))
    rows = tuple(_row(passage, installation, bundles, system) for passage in found)
    notes = (*NOTES, *_order(bundles, installation))
    use = "the holes, how full they get, in which order to pull"
    return Table("hole-list", "Hole list", COLUMNS, rows, notes, use=use)


def _row(passage: LaidPassage, installation: Installation, bundles: Bundles | None, system: System) -> tuple[Cell, ...]:
    through = sorted(passage.conductors, key=natural)
    fill = passage.fill
    bundle = bundles.passages.get(passage.id) if bundles else None
    return (
        passage.id, passage.title if passage.title != passage.id else None, passage.run, passage.diameter_mm,
        passage.bore_mm, passage.edge, _diameters(passage.existing_mm, system) or "nothing",
        ", ".join(f"{id_}: {show(installation.conductors[id_].cable.od_mm, 'mm', system)}" for id_ in through)
        or "nothing",
        None if fill is None else 100 * fill, bundle.diameter_mm if bundle and bundle.diameter_mm else None,
        _afterwards(through, bundles, installation) if bundles else None,
    )


def _diameters(values_mm: tuple[float, ...], system: System) -> str:
    return ", ".join(show(value, "mm", system) for value in values_mm)


def _afterwards(conductors: list[str], bundles: Bundles, installation: Installation) -> str:
    """The ends that are fitted when the cable lies: ``W2 at F1.b: ring M8``."""
    pulls = [bundles.pulls[conductor] for conductor in conductors if conductor in bundles.pulls]
    return "; ".join(_after(pull, side, installation) for pull in pulls for side in pull.after) or "nothing"


def _after(pull: Pull, side: Side, installation: Installation) -> str:
    items = ", ".join(f"{item.part.title}{f' of {item.node}' if item.is_holder else ''}" for item in pull.at(side))
    off = ", taken off first" if side in pull.off else ""
    return f"{_end(pull.conductor, side, installation)}: {items or 'not chosen'}{off}"


def _end(conductor: str, side: Side, installation: Installation) -> str:
    cores = installation.conductors[conductor].cores
    return f"{conductor} at {', '.join((core.start if side == 'from' else core.end).terminal for core in cores)}"


def _order(bundles: Bundles | None, installation: Installation) -> tuple[str, ...]:
    """The order in which conductors go through holes, stiff and thick ones first."""
    if bundles is None:
        return ("What passes could not be computed: see what was not checked.",)
    pulled = [step for step in bundles.steps("pull") if step.passages]
    if not pulled:
        return ()
    steps = [
        f"{_end(step.conductor, step.side, installation)} in front" if step.side else f"{step.conductor} either way"
        for step in pulled
        if step.conductor
    ]
    return (f"Pull in this order, through the holes: {'; '.join(steps)}. Fuses in last.",)
