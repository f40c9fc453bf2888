"""A batch as plain data for JSON: the vehicles, the matrix of findings, what to cut and to buy for all of them."""

from __future__ import annotations

from typing import Any

from rigfeed.cautions import CAUTIONS
from rigfeed.checks.check import SEVERITY_ORDER, Finding
from rigfeed.json_report import judgement_json, measure_json, summary_json
from rigfeed.papers.table import table_json
from rigfeed.quantity import System
from rigfeed.trials.batch import Batch, Line
from rigfeed.trials.batch_papers import merged_bill, merged_cut_list, stock_papers

SCHEMA = 1


def batch_json(batch: Batch, system: System = "metric") -> dict[str, Any]:
    """The plain data. `system` is for the sentences; numbers are in the units of their names or columns.

    A line of ``findings`` has under ``in`` what is found in each vehicle that has it; a vehicle that is not there has
    nothing of it. Where there is a stock, what is cut from it and what is left to buy stand beside the bill.
    """
    return {
        "schema": SCHEMA,
        "counts": {severity: batch.count(severity) for severity in SEVERITY_ORDER},
        "vehicles": {name: summary_json(assessment) for name, assessment in batch.assessments.items()},
        "findings": [_line(line, system) for line in batch.lines],
        "not_checked": [
            {"check": item.check, "subject": str(item.subject), "why": item.why, "vehicles": list(names)}
            for item, names in batch.not_checked
        ],
        "assumptions": [
            {
                "subject": str(item.subject), "what": item.what, "value": measure_json(item.value),
                "authority": item.authority, "vehicles": list(names),
            }
            for item, names in batch.assumptions
        ],
        "cut_list": table_json(merged_cut_list(batch, system)),
        "bill_of_materials": table_json(merged_bill(batch, system)),
        **{table.name.replace("-", "_"): table_json(table) for table in stock_papers(batch, system)},
        "left_out": list(batch.troubles),
        "cautions": list(CAUTIONS),
    }


def _line(line: Line, system: System) -> dict[str, Any]:
    return {
        "check": line.check,
        "group": line.group,
        "subject": str(line.subject),
        "severity": line.worst.severity,
        "in": {name: _cell(finding, system) for name, finding in line.findings.items()},
    }


def _cell(finding: Finding, system: System) -> dict[str, Any]:
    return {
        "severity": finding.severity,
        "state": finding.state,
        **judgement_json(finding, system),
    }
