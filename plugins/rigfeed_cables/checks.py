"""What the row of a cable tells against it: its metal, its strands, its size, whether its figures agree."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator

from rigfeed.plugin import Check, Finding, Measure, NotChecked, Path, Threshold, View, verbatim
from rigfeed_cables import awg
from rigfeed_cables.cable import Cable
from rigfeed_cables.rating import POOREST_COPPER_OHM_MM2_PER_KM

Said = Iterator[Finding | NotChecked]

CLAD_LEAST = Threshold("not-copper.clad-least", "", "resistance of copper-clad aluminium against copper, lower figure")
CLAD_MOST = Threshold("not-copper.clad-most", "", "resistance of copper-clad aluminium against copper, upper figure")
ALUMINIUM = Threshold("not-copper.aluminium", "", "resistance of aluminium against copper")
ROW_SHARE = Threshold("catalog-row-inconsistent.share", "%", "greatest disagreement between the figures of a row")

IDEAL_COPPER_OHM_MM2_PER_KM = 1000.0 / 58.0  # IEC 60028
MM2 = re.compile(r"(\d+(?:\.\d+)?) ?(?:mm2|mm²|sq\.? ?mm|qmm)", re.I)
AWG = re.compile(r"(?<![\d/.])(\d/0|0{1,4}|\d{1,2}) ?awg\b|\bawg ?(\d/0|0{1,4}|\d{1,2})(?![\d/.])", re.I)
MM = re.compile(r"(\d+(?:\.\d+)?) ?mm\b(?!²)", re.I)
GAUGE = re.compile(r"(?<![\d/.])(\d/0|0{1,4}|\d{1,2}) ?(?:gauge|ga)\b", re.I)


def cables(view: View) -> Iterator[tuple[str, str, Cable]]:
    """The cables of this installation: conductor, its label and its cable. What the vehicle came with is left out."""
    for conductor in view.installation.conductors.values():
        if conductor.origin != "vehicle" and isinstance(conductor.cable, Cable):
            yield conductor.id, conductor.label, conductor.cable


def solid_conductor(view: View) -> Said:
    unknown = set()
    for name, label, cable in cables(view):
        if cable.is_solid is None:
            unknown.add(cable.short_key)
        elif cable.is_solid:
            yield Finding(
                subject=Path("conductors", name),
                message=f"{verbatim(label)} has one solid wire ({verbatim(cable.title)}): it breaks where the vehicle "
                "shakes, at the edge of the crimp, inside of the insulation where nobody sees it.",
                remedy="Take stranded cable, the finer the better.",
            )
    if unknown:
        yield NotChecked("solid-conductor", f"the catalog gives no number of strands for {', '.join(sorted(unknown))}")


def not_copper(view: View) -> Said:
    (least, clad), (most, _) = view.threshold(CLAD_LEAST), view.threshold(CLAD_MOST)
    whole, aluminium = view.threshold(ALUMINIUM)
    for name, label, cable in cables(view):
        if cable.is_copper:
            continue
        is_clad = cable.material == "copper-clad aluminium"
        times = f"{least:g} to {most:g}" if is_clad else f"{whole:g}"
        yield Finding(
            subject=Path("conductors", name), authority=(clad if is_clad else aluminium).authority,
            message=f"{verbatim(label)} is of {cable.material} ({verbatim(cable.title)}): it has {times} times the "
            "resistance of copper of that size, a lug for copper does not hold it, and it corrodes at the cut end.",
            remedy="Take stranded copper. If it has to stay, use lugs made for that metal and count its real "
            "resistance.",
        )


def untinned_in_wet(view: View) -> Said:
    for name, label, cable in cables(view):
        stretches = view.installation.conductors[name].stretches
        wet = [stretch.zone.within for stretch in stretches if stretch.zone.wet]
        if wet and not cable.is_tinned and not _is_sealed(view, name):
            yield Finding(
                subject=Path("conductors", name),
                message=f"{verbatim(label)} is not tinned and lies {verbatim(wet[0])}, which gets wet: the strands "
                "go black far up from the end, and no new terminal will take.",
                remedy="Take tinned strands there, or seal both ends with adhesive-lined sleeve.",
            )


def _is_sealed(view: View, name: str) -> bool:
    """Whether an adhesive-lined sleeve is chosen for every end that lies in the wet."""
    ends = view.installation.conductors[name].ends
    wet = [end for end in ends if view.installation.nodes[end.node].zone.wet]
    return bool(wet) and all(getattr(end.sleeve, "adhesive", None) is True for end in wet)


# sizes


def ambiguous(title: str) -> str | None:
    """The words of a title that name a size in a unit which can mean two things.

    >>> ambiguous("auto cable 2.5 mm"), ambiguous("12 gauge primary wire"), ambiguous("thin-wall 2.5 mm2 105 degC")
    ('2.5 mm', '12 gauge', None)
    """
    if MM2.search(title) or AWG.search(title) or re.search(r"\bSAE ?\d", title):
        return None
    found = GAUGE.search(title) or MM.search(title)
    return found[0] if found else None


def claimed_mm2(title: str) -> tuple[str, float] | None:
    """The size that a title claims, as it says it and as people read it [mm2]; None where it claims none.

    >>> claimed_mm2("thin-wall 2.5 mm2"), claimed_mm2("auto cable 2.5 mm"), claimed_mm2("flat twin")
    (('2.5 mm2', 2.5), ('2.5 mm', 2.5), None)
    >>> claimed_mm2("stranded 10 AWG")[1].__round__(2)
    5.26
    """
    if found := MM2.search(title) or MM.search(title):
        return found[0], float(found[1])
    if found := AWG.search(title) or GAUGE.search(title):
        return found[0], awg.area_mm2(_gauge(found[1] or found[found.lastindex or 1]))
    return None


def _gauge(text: str) -> float:
    """The number of a gauge: 0 for 1/0 and 0, -1 for 2/0 and 00."""
    if "/" in text:
        return 1.0 - float(text.partition("/")[0])
    return 1.0 - len(text) if set(text) == {"0"} else float(text)


def ambiguous_size(view: View) -> Said:
    for name, label, cable in cables(view):
        words = ambiguous(cable.title)
        if words is not None:
            yield Finding(
                subject=Path("conductors", name), value=Measure(cable.area_mm2, "mm2"),
                message=f"The size of {verbatim(label)} is written {words!r} ({verbatim(cable.title)}): that may be a "
                "diameter, an outside diameter or an area, or one of several gauges. The row gives {value} of metal.",
                remedy="Measure the strands or ask the supplier, and write the size in mm2 or AWG.",
            )


def disagreements(cable: Cable, share: float, materials: dict[str, tuple[float, float]]) -> Iterator[str]:
    """What of a row does not agree with the rest of it by more than a share (0..1).

    `materials` gives the least and the greatest resistance of a metal against copper.
    """
    claim = claimed_mm2(cable.title)
    if claim is not None and _apart(cable, claim[1], share):
        yield f"its title says {claim[0]} and its row {cable.area_mm2:g} mm2"
    if claim is None and cable.gauge is not None and "SAE" not in cable.title:
        area_mm2 = awg.area_mm2(float(cable.gauge))
        if cable.area_mm2 < area_mm2 * (1 - share):
            yield f"{awg.gauge_name(cable.gauge)} has {area_mm2:.3g} mm2 and the row {cable.area_mm2:g} mm2"
    least, most = materials.get(cable.material, (1.0, 1.0))
    rho = cable.area_mm2 * cable.ohm_per_km
    low, high = least * IDEAL_COPPER_OHM_MM2_PER_KM, most * POOREST_COPPER_OHM_MM2_PER_KM
    if not low * (1 - share) <= rho <= high * (1 + share):
        yield f"{cable.ohm_per_km:g} ohm/km at {cable.area_mm2:g} mm2 is not the resistance of {cable.material}"
    solid_mm = 2 * (cable.area_mm2 / math.pi) ** 0.5
    if cable.od_mm <= solid_mm:
        yield f"{cable.od_mm:g} mm over everything holds no {cable.area_mm2:g} mm2 of metal"


def _apart(cable: Cable, claimed: float, share: float) -> bool:
    """Whether a row has less metal than its title claims, or (in mm2) more: strands of a gauge may well be more."""
    if cable.area_mm2 < claimed * (1 - share):
        return True
    return bool(MM2.search(cable.title)) and cable.area_mm2 > claimed * (1 + share)


def catalog_row_inconsistent(view: View) -> Said:
    share, setting = view.threshold(ROW_SHARE)
    clad = view.threshold(CLAD_LEAST)[0], view.threshold(CLAD_MOST)[0]
    whole = view.threshold(ALUMINIUM)[0]
    materials = {"copper-clad aluminium": clad, "aluminium": (whole, whole)}
    for name, label, cable in cables(view):
        found = list(disagreements(cable, share / 100, materials))
        if found:
            place = cable.provenance
            yield Finding(
                subject=Path("conductors", name),
                authority=setting.authority,
                message=f"The catalog row {cable.short_key} of {verbatim(label)} does not agree with itself: "
                f"{verbatim('; '.join(found))}. Whatever is computed from it may be wrong by that.",
                remedy=f"Correct the row (line {place.line} of {verbatim(place.catalog)}) from a data sheet or from a "
                "measured length.",
            )


def jacketed_rating(view: View) -> Said:
    for name, label, cable in cables(view):
        if cable.core_count < 2:
            continue
        two_mm = 2 * 2 * (cable.area_mm2 / math.pi) ** 0.5
        if cable.amps_30c is None and cable.stated_a is None:
            yield Finding(
                subject=Path("conductors", name), value=Measure(cable.od_mm, "mm"),
                message=f"{verbatim(label)} is a jacketed cable of {cable.core_count} cores ({verbatim(cable.title)}) "
                "whose supplier states no current for it: the jacket keeps the heat in, and the figure of a single "
                "core is too high.",
                remedy="Ask for the figure of the jacketed cable and enter it; holes and clips go by its {value}.",
            )
        elif cable.od_mm < two_mm:
            yield Finding(
                subject=Path("conductors", name), value=Measure(cable.od_mm, "mm"), limit=Measure(two_mm, "mm"),
                message=f"{verbatim(label)} is a jacketed cable of {cable.core_count} cores ({verbatim(cable.title)}) "
                "and is entered with {value} over everything: that is one core, two bare ones side by side measure "
                "{limit} already.",
                remedy="Enter the larger size over the jacket: holes, clips and bends go by that.",
            )


CHECKS = (
    Check("solid-conductor", "conductor", "error", solid_conductor),
    Check(
        "not-copper", "conductor", "error", not_copper, authority="ASTM B566; common practice",
        thresholds=(CLAD_LEAST, CLAD_MOST, ALUMINIUM),
    ),
    Check("untinned-in-wet", "conductor", "advice", untinned_in_wet),
    Check("ambiguous-size", "conductor", "warning", ambiguous_size),
    Check(
        "catalog-row-inconsistent", "conductor", "warning", catalog_row_inconsistent,
        thresholds=(ROW_SHARE, CLAD_LEAST, CLAD_MOST, ALUMINIUM),
    ),
    Check("jacketed-rating", "conductor", "warning", jacketed_rating),
)
