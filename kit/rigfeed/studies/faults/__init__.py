"""The fault study: what happens in every dead short, from the first ampere until nothing feeds it any more.

`shorts` says which shorts there are, `peaks` adds those at which a device lets most through, `cases` gives the
network of the highest and of the lowest current as arrays, `lowrank` solves it for many shorts from one inverse,
`events` lets the devices open one after the other, `heat` warms the conductors, `result` is what a check or a paper
reads, `study` puts it together.
"""

from __future__ import annotations

from rigfeed.studies.faults.result import Faults, Side, Step, Stress, Timeline
from rigfeed.studies.faults.shorts import Short
from rigfeed.studies.faults.study import FAULTS

__all__ = ["FAULTS", "Faults", "Short", "Side", "Step", "Stress", "Timeline"]
