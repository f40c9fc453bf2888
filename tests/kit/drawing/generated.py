"""Designs of any size made from a seed: a van, a bar in the cab and one in the rear, and what they feed."""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import Any

from rigfeed.design.model import Design
from rigfeed.design.schema import from_plain

ZONES = {
    "bay": {"title": "engine bay", "warmest": "85 degC", "coldest": "-20 degC", "wet": True},
    "cab": {"warmest": "50 degC", "coldest": "-20 degC"},
    "rear": {"title": "work room", "warmest": "45 degC", "coldest": "-20 degC"},
    "roof": {"warmest": "60 degC", "coldest": "-25 degC", "wet": True},
}
POINTS = {
    "battery": {"zone": "bay"}, "firewall": {"zone": "bay"}, "dash": {"zone": "cab"}, "console": {"zone": "cab"},
    "seat": {"zone": "cab", "title": "under the seat"}, "bulkhead": {"zone": "rear"}, "rack": {"zone": "rear"},
    "bench": {"zone": "rear", "title": "desk of the operator"}, "locker": {"zone": "rear"}, "tail": {"zone": "rear"},
    "ridge": {"zone": "roof"}, "mast": {"zone": "roof"},
}
# what each point hangs on, and the zone of the way to it; the last is a second way that closes a ring
WAYS = {
    "bay": ("battery", "firewall", "bay"), "wall": ("firewall", "dash", "cab"), "tunnel": ("dash", "console", "cab"),
    "sill": ("dash", "seat", "cab"), "duct": ("seat", "bulkhead", "rear"), "post": ("bulkhead", "rack", "rear"),
    "shelf": ("rack", "bench", "rear"), "floor": ("bulkhead", "locker", "rear"), "side": ("locker", "tail", "rear"),
    "pillar": ("rack", "ridge", "roof"), "rail": ("ridge", "mast", "roof"), "ceiling": ("console", "rack", "rear"),
}
HOLES = {"H1": "wall", "H2": "duct", "H3": "pillar", "H4": "ceiling"}
SETS = ("radio:vhf-25", "radio:vhf-50", "radio:hf-100")
OTHERS = ("equipment:tablet-3a", "equipment:laptop-65", "equipment:router", "equipment:light-led-40")
SEATS = {"cab": ("dash", "console", "seat"), "rear": ("rack", "bench", "locker", "tail", "bulkhead")}


def generated(conductors: int = 60, seed: int = 1, at_once: int | None = None) -> Design:
    """A design with exactly so many conductors (8 at least); the same for the same seed, in an order that differs from
    seed to seed. Of its equipment so much is used at once; all of it where no number is given."""
    return from_plain(generated_plain(conductors, seed, at_once))


def generated_plain(conductors: int = 60, seed: int = 1, at_once: int | None = None) -> dict[str, Any]:
    """The plain data of a generated design, as a file holds it."""
    rng = random.Random(seed)
    van = _Van(rng)
    van.supply()
    while len(van.wires) < conductors:
        van.equipment(conductors - len(van.wires))
    plain: dict[str, Any] = {
        "format": 1,
        "job": {"title": f"Generated van {seed}: {conductors} conductors", "practice": "road"},
        "vehicle": {"system_voltage": "12 V", "battery_sensor": True, "isolated_return": False},
        "zones": ZONES, "points": POINTS, "runs": van.runs(), "passages": van.holes(), "nodes": van.nodes,
        "conductors": van.wires,
    }
    if at_once is not None:
        modes = dict(_modes(van.nodes, at_once))
        plain["states"] = {f"engine-{engine}": {"engine": engine, "modes": modes} for engine in ("on", "off")}
    return plain | {key: shuffled(plain[key], rng) for key in ("nodes", "conductors", "runs")}


def _modes(nodes: dict[str, Any], at_once: int) -> Iterator[tuple[str, str]]:
    used = 0
    for id_ in nodes:
        if id_.startswith(("set", "eq")):
            used += 1
            on, off = ("transmit", "standby") if id_.startswith("set") else ("on", "off")
            yield id_, on if used <= at_once else off


def shuffled(table: dict[str, Any], rng: random.Random) -> dict[str, Any]:
    """The same table in another order."""
    return dict(rng.sample(sorted(table.items()), len(table)))


