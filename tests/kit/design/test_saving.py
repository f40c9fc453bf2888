"""Reading and saving: what was given comes back, and saving touches only the lines that an edit concerns."""

from __future__ import annotations

import difflib
import os
import random

import pytest
from tests.kit.design.made import FILES, random_edit, text_of

from rigfeed.design import patch
from rigfeed.design.edit import Add, Remove, Rename, Set, apply
from rigfeed.design.file import DesignFile, from_text, read
from rigfeed.design.patch import patched
from rigfeed.design.schema import from_plain, to_plain
from rigfeed.design.values import same, toml_value
from rigfeed.errors import InputError
from rigfeed.path import Path

FILES_AND_SEEDS = [(name, seed) for name in FILES for seed in range(15)]
at = Path.parse


def changed(old: str, new: str) -> list[str]:
    """The lines that differ, as "-line" and "+line"."""
    rows = difflib.unified_diff(old.splitlines(), new.splitlines(), n=0, lineterm="")
    return [row for row in rows if not row.startswith(("---", "+++", "@@"))]


def random_edits(design, rng, count):
    """The designs after each of some edits that fit."""
    designs = [design]
    while len(designs) <= count:
        try:
            designs.append(apply(designs[-1], [random_edit(designs[-1], rng)]))
        except InputError:
            continue
    return designs


# plain data


@pytest.mark.parametrize("name", FILES)
def test_plain_data_comes_back_as_it_was_given(name):
    design, data = from_text(text_of(name))
    plain = to_plain(design)
    assert same(to_plain(from_plain(plain)), plain)
    assert from_plain(plain) == design
    for deviation in data.get("deviations", []):  # a date comes back as text
        deviation.update({key: str(value) for key, value in deviation.items() if key == "on"})
    assert same(plain, {key: value for key, value in data.items() if value})


def test_what_the_reader_fills_in_is_not_given_back():
    assert to_plain(from_plain({"format": 1, "states": {"tx": {}}, "job": {}})) == {"format": 1, "states": {"tx": {}}}


@pytest.mark.parametrize("name", FILES)
def test_the_order_of_tables_in_the_file_is_no_part_of_the_design(name):
    _, data = from_text(text_of(name))
    backwards = {
        key: dict(reversed(value.items())) if isinstance(value, dict) else value
        for key, value in reversed(data.items())
    }
    assert from_plain(backwards) == from_plain(data)
    assert hash(from_plain(backwards).nodes) == hash(from_plain(data).nodes)


# saving


@pytest.mark.parametrize("name", FILES)
def test_saving_what_was_read_changes_no_byte(name, tmp_path):
    (tmp_path / "d.toml").write_bytes(text_of(name).encode())
    DesignFile.open(tmp_path / "d.toml").save()
    assert (tmp_path / "d.toml").read_bytes() == text_of(name).encode()


@pytest.mark.parametrize(("name", "seed"), FILES_AND_SEEDS)
def test_whatever_is_edited_the_file_holds_it_and_undoing_all_restores_every_byte(name, seed, tmp_path):
    file = tmp_path / "d.toml"
    file.write_bytes(text_of(name).encode())
    opened, rng = DesignFile.open(file), random.Random(seed)
    designs = random_edits(opened.design, rng, 6)
    for design in rng.sample(designs, 3):
        opened.save(design)
        assert same(to_plain(read(file)), to_plain(design))
    opened.save(designs[0])
    assert file.read_bytes() == text_of(name).encode()
    assert os.listdir(tmp_path) == ["d.toml"]


def remarks(text: str) -> list[str]:
    """Lines that are nothing but a remark."""
    return [row for row in text.splitlines() if row.startswith("#")]


@pytest.mark.parametrize("seed", range(40))
def test_no_remark_on_a_line_of_its_own_is_ever_lost_or_moved(seed):
    text = text_of("styled")
    for design in random_edits(from_text(text)[0], random.Random(seed), 6)[1:]:
        new = patched(text, to_plain(design))
        assert remarks(new) == remarks(text_of("styled"))
        text = new


