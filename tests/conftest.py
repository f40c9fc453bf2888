"""What all tests share: the programs of the machine that some of them need, and an honest word where one is missing."""

from __future__ import annotations

import os
import shutil

import pytest
from hypothesis import settings

settings.register_profile("rigfeed", deadline=None)  # a busy machine is no fault of what is tested
settings.load_profile("rigfeed")

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command line does, before anything loads NumPy

DEBIAN_PACKAGE = {
    "ngspice": "ngspice", "soffice": "libreoffice-calc", "pdftotext": "poppler-utils", "make": "make",
    "chromium": "chromium", "dot": "graphviz", "fc-match": "fontconfig", "xmllint": "libxml2-utils", "Xvfb": "xvfb",
    "xdotool": "xdotool", "curl": "curl",
}
MISSING = pytest.StashKey[dict[str, list[str]]]()


@pytest.fixture(autouse=True)
def no_catalogs_of_whoever_runs_the_tests(tmp_path_factory, monkeypatch):
    """The data and cache folders of the user are empty ones."""
    folder = tmp_path_factory.getbasetemp() / "home"
    monkeypatch.setenv("XDG_DATA_HOME", str(folder / "data"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(folder / "cache"))


@pytest.fixture
def tool(request: pytest.FixtureRequest):
    """The path of a program by name. Missing: the test fails under CI=true, elsewhere it is named as not run."""

    def find(name: str) -> str:
        path = shutil.which(name)
        if path:
            return path
        if os.environ.get("CI") == "true":
            pytest.fail(f"{name} is missing; Debian package {DEBIAN_PACKAGE[name]}")
        request.config.stash.setdefault(MISSING, {}).setdefault(name, []).append(request.node.nodeid)
        pytest.skip(f"{name} is missing; Debian package {DEBIAN_PACKAGE[name]}")

    return find


def pytest_terminal_summary(terminalreporter, config) -> None:
    for name, tests in sorted(config.stash.get(MISSING, {}).items()):
        terminalreporter.section(f"not run: {name} (Debian package {DEBIAN_PACKAGE[name]}) is missing")
        for test in tests:
            terminalreporter.line(test)
