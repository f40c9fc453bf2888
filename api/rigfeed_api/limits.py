"""How many requests one caller may make: a bucket of tokens for each, refilled as time goes on."""

from __future__ import annotations

import math
import threading
import time
from collections import OrderedDict
from collections.abc import Callable

from flask import Flask, request

from rigfeed_api.problems import Problem

MOST_CALLERS = 10_000  # that are remembered; the one not heard of for longest is forgotten


class Pace:
    """Lets a caller through `per_minute` times in a minute, in bursts of up to as many."""

    def __init__(self, per_minute: int, clock: Callable[[], float] = time.monotonic) -> None:
        self.per_minute, self._clock = per_minute, clock
        self._left: OrderedDict[str, tuple[float, float]] = OrderedDict()
        self._lock = threading.Lock()

    def wait_s(self, caller: str) -> float:
        """0 if the caller may go on now, else how long to wait [s]."""
        now = self._clock()
        with self._lock:
            left, then = self._left.pop(caller, (float(self.per_minute), now))
            left = min(float(self.per_minute), left + (now - then) * self.per_minute / 60.0)
            wait = 0.0 if left >= 1.0 else (1.0 - left) * 60.0 / self.per_minute
            self._left[caller] = (left if wait else left - 1.0, now)
            if len(self._left) > MOST_CALLERS:
                self._left.popitem(last=False)
        return wait


def install(app: Flask, per_minute: int) -> None:
    """Answer 429 to a caller (an address) that asks too often; 0 lets everybody through."""
    if per_minute <= 0:
        return
    pace = Pace(per_minute)

    def check() -> None:
        if wait := pace.wait_s(request.remote_addr or ""):
            detail = f"more than {per_minute} requests in a minute"
            raise Problem(429, detail, headers={"Retry-After": str(math.ceil(wait))})

    app.before_request(check)
