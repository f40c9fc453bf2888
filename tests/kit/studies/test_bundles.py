"""The bundles study: cables on runs, in holes, and what is stiff on their ends.

The fills are those of a hand calculation: the sum of the squared diameters over the square of the hole's.
"""

from __future__ import annotations

import math

import pytest
from tests.kit.studies.laid import BARE, BLADE, PLUG, RING, SHELF, bundles_of, design, steps, thick, wire

import rigfeed
from rigfeed.assess import assess
from rigfeed.errors import UnknownName
from rigfeed.packing import enclosing_diameter
from rigfeed.registry import make_registry
from rigfeed.studies.bundles import BUNDLES, SIDES, Bundles, Passing, WorkStep


@pytest.fixture(scope="module")
def hazel() -> Bundles:
    return rigfeed.assess(rigfeed.load(rigfeed.example("hazel")), only=[])[BUNDLES]


# the scenario of the small hatchback


def test_hazels_holder_and_plug_do_not_pass_the_grommet(hazel):
    pull = hazel.pull("W2")
    assert pull.passages == ("H1",)
    sizes = {(item.side, item.part.title): item for item in pull.items}
    plug, holder = sizes["to", "two-pole radio plug contact"], sizes["from", "in-line blade holder"]
    blade = sizes["from", "push-on blade 6.3 mm 1.5-2.5 mm2"]
    assert plug.needs_mm == pytest.approx(18.6, abs=0.05)  # the diagonal of 15 x 11
    assert holder.needs_mm == pytest.approx(math.hypot(24, 38))
    assert (plug.passes, holder.passes, blade.passes) == (False, False, True)
    assert (plug.is_holder, holder.is_holder, holder.node, plug.node) == (False, True, "F1", "vhf")
    assert {item.part.title for item in hazel.blocked} == {plug.part.title, holder.part.title}
    assert plug.blocked_at == ("H1",)


def test_hazels_lead_is_drawn_bare_from_inside_and_its_holder_fitted_last(hazel):
    pull = hazel.pull("W2")
    assert (pull.leads, pull.before, pull.after, pull.off) == ("from", ("to",), ("from",), ())
    order = steps(hazel)
    assert order.index(("pull", "W2", "from")) < order.index(("fit after", "W2", "from"))
    assert ("fit before", "W2", "to") in order
    assert ("fit before", "W2", "from") not in order
    assert [step.nodes for step in hazel.steps("fit holder")] == [("F1",), ("F2",)]
    assert hazel.order[-1] == WorkStep("fuses in last", nodes=("F1", "F2"))
    assert order.index(("fit holder", None, None)) > order.index(("fit after", "W2", "from"))


def test_hazels_other_conductors_pass_nothing_and_are_fitted_on_the_bench(hazel):
    for name in ("W1", "W3", "W4", "W5", "W6"):
        pull = hazel.pull(name)
        assert (pull.passages, pull.leads, pull.before, pull.after) == ((), None, SIDES, ())
        assert all(item.passes for item in pull.items)
    assert [step.conductor for step in hazel.steps("fit after")] == ["W2"]


def test_what_the_vehicle_came_with_is_not_laid(hazel):
    assert not {"V1", "V2", "V3"} & set(hazel.pulls)
    with pytest.raises(UnknownName, match="conductor to lay 'V1'"):
        hazel.pull("V1")


# fills of the scenarios


@pytest.mark.parametrize(
    ("conductors", "hole", "fill"),
    [
        # the pickup: 16 mm2 (8.3 mm) or 10 mm2 (6.0 mm) beside a loom of 14 mm in 25 mm
        (thick("W1", "cable:thinwall-16"), 'diameter = "25 mm", existing = ["14 mm"]', 0.42),
        (thick("W1", "cable:thinwall-10"), 'diameter = "25 mm", existing = ["14 mm"]', 0.37),
        # the truck: two of 4 mm2 (3.7 mm) beside a loom of 12 mm in 20 mm
        (thick("W1 W2", "cable:thinwall-4"), 'diameter = "20 mm", existing = ["12 mm"]', 0.428),
        # the camper: 25 mm2 (10.4 mm) in 20 mm
        (thick("W1", "cable:thinwall-25"), 'diameter = "20 mm"', 0.27),
    ],
)
def test_fills_of_the_scenarios(conductors, hole, fill):
    found = bundles_of(design(conductors, f'{{ run = "bay", {hole} }}')).passage("H1")
    assert found.fill == pytest.approx(fill, abs=0.005)
    assert found.fits is True


