"""Radio sets, feeders and antennas in an installation, as far as direct current goes."""

from __future__ import annotations

import pytest
from tests.plugins.installing import assessed

from rigfeed.studies.operating import OPERATING

ROWS = (
    "radio:r: nominal_v=12 | transmit_a=10 | receive_a=1.5 | standby_a=0.2 | sense_ma=5 | least_v=9 | most_v=16",
    "battery:b: chemistry=AGM | capacity_ah=80 | aged_mohm=10 | new_mohm=5 | rest_v=0 11.8; 100 12.8",
    "cable:w: area_mm2=2 | ohm_per_km=9.42 | od_mm=3",
    "feeder:c: impedance_ohm=50 | velocity_factor=0.66 | od_mm=5 | inner_mm2=0.5 | inner_ohm_per_km=36 | "
    "shield_mm2=1.3 | shield_ohm_per_km=13.5 | loss_db_per_100m=30 8; 150 18",
    "mount:m: form=hole | bond=panel | hole_mm=19 | bond_mohm=2.5",
    "antenna:a: form=quarter wave",
)
DESIGN = """
[nodes]
start = { part = "battery:b", settings = { rest_voltage = "12.6 V" } }
strap = { part = "body-point" }
stud = { part = "body-point" }
set = { part = "radio:r" }
ant = { part = "antenna:a", settings = { mount = "mount:m" } }
[conductors]
W1 = { cable = "cable:w", from = "start.pos", to = "set.pos", length = "1 m" }
W2 = { cable = "cable:w", from = "set.neg", to = "stud.stud", length = "1 m" }
W3 = { cable = "cable:w", from = "start.neg", to = "strap.stud", length = "1 m" }
W4 = { cable = "cable:w", from = "start.pos", to = "set.sense", length = "1 m" }
C1 = { cable = "feeder:c", from = ["set.ant", "set.shield"], to = ["ant.feed", "ant.shield"], length = "4 m" }
[states]
tx = { modes = { set = "transmit" } }
rx = {}
standby = { modes = { set = "standby" } }
off = { modes = { set = "off" } }
"""


@pytest.fixture(scope="module")
def operating():
    return assessed(DESIGN, *ROWS)[OPERATING]


@pytest.mark.parametrize(("state", "amps"), [("tx", 10.0), ("rx", 1.5), ("standby", 0.2), ("off", 0.0)])
def test_each_mode_draws_what_its_row_says(operating, state, amps):
    assert operating.current(state, "W1") == pytest.approx(amps, abs=1e-9)


def test_a_set_receives_unless_a_state_says_otherwise(operating):
    assert operating.installation.states["rx"].modes == {"set": "receive"}


def test_the_sense_input_is_a_resistance_of_its_nominal_voltage_and_current(operating):
    for state in operating.states:
        volts = operating.between(state, "set.sense", "set.neg")
        assert operating.current(state, "W4") == pytest.approx(volts / (12 / 0.005))


def test_what_goes_in_at_the_positive_comes_out_at_the_negative(operating):
    for state in operating.states:
        assert operating.current(state, "W2") == pytest.approx(
            operating.current(state, "W1") + operating.current(state, "W4")
        )


def test_a_set_must_have_its_volts_without_the_help_of_the_shield(operating):
    assert [core.id for core in operating.installation.conductors["C1"].cores] == ["C1.inner", "C1.shield"]
    assert operating.current("tx", "C1.shield") == pytest.approx(0.0, abs=1e-9)
    assert operating.current("tx", "C1.inner") == pytest.approx(0.0, abs=1e-9)


def test_without_its_negative_lead_a_set_has_no_volts():
    cut = DESIGN.replace('W2 = { cable = "cable:w", from = "set.neg", to = "stud.stud", length = "1 m" }\n', "")
    found = assessed(cut, *ROWS)[OPERATING]
    assert found.across("tx", "set") == pytest.approx(0.0, abs=1e-6)  # lifted to the positive by its sense input
    assert found.current("tx", "W1") == pytest.approx(0.0, abs=1e-6)
    without_sense = "\n".join(line for line in cut.splitlines() if not line.startswith("W4"))
    assert assessed(without_sense, *ROWS)[OPERATING].across("tx", "set") is None
