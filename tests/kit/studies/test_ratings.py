"""The window of every fuse: both bounds against sums by hand, what fits against what the checks say of it."""

from __future__ import annotations

import pytest
from tests.kit.resolve.bench import TextFile

import rigfeed
from rigfeed import Add, Path, Set, apply, assess
from rigfeed.design.file import parse
from rigfeed.parts.shelf import Shelf, open_shelf
from rigfeed.registry import installed_registry
from rigfeed.studies.ratings import RATINGS, Window
from rigfeed.studies.ratings.least import stands_multiple

JUDGES = (
    "fuse-above-ampacity", "fuse-above-equipment-limit", "fuse-loaded-too-close", "holder-underrated",
    "fault-not-cleared-in-time", "fault-heats-conductor", "body-fault-not-cleared",
)
# 0.2 m and 1.4 m at 90 degC, 5.2 m at 45 degC, 0.8 m of return over a stud: a charger of 40 A that charges a battery
PLAIN = """part,title,area_mm2,ohm_per_km,od_mm,source,confidence
cable:plain-16,nobody knows its insulation,16,1.16,8.3,test,invented
"""
CAMPER = """format = 1
[vehicle]
system_voltage = "12 V"
[zones]
bay = {{ warmest = "90 degC" }}
cabin = {{ warmest = "45 degC" }}
[points]
battery = {{ zone = "bay" }}
wall = {{ zone = "cabin" }}
rear = {{ zone = "cabin" }}
[runs]
bay = {{ from = "battery", to = "wall", length = "1.4 m", zone = "bay" }}
cabin = {{ from = "wall", to = "rear", length = "5.2 m", zone = "cabin" }}
[nodes]
start = {{ part = "battery:agm-80", at = "battery", settings = {{ rest_voltage = "13.1 V" }} }}
strap = {{ part = "body-point", at = "battery", settings = {{ resistance = "0 mohm" }} }}
F1 = {{ part = "fuse:hi-{rated}", at = "battery" }}
dcdc = {{ part = "charger:dcdc-40", at = "rear", settings = {{ enable = "volts" }} }}
stud = {{ part = "body-point", at = "rear" }}
[conductors]
W1 = {{ cable = "cable:thinwall-{size}", from = "start.pos", to = "F1.a", length = "0.2 m" }}
W2 = {{ cable = "cable:thinwall-{size}", from = "F1.b", to = "dcdc.in-pos", route = ["bay", "cabin"] }}
W3 = {{ cable = "cable:thinwall-{size}", from = "dcdc.in-neg", to = "stud.stud", length = "0.8 m" }}
V1 = {{ cable = "cable:thinwall-35", from = "start.neg", to = "strap.stud", length = "0.3 m", origin = "vehicle" }}
[states]
charging = {{ title = "battery behind it empty", modes = {{ dcdc = "full" }} }}
"""


def window_of(design, device: str, *, shelf: Shelf | None = None) -> Window:
    return assess(design, only=[], shelf=shelf)[RATINGS].windows[device]


def reasons(window: Window, side: str) -> list[str]:
    return [bound.text() for bound in getattr(window, side)]


@pytest.fixture(scope="module")
def alder():
    return rigfeed.load(rigfeed.example("alder"))


def test_the_window_of_the_truck_is_that_of_the_hand_calculation(alder):
    """20 A out at 13.8 V and 88 % are 315 W with the standby; at 21 V less 1.26 V in the leads 15.9 A, over 0.8 19.9 A;
    4 mm2 carries 39 A at 30 degC, at 70 degC sqrt(35/75) of that: 26.6 A."""
    window = window_of(alder, "F1")
    assert window.least_a == pytest.approx(15.9 / 0.8, rel=0.01)
    assert window.most_a == pytest.approx(26.6, rel=0.005)
    assert window.fits(20.0)
    assert window.best_a == 20.0
    assert "carries 15.9 A when what converts behind it gives all it can" in reasons(window, "least")[0]
    assert reasons(window, "most")[0].startswith("W1 carries 26.6 A for hours in chassis")
    assert window.most[0].authority.startswith("fire-apparatus")


def test_a_thinner_wire_closes_it(alder):
    """2.5 mm2 carries 29 A at 30 degC, 19.8 A at 70 degC."""
    window = window_of(apply(alder, [Set(Path("conductors", "W2", "cable"), "cable:thinwall-2.5")]), "F1")
    assert window.most_a == pytest.approx(19.8, rel=0.005)
    assert (window.is_open, window.fitting_a, window.best_a) == (False, (), None)
    assert str(window.most[0].subject) == "conductors.W2"


def test_what_a_converter_gives_for_a_moment_needs_no_room_for_warm_air(alder):
    """15 A for hours are 11.8 A at the input; air of 70 degC leaves 90.6 % of the family: 16.3 A."""
    wished = window_of(alder, "F1").wished
    assert wished is not None
    assert wished.rating_a == pytest.approx(11.8 / 0.8 / 0.906, rel=0.005)


def test_the_window_of_the_camper_is_that_of_the_hand_calculation():
    """40 A at 14.4 V and 90 % are 640 W and the standby; with 12.6 V at the post 11.6 V are left at the input: 55 A,
    over 0.8 69 A, so 70 A; 25 mm2 leaves 11.9 V, and 67 A. 16 mm2 carries 49 A in the bay, 25 mm2 76 A by the figure of
    its supplier; the table has 160 A for 4 AWG at 30 degC, so 160 sqrt(15/75) = 71.6 A there: lower, and it governs."""
    thin = window_of(parse(CAMPER.format(size=16, rated=70)), "F1")
    assert thin.least_a == pytest.approx(69, rel=0.02)
    assert thin.most_a == pytest.approx(49, rel=0.01)
    assert not thin.is_open
    thick = window_of(parse(CAMPER.format(size=25, rated=70)), "F1")
    assert thick.least_a == pytest.approx(67, rel=0.01)
    assert thick.most_a == pytest.approx(71.6, rel=0.005)
    assert "supplier's" not in reasons(thick, "most")[0]
    assert thick.fitting_a == (70.0,)
    assert thick.wished is not None
    assert thick.wished.rating_a > thick.most_a  # in air of 90 degC a fuse should have more room than the wire leaves


