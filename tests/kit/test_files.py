"""Whole files or none."""

from __future__ import annotations

import errno
import os
import stat

import pytest

from rigfeed import files
from rigfeed.errors import FileProblem
from rigfeed.files import replace_file


def test_a_new_file_has_the_rights_of_any_other_new_file(tmp_path):
    replace_file(tmp_path / "new", b"content")
    (tmp_path / "plain").write_bytes(b"")
    assert (tmp_path / "new").read_bytes() == b"content"
    assert (tmp_path / "new").stat().st_mode == (tmp_path / "plain").stat().st_mode


def test_an_old_file_is_replaced_and_keeps_its_rights(tmp_path):
    target = tmp_path / "old"
    target.write_bytes(b"a longer old content")
    target.chmod(0o640)
    replace_file(target, b"new")
    assert target.read_bytes() == b"new"
    assert stat.S_IMODE(target.stat().st_mode) == 0o640


def test_a_link_is_followed(tmp_path):
    (tmp_path / "real").write_bytes(b"old")
    (tmp_path / "link").symlink_to(tmp_path / "real")
    replace_file(tmp_path / "link", b"new")
    assert (tmp_path / "link").is_symlink()
    assert (tmp_path / "real").read_bytes() == b"new"


@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_a_failure_leaves_the_old_file_and_nothing_else(tmp_path, monkeypatch, step):
    def full(*_):
        raise OSError(errno.ENOSPC, "No space left on device")

    target = tmp_path / "paper"
    target.write_bytes(b"old")
    monkeypatch.setattr(files.os, step, full)
    with pytest.raises(FileProblem, match="No space left on device") as caught:
        replace_file(target, b"new")
    assert target.read_bytes() == b"old"
    assert os.listdir(tmp_path) == ["paper"]
    assert caught.value.remedy == "make room on the disk, or write to another one"


@pytest.mark.parametrize(
    ("name", "remedy"),
    [
        ("", "name a file, not a folder"),
        ("none/paper", "make the folder first, or name another"),
        ("file/paper", "make the folder first, or name another"),
        ("x" * 300, "choose a shorter name"),
        ("nul\0", "write to another file"),
    ],
)
def test_each_failure_says_what_to_do(tmp_path, name, remedy):
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(FileProblem) as caught:
        replace_file(os.path.join(tmp_path, name), b"new")
    assert caught.value.remedy == remedy
    assert caught.value.place.file == os.path.join(tmp_path, name)
    assert os.listdir(tmp_path) == ["file"]


def test_a_device_is_not_replaced(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(FileProblem, match="not a file"):
        replace_file(tmp_path / "pipe", b"new")
    assert stat.S_ISFIFO((tmp_path / "pipe").stat().st_mode)
