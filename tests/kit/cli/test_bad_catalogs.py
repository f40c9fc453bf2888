"""A catalog beside a design: what is wrong in it is told once, with its file, row and column, and what to do."""

from __future__ import annotations

from pathlib import Path

import pytest

DESIGN = """format = 1
[zones.bay]
warmest = "40 degC"
[nodes]
start = {{ part = "battery:agm-80" }}
bar = {{ part = "joint" }}
F1 = {{ part = "{fuse}" }}
set = {{ part = "{set}" }}
[conductors]
W1 = {{ cable = "cable:thinwall-6", from = "start.pos", to = "F1.a", length = "0.2 m" }}
W2 = {{ cable = "{cable}", from = "F1.b", to = "set.pos", length = "4 m" }}
W3 = {{ cable = "cable:thinwall-2.5", from = "set.neg", to = "bar.x", length = "4 m" }}
W4 = {{ cable = "{back}", from = "bar.x", to = "start.neg", length = "10 mm", ends = {ends} }}
W5 = {{ cable = "{back}", from = "start.neg", to = "bar.y", length = "10 mm", ends = {ends} }}
"""
GOOD = {
    "fuse": "fuse:blade-10", "set": "radio:vhf-25", "cable": "cable:thinwall-2.5", "back": "cable:thinwall-16",
    "ends": '["ring:m8-16", "ring:m8-16"]',
}
FUSE = "part,title,family,rated_a,rated_v,drop_mv,breaking_a,gates,source,confidence\n" \
    'fuse:own-10,own,C,10,32,100,1000,"{gates}",test,invented\n'
RADIO = "part,title,transmit_a,receive_a,standby_a,least_v,most_v,source,confidence\n" \
    "radio:own,own,6,1,0.2,15,11,test,invented\n"
CABLE = "part,title,area_mm2,ohm_per_km,od_mm,material,insulation_c,source,confidence\n" \
    "cable:own-2.5,own,2.5,0,3,copper,105,test,invented\n"
BRIDGE = "part,title,area_mm2,ohm_per_km,od_mm,material,insulation_c,source,confidence\n" \
    "cable:bridge,own,16,0.0001,8,copper,105,test,invented\n"
BARE = "part,title,contact_mohm,source,confidence\nring:none,own,0,test,invented\n"

ROWS = {
    "the shortest time above the longest": (
        {"fuse": "fuse:own-10"}, FUSE.format(gates="1.35 1800..60; 2 2..60"),
        ("own.csv:2: fuse:own-10: gates: '1.35 1800..60'", "write the shorter one first"),
    ),
    "gates out of order": (
        {"fuse": "fuse:own-10"}, FUSE.format(gates="2 2..60; 1.35 60..1800"),
        ("own.csv:2: fuse:own-10: gates:", "the multiples do not rise; sort them"),
    ),
    "slower at the larger current": (
        {"fuse": "fuse:own-10"}, FUSE.format(gates="1.35 60..1800; 2 2..4000"),
        ("own.csv:2: fuse:own-10: gates:", "longer at 2 times its rating than at 1.35 times", "see its data sheet"),
    ),
    "least above most": (
        {"set": "radio:own"}, RADIO,
        ("own.csv:2: radio:own: least_v: is above most_v", "put the smaller of the two into least_v"),
    ),
    "no resistance": (
        {"cable": "cable:own-2.5"}, CABLE, ("own.csv:2: cable:own-2.5: ohm_per_km: 0 is not above 0",),
    ),
}


def checked(run, folder: Path, changes: dict[str, str], *catalogs: str) -> tuple[int, str, str]:
    (folder / "catalogs").mkdir()
    for name, text in zip(("own", "ends"), catalogs, strict=False):
        (folder / "catalogs" / f"{name}.csv").write_text(text, encoding="utf-8")
    design = folder / "design.toml"
    design.write_text(DESIGN.format(**GOOD | changes), encoding="utf-8")
    return run("check", design)


@pytest.mark.parametrize("what", ROWS)
def test_a_bad_row_is_named_with_its_column_and_what_to_do(what, run, tmp_path):
    changes, catalog, said = ROWS[what]
    code, out, err = checked(run, tmp_path, changes, catalog)
    assert (code, out) == (2, "")
    assert len(err.strip().splitlines()) == 1
    for words in said:
        assert words in err


def test_a_loop_without_resistance_names_its_conductors(run, tmp_path):
    bridged = {"back": "cable:bridge", "ends": '["ring:none", "ring:none"]'}
    code, _, err = checked(run, tmp_path, bridged, BRIDGE, BARE)
    assert code == 2
    assert "W4 (cable:own/bridge), W5 (cable:own/bridge) make a loop without resistance" in err
    assert "mend its ohm_per_km in the catalog" in err
    assert "conductors.W5" in err


def test_two_conductors_side_by_side_with_a_resistance_are_no_such_loop(run, tmp_path):
    code, _, err = checked(run, tmp_path, {}, FUSE.format(gates="1.35 60..1800; 2 2..60"))
    assert code in (0, 1)
    assert "loop" not in err
