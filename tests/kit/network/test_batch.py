"""Many samples at once: each as if it were alone, and no more linear solves than for one."""

from __future__ import annotations

import numpy as np
import pytest
from tests.kit.network.made import made, restless, scaled
from tests.kit.network.physics import assert_laws, solved_lawfully

from rigfeed.network import solve as door
from rigfeed.network.network import Network
from rigfeed.network.solve import solve
from rigfeed.network.values import Values

SAMPLES = 25
SEEDS = range(12)


def varied(network, seed, spread=0.5):
    """Values that differ from sample to sample so much that some run, some switch off and some have no point."""
    random = np.random.default_rng(seed)
    values = Values.of(network, SAMPLES)
    draw = {
        name: getattr(values, name) * random.uniform(1 - spread, 1 + spread, getattr(values, name).shape)
        for name in ("resistor_ohm_20", "source_ohm", "diode_ohm")
    }
    loads = random.uniform(0.2, 3.0, values.sink_value.shape)
    emf_v = values.source_emf_v + random.uniform(-1.0, 1.0, values.source_emf_v.shape)
    asked = random.random(values.sink_asked.shape) < 0.9
    return values.replace(**draw, sink_value=values.sink_value * loads, source_emf_v=emf_v, sink_asked=asked)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_batch_equals_single_solves(seed):
    drawn = restless(seed)
    network = Network.build(drawn.elements, drawn.zeros)
    values = varied(network, seed)
    batch = solved_lawfully(network, values)
    for sample in range(SAMPLES):
        single = solve(network, values.take(slice(sample, sample + 1)))
        for name in ("no_operating_point", "below_minimum", "unfed", "switched_off", "hunting", "limited"):
            assert getattr(batch, name)(sample) == getattr(single, name)(0), name
        for answer, alone in ((batch.asked, single.asked), (batch.settled, single.settled)):
            np.testing.assert_allclose(answer.net_v[sample], alone.net_v[0], rtol=1e-10, atol=1e-10)
            np.testing.assert_allclose(answer.source_a[sample], alone.source_a[0], rtol=1e-8, atol=1e-8)


def test_those_batches_have_samples_of_every_fate():
    fates = set()
    for seed in SEEDS:
        drawn = restless(seed)
        network = Network.build(drawn.elements, drawn.zeros)
        solution = solve(network, varied(network, seed))
        for name in ("no_operating_point", "below_minimum", "unfed", "hunting", "limited"):
            some = {bool(getattr(solution, name)(sample)) for sample in range(SAMPLES)}
            if some == {True, False}:
                fates.add(name)
    assert fates == {"no_operating_point", "below_minimum", "unfed", "hunting", "limited"}


def test_chunks_change_nothing(monkeypatch):
    drawn = restless(3)
    network = Network.build(drawn.elements, drawn.zeros)
    values = varied(network, 3)
    whole = solve(network, values)
    monkeypatch.setattr(door, "_MOST_ENTRIES", 7 * len(network.nets) ** 2)
    parts = solve(network, values)
    assert_laws(parts, values)
    assert parts.samples == whole.samples == SAMPLES
    np.testing.assert_allclose(parts.settled.net_v, whole.settled.net_v, rtol=1e-10, atol=1e-10)
    np.testing.assert_array_equal(parts.hunting_flags, whole.hunting_flags)


def test_the_number_of_linear_solves_does_not_grow_with_the_samples(monkeypatch):
    calls = []
    plain = np.linalg.solve

    def counted(matrix, right):
        calls.append(len(matrix))
        return plain(matrix, right)

    monkeypatch.setattr(np.linalg, "solve", counted)
    drawn = scaled(made(5), 0.5)
    network = Network.build(drawn.elements, drawn.zeros)
    counts = {}
    for samples in (10, 1000):
        calls.clear()
        random = np.random.default_rng(1)
        ohm = Values.of(network, samples).resistor_ohm_20
        solve(network, Values.of(network).replace(resistor_ohm_20=ohm * random.uniform(0.8, 1.2, ohm.shape)))
        counts[samples] = len(calls)
    assert counts[1000] <= counts[10] + 5
