"""Faults seeded into the demonstration designs: each changes one thing and must be found, and was not there before."""

from __future__ import annotations

from pathlib import Path as FilePath

import pytest
from tests.scenarios.hands import cabled, changed, names

import rigfeed
from rigfeed import OPERATING, Add, Path, Remove, Set
from rigfeed.examples import examples
from rigfeed.parts.shelf import open_shelf

LEADS = ("W1", "W2", "W3")


def put(**values: object) -> list[Set]:
    return [Set(Path.parse(path.replace("__", ".")), value) for path, value in values.items()]


# design, what is changed, what must be found there and was not before
FAULTS = {
    "hazel: fuse 15 A with 1.0 mm2": (
        "hazel", put(nodes__F1__part="fuse:blade-15", **cabled("cable:thinwall-1", *LEADS)),
        {("fuse-above-ampacity", "nodes.F1"), ("fuse-above-equipment-limit", "nodes.F1")},
    ),
    "hazel: negative to the post, without a fuse": (
        "hazel", put(conductors__W3__to="start.neg", job__practice="amateur"),
        {("sensor-bypassed", "conductors.W3"), ("negative-at-post-unfused", "conductors.W3")},
    ),
    "hazel: negative to the post, with a fuse": (
        "hazel",
        [
            Add(Path("nodes", "F3"), {"part": "fuse:blade-10", "at": "battery"}), *put(conductors__W3__to="F3.a"),
            Add(Path("conductors", "W9"), {"cable": "cable:thinwall-2.5", "from": "F3.b", "to": "start.neg",
                                           "length": "0.15 m"}),
        ],
        {("sensor-bypassed", "conductors.W9")},
    ),
    "hazel: fuse moved to 0.9 m from the post": (
        "hazel", put(conductors__W1__length="0.9 m"), {("fuse-far-from-source", "nodes.F1")},
    ),
    "hazel: the row 2.5 mm auto": (
        "hazel", put(**cabled("cable:auto-2.5", *LEADS)),
        {
            ("volts-below-minimum", "nodes.vhf"), ("fuse-above-ampacity", "nodes.F1"),
            *((check, f"conductors.{name}") for name in LEADS
              for check in ("ambiguous-size", "catalog-row-inconsistent", "mechanically-thin")),
        },
    ),
    "larch: no fuse at the auxiliary": (
        "larch", put(conductors__W4__to="aux.pos"),
        {("charge-link-unfused", "conductors.W4"), ("unfused-source", "conductors.W4")},
    ),
    "larch: auxiliary in the engine bay": (
        "larch", put(nodes__aux__at="battery"), {("lithium-too-hot", "nodes.aux")},
    ),
    "larch: 16 mm2 of copper-clad aluminium": (
        "larch", put(conductors__W2__cable="cable:clad-16"),
        {("not-copper", "conductors.W2"), ("fuse-above-ampacity", "nodes.F1")},
    ),
    "larch: a relay that senses volts instead of the charger": (
        "larch",
        [
            Remove(Path("nodes", "dcdc")), Add(Path("nodes", "link"), {"part": "relay:volts-80", "at": "rear"}),
            Add(Path("conductors", "X1"), {"cable": "cable:thinwall-16", "from": "F1.b", "to": "link.a",
                                           "route": ["bay", "cabin"]}),
            Add(Path("conductors", "X2"), {"cable": "cable:thinwall-16", "from": "link.b", "to": "F2.a",
                                           "length": "0.6 m"}),
        ],
        {("charger-type-mismatch", "nodes.link")},
    ),
    "alder: a tap at the centre": (
        "alder", put(conductors__W6__from="b1.pos", conductors__W8__to="strap.stud"),
        {("tap-reversed-by-isolator", "nodes.vhf")},
    ),
    "wren: a wire clipped to the orange cable": (
        "wren", put(runs__rear__beside={"high-voltage": "0 mm"}), {("near-high-voltage", "runs.rear")},
    ),
    "tern: a hull bolt as return": (
        "tern",
        [Add(Path("nodes", "bolt"), {"part": "body-point", "at": "helm"}), *put(conductors__W3__to="bolt.stud")],
        {("body-return-not-allowed", "nodes.vhf")},
    ),
    "juniper: a blade fuse as main of the battery": (
        "juniper", put(nodes__F0__part="fuse:blade-30"), {("breaking-capacity-low", "nodes.F0")},
    ),
}

