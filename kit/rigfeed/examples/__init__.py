"""Demonstration designs: invented vehicles, typed in full."""

from __future__ import annotations

from pathlib import Path

from rigfeed.errors import UnknownName

_FOLDER = Path(__file__).parent


def examples() -> tuple[str, ...]:
    """Their names."""
    return tuple(sorted(path.stem for path in _FOLDER.glob("*.toml")))


def example(name: str) -> Path:
    """The file of a demonstration design.

    Raises
    ------
    UnknownName
        If there is none of that name.
    """
    if name not in examples():
        raise UnknownName("demonstration design", name, examples())
    return _FOLDER / f"{name}.toml"
