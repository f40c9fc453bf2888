"""Running a command line in this process."""

from __future__ import annotations

import sys

import pytest

from rigfeed import cli


@pytest.fixture
def run(monkeypatch, capsys):
    """Run a command line in this process: exit code, standard output, standard error."""

    def command(*arguments: object) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["rigfeed", *map(str, arguments)])
        with pytest.raises(SystemExit) as leaving:
            cli.main()
        captured = capsys.readouterr()
        return leaving.value.code or 0, captured.out, captured.err

    return command
