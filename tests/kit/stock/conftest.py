"""A workshop of our own: a data folder for its stock file, and a demonstration design to cut from it."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from rigfeed.examples import example


@pytest.fixture
def own(tmp_path, monkeypatch) -> Path:
    """The user's stock file, not written yet."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    (tmp_path / "data" / "rigfeed").mkdir(parents=True)
    return tmp_path / "data" / "rigfeed" / "stock.csv"


@pytest.fixture
def larch(tmp_path) -> Path:
    """A copy of Larch in a folder of its own."""
    (tmp_path / "job").mkdir()
    return Path(shutil.copy(example("larch"), tmp_path / "job" / "larch.toml"))
