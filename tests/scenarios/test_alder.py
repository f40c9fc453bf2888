"""Alder, the 24 V truck with a converter, against what a hand calculation says.

The hand calculation, from the same invented data: 9.5 A at 13.8 V through a converter of 88 % takes 6.2 A at 24 V; 20 A
at its output take 15.9 A at 21 V, over 13 m of 4 mm2 and a 20 A fuse, which lose 1.26 V.
"""

from __future__ import annotations

import pytest

import rigfeed
from rigfeed import OPERATING, Path, Set, assess
from rigfeed.parts.catalog import LocalFile
from rigfeed.parts.shelf import Shelf
from rigfeed.registry import installed_registry
from rigfeed.studies.ampacity import AMPACITY

OFF = "all-keyed-engine-off"


@pytest.fixture(scope="module")
def alder():
    return rigfeed.load(rigfeed.example("alder"))


@pytest.fixture(scope="module")
def assessment(alder):
    return assess(alder)


def changed(alder, **values: object):
    return rigfeed.apply(alder, [Set(Path.parse(path.replace("__", ".")), value) for path, value in values.items()])


def names(assessment) -> set[tuple[str, str]]:
    return {(finding.check, str(finding.subject)) for finding in assessment.findings}


def test_what_the_converter_takes(alder, assessment):
    operating = assessment[OPERATING]
    assert operating.current(OFF, "W7") == pytest.approx(6.5)
    assert operating.current(OFF, "W10") == pytest.approx(3.0)
    assert operating.current(OFF, "W2") == pytest.approx(6.2, rel=0.05)
    low = {f"nodes__{name}__settings__rest_voltage": "10.5 V" for name in ("b1", "b2")}
    assert assess(changed(alder, **low), only=[])[OPERATING].current(OFF, "W2") == pytest.approx(7.1, rel=0.06)


def test_the_feed_at_the_peak_of_the_converter(alder, tmp_path):
    """20 A at the output: a set that takes 17 A beside the tablet."""
    (tmp_path / "heavy.csv").write_text(
        "part,title,transmit_a,receive_a,standby_a,source,confidence\nradio:heavy,heavy,17,1,0,x,invented\n"
    )
    low = {f"nodes__{name}__settings__rest_voltage": "10.6 V" for name in ("b1", "b2")}
    shelf = Shelf(installed_registry(), [LocalFile(tmp_path / "heavy.csv")])
    design = changed(alder, nodes__vhf__part="radio:heavy", **low)
    operating = assess(design, shelf=shelf, only=[])[OPERATING]
    current_a = operating.current(OFF, "W2")
    assert current_a == pytest.approx(15.9, rel=0.05)
    lost = operating.between(OFF, "b2.pos", "conv.in-pos") + operating.between(OFF, "conv.in-neg", "main.b")
    assert lost == pytest.approx(1.26 * current_a / 15.9, rel=0.05)


def test_the_window_of_the_fuse(alder, assessment):
    """15.9 A / 0.8 = 19.9 A at least, 26.6 A at 70 degC at most: 20 A fit; 2.5 mm2 would carry 19.8 A."""
    assert assessment[AMPACITY].governing("W2").amps == pytest.approx(26.6, rel=0.02)
    assert ("fuse-above-ampacity", "nodes.F1") not in names(assessment)
    thinner = assess(changed(alder, conductors__W2__cable="cable:thinwall-2.5"))
    assert thinner[AMPACITY].governing("W2").amps == pytest.approx(19.8, rel=0.02)
    assert ("fuse-above-ampacity", "nodes.F1") in names(thinner)


def test_the_unprotected_piece_at_the_battery(assessment):
    (finding,) = [f for f in assessment.findings if f.check == "fuse-far-from-source"]
    assert (finding.severity, str(finding.subject)) == ("warning", "nodes.F1")


def test_the_hole_is_too_full_and_the_coax_makes_it_worse(alder, assessment):
    """12 mm of loom in 20 mm is 36 %; two of 3.7 mm make it 42.8 %, 4.95 mm of coax 49 %."""
    assert assessment.installation.passages["H1"].fill == pytest.approx(0.428, abs=0.002)
    assert ("hole-overfull", "passages.H1") in names(assessment)
    coax = assess(changed(alder, conductors__W12__route=["cab", "roof"]), only=[])
    assert coax.installation.passages["H1"].fill == pytest.approx(0.49, abs=0.002)


def test_two_wires_to_the_battery_are_no_return_over_the_body(assessment):
    assert "return-far" not in {check for check, _ in names(assessment)}
