"""Terminations, labels, fuses, holes and loads of designs whose answers can be told by looking at them."""

from __future__ import annotations

import dataclasses
import types

import pytest

from rigfeed.checks.offers import torque_n_m
from rigfeed.quantity import Quantity
from rigfeed.studies.operating import OPERATING

TWIN = """
part,title,area_mm2,ohm_per_km,core_count,od_mm,material,insulation_c,source,confidence
cable:pair,flat pair 2 x 2.5 mm2,2.5,7.6,2,7,copper,105,test,invented
"""


# terminations


def test_each_end_once_place_by_place(assessed, rows):
    table = assessed("hazel").paper("termination-list")
    found = rows(table)
    assert [(row["where"], row["terminal"], row["id"]) for row in found] == [
        ("battery", "F1.a", "W1"), ("battery", "F1.b", "W2"), ("battery", "start.pos", "W1"),
        ("firewall", "box.out", "W4"), ("firewall", "F2.a", "W4"), ("firewall", "F2.b", "W5"),
        ("seat", "stud.stud", "W3"), ("seat", "vhf.ant, vhf.shield", "W6"), ("seat", "vhf.neg", "W3"),
        ("seat", "vhf.pos", "W2"), ("seat", "vhf.sense", "W5"),
        ("roof", "ant.feed, ant.shield", "W6"),
    ]
    start = found[2]
    assert (start["on"], start["fitting"]) == ("flooded battery 45 Ah", "ring M8 1.5-2.5 mm2")
    assert (start["strip"], start["stud"], start["torque"], start["diameter"]) == (7.0, 8.0, None, 3.0)
    assert (start["sleeve"], start["done"]) == ("lined-6", None)


def test_the_ends_of_a_supplied_lead_are_listed_those_of_the_vehicle_are_not(changed, rows):
    supplied = ('ends = ["plug:radio-2pole", "ring:m8-2.5"] }', 'origin = "supplied" }')
    found = rows(changed(supplied).paper("termination-list"))
    assert [(row["terminal"], row["fitting"]) for row in found if row["id"] == "W3"] == [
        ("stud.stud", "as supplied"), ("vhf.neg", "as supplied"),
    ]
    assert not [row for row in found if str(row["id"]).startswith("V")]


def test_each_core_of_a_pair_has_its_own_end(changed, rows):
    pair = (
        'W2 = { cable = "cable:thinwall-2.5", from = "F1.b", to = "vhf.pos", route = ["bay", "sill"]',
        'W2 = { cable = "cable:pair", from = ["F1.b", "stud.stud"], to = ["vhf.pos", "vhf.neg"], length = "3.3 m"',
    )
    fittings = (
        'ends = ["blade:6.3-2.5", "plug:radio-2pole"]', 'ends = [["blade:6.3-2.5", "ring:m8-2.5"], "plug:pin-1"]'
    )
    assessment = changed(pair, fittings, catalog=TWIN.lstrip())
    found = [row for row in rows(assessment.paper("termination-list")) if row["id"] == "W2"]
    assert {(row["terminal"], row["core"], row["fitting"]) for row in found} == {
        ("F1.b", "1", "push-on blade 6.3 mm 1.5-2.5 mm2"), ("stud.stud", "2", "ring M8 1.5-2.5 mm2"),
        ("vhf.pos", "1", "sense plug contact"), ("vhf.neg", "2", "sense plug contact"),
    }
    (cut,) = [row for row in rows(assessment.paper("cut-list")) if row["id"] == "W2"]
    assert (cut["from"], cut["strip-from"]) == ("F1.b, stud.stud", 7.0)
    pieces = {row["part"]: row["pieces"] for row in rows(assessment.paper("bill-of-materials"))}
    assert (pieces["plug:pin-1"], pieces["ring:m8-2.5"], pieces["blade:6.3-2.5"]) == (3, 3, 2)


def test_a_torque_is_that_of_the_settings_before_that_of_the_part(assessed):
    node = assessed("hazel").installation.nodes["stud"]
    assert torque_n_m(node) is None
    part = types.SimpleNamespace(torque_n_m=9.0)
    assert torque_n_m(dataclasses.replace(node, part=part)) == 9.0
    settings = types.SimpleNamespace(torque=Quantity.parse("12 N m", "N m"))
    assert torque_n_m(dataclasses.replace(node, part=part, settings=settings)) == 12.0


def test_studs_torques_and_sleeves_stand_beside_the_end(changed, rows):
    settings = 'rest_voltage = "12.3 V", stud = "8 mm", torque = "9 N m" }'
    table = changed(('rest_voltage = "12.3 V" }', settings)).paper("termination-list")
    (post,) = [row for row in rows(table) if row["terminal"] == "start.pos"]
    assert (post["stud"], post["torque"], post["sleeve"]) == (pytest.approx(8.0), pytest.approx(9.0), "lined-6")
    assert table.notes[-1] == (
        "Sleeves, to be slid on before the fitting: lined-6 is adhesive-lined sleeve 3:1 6/2 mm."
    )


