"""What the tests of laying and of the order of work share: a battery, a fuse and a set behind one hole."""

from __future__ import annotations

from tests.plugins.installing import catalog

from rigfeed.assess import assess
from rigfeed.design.file import parse
from rigfeed.parts.shelf import Shelf
from rigfeed.registry import make_registry
from rigfeed.studies.bundles import BUNDLES, Bundles

SHELF = Shelf(make_registry(), ())
BARE = Shelf(make_registry(), [  # type: ignore[arg-type]
    catalog(0, "cable:heavy: area_mm2=4 | ohm_per_km=4.71 | od_mm=3.7 | g_per_m=40"),
    catalog(1, "cable:light: area_mm2=1 | ohm_per_km=18.5 | od_mm=2.1 | g_per_m=12.5"),
    catalog(2, "ring:unsized: contact_mohm=0.2"),
])
PLUG, BLADE, RING = '"plug:radio-2pole"', '"blade:6.3-2.5"', '"ring:m8-2.5"'


def bundles_of(text: str, shelf: Shelf = SHELF) -> Bundles:
    return assess(parse(f"format = 1\n{text}"), shelf=shelf, only=[])[BUNDLES]


def design(conductors: str, hole: str = '{ run = "bay", diameter = "12 mm" }', more: str = "") -> str:
    """A battery, a fuse in its holder, and a set behind one hole."""
    return f"""
    [points]
    front = {{}}
    seat = {{}}
    [runs]
    bay = {{ from = "front", to = "seat", length = "3 m" }}
    [passages]
    H1 = {hole}
    [nodes]
    start = {{ part = "battery:flooded-45", at = "front" }}
    F1 = {{ part = "fuse:blade-10", at = "front", settings = {{ holder = "holder:inline-blade" }} }}
    set = {{ part = "radio:vhf-25", at = "seat" }}
    stud = {{ part = "body-point", at = "front" }}
    bar = {{ part = "joint", at = "seat" }}
    {more}
    [conductors]
    {conductors}
    """


def wire(name: str, start: str, end: str, ends: str = "", cable: str = "cable:thinwall-2.5", more: str = "") -> str:
    fitted = f", ends = [{ends}]" if ends else ""
    return f'{name} = {{ cable = "{cable}", from = "{start}", to = "{end}", route = ["bay"]{fitted}{more} }}\n'


def thick(names: str, cable: str) -> str:
    """Conductors of one cable between the body point and the bar."""
    return "".join(wire(name, "stud.stud", "bar.x", cable=cable) for name in names.split())


def steps(found: Bundles) -> list[tuple[str, str | None, str | None]]:
    return [(step.action, step.conductor, step.side) for step in found.order]
