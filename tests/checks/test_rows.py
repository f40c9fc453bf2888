"""The checks that read a cable's row, over every row that is shipped."""

from __future__ import annotations

import csv
from pathlib import Path as FilePath

import pytest

import rigfeed_catalogs
from rigfeed.parts.shelf import Shelf
from rigfeed.practice import Threshold
from rigfeed.registry import installed_registry
from rigfeed_cables.checks import ambiguous, claimed_mm2, disagreements

FOLDER = FilePath(rigfeed_catalogs.__file__).parent / "cables"
SHELF = Shelf(installed_registry())

# Printed like that in FAA AC 43.13-1B table 11-9: the least area of 12 AWG aircraft wire is 10.1 % below ASTM B258, and
# the greatest resistance of 24 AWG leaves room for an alloy.
ODD = {"cable:air-12", "cable:air-24"}


def rows():
    for file in sorted(FOLDER.glob("*.csv")):
        lines = [line for line in file.read_text().splitlines() if not line.startswith("#")]
        yield from (row["part"] for row in csv.DictReader(lines))


def materials():
    practice = installed_registry().practices.get("road")

    def number(key: str) -> float:
        return practice.threshold(Threshold(key, "", key))[0]

    clad = number("not-copper.clad-least"), number("not-copper.clad-most")
    return {"copper-clad aluminium": clad, "aluminium": (number("not-copper.aluminium"),) * 2}


def test_the_figures_of_every_shipped_row_agree():
    found = {key for key in rows() if list(disagreements(SHELF.part(key), 0.10, materials()))}
    assert found == ODD


def test_no_shipped_row_has_an_ambiguous_size():
    assert [key for key in rows() if ambiguous(SHELF.part(key).title)] == []


def test_every_shipped_title_claims_the_size_of_its_row():
    """But for the sizes of SAE, which are no American wire gauge."""
    silent = [key for key in rows() if claimed_mm2(SHELF.part(key).title) is None]
    assert all(key.startswith("cable:sae-") for key in silent)


@pytest.mark.parametrize(
    ("title", "words"),
    [
        ("auto cable 6 mm", "6 mm"),
        ("12 gauge primary wire", "12 gauge"),
        ("primary wire 12 ga", "12 ga"),
        ("flexible 6 mm2", None),
        ("flexible 6 mm²", None),
        ("flexible 6 sq mm", None),
        ("stranded 12 AWG", None),
        ("AWG 4/0 battery cable", None),
        ("SAE 12 cross-linked", None),
        ("flat braid", None),
    ],
)
def test_what_is_ambiguous(title, words):
    assert ambiguous(title) == words


@pytest.mark.parametrize(
    ("title", "area_mm2"),
    [  # ASTM B258: 0.127 mm * 92^((36 - n) / 39) of diameter
        ("stranded 10 AWG", 5.261),
        ("AWG 2/0 battery cable", 67.43),
        ("battery cable 0000 AWG", 107.2),
        ("primary wire 18 gauge", 0.823),
        ("flat twin 2 x 2.5 mm2", 2.5),
    ],
)
def test_what_a_title_claims(title, area_mm2):
    assert claimed_mm2(title)[1] == pytest.approx(area_mm2, rel=1e-3)
