"""What made nec_whip.csv: rods over perfect ground by the NEC-2 method of moments, without anything of this project.

Needs the Python interface to nec2++ (PyNEC, GPL), which is no dependency of the project; no test imports it:

    python make_nec_whip.py > nec_whip.csv
"""

from __future__ import annotations

import math

import PyNEC

HEIGHT_M, ROD_MM, QUALITY = 2.4, 3.0, 200.0
REMARKS = """\
# A rod of 2.4 m and 3 mm over perfect ground with the coil that brings it to resonance: a calculation with a NEC-2
# method of moments (make_nec_whip.py), not a measurement and not published. Height of the coil over that of the rod,
# inductance, resistance at the base with a coil without loss, what a coil with a quality of 200 adds to it there."""


def impedance(mhz: float, segments: int, loaded: int, coil_h: float, coil_ohm: float = 0.0) -> complex:
    """What the base of the rod shows, with a coil in one of its segments."""
    context = PyNEC.nec_context()
    context.get_geometry().wire(1, segments, 0, 0, 0, 0, 0, HEIGHT_M, ROD_MM / 2000, 1.0, 1.0)
    context.geometry_complete(1)
    context.gn_card(1, 0, 0, 0, 0, 0, 0, 0)
    context.ld_card(0, 1, loaded, loaded, coil_ohm, coil_h, 0.0)
    context.fr_card(0, 1, mhz, 0)
    context.ex_card(0, 1, 1, 0, 1.0, 0, 0, 0, 0, 0)
    context.rp_card(0, 1, 1, 0, 5, 0, 0, 90.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    return complex(context.get_input_parameters(0).get_impedance()[0])


def resonant_coil_h(mhz: float, segments: int, loaded: int) -> float:
    """The least inductance at which the base shows no reactance."""
    low = 1e-9
    while impedance(mhz, segments, loaded, low * 1.03).imag < 0.0:
        low *= 1.03
    high = low * 1.03
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if impedance(mhz, segments, loaded, middle).imag < 0.0 else (low, middle)
    return high


print(REMARKS)
print("frequency_mhz,coil_height,segments,coil_uh,feed_ohm,added_ohm")
for mhz in (1.9, 3.7, 7.1, 10.1):
    for place in (0.0, 0.5, 2 / 3):
        for segments in (41, 81):
            loaded = min(int(place * segments) + 1, segments)  # the segment that this height is in
            height = (loaded - 0.5) / segments if place else 0.0
            coil_h = resonant_coil_h(mhz, segments, loaded)
            feed_ohm = impedance(mhz, segments, loaded, coil_h).real
            coil_ohm = 2 * math.pi * mhz * 1e6 * coil_h / QUALITY
            added_ohm = impedance(mhz, segments, loaded, coil_h, coil_ohm).real - feed_ohm
            print(f"{mhz},{height:.4f},{segments},{coil_h * 1e6:.2f},{feed_ohm:.4f},{added_ohm:.3f}")
