"""Designs drawn at random from a seed, as text: batteries, links between them, branches with sets, the body or a wire
as the return. Everything is laid in one warm zone."""

from __future__ import annotations

from random import Random

import rigfeed
from rigfeed.assess import Assessment
from rigfeed.design.file import parse

BATTERIES = ("flooded-45", "agm-80", "flooded-100", "flooded-110", "lifepo4-50", "lifepo4-200")
CABLES = ("1", "1.5", "2.5", "4", "6", "10", "16")
BRANCH_FUSES = ("fuse:blade-5", "fuse:blade-10", "fuse:blade-15", "fuse:blade-20", "fuse:blade-30")
MAIN_FUSES = ("fuse:hi-30", "fuse:hi-40", "fuse:blade-30")
SETS = ("radio:vhf-25", "radio:vhf-50", "radio:hf-100")


class Maker:
    """Collects the lines of a design."""

    def __init__(self, seed: int) -> None:
        self.random = Random(seed)
        self.nodes: list[str] = []
        self.wires: list[str] = []

    def node(self, name: str, part: str, settings: str = "") -> str:
        more = f", settings = {{ {settings} }}" if settings else ""
        self.nodes.append(f'{name} = {{ part = "{part}"{more} }}')
        return name

    def wire(self, start: str, end: str, *lengths_m: float, cables: tuple[str, ...] = CABLES) -> str:
        name, cable = f"W{len(self.wires) + 1}", self.random.choice(cables)
        length_m = self.random.uniform(*lengths_m) if lengths_m else self.random.uniform(0.3, 4.0)
        self.wires.append(
            f'{name} = {{ cable = "cable:thinwall-{cable}", from = "{start}", to = "{end}", '
            f'length = "{length_m:.2f} m" }}'
        )
        return name

    def text(self, order: int = 0) -> str:
        """The design; another `order` shuffles what stands in the tables and the tables themselves."""
        tables = [["[nodes]", *self.nodes], ["[conductors]", *self.wires]]
        if order:
            shuffle = Random(order)
            tables = [[head, *shuffle.sample(lines, len(lines))] for head, *lines in tables]
            shuffle.shuffle(tables)
        head = 'format = 1\n[job]\ntitle = "made"\n[zones.bay]\nwarmest = "60 degC"\ncoldest = "-20 degC"\n'
        return head + "\n".join(line for table in tables for line in table) + "\n"


def made(seed: int, conductors: int = 12, batteries: int | None = None, *, fused: bool | None = None) -> Maker:
    """A design with about so many conductors; `fused` is whether links have a fuse at each end (drawn where None)."""
    maker = Maker(seed)
    random = maker.random
    count = batteries or random.choice([1, 1, 2, 2, 3])
    by_body = random.random() < 0.6
    maker.node("ground", "joint")
    for number in range(count):
        charge = f'charge = "{random.randint(30, 90)} %"'
        battery = maker.node(f"b{number}", f"battery:{random.choice(BATTERIES)}", charge)
        maker.node(f"bus{number}", "joint")
        fuse = maker.node(f"M{number}", random.choice(MAIN_FUSES))
        maker.wire(f"{battery}.pos", f"{fuse}.a", 0.1, 0.3, cables=CABLES[3:])
        maker.wire(f"{fuse}.b", f"bus{number}.x", 0.2, 1.0, cables=CABLES[3:])
        back = maker.node(f"strap{number}", "body-point") + ".stud" if by_body else "ground.x"
        maker.wire(f"{battery}.neg", back, 0.2, 0.6, cables=CABLES[5:])
        if number:
            _link(maker, number, random.random() < 0.7 if fused is None else fused)
    if random.random() < 0.4:
        maker.node("alt", "alternator:fixed-90")
        maker.wire("alt.pos", "b0.pos", 0.5, 1.5, cables=CABLES[5:])
    while len(maker.wires) < conductors:
        _branch(maker, count, by_body)
    return maker


def _link(maker: Maker, number: int, both: bool) -> None:
    """A cable from an earlier bus, with a fuse at its near end and perhaps at its far end."""
    start = maker.node(f"L{number}", maker.random.choice(MAIN_FUSES))
    maker.wire(f"bus{maker.random.randrange(number)}.x", f"{start}.a", 0.1, 0.3)
    if both:
        end = maker.node(f"K{number}", maker.random.choice(MAIN_FUSES))
        maker.wire(f"{start}.b", f"{end}.a", 1.0, 5.0)
        maker.wire(f"{end}.b", f"bus{number}.x", 0.1, 0.3)
    else:
        maker.wire(f"{start}.b", f"bus{number}.x", 1.0, 5.0)


def _branch(maker: Maker, count: int, by_body: bool) -> None:
    number, random = len(maker.nodes), maker.random
    fuse = maker.node(f"F{number}", random.choice(BRANCH_FUSES))
    load = maker.node(f"set{number}", random.choice(SETS))
    maker.wire(f"bus{random.randrange(count)}.x", f"{fuse}.a", 0.1, 0.3)
    maker.wire(f"{fuse}.b", f"{load}.pos")
    back = maker.node(f"stud{number}", "body-point") + ".stud" if by_body else "ground.x"
    maker.wire(f"{load}.neg", back, 0.3, 2.0)


def assessed(text: str) -> Assessment:
    """A design without its checks."""
    return rigfeed.assess(parse(text), only=[])
