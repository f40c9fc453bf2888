"""Fuses against what they protect: the wire behind them, the volts, and the short that they have to break."""

from __future__ import annotations

from collections.abc import Iterator

from rigfeed.checks.check import Check, Finding, NotChecked
from rigfeed.checks.offers import number
from rigfeed.checks.said import is_added, listed, other_rating, solved_states
from rigfeed.checks.survey import optional
from rigfeed.installation import PlacedNode
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.parts.interfaces import ConverterDevice, ProtectiveDevice, SourceDevice
from rigfeed.path import Path
from rigfeed.practice import Threshold
from rigfeed.studies.ampacity import AMPACITY
from rigfeed.studies.operating import OPERATING
from rigfeed.studies.prospective import HIGHEST, Short
from rigfeed.studies.ratings import RATINGS
from rigfeed.studies.ratings.window import AMPACITY_BELOW_V, AMPACITY_SHARE
from rigfeed.studies.sections import SECTIONS, Sections, nets_of
from rigfeed.view import View

Said = Iterator[Finding | NotChecked]
Table = tuple[float, str] | None  # what the table of battery ratings asks for [A], and who says so

CHARGING_24_V = Threshold("fuse-voltage-low.charging-24v", "V", "highest voltage of a 24 V system")
CHARGED_SYSTEM_V = 24.0  # the systems that this key is about
SMALL_A = Threshold("breaking-capacity-low.small-battery", "A", "cold cranking current up to which a battery is small")
MEDIUM_A = Threshold("breaking-capacity-low.medium-battery", "A", "cold cranking current up to which it is medium")
TABLE_A = {
    (size, place): Threshold(
        f"breaking-capacity-low.{size}-{place}", "A", f"breaking capacity, {place}, {size} battery"
    )
    for size in ("small", "medium", "large")
    for place in ("main", "branch")
}


def fuse_above_ampacity(view: View) -> Said:
    (share, setting), (below_v, _) = view.threshold(AMPACITY_SHARE), view.threshold(AMPACITY_BELOW_V)
    if view.installation.system_v >= below_v:
        share = min(share, 100.0)
    ampacities, unknown = view[AMPACITY], set()
    for node, device in view.installation.protections:
        cores = [core.id for conductor, core in view[SECTIONS].protected(node) if is_added(conductor)]
        unknown |= {core for core in cores if ampacities.governing(core) is None}
        weakest = ampacities.weakest(cores)
        if weakest is None or device.rated_a <= share / 100 * weakest.amps:
            continue
        conductor = weakest.rating.conductor
        yield Finding(
            subject=Path("nodes", node.id), also=(Path("conductors", conductor.id),),
            value=Measure(device.rated_a, "A"), limit=Measure(share / 100 * weakest.amps, "A"),
            excess=device.rated_a - share / 100 * weakest.amps, authority=setting.authority,
            numbers=Keyed({
                "fuse": node.id, "wire": conductor.label, "within": weakest.zone.within, "basis": weakest.figure.basis,
                "amps": Measure(weakest.amps, "A"), "others": other_rating(view, node),
            }),
            message="Fuse {fuse} is {value}, but {wire} carries {amps} for hours {within} ({basis}), which allows no "
            "more than {limit}: a lasting overload bakes the insulation before the fuse opens.",
            remedy=("Fit a fuse of at most {limit} if the load allows it; else take" if weakest.amps else "Take")
            + " a larger cross-section or a higher class of insulation for {wire}, or lead it where it is cooler. "
            "{others}",
        )
    if unknown:
        why = f"no ampacity is known for {listed(unknown)}: its cable has no temperature class in the catalog, or no "
        "way"
        yield NotChecked("fuse-above-ampacity", why)


def fuse_voltage_low(view: View) -> Said:
    charging_v, setting = view.threshold(CHARGING_24_V)
    unknown = []
    for node, device in view.installation.protections:
        most_v = _most_v(view, node, device, charging_v)
        if device.rated_v is None:
            unknown.append(node.id)
        elif most_v is not None and device.rated_v < most_v:
            yield Finding(
                subject=Path("nodes", node.id), value=Measure(device.rated_v, "V"), limit=Measure(most_v, "V"),
                excess=most_v - device.rated_v, authority=setting.authority, numbers=Keyed({"fuse": node.id}),
                message="Fuse {fuse} is made for {value}, and up to {limit} stand on it: when it opens, the arc may "
                "not go out, and it burns on.",
                remedy="Fit one that is rated for {limit} of direct voltage at least.",
            )
    if unknown:
        yield NotChecked("fuse-voltage-low", f"the catalog gives no rated voltage for {listed(unknown)}")


def _most_v(view: View, node: PlacedNode, device: ProtectiveDevice, charging_v: float) -> float | None:
    """The highest voltage that may stand on a device: of its sources in any state, and of charging a 24 V system."""
    installation, operating, sections = view.installation, view[OPERATING], view[SECTIONS]
    sides = [f"{node.id}.{terminal}" for pair in device.through for terminal in pair]
    ids = {net.partition(".")[0] for side in sides for net in sections.sources_of(side)}
    found = [installation.system_v] if ids else []
    for id_ in ids:
        part = installation.nodes[id_].part
        if isinstance(part, ConverterDevice) and ids == {id_}:
            return part.out_v
        if part is not None and not isinstance(part, ConverterDevice) and installation.system_v == CHARGED_SYSTEM_V:
            found.append(charging_v)
        for state, _ in solved_states(installation, operating):
            found.append(operating.across(state, id_) or 0.0)
    return max(found, default=None)


