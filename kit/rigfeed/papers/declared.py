"""The papers, drawings and figures of the kit by name. What makes one is loaded when it is wanted, by no check."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import TYPE_CHECKING, Any

from rigfeed.papers.paper import Drawing, Paper, Plot
from rigfeed.studies.ampacity import AMPACITY
from rigfeed.studies.bundles import BUNDLES
from rigfeed.studies.faults import FAULTS
from rigfeed.studies.operating import OPERATING
from rigfeed.studies.ratings import RATINGS
from rigfeed.studies.sections import SECTIONS
from rigfeed.studies.whatif import MISHAPS, WHATIF
from rigfeed.studies.whatif_outages import OUTAGES

if TYPE_CHECKING:
    from rigfeed.assess import Assessment


def _late(module: str, function: str) -> Callable[..., Any]:
    """A function in a module of the kit, which is loaded when it is first called."""

    def call(*given: Any) -> Any:
        return getattr(import_module(f"rigfeed.{module}"), function)(*given)

    return call


def _has_stock(assessment: Assessment) -> bool:
    return bool(assessment.shelf.stock)


PAPERS = (
    Paper("cut-list", "Cut list", _late("papers.cutlist", "cut_list")),
    Paper("termination-list", "Termination list", _late("papers.terminations", "termination_list")),
    Paper("label-list", "Label list", _late("papers.labels", "label_list")),
    Paper("fuse-schedule", "Fuse schedule", _late("papers.fuses", "fuse_schedule"), needs=(OPERATING,)),
    Paper("fuse-window", "Fuse ratings", _late("papers.fusewindow", "fuse_window"), needs=(RATINGS,)),
    Paper("fault-table", "Fault table", _late("papers.faulttable", "fault_table"), needs=(FAULTS,)),
    Paper("hole-list", "Hole list", _late("papers.holes", "hole_list"), needs=(BUNDLES,)),
    Paper("load-list", "Load list", _late("papers.loads", "load_list"), needs=(OPERATING,)),
    Paper("bill-of-materials", "Bill of materials", _late("papers.materials", "bill_of_materials")),
    Paper("survey-sheet", "Survey sheet", _late("papers.surveysheet", "survey_sheet")),
    Paper("findings", "Findings", _late("papers.findings", "findings")),
    Paper("assumptions", "Assumptions", _late("papers.findings", "assumptions")),
    Paper("not-checked", "Not checked", _late("papers.findings", "not_checked")),
    Paper(
        "what-if", "What if", _late("papers.whatif", "whatif_paper"), needs=(WHATIF, MISHAPS, OUTAGES, AMPACITY),
    ),
    Paper("return-question", "Return question", _late("papers.returnpaper", "return_paper")),
    Paper("cutting-plan", "Cutting plan", _late("papers.stock", "cutting_plan"), wanted=_has_stock),
    Paper("buying-list", "Buying list", _late("papers.stock", "buying_list"), wanted=_has_stock),
)
DRAWINGS = (
    Drawing("circuit", "Circuit diagram", _late("drawing.circuit", "circuit_scene"), needs=(OPERATING,)),
    Drawing("routes", "Route plan", _late("drawing.routes", "routes_scene"), needs=(BUNDLES,)),
)
FIGURES = (
    Plot(
        "time-current", "Time and current", _late("figures.time_current", "time_current"),
        needs=(FAULTS, OPERATING, SECTIONS), subjects=_late("figures.way", "subjects"),
    ),
    Plot("fault-energy", "Fault energy", _late("figures.energy", "fault_energy"), needs=(FAULTS,)),
)
