"""Holders against the fuses in them and the place they sit in."""

from __future__ import annotations

from collections.abc import Iterator

from rigfeed.plugin import Check, Finding, Measure, NotChecked, Path, View, verbatim
from rigfeed_fuses.parts import Fuse, Holder

Said = Iterator[Finding | NotChecked]


def held(view: View) -> Iterator[tuple[str, Fuse, Holder | None, bool | None]]:
    """The fuses by id, with the holder of each and whether its place gets wet (None: not known).

    Fuses on which nothing of ours ends belong to the vehicle and are left out.
    """
    ours = {e.node for c in view.installation.conductors.values() if c.origin != "vehicle" for e in c.ends}
    for node in view.installation.nodes.values():
        if isinstance(node.part, Fuse) and node.id in ours:
            holder = node.settings.holder if node.settings else None
            yield node.id, node.part, holder, node.zone.wet


def holder_underrated(view: View) -> Said:
    missing = []
    for name, fuse, holder, _ in held(view):
        subject = Path("nodes", name)
        if holder is None:
            missing.append(name)
            continue
        title = verbatim(holder.title)
        if not holder.takes(fuse):
            yield Finding(
                subject=subject, excess=1e9,
                message=f"The holder of {name} ({title}) is made for fuses of the form {verbatim(holder.family)}, and "
                "the fuse "
                f"is of {verbatim(fuse.body)}.",
                remedy="Choose a holder for that form of fuse.",
            )
        if holder.most_a is not None and holder.most_a < fuse.rated_a:
            yield Finding(
                subject=subject, value=Measure(fuse.rated_a, "A"), limit=Measure(holder.most_a, "A"),
                excess=fuse.rated_a - holder.most_a,
                message=f"The holder of {name} ({title}) is made for {{limit}} and has a fuse of {{value}}: its "
                "contacts run hot and soften the plastic long before the fuse opens.",
                remedy="Use a holder for {value} or more.",
            )
        lead_a = holder.lead_a
        if lead_a is not None and lead_a < fuse.rated_a:
            yield Finding(
                subject=subject, value=Measure(fuse.rated_a, "A"), limit=Measure(lead_a, "A"),
                excess=fuse.rated_a - lead_a, authority="FAA AC 43.13-1B, table 11-3",
                message=f"The leads of the holder of {name} ({title}) have {holder.lead_mm2:g} mm2, which is good for "
                "a fuse of {limit}, and the fuse is {value}: it does not protect its own holder.",
                remedy="Use a holder with thicker leads, or a fuse of {limit} if the load allows it.",
            )
    if missing:
        yield NotChecked("holder-underrated", f"no holder is chosen for {', '.join(missing)} (settings.holder)")


def holder_not_sealed(view: View) -> Said:
    unknown, places = [], []
    for name, _, holder, wet in held(view):
        if wet is None:
            places.append(name)
        elif wet and (holder is None or holder.sealed is None):
            unknown.append(name)
        elif wet and holder is not None and holder.sealed is False:
            yield Finding(
                subject=Path("nodes", name),
                message=f"The holder of {name} ({verbatim(holder.title)}) is not sealed and sits where it gets wet: "
                "its contacts go green, run hot and drop volts, and the fuse is blamed.",
                remedy="Use a sealed holder with its cap on, mouth down, or move the fuse inside.",
            )
    if unknown:
        yield NotChecked(
            "holder-not-sealed", f"the catalog does not say whether the holder of {', '.join(unknown)} is sealed"
        )
    if places:
        why = f"needs to know whether the zone of {', '.join(places)} gets wet (zones.*.wet)"
        yield NotChecked("holder-not-sealed", why)


CHECKS = (
    Check("holder-underrated", "source", "error", holder_underrated),
    Check("holder-not-sealed", "source", "warning", holder_not_sealed, authority="FCS 1362:2010 4.6.3"),
)