def test_a_charger_behind_its_lock_out_takes_no_more_than_at_it(alder):
    """It stops below 12.0 V: 640.5 W at 12.0 V are 53.4 A, however flat the battery."""
    text = CAMPER.format(size=16, rated=70).replace('modes = { dcdc = "full" }', 'modes = { dcdc = "on" }')
    window = window_of(parse(text), "F1")
    assert window.least_a == pytest.approx((40 * 14.4 / 0.9 + 0.5) / 12.0 / 0.8, rel=0.01)


def test_what_a_charger_gives_flows_through_the_fuse_at_the_battery_behind_it():
    larch = rigfeed.load(rigfeed.example("larch"))
    window = window_of(larch, "F2")
    assert window.least_a == pytest.approx(20.0 / 0.8, rel=0.01)


def test_the_maker_the_holder_and_its_leads_limit_it():
    hazel = rigfeed.load(rigfeed.example("hazel"))
    edits = [
        Set(Path("nodes", "F1", "part"), "fuse:f-10"),
        Set(Path("nodes", "F1", "settings", "holder"), "holder:f-inline-20"),
    ]
    most = window_of(apply(hazel, edits), "F1").most
    by_text = {bound.text(): bound.rating_a for bound in most}
    assert by_text["the maker of VHF set 25 W states a fuse of 10 A"] == 10.0
    assert next(a for text, a in by_text.items() if "is made for" in text) == 20.0
    # 2.5 mm2 lies between 14 AWG (15 A) and 12 AWG (20 A) of the chart: the smaller counts
    assert next(a for text, a in by_text.items() if "the leads of its holder" in text) == 15.0


def test_a_maker_s_fuse_on_the_way_frees_the_larger_one_in_front():
    hazel = rigfeed.load(rigfeed.example("hazel"))
    edits = [
        Set(Path("conductors", "W2", "to"), "F3.a"),
        Add(Path("nodes", "F3"), {"part": "fuse:blade-10", "at": "seat"}),
        Add(Path("conductors", "W8"), {
            "cable": "cable:thinwall-2.5", "from": "F3.b", "to": "vhf.pos", "length": "0.2 m",
        }),
    ]
    windows = assess(apply(hazel, edits), only=[])[RATINGS].windows
    assert windows["F3"].most_a == 10.0
    assert not [text for text in reasons(windows["F1"], "most") if "the maker of" in text]


def test_a_fuse_stands_the_first_moment_of_what_it_feeds():
    """Type E opens after 0.2 s at 3.5 times at the earliest, from there with constant I2t: 5 ms at 3.5 sqrt(0.2/0.005)
    = 22.1 times its rating."""
    fuse = open_shelf().part("fuse:e-40")
    assert stands_multiple(fuse, 0.005, 25.0) == pytest.approx(22.14, rel=1e-3)
    glass = open_shelf().part("fuse:glass-10")
    assert stands_multiple(glass, 0.005, 25.0) is None  # nothing is known beyond 1.1 times


def test_what_is_not_known_is_said():
    text = CAMPER.format(size=16, rated=70).replace('thinwall-16", from = "F1.b', 'plain-16", from = "F1.b')
    shelf = Shelf(installed_registry(), (TextFile("plain", PLAIN),))
    window = window_of(parse(text), "F1", shelf=shelf)
    assert "what W2 carries is not known" in window.unknown


CASES = [
    ("hazel", "F1", "fuse:blade-7.5"), ("hazel", "F1", "fuse:blade-10"), ("hazel", "F1", "fuse:blade-15"),
    ("larch", "F1", "fuse:hi-30"), ("larch", "F1", "fuse:hi-45"), ("larch", "F1", "fuse:hi-50"),
    ("hazel", "F2", "fuse:c-10"), ("hazel", "F2", "fuse:blade-30"),
]


@pytest.mark.parametrize(("example", "device", "part"), CASES)
def test_a_rating_fits_where_no_check_has_anything_against_it(example, device, part):
    design = rigfeed.load(rigfeed.example(example))
    fitted = apply(design, [Set(Path("nodes", device, "part"), part)])
    assessment = assess(fitted, only=JUDGES)
    window = assessment[RATINGS].windows[device]
    against = {
        finding.check for finding in assessment.findings
        if finding.severity != "advice" and Path("nodes", device) in (finding.subject, *finding.also)
    }
    assert window.fits(window.device.rated_a) == (not against), against


def test_the_remedy_names_what_would_fit_or_why_nothing_does(alder):
    def remedy(check: str, **edits: str) -> str:
        changed = [Set(Path.parse(path.replace("__", ".")), value) for path, value in edits.items()]
        findings = assess(apply(alder, changed), only=[check]).findings
        return next(finding.advice() for finding in findings if str(finding.subject) == "nodes.F1")

    small = remedy("fuse-loaded-too-close", nodes__F1__part="fuse:blade-7.5")
    assert "Of its family 25 A would fit: at least 20.1 A (F1), at most 26.6 A (W1)." in small
    thin = remedy("fuse-above-ampacity", conductors__W2__cable="cable:thinwall-2.5")
    assert thin.endswith("No rating fits here: it takes at least 20.3 A (F1), and at most 19.8 A (W2) is allowed.")
