"""How far the reading of a list is, and stopping it: texts and workbooks."""

from __future__ import annotations

import io

import openpyxl
import pytest

from rigfeed.errors import Cancelled
from rigfeed.intake.taking import take
from rigfeed.registry import installed_registry

KINDS = installed_registry().kinds
ROWS = [["Code", "Text", "Size", "OD", "Ohm/km"], *([f"A{n}", "red", "2.5 mm2", "2.9", "7.6"] for n in range(1500))]


def _workbook() -> bytes:
    book = openpyxl.Workbook()
    for row in ROWS:
        book.active.append(row)
    packed = io.BytesIO()
    book.save(packed)
    return packed.getvalue()


LISTS = {"text": "\n".join(";".join(row) for row in ROWS).encode(), "workbook": _workbook()}


@pytest.mark.parametrize("name", LISTS)
def test_progress_grows_from_nothing_to_the_end(name):
    told = []
    take(LISTS[name], name, KINDS, tell=lambda done, text: told.append((done, text)))
    assert all(0.0 <= done <= 1.0 for done, _ in told)
    assert told[-1][1].startswith("row ")
    assert any(text.startswith("the workbook, ") for _, text in told) is (name == "workbook")
    for what in {text.split(" ")[0] if text.startswith("row") else text for _, text in told}:
        of_it = [done for done, text in told if text.startswith(what)]
        assert of_it == sorted(of_it)


@pytest.mark.parametrize("name", LISTS)
def test_whoever_watches_may_stop_it_at_once(name):
    told = []

    def stop(done: float, text: str) -> None:
        told.append(text)
        raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        take(LISTS[name], name, KINDS, tell=stop)
    assert len(told) == 1
