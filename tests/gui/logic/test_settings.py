"""What is remembered, and what becomes of a file that somebody spoilt."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path as FilePath

import pytest

from rigfeed.errors import FileProblem
from rigfeed_gui.logic.settings import MOST_RECENT, Settings, load_settings, store_settings

ALL = Settings(
    recent=("/a.toml", "/b.toml"), geometry="1024x700+0+0", sashes=(("left", 240), ("right", 610)), units="us",
    palette="dark", scaling=1.5, cautions_seen=True,
)


def test_everything_comes_back(tmp_path):
    store_settings(ALL, tmp_path / "new" / "window.json")
    assert load_settings(tmp_path / "new" / "window.json") == ALL


def test_without_a_file_everything_is_as_usual(tmp_path):
    assert load_settings(tmp_path / "none.json") == Settings()


@pytest.mark.parametrize("content", ["", "{", "[]", "7", '"x"', "null", "[" * 10_000, "\0"])
def test_a_file_that_is_no_settings_is_as_good_as_none(content, tmp_path):
    (tmp_path / "window.json").write_text(content)
    assert load_settings(tmp_path / "window.json") == Settings()


@pytest.mark.parametrize(
    "name", ["recent", "geometry", "sashes", "units", "palette", "scaling", "cautions_seen"]
)
@pytest.mark.parametrize("value", [None, {}, {"a": 1}, -1, 1e9, "nonsense", [[]], True])
def test_of_a_spoilt_file_the_rest_still_holds(name, value, tmp_path):
    data = {**json.loads(json.dumps(ALL.__dict__)), name: value}
    (tmp_path / "window.json").write_text(json.dumps(data))
    found = load_settings(tmp_path / "window.json")
    assert replace(found, **{name: getattr(ALL, name)}) == ALL
    assert type(getattr(found, name)) is type(getattr(ALL, name))


def test_the_newest_file_stands_first_and_once():
    settings = Settings()
    for number in range(MOST_RECENT + 5):
        settings = settings.met(FilePath(f"/{number}.toml"))
    settings = settings.met(FilePath("/12.toml"))
    assert len(settings.recent) == MOST_RECENT
    assert [FilePath(name).name for name in settings.recent[:3]] == ["12.toml", "14.toml", "13.toml"]
    assert len(set(settings.recent)) == MOST_RECENT


def test_a_folder_that_cannot_be_made_is_told(tmp_path):
    (tmp_path / "file").touch()
    with pytest.raises(FileProblem):
        store_settings(ALL, tmp_path / "file" / "window.json")
