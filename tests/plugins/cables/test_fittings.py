"""Sleeves, conduits and terminals: what their rows may say."""

from __future__ import annotations

import pytest
from marshmallow import ValidationError

from rigfeed.complaints import complaints
from rigfeed.parts.interfaces import Accessory, EndFitting
from rigfeed.registry import installed_registry
from rigfeed_cables.fittings import FittingSchema, LoomSchema, SleeveSchema

EVERY = {"title": "a part", "source": "by hand", "confidence": "invented"}
RING = EVERY | {"contact_mohm": "0.2", "least_mm2": "1.5", "most_mm2": "2.5", "stud_mm": "8", "rigid_mm": "12x5"}
SLEEVE = EVERY | {"supplied_mm": "9", "recovered_mm": "3", "adhesive": "yes"}
LOOM = EVERY | {"bore_mm": "10", "outside_mm": "13"}


def test_ring():
    ring = FittingSchema().load(RING | {"rated_a": "30", "limit_c": "105", "places": "2"})
    assert isinstance(ring, EndFitting)
    assert ring.contact_ohm == pytest.approx(0.2e-3)
    assert (ring.stud_mm, ring.rated_a, ring.limit_c, ring.places) == (8, 30, 105, 2)
    assert [ring.takes(area) for area in (1.0, 1.5, 2.5, 4.0)] == [False, True, True, False]


def test_a_fitting_without_a_range_does_not_guess():
    bare = FittingSchema().load(EVERY | {"contact_mohm": "1"})
    assert bare.takes(2.5) is None
    assert bare.places == 1


def test_sleeve():
    sleeve = SleeveSchema().load(SLEEVE)
    assert isinstance(sleeve, Accessory)
    assert (sleeve.supplied_mm, sleeve.recovered_mm, sleeve.adhesive) == (9, 3, True)
    assert SleeveSchema().load(SLEEVE | {"adhesive": "no"}).adhesive is False


def test_loom():
    loom = LoomSchema().load(LOOM | {"slit": "yes", "limit_c": "105"})
    assert isinstance(loom, Accessory)
    assert (loom.bore_mm, loom.outside_mm, loom.slit, loom.limit_c) == (10, 13, True, 105)
    assert LoomSchema().load(LOOM).slit is False


@pytest.mark.parametrize(
    ("schema", "row", "column", "fragment"),
    [
        (FittingSchema, RING | {"least_mm2": "4"}, "least_mm2", "is above most_mm2"),
        (FittingSchema, RING | {"places": "0"}, "places", "out of range"),
        (FittingSchema, RING | {"places": "1.5"}, "places", "not a whole number"),
        (FittingSchema, RING | {"rated_a": "0"}, "rated_a", "not above 0"),
        (FittingSchema, RING | {"limit_c": "20"}, "limit_c", "out of range"),
        (SleeveSchema, SLEEVE | {"recovered_mm": "9"}, "recovered_mm", "is not below supplied_mm"),
        (SleeveSchema, SLEEVE | {"adhesive": "some"}, "adhesive", "not one of the choices"),
        (SleeveSchema, EVERY, "supplied_mm", "is missing"),
        (LoomSchema, LOOM | {"outside_mm": "10"}, "outside_mm", "is not above bore_mm"),
        (LoomSchema, LOOM | {"slit": "true"}, "slit", "not one of the choices"),
    ],
)
def test_refused_at_its_column(schema, row, column, fragment):
    with pytest.raises(ValidationError) as caught:
        schema().load(row)
    found = list(complaints(caught.value.messages))
    assert any(str(path) == column and fragment in text for path, text in found), found


def test_kinds_are_there():
    kinds = installed_registry().kinds
    for name in ("cable", "ring", "ferrule", "blade", "plug", "bare", "sleeve", "loom"):
        assert kinds[name].row is not None
