"""A design in hand: edits, undo without limit, saving without loss."""

from __future__ import annotations

import pytest

from rigfeed import Path, Remove, Set, example
from rigfeed.beginning import Answers, first_design
from rigfeed.errors import DesignError, FileProblem
from rigfeed.parts.shelf import open_shelf
from rigfeed_gui.logic.work import Work

LENGTH = Path("conductors", "W1", "length")


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "hazel.toml"
    path.write_bytes(example("hazel").read_bytes())
    return path


def test_undo_everything_and_save_gives_the_same_bytes(file):
    before = file.read_bytes()
    work = Work.open(file)
    for number in range(30):
        work.edit([Set(LENGTH, f"0.{number + 16} m")], f"edit {number}")
    work.edit([Remove(Path("nodes", "vhf"))], "removing vhf")
    work.save()
    assert file.read_bytes() != before
    while work.undoes is not None:
        work.undo()
    assert work.dirty
    work.save()
    assert file.read_bytes() == before
    assert not work.dirty


def test_redo_goes_the_same_way_again_until_something_else_is_done(file):
    work = Work.open(file)
    work.edit([Set(LENGTH, "0.2 m")], "first")
    work.edit([Set(LENGTH, "0.3 m")], "second")
    work.undo()
    work.undo()
    assert (work.undoes, work.redoes) == (None, "first")
    work.redo()
    assert work.design.conductors["W1"].length.text == "0.2 m"
    assert (work.undoes, work.redoes) == ("first", "second")
    work.edit([Set(LENGTH, "0.4 m")], "other")
    assert work.redoes is None
    work.redo()
    assert work.design.conductors["W1"].length.text == "0.4 m"


def test_the_version_grows_with_every_change_and_with_nothing_else(file):
    work = Work.open(file)
    seen = [work.version]
    for change in (lambda: work.edit([Set(LENGTH, "0.2 m")], "x"), work.undo, work.redo):
        change()
        seen.append(work.version)
    assert seen == sorted(set(seen))
    work.redo()
    work.edit([Set(LENGTH, "0.2 m")], "the same again")
    work.save()
    assert work.version == seen[-1]
    assert work.undoes == "x"


def test_an_edit_that_is_refused_changes_nothing(file):
    work = Work.open(file)
    before = work.design
    with pytest.raises(DesignError):
        work.edit([Set(LENGTH, "0.2 m"), Set(Path("conductors", "W2", "length"), "-3 m")], "two")
    assert work.design is before
    assert (work.version, work.undoes, work.dirty) == (0, None, False)


def test_what_another_program_wrote_is_not_overwritten(file):
    work = Work.open(file)
    work.edit([Set(LENGTH, "0.2 m")], "mine")
    assert not work.changed_on_disk()
    file.write_text(file.read_text().replace("small hatchback", "large hatchback"))
    assert work.changed_on_disk()
    with pytest.raises(FileProblem, match="another program"):
        work.save()
    assert "large hatchback" in file.read_text()
    work.read_again()
    assert "large hatchback" in work.title
    assert not work.dirty
    work.undo()
    assert work.design.conductors["W1"].length.text == "0.2 m"
    work.save()
    assert "small hatchback" in file.read_text()


def test_a_file_that_cannot_be_read_again_leaves_the_work_as_it_was(file):
    work = Work.open(file)
    before = work.design
    file.write_text("[")
    with pytest.raises(DesignError):
        work.read_again()
    assert work.design is before
    assert work.undoes is None


def test_another_name_takes_comments_along_and_replaces_what_is_there(file, tmp_path):
    other = tmp_path / "other.toml"
    other.write_text("something else")
    work = Work.open(file)
    work.edit([Set(LENGTH, "0.2 m")], "x")
    work.save_as(other)
    assert work.path == other
    assert not work.dirty
    assert file.read_bytes() == example("hazel").read_bytes()
    assert other.read_text() == file.read_text().replace('"0.15 m", colour = "RD"', '"0.2 m", colour = "RD"')
    work.undo()
    work.save()
    assert other.read_bytes() == file.read_bytes()


def test_the_catalogs_beside_the_new_place_count(file, tmp_path):
    beside = tmp_path / "there" / "catalogs"
    beside.mkdir(parents=True)
    head = "part,title,family,rated_a,rated_v,drop_mv,breaking_a,source,confidence\n"
    (beside / "own.csv").write_text(head + "fuse:own-10,own 10 A,C,10,32,100,1000,a list,invented\n")
    work = Work.open(file)
    version = work.version
    work.save_as(tmp_path / "there" / "hazel.toml")
    assert work.shelf.part("fuse:own-10").title == "own 10 A"
    assert work.version > version  # what was assessed with the other catalogs is not valid any more


def test_a_first_design_keeps_its_remarks_when_it_is_saved(tmp_path):
    answers = Answers("Birch", "radio:vhf-25", "battery:flooded-45", "0.15 m", "0.9 m", "2.4 m", "0.4 m")
    text = first_design(answers, open_shelf())
    work = Work.fresh(text)
    assert (work.path, work.dirty, work.title) == (None, True, "Birch")
    with pytest.raises(ValueError, match="no file"):
        work.save()
    work.save_as(tmp_path / "birch.toml")
    assert (tmp_path / "birch.toml").read_text() == text
    assert not work.dirty


def test_a_demonstration_is_nothing_to_lose_until_it_is_edited():
    work = Work.fresh(example("hazel").read_text(), kept=True)
    assert not work.dirty
    work.edit([Set(LENGTH, "0.2 m")], "x")
    assert work.dirty
    work.undo()
    assert not work.dirty


def test_a_file_that_was_deleted_is_written_anew(file):
    work = Work.open(file)
    file.unlink()
    assert not work.changed_on_disk()
    work.save()
    assert file.read_bytes() == example("hazel").read_bytes()
