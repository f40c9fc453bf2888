"""Whole files or none: what is written replaces the old file in one step, or the old file stays as it was."""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
from pathlib import Path

from rigfeed.errors import FileProblem, Place

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


def replace_file(path: str | Path, content: bytes) -> None:
    """Write a file by way of a temporary one beside it, so that no half-written file is ever seen.

    A link is followed: the file that it points at is replaced. What is neither a file nor new (a folder, a device) is
    refused.

    Raises
    ------
    FileProblem
        If it cannot be written; the place names the file, the remedy says what to do, and an older file is untouched.
    """
    try:
        target = Path(os.path.realpath(path))
        if target.is_dir():
            raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
        if target.exists() and not target.is_file():
            raise OSError(errno.EINVAL, "it is a device, not a file")
        _replace(target, content)
    except (OSError, ValueError) as error:  # ValueError: a name with a NUL in it
        reason = getattr(error, "strerror", None) or str(error)
        remedy = _REMEDY.get(getattr(error, "errno", None) or 0, "write to another file")
        raise FileProblem(f"cannot be written: {reason}", place=Place(file=str(path)), remedy=remedy) from error


def _replace(target: Path, content: bytes) -> None:
    # Not tempfile: its files are readable by their owner only, and so would be the paper.
    beside = target.with_name(f".rigfeed-{secrets.token_hex(6)}.tmp")
    try:
        with open(beside, "xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        if target.exists():
            os.chmod(beside, target.stat().st_mode & 0o777)
        os.replace(beside, target)
    except BaseException:
        with contextlib.suppress(OSError):
            beside.unlink(missing_ok=True)
        raise