ANTENNA = 'ant = { part = "antenna:vhf-quarter", at = "front", settings = { mount = "mount:roof-hole" } }'
FEEDER = """W9 = { cable = "feeder:rg58", from = ["set.ant", "set.shield"], to = ["ant.feed", "ant.shield"], \
route = ["bay"], ends = ["connector:uhf-plug", "connector:mount-clamp"] }
"""


def test_the_coax_of_the_truck_makes_it_49_percent():
    hole = '{ run = "bay", diameter = "20 mm", existing = ["12 mm"] }'
    found = bundles_of(design(thick("W1 W2", "cable:thinwall-4") + FEEDER, hole, ANTENNA))
    passage = found.passage("H1")
    assert passage.conductors == ("W1", "W2", "W9")
    assert passage.fill == pytest.approx(0.49, abs=0.005)
    assert passage.existing_mm == (12.0,)
    assert passage.diameter_mm == enclosing_diameter([12.0, 3.7, 3.7, 4.95])
    assert 12.0 + 4.95 <= passage.diameter_mm < 20.0


def test_the_lug_of_the_camper_is_wider_than_its_hole():
    lugs = '"ring:m8-25", "ring:m8-25"'
    text = design(wire("W1", "stud.stud", "bar.x", lugs, "cable:thinwall-25"), '{ run = "bay", diameter = "20 mm" }')
    pull = bundles_of(text).pull("W1")
    assert {item.needs_mm for item in pull.items} == {math.hypot(19, 10)}
    assert (pull.leads, pull.before, pull.after) == ("from", ("to",), ("from",))  # one end after the pull
    wider = bundles_of(text.replace("20 mm", "22 mm")).pull("W1")
    assert (wider.leads, wider.before, wider.after) == (None, SIDES, ())


# on a run


def test_a_run_counts_cores_that_feed_and_leaves_feeders_out():
    twin = (
        'W3 = { cable = "cable:twin-1", from = ["stud.stud", "start.pos"], to = ["bar.x", "bar.y"], route = ["bay"] }\n'
    )
    found = bundles_of(design(thick("W1 W2", "cable:thinwall-4") + twin + FEEDER, more=ANTENNA)).run("bay")
    assert found.conductors == ("W1", "W2", "W3", "W9")
    assert found.power_cores == 1 + 1 + 2
    od_mm = [3.7, 3.7, SHELF.part("cable:twin-1").od_mm, 4.95]
    assert found.diameter_mm == enclosing_diameter(od_mm)
    assert found.cables_mm2 == pytest.approx(math.pi / 4 * sum(mm * mm for mm in od_mm))
    assert found.section_mm2 == pytest.approx(math.pi / 4 * found.diameter_mm**2)
    assert found.cables_mm2 < found.section_mm2


def test_the_mass_is_known_when_that_of_every_cable_is():
    nodes = "[nodes]\na = { part = 'joint', at = 'p' }\nb = { part = 'joint', at = 'q' }\n"
    way = "[points]\np = {}\nq = {}\n[runs]\nbay = { from = 'p', to = 'q', length = '2 m' }\n"
    wires = "[conductors]\n" + "".join(
        f"W{number} = {{ cable = 'cable:{cable}', from = 'a.x', to = 'b.x', route = ['bay'] }}\n"
        for number, cable in enumerate(("heavy", "light", "light"))
    )
    assert bundles_of(nodes + way + wires, BARE).run("bay").g_per_m == pytest.approx(65.0)
    assert bundles_of(design(thick("W1", "cable:thinwall-4"))).run("bay").g_per_m is None


def test_a_run_on_which_nothing_lies_has_an_empty_bundle(hazel):
    text = design("", more="").replace(
        "[passages]", 'spare = { from = "front", to = "seat", length = "1 m" }\n[passages]'
    )
    found = bundles_of(text)
    assert set(found.runs) == {"bay", "spare"}
    assert found.run("spare").conductors == ()
    assert (found.run("spare").diameter_mm, found.run("spare").power_cores, found.run("spare").g_per_m) == (0.0, 0, 0.0)
    assert found.passage("H1").diameter_mm == 0.0
    assert hazel.run("sill").conductors == ("W2", "W5")
    assert hazel.run("sill").diameter_mm == pytest.approx(3.0 + 1.9)


