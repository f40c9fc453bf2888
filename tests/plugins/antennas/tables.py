"""Tables of numbers beside the tests: CSV with remarks on top."""

from __future__ import annotations

import csv
from pathlib import Path


def table(name: str) -> list[dict[str, float]]:
    """The rows of a table of this folder, every cell a number."""
    text = (Path(__file__).parent / name).read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    return [{key: float(value) for key, value in row.items()} for row in csv.DictReader(lines)]
