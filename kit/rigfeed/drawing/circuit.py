"""The circuit diagram: what is joined to what, from the sources on the left to the loads on the right."""

from __future__ import annotations

from rigfeed.assess import Assessment
from rigfeed.drawing.frame import Content, page_scene
from rigfeed.drawing.marks import numbered
from rigfeed.drawing.scene import Item, Lettering, Scene
from rigfeed.papers.paper import Wanted
from rigfeed.path import Path

TITLE = "Circuit diagram"


def circuit_scene(assessment: Assessment, wanted: Wanted) -> Scene:
    """The circuit on one page."""
    nodes = assessment.installation.nodes
    drawn = {Path("nodes", id_) for id_ in nodes}
    marks = numbered(assessment.findings, drawn)
    items: list[Item] = [Lettering((0.0, 4.0 * (row + 1)), id_) for row, id_ in enumerate(sorted(nodes))]
    content = Content(tuple(items), 40.0, 4.0 * len(items) + 2.0)
    return page_scene(assessment, "circuit", TITLE, "What is joined to what.", content, marks, wanted)