def test_names_that_do_not_exist(hazel):
    with pytest.raises(UnknownName, match=r"run 'bya'.*'bay'"):
        hazel.run("bya")
    with pytest.raises(UnknownName, match="passage 'H2'"):
        hazel.passage("H2")


# what passes


def test_an_end_that_passes_leads_whatever_is_on_the_other():
    # the pin of 6 x 4 mm passes 12 mm, the ring of 12 x 5 (13 mm) does not
    pull = bundles_of(design(wire("W1", "start.pos", "set.sense", f'{RING}, "plug:pin-1"'))).pull("W1")
    assert (pull.leads, pull.before, pull.after) == ("to", SIDES, ())
    turned = bundles_of(design(wire("W1", "set.sense", "start.pos", f'"plug:pin-1", {RING}'))).pull("W1")
    assert (turned.leads, turned.before, turned.after) == ("from", SIDES, ())


@pytest.mark.parametrize(
    ("ends", "sides"), [(("start.pos", "set.pos"), ("from", "to")), (("set.pos", "start.pos"), ("to", "from"))]
)
def test_if_neither_passes_the_end_at_the_equipment_stays_fitted(ends, sides):
    fittings = f"{RING}, {PLUG}" if ends[1] == "set.pos" else f"{PLUG}, {RING}"
    pull = bundles_of(design(wire("W1", *ends, fittings))).pull("W1")
    assert (pull.leads, pull.after, pull.before) == (sides[0], (sides[0],), (sides[1],))


def test_if_neither_passes_and_none_is_at_equipment_the_end_with_the_holder_goes_bare():
    for ends, fittings, side in (
        (("bar.x", "F1.b"), f"{PLUG}, {BLADE}", "to"), (("F1.b", "bar.x"), f"{BLADE}, {PLUG}", "from"),
    ):
        pull = bundles_of(design(wire("W1", *ends, fittings))).pull("W1")
        assert (pull.leads, pull.after) == (side, (side,))


def test_one_hole_that_is_too_small_decides_whatever_is_unknown_of_another():
    text = design(wire("W1", "start.pos", "bar.x", f"{RING}, {PLUG}"))
    found = bundles_of(text.replace("[passages]", "[passages]\n    A = { run = 'bay' }")).pull("W1")
    assert [item.passes for item in found.items] == [False, False]
    assert [[passing.alone for passing in item.passings] for item in found.items] == [[None, False]] * 2


def test_a_hole_that_is_not_measured_leaves_it_open():
    found = bundles_of(design(wire("W1", "start.pos", "set.pos", f"{RING}, {PLUG}"), '{ run = "bay" }'))
    pull, passage = found.pull("W1"), found.passage("H1")
    assert [item.passes for item in pull.items] == [None, None]
    assert pull.unknown == pull.items
    assert pull.items[0].passings == (Passing("H1", None, None, None),)
    assert (passage.fits, passage.fill, passage.hole_mm) == (None, None, None)
    assert pull.after == ("from",)  # what nobody knows is not promised
    assert not found.blocked


def test_a_fitting_of_unknown_size_leaves_it_open_and_leads_rather_than_one_that_does_not_pass():
    text = design(wire("W1", "stud.stud", "bar.x", f'{RING}, "ring:unsized"'))
    pull = bundles_of(text, BARE).pull("W1")
    assert [item.needs_mm for item in pull.items] == [13.0, None]
    assert (pull.leads, pull.after, [item.side for item in pull.unknown]) == ("to", ("to",), ["to"])


def test_what_lies_in_the_hole_takes_room_from_what_is_stiff():
    """A lug of 17 x 9 mm (19.2 mm) passes 25 mm alone, but not beside a loom of 14 mm."""
    lugs = '"ring:m8-16", "ring:m8-16"'
    conductor = wire("W1", "stud.stud", "bar.x", lugs, "cable:thinwall-16")
    item = (
        bundles_of(design(conductor, '{ run = "bay", diameter = "25 mm", existing = ["14 mm"] }')).pull("W1").items[0]
    )
    assert item.passings == (Passing("H1", 25.0, True, False),)
    assert (item.passes, item.blocked_at) == (False, ())
    empty = bundles_of(design(conductor, '{ run = "bay", diameter = "25 mm" }')).pull("W1").items[0]
    assert empty.passings == (Passing("H1", 25.0, True, True),)


