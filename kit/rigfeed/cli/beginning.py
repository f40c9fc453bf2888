"""A first design from seven questions."""

from __future__ import annotations

from pathlib import Path

import click

from rigfeed.beginning import Answers, first_design
from rigfeed.errors import FileProblem, Place, UnknownName
from rigfeed.files import replace_file
from rigfeed.parts.interfaces import LoadDevice
from rigfeed.parts.shelf import Shelf, open_shelf


@click.command(short_help="Write a first design from seven answers.")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--title", help="What the design is called.")
@click.option("--set", "load", metavar="PART", help="The radio set, for instance radio:vhf-25.")
@click.option("--battery", metavar="PART", help="The battery, for instance battery:flooded-45.")
@click.option("--to-fuse", metavar="LENGTH", help="From the battery's post to the fuse.")
@click.option("--bay", metavar="LENGTH", help="From the battery to the firewall.")
@click.option("--cabin", metavar="LENGTH", help="From the firewall to the set.")
@click.option("--back", metavar="LENGTH", help="From the set to the bolt on the body that takes the return.")
@click.option("--practice", metavar="NAME", default="road", show_default=True, help="The practice to hold it against.")
def new(file: Path, practice: str, **given: str | None) -> None:
    """Write a first design into FILE: one set in one vehicle.

    What is not given as an option is asked. An existing file is not touched.
    """
    if file.exists():
        raise FileProblem("is there already", place=Place(file=str(file)), remedy="name a new file")
    shelf = open_shelf(file)
    if practice not in shelf.registry.practices.names():
        raise UnknownName("practice", practice, shelf.registry.practices.names())
    asked = {
        "title": ("What is it called?", file.stem),
        "load": (f"Which set?{_choice(shelf, 'radio')}", _first(shelf, "radio")),
        "battery": (f"Which battery?{_choice(shelf, 'battery')}", _first(shelf, "battery")),
        "to_fuse": ("How far from the battery's post to the fuse, along the cable?", "0.15 m"),
        "bay": ("How far from the battery to the firewall, along the way?", "1.0 m"),
        "cabin": ("How far from the firewall to the set?", "2.5 m"),
        "back": ("How far from the set to the bolt on the body that takes the return?", "0.4 m"),
    }
    answers = {name: given[name] or click.prompt(*question) for name, question in asked.items()}
    replace_file(file, first_design(Answers(practice=practice, **answers), shelf).encode())
    click.echo(f"{file}\nSee what the checks say: rigfeed check {file}")


def _ids(shelf: Shelf, kind: str) -> list[str]:
    return [f"{kind}:{id_}" for _, rows in shelf.catalogs() for id_ in rows.ids(kind)]


def _first(shelf: Shelf, kind: str) -> str | None:
    """The first one that can be chosen; a set must say which fuse it wants."""
    for key in _ids(shelf, kind):
        part = shelf.part(key)
        if not isinstance(part, LoadDevice) or part.stated_fuse_a is not None:
            return key
    return None


def _choice(shelf: Shelf, kind: str) -> str:
    keys = _ids(shelf, kind)
    return "".join(f"\n  {key}" for key in keys[:30]) + ("\n  ..." if len(keys) > 30 else "") + "\n "
