"""The ratings study of a view: the window of every fuse and breaker."""

from __future__ import annotations

from rigfeed.keyed import Keyed
from rigfeed.studies.ampacity import AMPACITY
from rigfeed.studies.faults import FAULTS
from rigfeed.studies.operating import OPERATING
from rigfeed.studies.ratings.window import Ratings
from rigfeed.studies.sections import SECTIONS
from rigfeed.view import Study, View
from rigfeed.wiring import WIRING


def find_ratings(view: View) -> Ratings:
    """The window of every device, by id."""
    from rigfeed.studies.ratings.search import Search  # only who asks for windows pays for it

    search = Search.of(view)
    return Ratings(Keyed({node.id: search.window(node, device) for node, device in view.installation.protections}))


RATINGS: Study[Ratings] = Study("ratings", find_ratings, needs=(AMPACITY, FAULTS, OPERATING, SECTIONS, WIRING))
