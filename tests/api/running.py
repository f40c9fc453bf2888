"""A server in a process of its own."""

from __future__ import annotations

import contextlib
import json
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

PROGRAM = str(Path(sys.executable).with_name("rigfeed"))


@dataclass
class Server:
    """A running server: where it is, what it has logged so far, its process."""

    url: str
    log: Path
    process: subprocess.Popen

    def lines(self) -> list[dict]:
        """The lines of its log."""
        return [json.loads(line) for line in self.log.read_text().splitlines() if line.startswith("{")]

    def stop(self, number: int = signal.SIGTERM) -> int:
        """Send a signal and wait; the exit code."""
        self.process.send_signal(number)
        return self.process.wait(timeout=30)


@contextlib.contextmanager
def serving(folder: Path, *arguments: str) -> Iterator[Server]:
    """``rigfeed serve`` on a free port, with its data in a folder."""
    log = folder / "server.log"
    command = [PROGRAM, "serve", "--port", "0", "--data", str(folder / "data"), *arguments]
    folder.mkdir(parents=True, exist_ok=True)
    with log.open("w") as errors:
        process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=errors, text=True)
    try:
        assert process.stdout is not None
        line = process.stdout.readline()
        match = re.search(r"http://\S+", line)
        assert match, (line, log.read_text())
        yield Server(match[0].rstrip("/"), log, process)
    finally:
        if process.poll() is None:
            process.kill()
        process.wait(timeout=30)
        assert process.stdout is not None
        process.stdout.close()
