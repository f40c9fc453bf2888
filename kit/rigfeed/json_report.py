"""An assessment as plain data for JSON: complete, and stable under its "schema" number.

Numbers have nine significant digits; what is not finite or not known is null.
"""

from __future__ import annotations

from typing import Any

from rigfeed.assess import Assessment
from rigfeed.cautions import CAUTIONS
from rigfeed.checks.check import SEVERITY_ORDER, Finding
from rigfeed.installation import Installation
from rigfeed.measure import Measure, json_number
from rigfeed.quantity import System
from rigfeed.studies.operating import OPERATING

SCHEMA = 1


def assessment_json(assessment: Assessment, system: System = "metric") -> dict[str, Any]:
    """The plain data. `system` is for the sentences; numbers are always in the units of their names."""
    return {
        "schema": SCHEMA,
        "title": assessment.installation.title,
        "practice": {"name": assessment.practice.name, "title": assessment.practice.title},
        "counts": {severity: assessment.count(severity) for severity in SEVERITY_ORDER},
        "findings": [finding_json(finding, system) for finding in assessment.findings],
        "not_checked": [
            {"check": item.check, "subject": str(item.subject), "why": item.why} for item in assessment.not_checked
        ],
        "assumptions": [
            {"subject": str(a.subject), "what": a.what, "value": measure_json(a.value), "authority": a.authority}
            for a in assessment.assumptions
        ],
        "checks": list(assessment.checks),
        "checks_made": list(assessment.made),
        "left_out": list(assessment.troubles),
        "states": _states(assessment),
        "conductors": _conductors(assessment.installation),
        "passages": _passages(assessment.installation),
        "cautions": list(CAUTIONS),
    }


def summary_json(assessment: Assessment) -> dict[str, Any]:
    """How a design stands, where several are told of: whose it is, by which practice, and how much of each sort."""
    return {
        "title": assessment.installation.title,
        "practice": assessment.practice.name,
        "counts": {severity: assessment.count(severity) for severity in SEVERITY_ORDER},
        "not_checked": len(assessment.not_checked),
        "assumptions": len(assessment.assumptions),
    }


def measure_json(measure: Measure | None) -> dict[str, Any] | None:
    """A number with its unit."""
    return None if measure is None else {"value": json_number(measure.value), "unit": measure.unit}


def judgement_json(finding: Finding, system: System) -> dict[str, Any]:
    """What a finding says of its subject: the figures, the sentences, whose rule it is, and who accepted it."""
    return {
        "value": measure_json(finding.value),
        "limit": measure_json(finding.limit),
        "message": finding.text(system),
        "remedy": finding.advice(system),
        "authority": finding.authority,
        "accepted_by": finding.accepted_by,
    }


def finding_json(finding: Finding, system: System = "metric") -> dict[str, Any]:
    """A finding, complete."""
    return {
        "check": finding.check,
        "group": finding.group,
        "severity": finding.severity,
        "subject": str(finding.subject),
        "pointer": finding.subject.pointer,
        "also": [str(path) for path in finding.also],
        "state": finding.state,
        "also_states": list(finding.also_states),
        **judgement_json(finding, system),
    }


def _states(assessment: Assessment) -> dict[str, Any]:
    installation, operating = assessment.installation, assessment.get(OPERATING)
    if operating is None:
        return {}  # the study failed, which stands under what was not checked
    return {
        name: {
            "title": state.title,
            "engine_on": state.engine_on,
            "modes": dict(sorted(state.modes.items())),
            "volts_across": {
                node.id: json_number(operating.across(name, node.id))
                for node, _ in sorted([*installation.loads, *installation.sources], key=lambda pair: pair[0].id)
            },
            "current_a": {core.id: json_number(operating.current(name, core.id)) for core in installation.cores},
        }
        for name, state in installation.states.items()
    }


def _conductors(installation: Installation) -> dict[str, Any]:
    return {
        conductor.id: {
            "cable": conductor.cable.key,
            "from": [core.start.terminal for core in conductor.cores],
            "to": [core.end.terminal for core in conductor.cores],
            "origin": conductor.origin,
            "length_m": json_number(conductor.length_m),
            "slack_m": json_number(conductor.slack_m),
            "cut_length_m": json_number(conductor.cut_length_m) if conductor.origin == "cut" else None,
        }
        for conductor in installation.conductors.values()
    }


def _passages(installation: Installation) -> dict[str, Any]:
    return {
        passage.id: {
            "run": passage.run,
            "diameter_mm": json_number(passage.diameter_mm),
            "fill": json_number(passage.fill),
            "conductors": list(passage.conductors),
        }
        for passage in installation.passages.values()
    }
