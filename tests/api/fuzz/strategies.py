"""What schemathesis has to know to make bodies that get past the first line: quantities, and designs as TOML."""

from __future__ import annotations

import schemathesis
import tomlkit
from hypothesis import strategies as st

import rigfeed
from rigfeed.design.schema import to_plain
from rigfeed.quantity import UNITS

KINDS = sorted({unit.kind.replace(" ", "-") for unit in UNITS.values()})
EXAMPLES = ("hazel", "larch", "alder")
NUMBERS = st.decimals("0.1", "200", places=1)

for kind in KINDS:
    names = [name for name, unit in UNITS.items() if unit.kind.replace(" ", "-") == kind]
    texts = st.builds(lambda number, unit: f"{number} {unit}".strip(), NUMBERS, st.sampled_from(names))
    schemathesis.openapi.format(kind, texts)


def thinned(name: str, left_out: frozenset[tuple[str, int]]) -> str:
    """A demonstration design with some of its things taken away, whether or not that leaves a design."""
    plain = to_plain(rigfeed.load(rigfeed.example(name)))
    for collection, position in left_out:
        things = plain.get(collection)
        if isinstance(things, dict) and things:
            things.pop(sorted(things)[position % len(things)])
    return tomlkit.dumps(plain)


LEFT_OUT = st.frozensets(
    st.tuples(st.sampled_from(["nodes", "conductors", "states", "runs", "passages", "zones"]), st.integers(0, 20)),
    max_size=3,
)
DESIGNS = st.builds(thinned, st.sampled_from(EXAMPLES), LEFT_OUT) | st.just("format = 1\n") | st.text(max_size=60)
schemathesis.openapi.media_type("application/toml", DESIGNS.map(str.encode))
