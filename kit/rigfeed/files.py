"""Whole files or none: read with a bound, replaced in one step."""

from __future__ import annotations

import contextlib
import errno
import os
from pathlib import Path as FilePath

from rigfeed.errors import FileProblem, Place

BOM = "\ufeff"  # some editors put it in front of a text

_REMEDY = {
    errno.ENOENT: "make the folder first, or name another",
    errno.ENOTDIR: "make the folder first, or name another",
    errno.EISDIR: "name a file, not a folder",
    errno.EACCES: "close the program that has the file open, or write to another folder",
    errno.EPERM: "close the program that has the file open, or write to another folder",
    errno.EROFS: "write to another folder",
    errno.ENOSPC: "make room on the disk, or write to another one",
    errno.ENAMETOOLONG: "choose a shorter name",
}


def read_bytes(path: str | FilePath, *, most: int) -> bytes:
    """The content of a file of at most `most` bytes.

    Raises
    ------
    FileProblem
        If it cannot be read or is larger.
    """
    try:
        if os.path.exists(path) and not os.path.isfile(path) and not os.path.isdir(path):
            # a pipe that nobody writes to would be waited for without end
            raise OSError(errno.EINVAL, "it is a pipe or a device, not a file")
        with open(path, "rb") as file:
            data = file.read(most + 1)
    except (OSError, ValueError) as error:
        raise FileProblem(f"cannot be read: {_reason(error)}", place=Place(file=str(path))) from error
    if len(data) > most:
        remedy = "name the right file, or split it"
        raise FileProblem(f"is larger than {most / 2**20:g} MiB", place=Place(file=str(path)), remedy=remedy)
    return data


def replace_file(path: str | FilePath, content: bytes) -> None:
    """Write a file by way of a new one beside it: whenever the machine stops, the old or the new content is whole.

    A link is followed: the file that it points at is replaced. What is neither a file nor new (a folder, a device) is
    refused.

    Raises
    ------
    FileProblem
        If it cannot be written; the place names the file, the remedy says what to do, and an older file is untouched.
    """
    try:
        target = FilePath(os.path.realpath(path))
        if target.is_dir():
            raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
        if target.exists() and not target.is_file():
            raise OSError(errno.EINVAL, "it is a device, not a file")
        _replace(target, content)
    except (OSError, ValueError) as error:  # ValueError: a name with a NUL in it
        remedy = _REMEDY.get(getattr(error, "errno", None) or 0, "write to another file")
        what = f"cannot be written: {_reason(error)}"
        raise FileProblem(what, place=Place(file=str(path)), remedy=remedy) from error


def _replace(target: FilePath, content: bytes) -> None:
    import secrets

    # Not tempfile: its files are readable by their owner only, and so would be the result.
    beside = target.with_name(f".rigfeed-{secrets.token_hex(6)}.tmp")
    try:
        with open(beside, "xb", buffering=0) as file:
            rest = memoryview(content)
            while rest:
                rest = rest[os.write(file.fileno(), rest) :]
            os.fsync(file.fileno())
        if target.exists():
            os.chmod(beside, target.stat().st_mode & 0o777)
        os.replace(beside, target)
    except BaseException:
        with contextlib.suppress(OSError):
            beside.unlink(missing_ok=True)
        raise
    _make_last(target.parent)


def _make_last(folder: FilePath) -> None:
    """Flush the rename itself; where a file system cannot, the old name may stand after a power cut, still whole."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _reason(error: Exception) -> str:
    return str(getattr(error, "strerror", None) or error)