@pytest.mark.parametrize("seed", range(20))
def test_without_removals_every_line_that_holds_no_edited_value_stays(seed):
    text, rng = text_of("styled"), random.Random(seed)
    design = from_text(text)[0]
    name = rng.choice(sorted(design.conductors))
    edited = apply(design, [Set(Path("conductors", name, "length"), "9.99 m"), Set(at("job.title"), "new")])
    lost = [row[1:] for row in changed(text, patched(text, to_plain(edited))) if row[0] == "-"]
    assert len(lost) <= 2
    assert all(row.startswith(("length", "title")) for row in lost)


NEW = {"cable": "cable:thinwall-1", "from": "F1.a", "to": "stud.stud"}

# edit, lines that go (-) and come (+)
TOUCHED = {
    "inline": [
        (Set(at("job.title"), "T"), ['-title = "Alder: small hatchback, VHF 25 W"', '+title = "T"']),
        (
            Set(at("zones.bay.warmest"), "90 degC"),
            [
                '-bay = { title = "engine bay", warmest = "85 degC", coldest = "-20 degC", wet = true }',
                '+bay = { title = "engine bay", warmest = "90 degC", coldest = "-20 degC", wet = true }',
            ],
        ),
        (
            Set(at("vehicle.battery_sensor"), False),
            [
                "-battery_sensor = true            # on the negative post",
                "+battery_sensor = false            # on the negative post",
            ],
        ),
        (
            Rename(at("points.roof"), "rack"),
            [
                '-roof = { zone = "cabin" }',
                '+rack = { zone = "cabin" }',
                '-headlining = { from = "seat", to = "roof", length = "4.0 m", zone = "cabin" }',
                '+headlining = { from = "seat", to = "rack", length = "4.0 m", zone = "cabin" }',
                '-ant = { part = "antenna:vhf-quarter", at = "roof" }',
                '+ant = { part = "antenna:vhf-quarter", at = "rack" }',
            ],
        ),
        (
            Remove(at("passages.H1.title")),
            [
                '-H1 = { run = "bay", diameter = "12 mm", edge = "grommet", title = "blank grommet in the firewall" }',
                '+H1 = { run = "bay", diameter = "12 mm", edge = "grommet" }',
            ],
        ),
        (Add(at("conductors.W9"), NEW), ['+W9 = { from = "F1.a", to = "stud.stud", cable = "cable:thinwall-1" }']),
        (Add(at("states.tx"), {"engine": "on"}), ["+", "+[states.tx]", '+engine = "on"']),
        (
            Remove(at("passages.H1")),
            [
                "-[passages]",
                '-H1 = { run = "bay", diameter = "12 mm", edge = "grommet", title = "blank grommet in the firewall" }',
                "-",
            ],
        ),
        (
            Set(at("nodes.stud.facts.paint-removed"), True),
            [
                '-stud = { part = "body-point", at = "seat" }',
                '+stud = { part = "body-point", at = "seat", facts = { paint-removed = true } }',
            ],
        ),
    ],
    "styled": [
        (Set(at("conductors.W2.length"), "160 mm"), ['-length = "150 mm"', '+length = "160 mm"']),
        (
            Set(at("nodes.start.settings.rest_voltage"), "12.6 V"),
            [
                '-rest_voltage = "12.4 V"          # after a night',
                '+rest_voltage = "12.6 V"          # after a night',
            ],
        ),
        (
            Set(at("job.note"), "one line"),
            ['-note = """', "-Two lines,", '-the second with a # that is no remark."""', '+note = "one line"'],
        ),
        (
            Set(at("conductors.W1.from"), ["F1.a", "F2.b"]),
            ['-    "F1.b",                      # red', '+    "F1.a",                      # red'],
        ),
        (
            Set(at("nodes.F1.settings.holder"), "holder:x"),
            ['-settings.holder = "holder:inline-maxi"', '+settings.holder = "holder:x"'],
        ),
        (Set(at("nodes.F1.settings.more"), 2), ["+settings.more = 2"]),
        (Set(at("nodes.start.settings.charge"), "90 %"), ['+charge = "90 %"']),
        (Set(at("vehicle.facts.in-sight"), True), ["+facts.in-sight = true"]),
        (Remove(at('vehicle.facts."shop.jump-points-found"')), ['-facts."shop.jump-points-found" = false']),
        (
            Rename(at("nodes.F1"), "MAIN"),
            [
                "-[nodes.F1]", "+[nodes.MAIN]",
                '-    "F1.b",                      # red', '+    "MAIN.b",                      # red',
                '-to = "F1.a"', '+to = "MAIN.a"',
                "-nodes = { start = [0, 0], F1 = [40, 0], hf = [200, 30] }",
                "+nodes = { start = [0, 0], MAIN = [40, 0], hf = [200, 30] }",
            ],
        ),
        (
            Rename(at("conductors.W4"), "BOND"),
            [
                "-[conductors.W4]                  # bonding of the case",
                "+[conductors.BOND]                  # bonding of the case",
            ],
        ),
        (
            Rename(at("nodes.start"), "main"),
            [
                "-[nodes.start]", "+[nodes.main]", "-[nodes.start.settings]", "+[nodes.main.settings]",
                '-from = "start.pos"', '+from = "main.pos"', '-from = "start.neg"', '+from = "main.neg"',
                '-start = { start = "80 %" }', '+start = { main = "80 %" }',
                "-nodes = { start = [0, 0], F1 = [40, 0], hf = [200, 30] }",
                "+nodes = { main = [0, 0], F1 = [40, 0], hf = [200, 30] }",
            ],
        ),
        (
            Add(at("conductors.W9"), NEW),
            ["+", "+[conductors.W9]", '+cable = "cable:thinwall-1"', '+from = "F1.a"', '+to = "stud.stud"'],
        ),
        (Remove(at("passages.H2")), ["-[passages.H2]", '-run = "pillar"', "-"]),
        (
            Remove(at("conductors.W3")),
            [
                "-[conductors.W3]", '-cable = "cable:thinwall-6"', '-from = "start.neg"', '-to = "F2.a"',
                '-length = "0.15 m"', "-",
                "-[[deviations]]", '-check = "return-far"', '-subject = "conductors.W3"',
                '-reason = "the maker asks for it"', '-by = "A. Fitter"', "-on = 2026-05-31", "-",
            ],
        ),
        (
            Add(at("deviations.2"), {"check": "c", "subject": "vehicle", "reason": "r", "by": "b"}),
            ["+", "+[[deviations]]", '+check = "c"', '+subject = "vehicle"', '+reason = "r"', '+by = "b"'],
        ),
        (
            Set(at("duty.callout.steps.1.time"), "9 min"),
            [
                '-    { state = "rx", time = "8 min" },   # listening',
                '+    { state = "rx", time = "9 min" },   # listening',
            ],
        ),
        (Remove(at("duty.callout.steps.1")), ['-    { state = "rx", time = "8 min" },   # listening']),
        (Add(at("duty.callout.steps.3"), {"state": "rx", "time": "1 h"}), ['+    { state = "rx", time = "1 h" },']),
        (Set(at("drawing.conductors.W1.bend"), 13), ["-W1 = { bend = 12.5 }", "+W1 = { bend = 13 }"]),
        (Set(at("drawing.conductors.W2"), {"bend": 1}), ["+W2 = { bend = 1 }"]),
        (Add(at("zones.roof"), {"warmest": "60 degC"}), ["+", "+[zones.roof]", '+warmest = "60 degC"']),
    ],
}


