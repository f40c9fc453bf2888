"""``rigfeed gui`` from a terminal."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time

from tests.gui.windows.hands import PATIENCE_S

from rigfeed.examples import example

RUN = [sys.executable, "-c", "from rigfeed.cli import main; main()", "gui"]


def test_without_a_screen_it_says_so():
    environment = {name: value for name, value in os.environ.items() if name not in ("DISPLAY", "WAYLAND_DISPLAY")}
    done = subprocess.run(RUN, capture_output=True, text=True, check=False, env=environment)
    assert done.returncode == 2
    assert "no screen" in done.stderr
    assert "Traceback" not in done.stderr


def test_help_says_what_it_takes_and_gives_the_caution():
    done = subprocess.run([*RUN, "--help"], capture_output=True, text=True, check=True)
    assert "[FILE]" in done.stdout
    assert "This work can hurt" in done.stdout


def test_a_file_named_on_the_line_is_opened(screens, tool, tmp_path):
    """The title of the window on the screen is that of the design."""
    tool("Xvfb")
    xdotool = tool("xdotool")
    file = shutil.copy(example("hazel"), tmp_path / "hazel.toml")
    homes = {name: str(tmp_path / name) for name in ("XDG_CONFIG_HOME", "XDG_STATE_HOME", "XDG_DATA_HOME")}
    environment = {**os.environ, **homes, "DISPLAY": screens["common"].display}
    with subprocess.Popen([*RUN, str(file)], env=environment) as process:
        try:
            end = time.monotonic() + PATIENCE_S
            found = ""
            while not found and time.monotonic() < end:
                search = [xdotool, "search", "--name", "^Hazel: small hatchback, VHF 25 W - rigfeed$"]
                found = subprocess.run(search, capture_output=True, text=True, check=False, env=environment).stdout
                time.sleep(0.1)
            assert found, "no window has the title of the design"
        finally:
            process.terminate()