def test_the_bore_of_a_grommet_stands_beside_its_hole(assessed, rows):
    assert [row["bore"] for row in rows(assessed("larch").paper("hole-list"))] == [None, pytest.approx(6.0)]


def test_the_names_of_places_are_explained(assessed):
    notes = assessed("larch").paper("termination-list").notes
    assert notes[0] == "Places: rear is behind the rear seat: auxiliary, charger, sets."


# labels


def test_a_label_at_both_ends_and_one_on_each_device(assessed, rows):
    table = assessed("hazel").paper("label-list")
    assert [(row["label"], row["count"]) for row in rows(table)] == [
        *((f"W{number}", 2) for number in range(1, 7)),
        *((name, 1) for name in ("ant", "box", "F1", "F2", "start", "stud", "vhf")),
    ]
    assert table.notes[0] == "19 labels in all: 12 on conductors, one at each end."
    assert rows(table)[5]["ends"] == "vhf.ant, vhf.shield and ant.feed, ant.shield"
    assert rows(table)[0]["diameter"] == 3.0  # 2.5 mm2 thin wall


def test_a_text_of_ones_own_and_one_used_twice(changed, rows):
    own = ('colour = "YE", ends = ["blade:6.3-1", "blade:6.3-1"]', 'colour = "YE", label = "vhf"')
    table = changed(own).paper("label-list")
    assert rows(table)[3]["label"] == "vhf"
    assert "The same text stands on more than one thing: vhf." in table.notes


# fuses


def test_the_fuse_schedule_of_hazel(assessed, rows):
    assessment = assessed("hazel")
    main, sense = rows(assessment.paper("fuse-schedule"))
    assert main == {
        "id": "F1", "rating": 10.0, "sort": "blade fuse C 10 A", "colour": "red", "where": "battery (engine bay)",
        "holder": "in-line blade holder", "protects": "vhf (VHF set 25 W)", "conductors": "W2",
        "current": pytest.approx(6.5), "state": "everything keyed, engine off", "breaking": 1000.0,
    }
    assert (sense["protects"], sense["conductors"]) == ("vhf (VHF set 25 W)", "W5")
    operating = assessment[OPERATING]
    assert sense["current"] == max(abs(operating.current(state, "F2")) for state in operating.states)
    assert 0.003 < sense["current"] < 0.010  # 12 V through an input that takes 5 mA there


def test_a_converter_is_what_its_input_fuse_protects(assessed, rows):
    by_id = {row["id"]: row for row in rows(assessed("alder").paper("fuse-schedule"))}
    assert str(by_id["F1"]["protects"]).startswith("conv (")
    assert (by_id["F1"]["conductors"], by_id["F2"]["conductors"], by_id["F3"]["conductors"]) == ("W2", "W7", "W10")
    assert by_id["F3"]["protects"] == "tablet (tablet in its cradle)"


def test_a_fuse_between_two_sources_protects_the_link(assessed, rows):
    by_id = {row["id"]: row for row in rows(assessed("larch").paper("fuse-schedule"))}
    assert (by_id["F2"]["protects"], by_id["F2"]["conductors"]) == ("the link between aux and dcdc", "W4, W5")
    assert (by_id["F3"]["protects"], by_id["F3"]["conductors"]) == ("hf (HF set 100 W)", "W8")
    assert by_id["F5"]["protects"] == "dcdc (charger 12/12 V 20 A)"  # its engine signal


def test_a_main_fuse_feeds_all_loads_and_protects_the_wire_up_to_the_next_fuses(changed, rows):
    assessment = changed(
        ('F2 = { part', 'bus = { part = "joint", at = "seat" }\nF3 = { part = "fuse:blade-5", at = "seat" }\n'
         'lamp = { part = "equipment:tablet-3a", at = "seat" }\nF2 = { part'),
        ('to = "vhf.pos", route', 'to = "bus.in", route'),
        ("W3 = {", 'W7 = { cable = "cable:thinwall-1", from = "bus.a", to = "F3.a", length = "0.1 m" }\n'
         'W8 = { cable = "cable:thinwall-1", from = "F3.b", to = "lamp.pos", length = "0.1 m" }\n'
         'W9 = { cable = "cable:thinwall-2.5", from = "bus.b", to = "vhf.pos", length = "0.1 m" }\nW3 = {'),
    )
    by_id = {row["id"]: row for row in rows(assessment.paper("fuse-schedule"))}
    assert by_id["F1"]["protects"] == "lamp (tablet in its cradle), vhf (VHF set 25 W)"
    assert by_id["F1"]["conductors"] == "W2, W7, W9"
    assert (by_id["F3"]["protects"], by_id["F3"]["conductors"]) == ("lamp (tablet in its cradle)", "W8")


