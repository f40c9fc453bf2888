"""Real windows on a screen of our own."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.gui.windows.hands import Hands
from tests.gui.windows.screens import Screen

from rigfeed.examples import example
from rigfeed_gui.logic.recovery import Recovery
from rigfeed_gui.logic.session import Session
from rigfeed_gui.logic.settings import Settings
from rigfeed_gui.window import Window

SIZES = {"common": (1024, 700, 1), "dense": (2048, 1400, 2), "cramped": (1024, 700, 2)}  # the last: large letters


@pytest.fixture(scope="session")
def screens(tmp_path_factory) -> Iterator[dict[str, Screen]]:
    """The screens by name, none where there is no server to be found."""
    program = shutil.which("Xvfb")
    made = {}
    if program:
        made = {name: Screen(program, tmp_path_factory.mktemp(name), *size) for name, size in SIZES.items()}
    yield made
    for screen in made.values():
        screen.close()


@pytest.fixture
def open_window(tool, screens, monkeypatch, tmp_path) -> Iterator:
    """Opens a window on a screen, with settings of its own; whatever is open at the end is closed."""
    tool("Xvfb")
    xdotool = tool("xdotool")
    opened: list[Window] = []

    def open_(screen: str = "common", **settings: object) -> Hands:
        monkeypatch.setenv("DISPLAY", screens[screen].display)
        known = {"cautions_seen": True, "scaling": float(screens[screen].factor), **settings}
        session = Session(Settings(**known), Recovery(tmp_path / "recovery"), settings_path=tmp_path / "settings.json")
        window = Window(session)
        opened.append(window)
        hands = Hands(window, screens[screen], xdotool)
        hands.settle()
        return hands

    yield open_
    for window in opened:
        if window.alive:
            window.destroy()


@pytest.fixture
def hands(open_window) -> Hands:
    """A person in front of the start page on a common screen."""
    return open_window()


@pytest.fixture
def file(tmp_path) -> Path:
    """A copy of Hazel."""
    return Path(shutil.copy(example("hazel"), tmp_path / "hazel.toml"))


@pytest.fixture
def opened(hands, file) -> Hands:
    """Hazel in hand."""
    hands.session.open(file)
    hands.settle()
    return hands
