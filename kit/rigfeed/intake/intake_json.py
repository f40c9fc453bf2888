"""An intake as plain data for JSON: every row with what became of it and why."""

from __future__ import annotations

from typing import Any

from rigfeed.intake.adding import Prepared
from rigfeed.intake.declare import Note
from rigfeed.intake.taking import STATES, Outcome

SCHEMA = 1


def intake_json(prepared: Prepared) -> dict[str, Any]:
    """The plain data: how the list was read, what its columns are, each row, and what changes in the catalog."""
    taken = prepared.taken
    columns = zip(taken.columns.headers, taken.columns.meanings, strict=True)
    return {
        "schema": SCHEMA, "catalog": prepared.name, "is_new": prepared.is_new, "file": taken.file,
        "sha256": taken.sha256, "kind": taken.kind, "how": taken.how, "decimal": "," if taken.comma else ".",
        "counts": {state: taken.count(state) for state in STATES},
        "columns": [{"header": header, "meaning": meaning} for header, meaning in columns],
        "rows": [_row(outcome) for outcome in taken.outcomes],
        "passed_over": [{"row": line, "text": text} for line, text in taken.passed_over],
        "changes": [
            {"id": change.id, "what": change.what, "cells": {name: list(pair) for name, pair in change.cells.items()}}
            for change in prepared.changes
        ],
    }


def _row(outcome: Outcome) -> dict[str, Any]:
    return {
        "row": outcome.line, "id": outcome.id, "state": outcome.state, "given": list(outcome.given),
        "cells": outcome.cells, "notes": [_note(note) for note in outcome.notes],
    }


def _note(note: Note) -> dict[str, Any]:
    return {
        "level": note.level, "column": note.column, "says": note.says, "readings": list(note.readings),
        "likely": note.likely or None,
    }
