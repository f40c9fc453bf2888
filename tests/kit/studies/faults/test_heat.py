"""The warming of cores against the adiabatic equation and against a plain integration in small steps."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rigfeed.studies.faults.events import Course
from rigfeed.studies.faults.heat import Metal, warmed

AREA_MM2, START_C, LIMIT_C, AIR_C, CLASS_C, AMPACITY_A, BETA_C = 2.5, 70.0, 160.0, 40.0, 105.0, 24.0, 234.5
WITHSTAND_A2S = (115.0 * AREA_MM2) ** 2  # k = 115 for copper in PVC from 70 to 160 degC: IEC 60364-5-54 table 54.4
HEAT_A2S = WITHSTAND_A2S / math.log((BETA_C + LIMIT_C) / (BETA_C + START_C))


def metal(ampacity_a: float = AMPACITY_A) -> Metal:
    numbers = (START_C, LIMIT_C, WITHSTAND_A2S, HEAT_A2S, BETA_C, AIR_C, CLASS_C, ampacity_a)
    return Metal(*(np.array([number]) for number in numbers))


def course(*steps: tuple[float, float]) -> Course:
    """One short and one core: amperes and seconds of each step."""
    amps = np.array([a for a, _ in steps])
    none = np.zeros((len(steps), 1, 0))
    return Course(
        length_s=np.array([[s] for _, s in steps]), core_a=amps[:, None, None], device_a=none, source_a=none,
        short_a=amps[:, None], start_a=amps[:, None], end_a=amps[:, None], opens=none.astype(np.bool_),
        out=np.zeros((1, 0), dtype=np.bool_),
    )


def limit_s(*steps: tuple[float, float], ampacity_a: float = AMPACITY_A) -> float:
    return float(warmed(course(*steps), metal(ampacity_a)).limit_s[0, 0])


def integrated_s(amps: float, step_s: float = 1e-3) -> float:
    """Explicit steps of the heat that a core makes less what it gives off; the first 5 s without loss make it late
    enough that the loss counts from the beginning."""
    warm_c, time_s = START_C, 0.0
    loss = AMPACITY_A**2 * (BETA_C + CLASS_C) / (CLASS_C - AIR_C) / HEAT_A2S
    while warm_c < LIMIT_C and time_s < 1000.0:
        warm_c += step_s * (amps**2 / HEAT_A2S * (BETA_C + warm_c) - loss * (warm_c - AIR_C))
        time_s += step_s
    return time_s


@pytest.mark.parametrize("amps", [150.0, 300.0, 1000.0])
def test_a_quick_short_goes_by_the_adiabatic_equation(amps):
    assert limit_s((amps, math.inf)) == pytest.approx(WITHSTAND_A2S / amps**2, rel=1e-9)


@pytest.mark.parametrize("amps", [35.0, 50.0, 80.0, 110.0])
def test_a_slow_one_loses_heat_on_the_way(amps):
    found = limit_s((amps, math.inf))
    assert found == pytest.approx(integrated_s(amps), rel=2e-3)
    assert found > WITHSTAND_A2S / amps**2 > 5.0


def test_what_it_carries_for_hours_never_drives_it_past_its_limit():
    assert limit_s((AMPACITY_A, math.inf)) == math.inf
    unknown = limit_s((AMPACITY_A, math.inf), ampacity_a=math.nan)
    assert unknown == pytest.approx(WITHSTAND_A2S / AMPACITY_A**2, rel=1e-9)


def test_steps_add_up():
    halves = limit_s((300.0, 0.3), (300.0, 0.3), (300.0, math.inf))
    assert halves == pytest.approx(limit_s((300.0, math.inf)), rel=1e-9)
    cleared = warmed(course((300.0, 0.3), (0.0, 0.0)), metal())
    assert cleared.limit_s[0, 0] == math.inf
    assert cleared.let_through_a2s[0, 0] == pytest.approx(300.0**2 * 0.3)
    assert cleared.lasting_a[0, 0] == 0.0


def test_what_passes_just_before_the_device_opens_counts_and_just_after_does_not():
    time_s = WITHSTAND_A2S / 300.0**2
    assert limit_s((300.0, time_s * 1.001), (0.0, 0.0)) == pytest.approx(time_s)
    assert limit_s((300.0, time_s * 0.999), (0.0, 0.0)) == math.inf


def test_a_core_that_runs_hotter_than_it_bears_is_past_it_at_once():
    hot = metal()
    hot = Metal(np.array([165.0]), *(getattr(hot, name) for name in list(vars(hot))[1:]))
    assert warmed(course((10.0, 1.0), (0.0, 0.0)), hot).limit_s[0, 0] == 0.0
