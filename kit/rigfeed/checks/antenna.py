"""Antennas and feeders, as far as a figure of the catalog or of the practice belongs to what an eye sees."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from rigfeed.checks.check import Check, Finding, NotChecked
from rigfeed.checks.facts import Subject
from rigfeed.checks.offers import is_antenna, lowest_hz
from rigfeed.checks.survey import Numbers, ask, facts_of, survey_checks
from rigfeed.checks.survey_antenna import METAL_BELOW, NEAR_SUNROOF, ROWS
from rigfeed.installation import PlacedNode
from rigfeed.keyed import Keyed
from rigfeed.measure import Measure
from rigfeed.path import Path
from rigfeed.practice import Threshold
from rigfeed.view import View

LIGHT_M_PER_S = 299_792_458.0  # exact, by the definition of the metre
SUNROOF_WAVES = Threshold("near-sunroof.wavelengths", "", "least distance of an antenna from a sunroof in wavelengths")
PLANE_WAVES = Threshold("ground-plane-small.wavelengths", "", "least radius of the ground plane in wavelengths")

Said = Iterator[Finding | NotChecked]


def _in_waves(view: View, threshold: Threshold) -> Numbers:
    """The limit of a practice that is written in wavelengths, of the lowest band of an antenna."""
    waves, _ = view.threshold(threshold)

    def numbers(subject: Subject) -> Mapping[str, Measure | str]:
        assert isinstance(subject.thing, PlacedNode)
        low_hz = lowest_hz(subject.thing)
        return {"limit": Measure(waves * LIGHT_M_PER_S / low_hz, "m")} if low_hz else {}

    return numbers


def near_sunroof(view: View) -> Said:
    yield from ask(view, NEAR_SUNROOF, numbers=_in_waves(view, SUNROOF_WAVES))


def ground_plane_small(view: View) -> Said:
    yield from ask(view, METAL_BELOW, numbers=_in_waves(view, PLANE_WAVES))


def antenna_reading_unknown(view: View) -> Said:
    for node in view.installation.nodes.values():
        if is_antenna(node) and getattr(node.part, "reading", None) is None:
            yield Finding(
                subject=Path("nodes", node.id), numbers=Keyed({"antenna": node.title}),
                message="Whether {antenna} reads open or short to an ohmmeter is not in its catalog: without that the "
                "test of the feeder means nothing.",
                remedy="Measure a good one, or ask its maker, and put open or short into the catalog (reading).",
            )


CHECKS = (
    *survey_checks(ROWS),
    Check(
        NEAR_SUNROOF.check, NEAR_SUNROOF.group, NEAR_SUNROOF.severity, near_sunroof, authority=NEAR_SUNROOF.authority,
        facts=facts_of(NEAR_SUNROOF), thresholds=(SUNROOF_WAVES,),
    ),
    Check(
        METAL_BELOW.check, METAL_BELOW.group, METAL_BELOW.severity, ground_plane_small,
        authority=METAL_BELOW.authority, facts=facts_of(METAL_BELOW), thresholds=(PLANE_WAVES,),
    ),
    Check("antenna-reading-unknown", "feeder", "warning", antenna_reading_unknown),
)