def test_a_fuse_in_the_negative_lead_protects_the_same_load(changed, rows):
    assessment = changed(
        ("F2 = { part", 'F3 = { part = "fuse:blade-10", at = "battery" }\nF2 = { part'),
        ('to = "stud.stud", length', 'to = "F3.a", length'),
        ("W4 = {", 'W7 = { cable = "cable:thinwall-2.5", from = "F3.b", to = "start.neg", length = "0.1 m" }\nW4 = {'),
    )
    by_id = {row["id"]: row for row in rows(assessment.paper("fuse-schedule"))}
    assert (by_id["F3"]["protects"], by_id["F3"]["conductors"]) == ("vhf (VHF set 25 W)", "W3")
    assert by_id["F3"]["current"] == pytest.approx(6.5, abs=0.01)  # and what the sense input takes


# holes


def test_the_holes_of_hazel_and_what_is_fitted_afterwards(assessed, rows):
    table = assessed("hazel").paper("hole-list")
    (hole,) = rows(table)
    assert hole == {
        "id": "H1", "title": "blank grommet in the firewall", "run": "bay", "diameter": pytest.approx(12.0),
        "bore": None,
        "edge": "grommet", "existing": "nothing", "passes": "W2: 3 mm", "fill": pytest.approx(6.25),
        "bundle": pytest.approx(3.0),
        # the diagonals of holder and plug are more than 12 mm: one end is drawn bare, the one away from the set
        "after": "W2 at F1.b: push-on blade 6.3 mm 1.5-2.5 mm2, in-line blade holder of F1",
    }
    assert table.notes[-1] == "Pull in this order, through the holes: W2 at F1.b in front. Fuses in last."


def test_what_is_in_a_hole_already_counts(assessed, rows):
    first, second = rows(assessed("larch").paper("hole-list"))
    assert (first["existing"], second["existing"]) == ("14 mm", "nothing")
    assert first["bundle"] == pytest.approx(14 + 8.3)  # two circles side by side
    assert first["fill"] == pytest.approx(100 * (14**2 + 8.3**2) / 25**2)


def test_in_us_units_the_diameters_in_sentences_are_inches(assessed, rows):
    (hole,) = rows(assessed("hazel").paper("hole-list", "us"))
    assert hole["passes"] == "W2: 0.118 in"


def test_a_hole_that_nobody_measured_has_no_fill(changed, rows):
    (hole,) = rows(changed((', diameter = "12 mm"', "")).paper("hole-list"))
    assert (hole["diameter"], hole["fill"]) == (None, None)


# loads


def test_the_load_list_of_hazel(assessed, rows):
    assessment = assessed("hazel")
    table = assessment.paper("load-list")
    found = {str(row["state"]): row for row in rows(table)}
    off = found["everything keyed, engine off"]
    assert (off["id"], off["mode"], off["sort"]) == ("vhf", "transmit", "intermittent")
    assert (off["nameplate"], off["nameplate-w"], off["current"]) == (6.5, None, pytest.approx(6.5))
    assert off["volts"] == assessment[OPERATING].across("all-keyed-engine-off", "vhf")
    assert (off["least"], off["most"], off["fuse"]) == (11.7, 15.87, 10.0)
    assert (found["parked"]["mode"], found["parked"]["sort"]) == ("standby", "continuous")
    assert found["parked"]["current"] == pytest.approx(0.25)
    assert len(found) == len(assessment.installation.states)
    assert table.notes[0] == "vhf gets 11.9 V to 14 V over all states; it wants at least 11.7 V and at most 15.9 V."


def test_a_charger_is_a_load_at_its_input(assessed, rows):
    assessment = assessed("larch")
    found = [row for row in rows(assessment.paper("load-list")) if row["id"] == "dcdc"]
    assert len(found) == len(assessment.installation.states)
    full = next(row for row in found if row["mode"] == "full")
    operating = assessment[OPERATING]
    assert full["volts"] == pytest.approx(operating.between("charging", "dcdc.in-pos", "dcdc.in-neg"))
    assert full["current"] == pytest.approx(operating.current("charging", "W2"))
    assert (full["least"], full["most"]) == (12.2, 16.0)


def test_a_current_that_flows_the_other_way_in_the_file_is_no_negative_load(changed, rows):
    """The conductor is drawn from the set to the fuse."""
    table = changed(
        ('from = "F1.b", to = "vhf.pos"', 'from = "vhf.pos", to = "F1.b"'),
        ('ends = ["blade:6.3-2.5", "plug:radio-2pole"]', 'ends = ["plug:radio-2pole", "blade:6.3-2.5"]'),
        ('route = ["bay", "sill"], colour = "RD"', 'route = ["sill", "bay"], colour = "RD"'),
    ).paper("load-list")
    assert rows(table)[0]["current"] == pytest.approx(6.5)


def test_what_nothing_feeds_has_no_volts_and_a_power_is_no_current(assessed, rows):
    found = [row for row in rows(assessed("alder").paper("load-list")) if row["state"] == "parked"]
    assert {row["id"]: (row["volts"], row["current"]) for row in found} == {
        "conv": (None, 0.0), "tablet": (None, 0.0), "vhf": (None, 0.0),  # the master switch is open
    }
    assert found[0]["nameplate"] is None
    assert found[0]["nameplate-w"] > 0
