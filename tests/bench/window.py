"""How long the window takes: to open, from an edit to its findings, and how long its loop ever stands still.

Run by hand, with a screen or with Xvfb: ``python tests/bench/window.py``. The heartbeat is a timer of the loop that
should come every few milliseconds; the longest gap between two of its beats is how long the loop was blocked.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from functools import partial
from pathlib import Path as FilePath

from yardstick import median_s

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command line does

EDITS = 12
BEAT_MS = 2


def _screen() -> subprocess.Popen[str] | None:
    """A screen of our own where there is none."""
    if os.environ.get("DISPLAY"):
        return None
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", "1", "-screen", "0", "1280x900x24", "-dpi", "96"], stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL, text=True,
    )
    assert server.stdout is not None
    os.environ["DISPLAY"] = f":{server.stdout.readline().strip()}"
    return server


class Heart:
    """Beats in the loop of a window and keeps the longest pauses."""

    def __init__(self, root) -> None:
        self._root, self.gaps_ms = root, []
        self._last = time.perf_counter()
        self._beat()

    def _beat(self) -> None:
        now = time.perf_counter()
        self.gaps_ms.append((now - self._last) * 1000)
        self._last = now
        self._root.after(BEAT_MS, self._beat)

    def longest_ms(self) -> float:
        """The longest pause since the last call."""
        gaps, self.gaps_ms = self.gaps_ms, []
        return max(gaps)


def opening_s() -> float:
    """From the start of Python to a window that is drawn, in a process of its own."""
    code = (
        "import sys, time; from rigfeed_gui.window import Window; w = Window(); w.root.update(); "
        "assert 'matplotlib' not in sys.modules; w.destroy()"
    )
    began = time.perf_counter()
    subprocess.run([sys.executable, "-c", code], check=True)
    return time.perf_counter() - began


def edits(window, heart, settled) -> None:
    """How long the findings and the drawing take after an edit, beside an assessment alone in the same process: by that
    they can be judged on any machine."""
    from rigfeed.assess import assess
    from rigfeed.design.edit import Set
    from rigfeed.path import Path

    session, root = window.session, window.root
    waits_ms, drawn_ms, pauses_ms = [], [], []
    for number in range(EDITS):
        began = time.perf_counter()
        session.edit([Set(Path("conductors", "W2", "slack"), f"{0.1 + number / 100} m")], "slack")
        while session.stale:
            root.update()
            time.sleep(0.0005)
        root.update()
        waits_ms.append((time.perf_counter() - began) * 1000)
        settled()
        drawn_ms.append((time.perf_counter() - began) * 1000)
        pauses_ms.append(heart.longest_ms())
    alone_ms = median_s(partial(assess, session.work.design, shelf=session.work.shelf), EDITS) * 1000
    settled()
    heart.longest_ms()
    print(f"an assessment alone: median {alone_ms:.0f} ms")
    for what, took_ms, wanted in (
        ("edit to findings", waits_ms, "; wanted: 250 ms"), ("edit to the new drawing", drawn_ms, ""),
        ("longest pause of the loop in an edit", pauses_ms, "; wanted: 50 ms"),
    ):
        median_ms = statistics.median(took_ms)
        print(f"{what}: median {median_ms:.0f} ms, {median_ms / alone_ms:.1f} times that, longest {max(took_ms):.0f} ms"
              f"{wanted}")


def curves(window, heart, settled) -> None:
    """How long curves take, and how long the loop stands still meanwhile: the first ones load the library."""
    for what in ("first", "next"):
        began = time.perf_counter()
        window.session.show_curves(True)
        window.root.update()
        settled()
        took_ms, pause_ms = (time.perf_counter() - began) * 1000, heart.longest_ms()
        print(f"curves, the {what} time: {took_ms:.0f} ms; longest pause {pause_ms:.0f} ms; wanted: 50 ms")
        window.session.show_curves(False)
        window.bench.curves.plotted = None
        settled()
        heart.longest_ms()


def main() -> None:
    """Print all three."""
    from rigfeed.examples import example
    from rigfeed.path import Path
    from rigfeed_gui.logic.settings import Settings
    from rigfeed_gui.logic.things import sections
    from rigfeed_gui.window import Window

    opening = sorted(opening_s() for _ in range(3))
    print(f"opening (best, median of 3): {opening[0]:.2f} s, {opening[1]:.2f} s; wanted: at most 1.5 s")
    window = Window()
    session, root = window.session, window.root
    session.settings = Settings(cautions_seen=True)
    heart = Heart(root)

    def settled() -> None:
        while not window.settled or session.scene is None:
            root.update()
            time.sleep(0.0005)
        root.update()

    root.update()
    heart.longest_ms()
    session.begin(example("larch").read_text(encoding="utf-8"), kept=True)
    settled()
    print(f"Larch in hand; longest pause of the loop meanwhile {heart.longest_ms():.0f} ms")
    everything = [listed.path for section in sections(session.work.design, None) for listed in section.things]
    for path in (*everything, Path("conductors", "W2")):
        session.select(path)
        settled()
    print(f"each of {len(everything)} things selected; longest pause {heart.longest_ms():.0f} ms")
    edits(window, heart, settled)
    curves(window, heart, settled)
    for _ in range(8):
        window.bench.surface.zoom(1.2)
        root.update()
    print(f"zooming: longest pause {heart.longest_ms():.0f} ms")
    window.destroy()


if __name__ == "__main__":
    screen = _screen()
    with tempfile.TemporaryDirectory() as folder:
        for name in ("XDG_CONFIG_HOME", "XDG_STATE_HOME", "XDG_DATA_HOME", "XDG_CACHE_HOME"):
            os.environ[name] = str(FilePath(folder) / name)
        try:
            main()
        finally:
            if screen is not None:
                screen.terminate()
                screen.wait()
