"""A first plugin project, written from a name: small, complete, with tests that pass."""

from __future__ import annotations

import re
from importlib import resources
from pathlib import Path

from rigfeed.errors import FileProblem, InputError, Place
from rigfeed.files import replace_file

NAME = re.compile(r"[a-z][a-z0-9]{1,23}")
TAKEN = {"rigfeed", "test", "tests", "kit", "api", "gui", "plugins"}
FILES = {
    "pyproject.txt": "pyproject.toml",
    "readme.txt": "README.md",
    "plugin.txt": "rigfeed_{name}/__init__.py",
    "parts.txt": "rigfeed_{name}/{name}-parts.csv",
    "practice.txt": "rigfeed_{name}/practice.toml",
    "tests.txt": "tests/test_{name}.py",
    "design.txt": "tests/van.toml",
}


def project(name: str) -> dict[str, str]:
    """The files of a plugin project by their paths within it.

    Raises
    ------
    InputError
        If the name is none that a package, a part kind and a check can all begin with.
    """
    if not NAME.fullmatch(name) or name in TAKEN:
        remedy = "small letters and digits, a letter first, 2 to 24 of them, for instance fans"
        raise InputError(f"{name!r} cannot be the name of a plugin", remedy=remedy)
    templates = resources.files(__name__) / "templates"
    return {
        path.format(name=name): (templates / file).read_text("utf-8").replace("@name@", name).replace(
            "@Name@", name.capitalize()
        )
        for file, path in FILES.items()
    }


def write_project(name: str, folder: Path) -> tuple[Path, ...]:
    """Write the project into a new folder; nothing that exists is touched.

    Raises
    ------
    InputError
        If the name cannot be one.
    FileProblem
        If the folder exists already or cannot be written.
    """
    files = project(name)
    try:
        folder.mkdir(parents=True)
    except FileExistsError:
        raise FileProblem("is there already", place=Place(str(folder)), remedy="name a new folder with --to") from None
    except OSError as error:
        raise FileProblem(f"cannot be made: {error.strerror}", place=Place(str(folder))) from None
    for path, text in files.items():
        (folder / path).parent.mkdir(exist_ok=True)
        replace_file(folder / path, text.encode())
    return tuple(folder / path for path in files)
