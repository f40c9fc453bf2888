"""What a server is started with, and what it takes on."""

from __future__ import annotations

from pathlib import Path

from rigfeed.frozen import frozen


@frozen
class Limits:
    """The most that one request may ask for.

    The counts bound the work: the solver's matrix grows with nodes and conductors and is solved for each state; how
    thick a bundle is takes longest, and grows with the cables in it. `laid` counts the runs of all routes, `through`
    the cables in all holes together, those that were there before included. `text` is the most characters of one text,
    and `texts` those of all long ones: to break one into lines takes time that grows with its square. `seconds` is the
    most that one assessment may take whatever the counts. A batch has at most so many vehicles, and so many things
    (nodes and conductors) in all of them together. A supplier's list has at most so many bytes, as a workbook unpacks
    to at most so many, and has so many rows; so many own catalogs are kept.
    """

    design_bytes: int = 2**20
    batch_bytes: int = 4 * 2**20
    nodes: int = 250
    conductors: int = 300
    states: int = 24
    runs: int = 200
    passages: int = 100
    existing: int = 60
    deviations: int = 200
    text: int = 2000
    texts: int = 40_000
    laid: int = 1500
    through: int = 1000
    seconds: float = 20.0
    batch: int = 100
    batch_things: int = 12_000
    batch_seconds: float = 120.0
    edits: int = 500
    list_bytes: int = 2**20
    list_rows: int = 5000
    list_unpacked: int = 2**24
    catalogs: int = 200


@frozen
class Room:
    """The most that is kept: designs (deleted ones too, since their revisions stay), revisions of one design, and bytes
    of the file in which all of them are. Whoever may write could fill the disk otherwise."""

    designs: int = 100_000
    revisions: int = 10_000
    bytes: int = 2 * 2**30


@frozen
class Settings:
    """`data` is the folder of the stored designs and tokens, made when needed. `per_minute` is the most requests of one
    caller in a minute, 0 for no bound. `change_catalogs` lets whoever may write change the catalogs of the user who
    runs the server, which hold for every design."""

    data: Path
    limits: Limits = Limits()
    per_minute: int = 0
    room: Room = Room()
    change_catalogs: bool = False