@pytest.mark.parametrize(
    ("name", "edit", "lines"),
    [(name, edit, lines) for name, rows in TOUCHED.items() for edit, lines in rows],
    ids=lambda value: f"{type(value).__name__}-{value.path}" if hasattr(value, "path") else None,
)
def test_an_edit_touches_the_lines_that_it_concerns(name, edit, lines):
    text = text_of(name)
    new = patched(text, to_plain(apply(from_text(text)[0], [edit])))
    assert sorted(changed(text, new)) == sorted(lines)


# a value in the file, the value wanted, the text wanted
RESPACED = [
    ('["a", "b"]', ["a", "b", "c"], '["a", "b", "c"]'),
    ('["a", "b"]', ["a"], '["a"]'),
    ('["a", "b"]', ["b"], '["b"]'),
    ('[ "a" ,"b" , ]', ["x", "a", "b"], '[ "x", "a" ,"b" , ]'),
    ('[ "a" ,"b" , ]', ["a"], '[ "a" ]'),
    ("[1, 2, 3]", [1, 9, 3], "[1, 9, 3]"),
    ("['a', 'b']", ["a", "c"], "['a', \"c\"]"),
    ("[]", [1], "[1]"),
    ("[1]", [], "[]"),
    ("[1, [2, 3]]", [1, [2, 3, 4]], "[1, [2, 3, 4]]"),
    ("{ a = 1, b = 2 }", {"a": 1}, "{ a = 1 }"),
    ("{ a = 1, b = 2 }", {"b": 2}, "{ b = 2 }"),
    ("{a=1,b=2}", {"a": 1, "b": 3, "c": 4}, "{a=1,b=3, c = 4}"),
    ("{ a.b = 1 }", {"a": {"b": 1}, "c": 2}, "{ a = { b = 1 }, c = 2 }"),
    (
        '[\n  1, # one\n  2, # two\n  # of three\n  3 # three\n]',
        [1, 3],
        "[\n  1, # one\n  # of three\n  3 # three\n]",
    ),
    (
        '[\n  1, # one\n  # of two\n  2, # two\n  3 # three\n]',
        [1, 3],
        "[\n  1, # one\n  # of two\n  3 # three\n]",
    ),
    ("[\n  1, # one\n  2 # two\n]", [1, 2, 3], "[\n  1, # one\n  2, # two\n  3,\n]"),
    ("[\n  1, # one\n  2, # two\n]", [0, 1, 2], "[\n  0,\n  1, # one\n  2, # two\n]"),
    ("[\n  1, # one\n  2, # two\n]", [1], "[\n  1, # one\n]"),
    ("[\n  1,\n  2,\n  # the end\n]", [1], "[\n  1,\n  # the end\n]"),
    ("[ # begin\n  1,\n]", [1, 2], "[ # begin\n  1,\n  2,\n]"),
    ("[1, # one\n 2, 3]", [1, 3], "[1, # one\n 3]"),
    ("[1, # one\n 2, 3]", [2, 3], "[ # one\n 2, 3]"),
    ("[1, # one\n 2, 3]", [1, 2, 3, 4], "[1, # one\n 2, 3, 4]"),
]


