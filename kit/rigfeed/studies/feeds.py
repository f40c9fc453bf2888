"""What arrives at each equipment in each state, and what its leads eat on the way."""

from __future__ import annotations

from collections.abc import Iterator

from rigfeed.frozen import frozen
from rigfeed.installation import PlacedNode
from rigfeed.parts.interfaces import LoadDevice, SourceDevice
from rigfeed.studies.operating import OPERATING, Operating
from rigfeed.view import Study, View
from rigfeed.wiring import WIRING


@frozen
class Feed:
    """One load in one state: its volts, and where those of the source went."""

    load: PlacedNode
    part: LoadDevice
    state: str
    load_v: float | None
    source: PlacedNode | None = None
    source_v: float = 0.0
    positive_drop_v: float = 0.0
    return_drop_v: float = 0.0

    @property
    def drop_v(self) -> float:
        """Both leads together, joints and fuses included."""
        return self.positive_drop_v + self.return_drop_v


def follow_feeds(view: View) -> tuple[Feed, ...]:
    """Every load in every state in which it is not switched off."""
    return tuple(_feeds(view))


def _feeds(view: View) -> Iterator[Feed]:
    installation, operating, wiring = view.installation, view[OPERATING], view[WIRING]
    for node, part in installation.loads:
        sources = wiring.sources_of(f"{node.id}.{part.poles[0]}")
        for state, laid in installation.states.items():
            if laid.modes.get(node.id) != "off":
                yield _feed(node, part, state, sources, operating)


def _feed(
    node: PlacedNode, part: LoadDevice, state: str, sources: tuple[PlacedNode, ...], operating: Operating
) -> Feed:
    volts = operating.across(state, node.id)
    at_sources = [(operating.across(state, source.id), source) for source in sources]
    fed = [(source_v, source) for source_v, source in at_sources if source_v is not None]
    if volts is None or not fed:
        return Feed(node, part, state, volts)
    # the leads begin at a battery post where there is one: that is where people measure
    source_v, source = next(((v, s) for v, s in fed if isinstance(s.part, SourceDevice) and s.part.stores), fed[0])
    assert isinstance(source.part, SourceDevice)
    positive_post, negative_post = (operating.volts(state, f"{source.id}.{pole}") for pole in source.part.poles)
    positive, negative = (operating.volts(state, f"{node.id}.{pole}") for pole in part.poles)
    if positive_post is None or negative_post is None or positive is None or negative is None:
        return Feed(node, part, state, volts)
    return Feed(node, part, state, volts, source, source_v, positive_post - positive, negative - negative_post)


FEEDS: Study[tuple[Feed, ...]] = Study("feeds", follow_feeds, needs=(OPERATING, WIRING))
