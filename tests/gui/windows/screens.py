"""Screens of our own to open windows on, and pictures of what they show."""

from __future__ import annotations

import struct
import subprocess
import zlib
from pathlib import Path

import numpy as np

SHOTS = Path(__file__).parent.parent / "shots"  # ignored by git: to be looked at, not to be kept


class Screen:
    """An X server without hardware, `factor` times as dense as a common screen."""

    def __init__(self, program: str, folder: Path, width: int, height: int, factor: int) -> None:
        self.width, self.height, self.factor, self._folder = width, height, factor, folder
        self._server = subprocess.Popen(
            [program, "-displayfd", "1", "-screen", "0", f"{width}x{height}x24", "-dpi", "96", "-fbdir", str(folder),
             "-nolisten", "tcp", "-noreset"],
            stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True,
        )
        assert self._server.stdout is not None
        self.display = f":{self._server.stdout.readline().strip()}"

    def close(self) -> None:
        """End the server."""
        self._server.terminate()
        self._server.wait()
        assert self._server.stdout is not None
        self._server.stdout.close()

    def pixels(self) -> np.ndarray:
        """What the screen shows now: height x width x red, green, blue."""
        data = (self._folder / "Xvfb_screen0").read_bytes()
        # X window dump, version 7: 25 words of header, of which the first is the size of the header with the name,
        # the fifth and sixth width and height, the thirteenth bytes per line, the twentieth entries of the colour map
        words = struct.unpack(">25I", data[:100])
        begin, wide, high, line = words[0] + 12 * words[19], words[4], words[5], words[12]
        bytes_ = np.frombuffer(data, np.uint8, high * line, begin).reshape(high, line)[:, : 4 * wide]
        return bytes_.reshape(high, wide, 4)[:, :, [2, 1, 0]]

    def shoot(self, name: str) -> None:
        """Keep a picture of the screen."""
        SHOTS.mkdir(exist_ok=True)
        (SHOTS / f"{name}.png").write_bytes(png(self.pixels()))


def png(pixels: np.ndarray) -> bytes:
    """A picture as a file in the format PNG (ISO/IEC 15948)."""
    high, wide, _ = pixels.shape
    lines = np.hstack([np.zeros((high, 1), np.uint8), pixels.reshape(high, 3 * wide)]).tobytes()

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", wide, high, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(lines, 1)) + chunk(b"IEND", b"")
