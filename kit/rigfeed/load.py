"""From a path to a design or to an assessment, with the catalogs that lie beside the file."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path as FilePath

from rigfeed.assess import Assessment, assess
from rigfeed.design.file import MOST_BYTES, located, read
from rigfeed.design.model import Design
from rigfeed.errors import InputError, InputErrors
from rigfeed.files import read_bytes
from rigfeed.parts.shelf import open_shelf
from rigfeed.view import Tell


def load(path: str | FilePath) -> Design:
    """The design in a file; raises as `rigfeed.design.file.read` does."""
    return read(path)


def assess_file(
    path: str | FilePath, *, practice: str | None = None, only: Collection[str] | None = None, tell: Tell | None = None
) -> Assessment:
    """The assessment of the design in a file, with the catalogs beside it.

    Raises as `load` and `assess` do; an error of the design points at file, line and path.
    """
    design = read(path)
    try:
        return assess(design, shelf=open_shelf(FilePath(path)), practice=practice, only=only, tell=tell)
    except InputError as error:
        if not isinstance(error, InputErrors) and error.place.path is None:
            raise  # not about the design: a practice or a check that the caller named
        text = read_bytes(path, most=MOST_BYTES).decode(errors="replace")
        raise located(error, text, str(path)) from None
