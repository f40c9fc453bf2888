"""Who watches is told how far it is, and may say stop."""

from __future__ import annotations

import pytest
from tests.kit.network.made import restless

from rigfeed.errors import Cancelled
from rigfeed.network import solve as door
from rigfeed.network.network import Network
from rigfeed.network.solve import solve
from rigfeed.network.values import Values


def test_progress_never_goes_back_and_stays_within_bounds(monkeypatch):
    drawn = restless(8)
    network = Network.build(drawn.elements, drawn.zeros)
    monkeypatch.setattr(door, "_MOST_ENTRIES", 10 * len(network.nets) ** 2)
    told = []
    solve(network, Values.of(network, 35), tell=lambda done, text: told.append((done, text)))
    shares = [done for done, _ in told]
    assert len(shares) >= 4
    assert shares == sorted(shares)
    assert shares[0] == 0.0
    assert shares[-1] <= 1.0
    assert all(text for _, text in told)


def test_stop_goes_through():
    drawn = restless(8)
    network = Network.build(drawn.elements, drawn.zeros)

    def stop(done: float, text: str) -> None:
        raise Cancelled("stopped")

    with pytest.raises(Cancelled, match="stopped"):
        solve(network, tell=stop)
