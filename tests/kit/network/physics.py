"""The laws of nature and of the elements, checked on all that a test solves; from public results alone."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from rigfeed.network.elements import Element
from rigfeed.network.network import Network
from rigfeed.network.solve import Answer, Solution, solve
from rigfeed.network.values import Values

MOST_UNBALANCE_A = 1e-6
MOST_POWER_ERROR = 1e-9


def assert_laws(solution: Solution, values: Values | None = None) -> None:
    """Kirchhoff's laws, the balance of power and the law of each element, in both answers and every sample."""
    values = Values.of(solution.network) if values is None else values
    for answer in (solution.asked, solution.settled):
        assert_currents_balance(answer)
        assert_power_balances(answer)
        assert_voltages_agree(answer)
        assert_element_laws(answer, values)


def currents_into(answer: Answer) -> list[tuple[str, np.ndarray, np.ndarray]]:
    """Kind, terminals of shape (count, 2), and the current of each from the first terminal to the second."""
    ends = answer.network.ends
    return [
        ("resistor", ends["resistor"], answer.resistor_a),
        ("source", ends["source"], -answer.source_a),
        ("sink", ends["sink"], answer.sink_a),
        ("diode", ends["diode"], answer.diode_a),
        ("switch", ends["switch"], answer.switch_a),
        ("converter_in", ends["converter"][:, :2], answer.converter_in_a),
        ("converter_out", ends["converter"][:, 2:], -answer.converter_out_a),
    ]


def assert_currents_balance(answer: Answer) -> None:
    leaving = np.zeros_like(answer.net_v)
    for _, ends, current_a in currents_into(answer):
        for place, (a, b) in enumerate(ends):
            leaving[:, a] += current_a[:, place]
            leaving[:, b] -= current_a[:, place]
    worst = np.unravel_index(np.abs(leaving).argmax(), leaving.shape)
    assert abs(leaving[worst]) < MOST_UNBALANCE_A, (worst[0], answer.network.nets[worst[1]], leaving[worst])
    assert (answer.kirchhoff_a < MOST_UNBALANCE_A).all()


def assert_power_balances(answer: Answer) -> None:
    given, taken = np.zeros(len(answer.net_v)), np.zeros(len(answer.net_v))
    for kind, ends, current_a in currents_into(answer):
        across_v = np.nan_to_num(getattr(answer, f"{kind}_v"))
        power_w = across_v * current_a
        given += np.maximum(-power_w, 0.0).sum(axis=1)
        taken += np.maximum(power_w, 0.0).sum(axis=1)
        assert across_v.shape == (len(given), len(ends))
    assert (np.abs(given - taken) <= MOST_POWER_ERROR * np.maximum(given, 1e-3)).all(), (given, taken)
    assert (answer.power_error <= MOST_POWER_ERROR).all()


def assert_voltages_agree(answer: Answer) -> None:
    """The voltage across an element is the difference of the potentials of its nets, to the digits of those."""
    for kind, ends, _ in currents_into(answer):
        for place, (a, b) in enumerate(ends):
            across_v = getattr(answer, f"{kind}_v")[:, place]
            known = ~np.isnan(across_v)
            difference_v = (answer.net_v[:, a] - answer.net_v[:, b])[known]
            np.testing.assert_allclose(across_v[known], difference_v, rtol=1e-12, atol=1e-12)


def assert_element_laws(answer: Answer, values: Values) -> None:
    close = {"rtol": 1e-9, "atol": 1e-9}
    ohm = values.resistor_ohm_20 * (1 + values.resistor_alpha * (values.resistor_temperature_c - 20))
    np.testing.assert_allclose(np.nan_to_num(answer.resistor_v), answer.resistor_a * ohm, **close)
    linear_v = values.source_emf_v - values.source_ohm * answer.source_a
    limited = answer.source_limited
    np.testing.assert_allclose(answer.source_v[~limited], linear_v[~limited], **close)
    np.testing.assert_allclose(answer.source_a[limited], values.source_limit_a[limited], **close)
    assert (answer.source_v[limited] <= linear_v[limited] + 1e-6).all()
    switch_v = np.nan_to_num(answer.switch_v)
    np.testing.assert_allclose(answer.switch_closed * switch_v, answer.switch_a * values.switch_ohm, **close)
    forward = answer.diode_a > 0
    np.testing.assert_allclose(
        answer.diode_v[forward], (values.diode_drop_v + values.diode_ohm * answer.diode_a)[forward], **close
    )
    assert (answer.diode_a >= 0).all()
    blocked_v = np.nan_to_num(answer.diode_v - values.diode_drop_v)[~forward]
    assert (blocked_v <= 1e-6).all()
    assert_sink_laws(answer, values)
    assert_converter_laws(answer, values)


def assert_sink_laws(answer: Answer, values: Values) -> None:
    for place, kind in enumerate(answer.network.sink_kinds):
        wants = {
            "current": lambda v, _: v,
            "power": lambda v, u: v / u,
            "resistance": lambda v, u: u / v,
        }[kind]
        for sample in range(len(answer.net_v)):
            current_a, across_v = answer.sink_a[sample, place], answer.sink_v[sample, place]
            if not answer.sink_on[sample, place] or answer.sink_unfed[sample, place]:
                assert current_a == 0.0
                continue
            value = values.sink_value[sample, place]
            if kind != "resistance" and value > 0:
                assert across_v > 0.0
            if not (kind == "power" and value == 0):
                assert math.isclose(current_a, wants(value, across_v), rel_tol=1e-9, abs_tol=1e-9)


def assert_converter_laws(answer: Answer, values: Values) -> None:
    for place in range(len(answer.network.names["converter"])):
        for sample in range(len(answer.net_v)):
            in_a, out_a = answer.converter_in_a[sample, place], answer.converter_out_a[sample, place]
            if not answer.converter_on[sample, place]:
                assert in_a == out_a == 0.0
                continue
            in_v, out_v = answer.converter_in_v[sample, place], answer.converter_out_v[sample, place]
            out_w = max(out_v * out_a, 0.0) / values.converter_efficiency[sample, place]
            assert math.isclose(in_v * in_a, out_w + values.converter_standby_w[sample, place], rel_tol=1e-9)
            linear_a = (values.converter_out_v[sample, place] - out_v) / values.converter_out_ohm[sample, place]
            bounded_a = min(max(linear_a, 0.0), values.converter_limit_a[sample, place])
            assert math.isclose(out_a, bounded_a, rel_tol=1e-9, abs_tol=1e-7)


def solved_lawfully(network: Network, values: Values | None = None) -> Solution:
    """The solution of a network, its laws checked."""
    solution = solve(network, values)
    assert_laws(solution, values)
    return solution


def lawful(*elements: Element, zeros: Sequence[str] = ()) -> Solution:
    """The solution of these elements in one sample, its laws checked."""
    return solved_lawfully(Network.build(elements, zeros))
