"""How the windows are found: both sides of every device, its family on the shelf, and what is not known."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import field

from rigfeed.frozen import frozen
from rigfeed.installation import PlacedNode, node_of
from rigfeed.parts.alike import family_of
from rigfeed.parts.interfaces import ProtectiveDevice
from rigfeed.practice import Setting, Threshold
from rigfeed.studies.ampacity import AMPACITY
from rigfeed.studies.faults import FAULTS, Faults
from rigfeed.studies.operating import OPERATING
from rigfeed.studies.ratings.full import full_of
from rigfeed.studies.ratings.least import Carried
from rigfeed.studies.ratings.most import Limits
from rigfeed.studies.ratings.window import (
    AMPACITY_BELOW_V,
    AMPACITY_SHARE,
    CLEARED_S,
    FLAT_SHARE,
    LOADED_SHARE,
    Window,
)
from rigfeed.studies.sections import SECTIONS
from rigfeed.view import StudyFailed, View
from rigfeed.wiring import WIRING


@frozen(eq=False)
class Search:
    """What all windows of an installation share."""

    view: View
    carried: Carried
    limits: Limits
    lacking: tuple[str, ...]
    _families: dict[str, tuple[ProtectiveDevice, ...]] = field(default_factory=dict)

    @classmethod
    def of(cls, view: View) -> Search:
        """The search in a view. Where a practice gives no figure, a rating may be used to the full."""
        lacking: list[str] = []

        def figure(threshold: Threshold, otherwise: float) -> tuple[float, Setting]:
            found = view.practice.threshold(threshold)
            if found is None:
                lacking.append(f"practice {view.practice.name!r} gives no {threshold.key!r} ({threshold.meaning})")
            return found or (otherwise, Setting(str(otherwise), "no figure of the practice"))

        loaded, setting = figure(LOADED_SHARE, 100.0)
        share, authority = figure(AMPACITY_SHARE, 100.0)
        if view.installation.system_v >= figure(AMPACITY_BELOW_V, 0.0)[0]:
            share = min(share, 100.0)
        cleared_s, cleared = figure(CLEARED_S, 5.0)
        full = full_of(view[OPERATING], view[SECTIONS], figure(FLAT_SHARE, 100.0)[0] / 100)
        faults = _faults(view)
        if faults is None:
            lacking.append("the shorts could not be computed: see what was not checked")
        carried = Carried(view[OPERATING], view[WIRING], full, loaded / 100, setting)
        limits = Limits(
            view.installation, view[SECTIONS], view[AMPACITY], view[WIRING], share / 100, authority, faults, cleared_s,
            cleared,
        )
        return cls(view, carried, limits, tuple(lacking))

    def window(self, node: PlacedNode, device: ProtectiveDevice) -> Window:
        """The window of one device."""
        stock = self._stock(device)
        least = sorted(self.carried.bounds(node, device), key=lambda bound: (-bound.rating_a, str(bound.subject)))
        most = sorted(self.limits.bounds(node, stock), key=lambda bound: (bound.rating_a, str(bound.subject)))
        wished = self.carried.wished(node, device)
        unknown = (*self.lacking, *self._unknown(node, device))
        return Window(node, device, tuple(least), tuple(most), wished, stock, unknown)

    def _stock(self, device: ProtectiveDevice) -> tuple[ProtectiveDevice, ...]:
        """Its family on the shelf, by rating."""
        if device.key not in self._families:
            found = [device, *family_of(device, self.view.shelf)]
            self._families[device.key] = tuple(sorted(found, key=lambda part: (part.rated_a, part.key)))
        return self._families[device.key]

    def _unknown(self, node: PlacedNode, device: ProtectiveDevice) -> Iterator[str]:
        ampacities = self.view[AMPACITY]
        for conductor, core in self.limits.wires(node):
            if ampacities.governing(core.id) is None:
                yield f"what {conductor.label} carries is not known"
        for load, part in self.view.installation.loads:
            guards = self.view[WIRING].protections_of(f"{load.id}.{part.poles[0]}")
            if part.stated_fuse_a is None and any(guard.id == node.id for guard, _ in guards):
                yield f"the maker of {load.title} states no fuse"
        if self._is_link(node):
            yield "what flows while the battery on one side charges that on the other"
        yield from self.carried.unknown(node, device)

    def _is_link(self, node: PlacedNode) -> bool:
        """Whether batteries stand on both sides."""
        sections, found = self.view[SECTIONS], set()
        stores = {battery.id for battery, part in self.view.installation.sources if part.stores}
        for side in sections.fed_sides(node):
            found.add(frozenset(stores & {node_of(net) for net in sections.sources_of(side, without=node.id)}))
        return len(found - {frozenset()}) > 1


def _faults(view: View) -> Faults | None:
    """The shorts; None where they could not be computed, which is said elsewhere."""
    try:
        return view[FAULTS]
    except StudyFailed:
        return None
