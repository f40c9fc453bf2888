"""Random designs and random edits of them, each from a seed."""

from __future__ import annotations

import random
from pathlib import Path as FilePath
from typing import Any

from rigfeed.design.edit import COLLECTIONS, Add, Edit, Remove, Rename, Set
from rigfeed.design.model import Design
from rigfeed.design.schema import to_plain
from rigfeed.examples import example
from rigfeed.path import Path

TITLES = ["set", 'a "quoted" \\ one', "two\nlines", "\u00e9\u2603", "#", "tab\t", ""]
HERE = FilePath(__file__).parent
FILES = {"hazel": example("hazel"), "inline": HERE / "inline.toml", "styled": HERE / "styled.toml"}


def text_of(name: str) -> str:
    """The text of a sample design, as bytes decode to it."""
    return FILES[name].read_bytes().decode()


def random_edit(design: Design, rng: random.Random) -> Edit:
    """One edit that most often fits the design."""
    plain = to_plain(design)
    makers = (_set, _set, _set, _unset, _fresh, _fresh, _gone, _renamed, _renamed, _accepted, _elsewhere)
    return rng.choice(makers)(plain, rng)


def _thing(plain: dict[str, Any], rng: random.Random, *collections: str) -> Path:
    given = [name for name in collections or COLLECTIONS if plain.get(name)]
    collection = rng.choice(given)
    return Path(collection, rng.choice(sorted(plain[collection])))


def _set(plain: dict[str, Any], rng: random.Random) -> Edit:
    node = _thing(plain, rng, "nodes")
    length = f"{rng.randint(1, 999) / 100:.2f} m"
    return rng.choice(
        [
            Set(_thing(plain, rng, "conductors") / "length", length),
            Set(_thing(plain, rng, "conductors") / "colour", rng.choice(["RD", ["RD", "BK"], "GNYE"])),
            Set(_thing(plain, rng, "conductors") / "route", rng.sample(sorted(plain["runs"]), 1)),
            Set(_thing(plain, rng, "conductors") / "facts" / "in-sight", rng.random() < 0.5),
            Set(_thing(plain, rng, "runs") / "length", length),
            Set(_thing(plain, rng, "runs") / "beside" / "exhaust", "0.25 m"),
            Set(node / "title", rng.choice(TITLES)),
            Set(node / "settings" / "resistance", "2 mohm"),
            Set(node / "settings", {"deep": {"list": [1, 2.5, True, {"x": "y"}]}}),
            Set(node / "settings" / "number", rng.choice([0, False, 1, True, 1.0])),
            Set(node, {"part": "fuse:blade-10", "title": "another"}),
            Set(Path("job", "title"), f"title {rng.random()}"),
            Set(Path("vehicle", "battery_sensor"), rng.random() < 0.5),
            Set(Path("drawing", "nodes", str(node[1])), [rng.randint(0, 99), 5]),
        ]
    )


def _unset(plain: dict[str, Any], rng: random.Random) -> Edit:
    thing = _thing(plain, rng)
    keys = [key for key in plain[thing[0]][thing[1]] if key not in ("from", "to", "run") or thing[0] == "conductors"]
    return Remove(thing / rng.choice(keys)) if keys else Remove(thing)


def _fresh(plain: dict[str, Any], rng: random.Random) -> Edit:
    name = f"X{rng.randint(1, 10**6)}"
    node, point = str(_thing(plain, rng, "nodes")[1]), str(_thing(plain, rng, "points")[1])
    return rng.choice(
        [
            Add(Path("nodes", name), {"part": "body-point", "at": point, "facts": {"paint-removed": True}}),
            Add(Path("nodes", name), {}),
            Add(Path("conductors", name), {"from": f"{node}.a", "to": f"{node}.b", "length": "1 m"}),
            Add(Path("zones", name), {"warmest": "45 degC"}),
            Add(Path("states", name), {"engine": "on", "modes": {node: "off"}}),
            Add(Path("duty", name), {"title": "new"}),
        ]
    )


def _gone(plain: dict[str, Any], rng: random.Random) -> Edit:
    spare = [Path(c, name) for c in COLLECTIONS for name in plain.get(c, {}) if name.startswith("X")]
    if spare and rng.random() < 0.7:
        return Remove(rng.choice(spare))
    return Remove(_thing(plain, rng, *[name for name in COLLECTIONS if len(plain.get(name, {})) > 3]))


def _renamed(plain: dict[str, Any], rng: random.Random) -> Edit:
    return Rename(_thing(plain, rng), f"R{rng.randint(1, 10**6)}")


def _accepted(plain: dict[str, Any], rng: random.Random) -> Edit:
    given = plain.get("deviations", [])
    entry = {"check": "fuse-large", "subject": str(_thing(plain, rng)), "reason": "it is so", "by": "B. Fitter"}
    if given and rng.random() < 0.5:
        return Remove(Path("deviations", rng.randrange(len(given))))
    return Add(Path("deviations", rng.randint(0, len(given))), entry)


def _elsewhere(plain: dict[str, Any], rng: random.Random) -> Edit:
    duty = [name for name, item in plain.get("duty", {}).items() if item.get("steps")]
    if duty and plain.get("states"):
        steps = Path("duty", rng.choice(duty), "steps")
        state = rng.choice(sorted(plain["states"]))
        first = Add(steps / 0, {"state": state, "time": "1 h"})
        return rng.choice([first, Set(steps / 0 / "time", "30 s"), Remove(steps / 0)])
    return Set(Path("job"), {"title": "only this"})