# "2.5 mm" of a list of outside diameters: 0.64 mm2, 29.7 mohm/m where 7.60 was meant
AUTO = (
    "part,title,area_mm2,ohm_per_km,od_mm,insulation_c,source,confidence\n"
    "cable:auto-2.5,auto cable 2.5 mm,0.64,29.7,2.5,105,a list of outside diameters,invented\n"
)


@pytest.fixture(scope="module")
def shelf(tmp_path_factory):
    folder: FilePath = tmp_path_factory.mktemp("seeded")
    (folder / "catalogs").mkdir()
    (folder / "catalogs" / "auto.csv").write_text(AUTO, encoding="utf-8")
    return open_shelf(folder / "design.toml")


@pytest.mark.parametrize("fault", FAULTS)
def test_a_seeded_fault_is_found(fault, shelf):
    name, edits, expected = FAULTS[fault]
    only = sorted({check for check, _ in expected})
    before = rigfeed.assess(changed(name), shelf=shelf, only=only)
    assert not expected & names(before)
    after = rigfeed.assess(changed(name, *edits), shelf=shelf, only=only)
    assert expected <= names(after)
    if "orange" in fault:
        assert [finding.severity for finding in after.findings] == ["error"]


def test_every_demonstration_has_a_fault_of_its_own():
    assert {name for name, _, _ in FAULTS.values()} == set(examples())


@pytest.mark.parametrize("name", examples())
def test_a_label_missing_on_one_end(name):
    facts = {"labelled": False}
    found = names(rigfeed.assess(changed(name, conductors__W2__to_facts=facts), only=["label-missing"]))
    assert ("label-missing", "conductors.W2.to_facts") in found


@pytest.mark.parametrize("name", examples())
def test_a_hole_1_mm_smaller_than_the_plug(name):
    """Pulled with both ends fitted: a hole 1 mm wider than its ends need lets it through, one 1 mm smaller does not."""
    ends = {"conductors__W14__ends": ["connector:uhf-plug-10"] * 2} if name == "tern" else {}  # soldered at the mast
    installation = rigfeed.assess(changed(name, **ends), only=[]).installation
    hole = next(iter(installation.passages.values()))
    conductor = installation.conductors[hole.conductors[0]]
    sizes = [end.fitting.rigid for core in conductor.cores for end in (core.start, core.end) if end.fitting]
    settings = [installation.nodes[end.node].settings for end in conductor.ends]
    sizes += [own.holder.rigid for own in settings if getattr(own, "holder", None)]
    needs_mm = [rigid.hole_mm for rigid in sizes if rigid is not None]
    both = {f"conductors__{conductor.id}__{side}_facts": {"fitted-before-pulling": True} for side in ("from", "to")}
    plain = [Set(Path("passages", hole.id, key), value) for key, value in (("existing", []), ("edge", "grommet"))]
    bore = [Remove(Path("passages", hole.id, "bore"))] if hole.bore_mm is not None else []
    for diameter_mm, sticks in ((min(needs_mm) - 1, True), (max(needs_mm) + 1, False)):
        wide = Set(Path("passages", hole.id, "diameter"), f"{diameter_mm:.2f} mm")
        design = changed(name, *plain, *bore, wide, **both, **ends)
        found = names(rigfeed.assess(design, only=["will-not-pass"]))
        assert (("will-not-pass", f"conductors.{conductor.id}") in found) is sticks


def test_what_a_meter_should_read_at_the_fuse_of_hazel():
    """0.07 V at 6.5 A over a fuse with its holder that loses 100 mV at 10 A: 0.25 V there is a bad holder."""
    operating = rigfeed.assess(changed("hazel"), only=[])[OPERATING]
    assert operating.between("all-keyed-engine-off", "F1.a", "F1.b") == pytest.approx(0.07, rel=0.1)