@pytest.mark.parametrize(("old", "value", "new"), RESPACED)
def test_lists_and_tables_on_a_line_keep_their_layout(old, value, new):
    text = f"format = 1\n[nodes.F1.settings]\nx = {old}   # behind\n"
    edited = apply(from_text(text)[0], [Set(at("nodes.F1.settings.x"), value)])
    assert patched(text, to_plain(edited)) == f"format = 1\n[nodes.F1.settings]\nx = {new}   # behind\n"


@pytest.mark.parametrize("seed", range(20))
def test_lists_of_any_layout_take_any_change(seed):
    rng = random.Random(seed)
    for _ in range(20):
        items = [rng.choice([1, 2, "a", "b", [1], {"k": 1}]) for _ in range(rng.randint(0, 5))]
        wanted = [item for item in items if rng.random() < 0.7]
        for _ in range(rng.randint(0, 2)):
            wanted.insert(rng.randint(0, len(wanted)), rng.choice([3, "c", {"k": 2}, [1, 2]]))
        gaps = ["", " ", "\n  ", " # no, really [\n", "\n# x\n# y\n"]
        body = "".join(f"{rng.choice(gaps)}{toml_value(item)}{rng.choice(gaps)}," for item in items)
        body = body if rng.random() < 0.5 else body[:-1]
        text = f"format = 1\n[nodes.F1.settings]\nx = [{body}{rng.choice(gaps)}]\ny = 1\n"
        edited = apply(from_text(text)[0], [Set(at("nodes.F1.settings.x"), wanted)])
        assert same(to_plain(from_text(patched(text, to_plain(edited)))[0]), to_plain(edited))


