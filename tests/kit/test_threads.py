"""NumPy is told of its threads before it is loaded, and only where nobody told it otherwise."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest


@pytest.mark.parametrize("module", ["rigfeed", "rigfeed.cli"])
def test_threads_are_bounded_before_numpy_is_loaded(module):
    bare = {name: value for name, value in os.environ.items() if not name.endswith("_NUM_THREADS")}
    code = f"import os, {module}; print(os.environ['OPENBLAS_NUM_THREADS'])"
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-c", code], env=bare, capture_output=True, text=True, check=True,
        timeout=60,
    )
    assert done.stdout.strip() == "1"
    loaded = [line.rpartition("|")[2].strip() for line in done.stderr.splitlines()]
    assert loaded.index("rigfeed.threads") < loaded.index("numpy")
    wanted = subprocess.run(
        [sys.executable, "-c", code], env={**bare, "OPENBLAS_NUM_THREADS": "3"}, capture_output=True, text=True,
        check=True, timeout=60,
    )
    assert wanted.stdout.strip() == "3"
