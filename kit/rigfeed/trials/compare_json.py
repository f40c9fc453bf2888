"""A comparison as plain data for JSON: what is written differently, findings gained and lost, volts, amounts."""

from __future__ import annotations

from typing import Any

from rigfeed.cautions import CAUTIONS
from rigfeed.checks.check import Finding
from rigfeed.json_report import finding_json, summary_json
from rigfeed.measure import json_number
from rigfeed.quantity import System
from rigfeed.trials.compare import Comparison

SCHEMA = 1


def comparison_json(comparison: Comparison, system: System = "metric") -> dict[str, Any]:
    """The plain data. `system` is for the sentences; numbers are in the units of their names, amounts in their own.

    A finding of ``changed`` is in both designs with another severity or figure.
    """
    return {
        "schema": SCHEMA,
        "same": comparison.is_same,
        "first": summary_json(comparison.before),
        "second": summary_json(comparison.after),
        "differences": [
            {"path": str(item.path), "first": item.before, "second": item.after} for item in comparison.differences
        ],
        "gained": _findings(comparison.gained, system),
        "lost": _findings(comparison.lost, system),
        "changed": [
            {"first": finding_json(one, system), "second": finding_json(two, system)} for one, two in comparison.changed
        ],
        "volts": [
            {
                "load": item.load, "state": item.state, "first_v": json_number(item.before_v),
                "second_v": json_number(item.after_v),
            }
            for item in comparison.volts
        ],
        "amounts": [
            {
                "what": item.what, "unit": item.unit, "first": json_number(item.before),
                "second": json_number(item.after),
            }
            for item in comparison.amounts
        ],
        "cautions": list(CAUTIONS),
    }


def _findings(findings: tuple[Finding, ...], system: System) -> list[dict[str, Any]]:
    return [finding_json(finding, system) for finding in findings]
