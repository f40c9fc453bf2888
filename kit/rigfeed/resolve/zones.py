"""Which air a place has."""

from __future__ import annotations

from rigfeed.installation import LaidZone
from rigfeed.keyed import Keyed
from rigfeed.path import Path
from rigfeed.practice import Threshold
from rigfeed.resolve.ledger import Ledger

WARMEST_C = Threshold("zone.warmest", "degC", "warmest air")
COLDEST_C = Threshold("zone.coldest", "degC", "coldest air")


def laid_zone(name: str, ledger: Ledger) -> LaidZone:
    """A zone; a temperature that it lacks is the practice's."""
    zone, path = ledger.design.zones[name], Path("zones", name)
    warmest_c = zone.warmest.si if zone.warmest else ledger.default(WARMEST_C, path / "warmest")
    coldest_c = zone.coldest.si if zone.coldest else ledger.default(COLDEST_C, path / "coldest")
    return LaidZone(name, zone.title or name, warmest_c, min(coldest_c, warmest_c), zone.wet)


def zone_or_default(name: str | None, zones: Keyed[LaidZone], path: Path, ledger: Ledger) -> LaidZone:
    """The zone of a name; a place in no zone has the air that the practice assumes."""
    if name in zones and name is not None:
        return zones[name]
    warmest_c, coldest_c = ledger.default(WARMEST_C, path), ledger.default(COLDEST_C, path)
    return LaidZone("", "no zone", warmest_c, min(coldest_c, warmest_c), None)


def zone_at(point: str | None, zones: Keyed[LaidZone], path: Path, ledger: Ledger) -> LaidZone:
    """The zone of a point: its own, else the warmest of the runs that touch it, else the practice's air."""
    if point is None:
        return zone_or_default(None, zones, path, ledger)
    own = ledger.design.points[point].zone
    runs = ledger.design.runs.values()
    touching = [run.zone for run in runs if run.zone and point in (run.start, run.end)]
    if own is None and touching:
        return max((zones[name] for name in touching), key=lambda zone: (zone.warmest_c, zone.id))
    return zone_or_default(own, zones, Path("points", point, "zone"), ledger)
