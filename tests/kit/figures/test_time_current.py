"""The time-current figure against numbers from elsewhere: published gates, the formula of the withstand, the study."""

from __future__ import annotations

import math

import numpy as np
import pytest
from tests.kit.figures.made import NAMES, assessed

from rigfeed.errors import InputError, NothingToShow, UnknownName
from rigfeed.studies.faults import FAULTS
from rigfeed.studies.operating import OPERATING

# DIN 72581-3 form E, operating times (seen as reproduced): multiple of the rating, shortest and longest time [s]
FORM_E = ((1.35, 60.0, 1800.0), (2.0, 2.0, 60.0), (3.5, 0.2, 7.0))


def marks(figure):
    return {mark.name.split(" ")[0]: mark for mark in figure.marks}


@pytest.mark.parametrize(("band", "rated_a"), [("F1", 80.0), ("F2", 40.0)])
def test_a_band_has_the_published_gates(band, rated_a):
    figure = assessed("plain").figure("time-current", "vhf")
    (found,) = [one for one in figure.bands if one.tag == band]
    for multiple, least_s, most_s in FORM_E:
        assert any(np.allclose(place, (multiple * rated_a, least_s), rtol=1e-6) for place in found.low), multiple
        assert any(np.allclose(place, (multiple * rated_a, most_s), rtol=1e-6) for place in found.high), multiple
    assert found.high[0][0] == pytest.approx(1.35 * rated_a)  # below it the fuse need not open: no upper limit


def test_devices_stand_in_the_order_of_the_way_from_the_source():
    figure = assessed("plain").figure("time-current", "vhf")
    assert [band.tag for band in figure.bands] == ["F1", "F2"]
    assert [curve.tag for curve in figure.curves] == ["W1, W2", "W3"]


def test_up_to_5_s_a_wire_bears_k2s2():
    """IEC 60364-5-54:2011, 543.1.2 and annex A: I2 t = k2 S2 with k = 226 sqrt(ln(1 + (Tf - Ti) / (234.5 + Ti))) for
    copper; Tf is 160 degC for PVC (tables 54.2 to 54.4, with k = 115 from 70 degC)."""
    assessment = assessed("plain")
    figure = assessment.figure("time-current", "W3")
    metal, ids = assessment[FAULTS].cases[0].metal, assessment[FAULTS].cases[0].core_ids
    start_c, limit_c = float(metal.start_c[ids.index("W3")]), float(metal.limit_c[ids.index("W3")])
    assert limit_c == 160.0
    k = 226.0 * math.sqrt(math.log(1.0 + (limit_c - start_c) / (234.5 + start_c)))
    (curve,) = figure.curves
    short = [(amps, s) for amps, s in curve.places if s <= 5.0]
    assert short[0][1] == pytest.approx(5.0, rel=1e-4)
    assert short[-1][1] < 0.5
    for amps, s in short:
        assert amps**2 * s == pytest.approx((k * 4.0) ** 2, rel=0.01)  # the study takes 0.00393 per kelvin: beta 234.45


