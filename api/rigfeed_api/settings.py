"""What a server is started with, and what it takes on."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Limits:
    """The most that one request may ask for.

    The counts bound the work: the solver's matrix grows with nodes and cores, and is solved once for each state.
    """

    design_bytes: int = 2**20
    batch_bytes: int = 4 * 2**20
    nodes: int = 400
    conductors: int = 600
    states: int = 24
    runs: int = 400
    batch: int = 100
    edits: int = 500


@dataclass(frozen=True)
class Settings:
    """`data` is the folder of the stored designs and tokens, made when needed. `per_minute` is the most requests of one
    caller in a minute, 0 for no bound."""

    data: Path
    limits: Limits = Limits()
    per_minute: int = 0
