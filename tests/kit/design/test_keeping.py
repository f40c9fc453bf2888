"""A design in its file: one that is new, gone, a link, changed by another program, or on a disk that is full."""

from __future__ import annotations

import os

import pytest
from tests.kit.design.made import text_of

from rigfeed.design.edit import Set, apply
from rigfeed.design.file import DesignFile, from_text, read
from rigfeed.errors import FileProblem
from rigfeed.path import Path

at = Path.parse


def test_a_new_design_is_written_with_a_header_for_each_thing(tmp_path):
    design = from_text(text_of("inline"))[0]
    DesignFile.new(tmp_path / "new.toml", design).save()
    assert read(tmp_path / "new.toml") == design
    text = (tmp_path / "new.toml").read_text()
    assert text.startswith('format = 1\n\n[job]\ntitle = "Alder')
    assert '\n[conductors.W6]\nfrom = ["vhf.ant", "vhf.shield"]\nto = ["ant.feed", "ant.shield"]\n' in text


@pytest.mark.parametrize("content", [b"format = 1\n", b"", b"\xff", b"x" * 2**20])
def test_a_file_that_another_program_changed_is_not_overwritten(content, tmp_path):
    file = tmp_path / "d.toml"
    file.write_bytes(text_of("hazel").encode())
    opened = DesignFile.open(file)
    file.write_bytes(content)
    with pytest.raises(FileProblem, match="changed by another program") as caught:
        opened.save(apply(opened.design, [Set(at("job.title"), "mine")]))
    assert caught.value.place.file == str(file)
    assert file.read_bytes() == content


def test_a_file_that_vanished_is_written_again(tmp_path):
    file = tmp_path / "d.toml"
    file.write_bytes(text_of("hazel").encode())
    opened = DesignFile.open(file)
    file.unlink()
    opened.save()
    assert file.read_bytes() == text_of("hazel").encode()


def test_a_symbolic_link_stays_one(tmp_path):
    (tmp_path / "real.toml").write_bytes(text_of("hazel").encode())
    (tmp_path / "link.toml").symlink_to("real.toml")
    opened = DesignFile.open(tmp_path / "link.toml")
    opened.save(apply(opened.design, [Set(at("job.title"), "mine")]))
    assert (tmp_path / "link.toml").is_symlink()
    assert read(tmp_path / "real.toml").job.title == "mine"


def test_what_could_not_be_read_again_is_not_written(tmp_path):
    file = tmp_path / "d.toml"
    file.write_bytes(text_of("hazel").encode())
    opened = DesignFile.open(file)
    with pytest.raises(FileProblem, match="larger than 1 MiB"):
        opened.save(apply(opened.design, [Set(at("job.note"), "x" * 2**20)]))
    assert file.read_bytes() == text_of("hazel").encode()


def test_a_failed_save_can_be_repeated(tmp_path, monkeypatch):
    file = tmp_path / "d.toml"
    file.write_bytes(text_of("hazel").encode())
    opened = DesignFile.open(file)
    edited = apply(opened.design, [Set(at("job.title"), "mine")])

    def full(*_):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as here:
        here.setattr(os, "fsync", full)
        with pytest.raises(FileProblem, match="No space left"):
            opened.save(edited)
    assert opened.design != edited
    opened.save(edited)
    assert read(file) == edited