def test_the_cuts_alone_do_and_nothing_is_written_anew(monkeypatch):
    def anew(*_):
        raise AssertionError

    monkeypatch.setattr(patch, "_by_collection", anew)
    for name in FILES:
        for seed in range(10):
            text = text_of(name)
            for design in random_edits(from_text(text)[0], random.Random(1000 + seed), 4)[1:]:
                text = patched(text, to_plain(design))


@pytest.mark.parametrize("name", FILES)
@pytest.mark.parametrize("broken", [["_spliced"], ["_spliced", "_by_collection"]])
def test_were_a_cut_ever_wrong_no_value_would_be_lost(name, broken, monkeypatch):
    for step in broken:
        monkeypatch.setattr(patch, step, lambda text, _: text.replace("nodes", "codes"))
    for design in random_edits(from_text(text_of(name))[0], random.Random(3), 4):
        assert same(to_plain(from_text(patched(text_of(name), to_plain(design)))[0]), to_plain(design))


@pytest.mark.parametrize("name", FILES)
@pytest.mark.parametrize("seed", range(10))
def test_other_line_ends_stay(name, seed):
    text = text_of(name).replace("\n", "\r\n")
    design = from_text(text)[0]
    edited = random_edits(design, random.Random(seed), 4)[-1]
    new = patched(text, to_plain(edited))
    assert new.count("\r\n") == new.count("\n") == new.count("\r")
    assert new.replace("\r\n", "\n") == patched(text_of(name), to_plain(edited))


def test_in_a_file_of_mixed_line_ends_each_line_keeps_its_own():
    text = 'format = 1\r\n\n[job]\ntitle = "a"\r\nby = "b"\n'
    edited = apply(from_text(text)[0], [Set(at("job.title"), "c"), Set(at("job.revision"), "2")])
    assert patched(text, to_plain(edited)) == 'format = 1\r\n\n[job]\ntitle = "c"\r\nby = "b"\nrevision = "2"\r\n'


def test_a_file_without_a_last_line_end_can_be_added_to():
    text = 'format = 1\n[job]\ntitle = "a"'
    edited = apply(from_text(text)[0], [Set(at("job.by"), "b"), Add(at("points.p"), {})])
    new = patched(text, to_plain(edited))
    assert new.startswith(text + "\n")
    assert from_text(new)[0] == edited
    retitled = apply(from_text(text)[0], [Set(at("job.title"), "c")])
    assert patched(text, to_plain(retitled)) == 'format = 1\n[job]\ntitle = "c"'


def test_a_byte_order_mark_stays(tmp_path):
    (tmp_path / "d.toml").write_bytes(b'\xef\xbb\xbfformat = 1\r\n\r\n[job]\r\ntitle = "a"\r\n')
    opened = DesignFile.open(tmp_path / "d.toml")
    opened.save(apply(opened.design, [Set(at("job.title"), "c")]))
    assert (tmp_path / "d.toml").read_bytes() == b'\xef\xbb\xbfformat = 1\r\n\r\n[job]\r\ntitle = "c"\r\n'


def test_a_changed_type_is_saved_though_python_calls_it_equal(tmp_path):
    (tmp_path / "d.toml").write_text("format = 1\n[nodes.F1.settings]\nx = 1\n")
    opened = DesignFile.open(tmp_path / "d.toml")
    opened.save(apply(opened.design, [Set(at("nodes.F1.settings.x"), True)]))
    assert (tmp_path / "d.toml").read_text() == "format = 1\n[nodes.F1.settings]\nx = true\n"


def test_what_stood_there_empty_is_filled_in_place():
    text = 'format = 1\n[job]\ntitle = ""   # to come\n[nodes]\nF1 = { title = "", settings = {} }\n'
    edits = [Set(at("job.title"), "t"), Set(at("nodes.F1.title"), "u"), Set(at("nodes.F1.settings.x"), 1)]
    new = patched(text, to_plain(apply(from_text(text)[0], edits)))
    assert new == 'format = 1\n[job]\ntitle = "t"   # to come\n[nodes]\nF1 = { title = "u", settings = { x = 1 } }\n'