def test_what_is_stiff_has_to_pass_the_bore_of_a_grommet():
    """25 mm2 on a lug of 19 x 10 mm (21.5 mm) in a hole of 22 mm: it passes the bare hole, not a bore of 18 mm."""
    lugs = '"ring:m8-25", "ring:m8-25"'
    conductor = wire("W1", "stud.stud", "bar.x", lugs, "cable:thinwall-25")
    for bore, passes in (("", True), (', bore = "18 mm"', False), (', bore = "22 mm"', True)):
        found = bundles_of(design(conductor, f'{{ run = "bay", diameter = "22 mm"{bore} }}'))
        assert {item.passes for item in found.pull("W1").items} == {passes}
        assert found.passage("H1").fill == pytest.approx((10.4 / 22) ** 2)  # that of the hole, whatever the bore
        assert bool(found.pull("W1").after) is not passes


def test_a_hole_of_exactly_its_size_lets_it_pass():
    conductor = wire("W1", "stud.stud", "bar.x", f"{RING}, {RING}")
    for size, passes in (("13 mm", True), ("12.9 mm", False)):
        found = bundles_of(design(conductor, f'{{ run = "bay", diameter = "{size}" }}')).pull("W1")
        assert {item.passes for item in found.items} == {passes}


def test_a_plug_over_all_cores_is_one_thing_and_every_hole_on_the_way_counts():
    more_runs = '[runs]\nyard = { from = "seat", to = "rear", length = "1 m" }'
    text = design(FEEDER.replace('["bay"]', '["yard", "bay"]'), more=ANTENNA)
    text = text.replace("[runs]", more_runs).replace("seat = {}", "seat = {}\nrear = {}")
    text = text.replace('set = { part = "radio:vhf-25", at = "seat" }', 'set = { part = "radio:vhf-25", at = "rear" }')
    text = text.replace(
        "[passages]", '[passages]\nA = { run = "bay", diameter = "30 mm" }\nB = { run = "yard", diameter = "18 mm" }'
    )
    pull = bundles_of(text).pull("W9")
    assert pull.passages == ("B", "A", "H1")  # as they come on the way
    plug, clamp = pull.items
    assert (plug.needs_mm, [passing.alone for passing in plug.passings]) == (18.5, [False, True, False])
    assert (plug.blocked_at, clamp.passes) == (("B", "H1"), True)
    assert (pull.leads, pull.before, pull.after) == ("to", SIDES, ())


def test_a_bundle_that_is_thicker_than_its_hole_does_not_fit():
    found = bundles_of(design(thick("W1 W2", "cable:thinwall-16"), '{ run = "bay", diameter = "16 mm" }')).passage("H1")
    assert found.diameter_mm == pytest.approx(16.6)
    assert found.fits is False
    assert found.fill < 1  # the area alone would not tell


# as a whole


def test_the_uhf_plugs_of_the_pickup_do_not_pass_its_rear_grommet():
    found = rigfeed.assess(rigfeed.load(rigfeed.example("larch")), only=[])[BUNDLES]
    plug = next(item for item in found.pull("W15").items if "UHF" in item.part.title)
    assert (plug.needs_mm, plug.blocked_at) == (18.5, ("H2",))
    assert found.passage("H1").fill == pytest.approx(0.42, abs=0.005)


def test_it_is_a_study_of_the_kit_and_tells_how_far_it_is():
    assert make_registry().studies["bundles"] is BUNDLES
    told: list[tuple[float, str]] = []
    design_ = rigfeed.load(rigfeed.example("hazel"))
    assess(design_, only=[], tell=lambda done, text: told.append((done, text)))[BUNDLES].run("sill")
    assert {"bundle on run sill", "hole H1"} <= {text for _, text in told}
    assert all(0 <= done <= 1 for done, _ in told)


def test_a_conductor_without_a_route_lies_on_no_run():
    text = design('W1 = { cable = "cable:thinwall-4", from = "stud.stud", to = "bar.x", length = "1 m" }')
    found = bundles_of(text)
    assert found.run("bay").conductors == ()
    assert found.pull("W1").passages == ()