def breaking_capacity_low(view: View) -> Said:
    by_table, unknown = _goes_by_table(view), []
    for node, device in view.installation.protections:
        short = view[HIGHEST].highest.get(node.id)
        if short is None:
            continue  # nothing feeds it
        table = _by_table(view, node, device)
        wanted_a = table[0] if table is not None and by_table else short.current_a
        if device.breaking_a is None and not _batteries_beside(view[SECTIONS], node, device):
            unknown.append(node.id)
        elif device.breaking_a is None or device.breaking_a < wanted_a:
            yield _breaks_too_little(view, node, device, short, table, wanted_a)
    if unknown:
        yield NotChecked("breaking-capacity-low", f"the catalog gives no breaking capacity for {listed(unknown)}")


def _breaks_too_little(
    view: View, node: PlacedNode, device: ProtectiveDevice, short: Short, table: Table, wanted_a: float
) -> Finding:
    through = view[HIGHEST].let_through[node.id]
    known = "Fuse {fuse} can break {value}, and {limit} are asked for: it may burst or burn on instead of opening. "
    unknown = "What fuse {fuse} can break is not in the catalog, and it sits at a battery: {limit} are asked for. "
    return Finding(
        subject=Path("nodes", node.id), value=Measure(device.breaking_a, "A") if device.breaking_a else None,
        limit=Measure(wanted_a, "A"), excess=wanted_a - (device.breaking_a or 0.0),
        authority="" if table is None or wanted_a != table[0] else table[1],
        numbers=Keyed({
            "fuse": node.id, "computed": Measure(short.current_a, "A"), "through": Measure(through.current_a, "A"),
            "table": Measure(table[0], "A") if table else "nothing",
        }),
        message=(unknown if device.breaking_a is None else known)
        + "Computed, a short right behind it draws {computed} (everything cold, new, full and running; with the "
        "resistance of the fuse itself {through}, which nobody guarantees). "
        + ("By the table of battery ratings it takes {table}." if table else
           "The table of battery ratings says nothing: no cold cranking current is in the catalog."),
        remedy="Fit a fuse that breaks {limit}: a bolt-in or high-interrupt type at the battery; smaller ones may "
        "follow behind it.",
    )


def _batteries_beside(sections: Sections, node: PlacedNode, device: ProtectiveDevice) -> list[PlacedNode]:
    """The batteries from which a device is the first one."""
    found = {}
    for terminal in (terminal for pair in device.through for terminal in pair):
        for net in nets_of(sections.section(f"{node.id}.{terminal}")):
            part = sections.node_at(net).part
            if isinstance(part, SourceDevice) and part.stores and sections.is_source(net):
                found[net.partition(".")[0]] = sections.node_at(net)
    return list(found.values())


def _goes_by_table(view: View) -> bool:
    """Whether the practice goes by the table where it says something: no shipped one does, a shop's own may."""
    basis = Threshold("breaking-capacity-low.by-table", "", "1: the table of battery ratings governs")
    found = optional(view, basis)
    return found is not None and found[0] == 1


def _by_table(view: View, node: PlacedNode, device: ProtectiveDevice) -> Table:
    """The breaking capacity that the table asks for by the batteries that feed a device, and the authority; None where
    no battery states its cold cranking current."""
    sections = view[SECTIONS]
    sides = [f"{node.id}.{terminal}" for pair in device.through for terminal in pair]
    ids = {net.partition(".")[0] for side in sides for net in sections.sources_of(side)}
    cranking = [number(view.installation.nodes[id_].part, "cca_a") for id_ in sorted(ids)]
    known = [amps for amps in cranking if amps is not None]
    if not known:
        return None
    (small_a, _), (medium_a, _) = view.threshold(SMALL_A), view.threshold(MEDIUM_A)
    total_a = sum(known)
    size = "small" if total_a <= small_a else "medium" if total_a <= medium_a else "large"
    place = "main" if _batteries_beside(sections, node, device) else "branch"
    wanted_a, setting = view.threshold(TABLE_A[size, place])
    return wanted_a, setting.authority


CHECKS = (
    Check(
        "fuse-above-ampacity", "source", "error", fuse_above_ampacity, needs=(AMPACITY, SECTIONS, RATINGS),
        thresholds=(AMPACITY_SHARE, AMPACITY_BELOW_V),
    ),
    Check(
        "fuse-voltage-low", "source", "error", fuse_voltage_low, needs=(OPERATING, SECTIONS),
        thresholds=(CHARGING_24_V,),
    ),
    Check(
        "breaking-capacity-low", "source", "error", breaking_capacity_low, needs=(HIGHEST, SECTIONS),
        authority="common practice, no source; ABYC E-11 for the table of battery ratings",
        thresholds=(SMALL_A, MEDIUM_A, *TABLE_A.values()),
    ),
)