def test_beyond_5_s_what_it_gives_off_counts_down_to_a_current_that_it_bears_for_good():
    """Independent of the study: the same law integrated in small steps of time."""
    assessment = assessed("plain")
    case = assessment[FAULTS].cases[0]
    at, metal = case.core_ids.index("W3"), case.metal
    (curve,) = assessment.figure("time-current", "W3").curves
    slow = [(amps, s) for amps, s in curve.places if 20.0 < s < 2000.0]
    assert slow
    numbers = (metal.ampacity_a, metal.beta_c, metal.class_c, metal.air_c, metal.heat_a2s, metal.start_c, metal.limit_c)
    ampacity_a, beta_c, class_c, air_c, heat, start_c, limit_c = (float(array[at]) for array in numbers)
    for amps, s in slow[:: max(1, len(slow) // 4)]:
        warm_c, step_s, passed_s = start_c, s / 20_000, 0.0
        while warm_c < limit_c and passed_s < 2 * s:
            gives_off = ampacity_a**2 * (beta_c + class_c) * (warm_c - air_c) / (class_c - air_c)
            warm_c += step_s * (amps**2 * (beta_c + warm_c) - gives_off) / heat
            passed_s += step_s
        assert passed_s == pytest.approx(s, rel=0.01)
    least_a = min(amps for amps, _ in curve.places)
    assert least_a > ampacity_a
    assert np.isinf(metal.bears_s(at, np.array([least_a * 0.999])))


@pytest.mark.parametrize("name", NAMES)
def test_the_limit_of_every_wire_is_that_of_the_study(name):
    """A short that lasts: the study follows it in steps, the curve gives the time at one current."""
    assessment = assessed(name)
    faults = assessment[FAULTS]
    checked = 0
    for about in assessment.subjects("time-current"):
        stress = faults.stress(about.id) if not about.usual and about.id in faults.cases[0].core_ids else None
        if stress is None or stress.timeline.out or len(stress.timeline.steps) > 1 or math.isinf(stress.limit_s):
            continue
        (curve,) = assessment.figure("time-current", about.id).curves
        x, y = np.log(np.array(curve.places)).T
        assert np.exp(np.interp(np.log(stress.first_a), x, y)) == pytest.approx(stress.limit_s, rel=0.02)
        checked += 1
    assert checked


@pytest.mark.parametrize("name", NAMES)
def test_the_range_of_shorts_is_that_of_the_study(name):
    """From the timelines of the study, one by one: what the stronger end of a wire brings into a short half way."""
    assessment = assessed(name)
    for about in assessment.subjects("time-current"):
        figure = assessment.figure("time-current", about.id)
        if about.usual or len(figure.bands) != 1 or about.id not in assessment[FAULTS].cases[0].core_ids:
            continue
        found = [
            max(abs(timeline.steps[0].from_a), abs(timeline.steps[0].to_a))
            for timeline in assessment[FAULTS].on(about.id)
            if not timeline.out and timeline.opened[:1] == (figure.bands[0].tag,)
        ]
        span = marks(figure)["shorts"]
        assert found or about.id in ("W3", "W5", "W6", "W8", "W9", "W11", "W12"), about.id  # a return has none
        for amps in found:
            assert span.at * (1 - 1e-6) <= amps <= span.to * (1 + 1e-6), about.id


def test_hazels_range_is_what_its_fault_table_says():
    """The fault table lists the shorts along the wire, from end to end; across the set, its return counts as well."""
    assessment = assessed("hazel")
    table = assessment.paper("fault-table")
    keys = [column.key for column in table.columns]
    (row,) = [dict(zip(keys, row, strict=True)) for row in table.rows if row[0] == "W2"]
    span = marks(assessment.figure("time-current", "vhf"))["shorts"]
    assert span.at < row["least"] < row["most"]
    assert span.to == pytest.approx(row["most"], rel=1e-9)


@pytest.mark.parametrize(("name", "load"), [("hazel", "vhf"), ("larch", "hf"), ("larch", "vhf")])
def test_the_load_is_the_greatest_current_of_all_states(name, load):
    assessment = assessed(name)
    figure = assessment.figure("time-current", load)
    operating, (_, positive) = assessment[OPERATING], assessment.installation.nodes[load].part.poles[::-1]
    amps = max(
        abs(operating.current(state, core.id))
        for state in operating.states for core in assessment.installation.cores
        if f"{load}.{positive}" in (core.start.net, core.end.net)
    )
    assert marks(figure)["load"].at == pytest.approx(amps)


def test_a_wire_in_front_of_its_fuse_says_so():
    figure = assessed("hazel").figure("time-current", "W1")
    assert figure.bands == ()
    assert any("nothing but the length of this wire protects it" in note for note in figure.notes)


def test_devices_that_open_alike_share_a_band():
    """The return that both sets of the workboat share: two equal fuses for each of its feeds."""
    figure = assessed("tern").figure("time-current", "W13")
    assert [band.tag for band in figure.bands] == ["F1, F2", "F5, F6"]
    assert figure.bands[0].name.startswith("F1, F2 open: ")


def test_a_link_between_two_sources_has_the_devices_of_both_sides():
    assert [band.tag for band in assessed("larch").figure("time-current", "W4").bands] == ["F2"]
    assert [band.tag for band in assessed("larch").figure("time-current", "dcdc").bands] == ["F1"]


def test_subjects_are_the_feeds_first_and_then_every_conductor_that_a_short_reaches():
    found = assessed("hazel").subjects("time-current")
    assert [about.id for about in found if about.usual] == ["vhf"]
    assert [about.id for about in found if not about.usual] == ["W1", "W2", "W3", "W4", "W5"]  # not the feeder
    assert assessed("hazel").usual_subjects("time-current") == ("vhf",)


def test_what_is_asked_wrongly_is_told():
    hazel, larch = assessed("hazel"), assessed("larch")
    assert hazel.figure("time-current").subject == hazel.figure("time-current", "vhf").subject
    with pytest.raises(UnknownName, match="no figure 'time'"):
        hazel.figure("time")
    with pytest.raises(UnknownName, match="'nothing'"):
        hazel.figure("time-current", "nothing")
    with pytest.raises(InputError, match="none is named") as refused:
        larch.figure("time-current")
    assert refused.value.remedy == "known: dcdc, hf, vhf"
    with pytest.raises(UnknownName, match="no subject"):
        hazel.figure("fault-energy", "W1")


def test_where_nothing_flows_there_is_nothing_to_show():
    import rigfeed
    from rigfeed.design.file import parse

    bare = rigfeed.assess(parse('format = 1\n[nodes]\nstart = { part = "battery:flooded-45" }\n'), only=())
    assert bare.usual_subjects("time-current") == ()
    with pytest.raises(NothingToShow, match="nothing to show in the figure 'fault-energy'"):
        bare.figure("fault-energy")