class _Van:
    """A van while it is being fitted out."""

    def __init__(self, rng: random.Random) -> None:
        self.rng = rng
        self.nodes: dict[str, Any] = {}
        self.wires: dict[str, Any] = {}
        self.fuses = 0

    def wire(self, start: Any, end: Any, cable: str = "cable:thinwall-2.5", **more: Any) -> None:
        """One conductor more; it finds its own way, except between two things at one point."""
        sides = [end[0] if isinstance(end, list) else end for end in (start, end)]
        near, far = (self.nodes[side.partition(".")[0]]["at"] for side in sides)
        if near == far:
            more = {"length": "0.5 m"} | more
        self.wires[f"W{len(self.wires) + 1}"] = {"cable": cable, "from": start, "to": end, **more}

    def fuse(self, part: str, at: str) -> str:
        """One fuse more, its id."""
        self.fuses += 1
        self.nodes[f"F{self.fuses}"] = {"part": part, "at": at}
        return f"F{self.fuses}"

    def supply(self) -> None:
        """Battery, alternator, strap, the bars in cab and rear with their fuses: 8 conductors."""
        self.nodes |= {
            "start": {"part": "battery:agm-80", "at": "battery"},
            "alt": {"part": "alternator:variable-150", "at": "battery"},
            "strap": {"part": "body-point", "at": "battery", "title": "body end of the battery strap"},
        }
        self.wire("alt.pos", "start.pos", "cable:thinwall-25", length="0.8 m", origin="vehicle")
        self.wire("start.neg", "strap.stud", "cable:thinwall-25", length="0.3 m", origin="vehicle")
        for room, at in (("cab", "dash"), ("rear", "rack")):
            self.nodes[f"{room}-bar"] = {"part": "joint", "at": at, "title": f"positive bar, {room}"}
            self.nodes[f"{room}-stud"] = {"part": "body-point", "at": at}
            fuse = self.fuse("fuse:hi-40", "battery")
            self.wire("start.pos", f"{fuse}.a", "cable:thinwall-16", length="0.2 m")
            self.wire(f"{fuse}.b", f"{room}-bar.feed", "cable:thinwall-16")
            self.wire(f"{room}-stud.stud", "start.neg", "cable:thinwall-16")

    def equipment(self, left: int) -> None:
        """One equipment more, with at most `left` conductors."""
        room = self.rng.choice(sorted(SEATS))
        at = self.rng.choice(SEATS[room])
        is_set = left >= 4 and self.rng.random() < 0.5
        number = sum("settings" not in node for node in self.nodes.values())
        id_ = f"{'set' if is_set else 'eq'}{number}"
        part = self.rng.choice(SETS if is_set else OTHERS)
        self.nodes[id_] = {"part": part, "at": at}
        if left == 1:  # one end is fed, and the other is left for later
            self.wire(f"{room}-bar.{id_}", f"{id_}.pos")
            return
        if left == 2:
            self.wire(f"{room}-bar.{id_}", f"{id_}.pos")
        else:
            fuse = self.fuse("fuse:blade-10", self.nodes[f"{room}-bar"]["at"])
            self.wire(f"{room}-bar.{id_}", f"{fuse}.a", length="0.15 m")
            self.wire(f"{fuse}.b", f"{id_}.pos")
        self.wire(f"{id_}.neg", f"{room}-stud.stud")
        if is_set:
            antenna = {"part": "antenna:vhf-quarter", "at": self.rng.choice(("ridge", "mast"))}
            self.nodes[f"ant-{id_}"] = antenna | {"settings": {"mount": "mount:roof-hole"}}
            ends = [[f"{id_}.ant", f"{id_}.shield"], [f"ant-{id_}.feed", f"ant-{id_}.shield"]]
            self.wire(*ends, "feeder:rg58")

    def runs(self) -> dict[str, Any]:
        """The ways between the points, each of some length."""
        return {
            name: {"from": start, "to": end, "zone": zone, "length": f"{self.rng.randint(5, 40) / 10:.1f} m"}
            for name, (start, end, zone) in WAYS.items()
        }

    def holes(self) -> dict[str, Any]:
        """The holes on the way."""
        return {
            name: {"run": run, "diameter": f"{self.rng.choice((20, 25, 32, 40))} mm", "edge": "grommet"}
            for name, run in HOLES.items()
        }
