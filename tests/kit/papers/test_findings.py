"""Findings by severity, with words for subjects; assumptions; what was not checked."""

from __future__ import annotations

from rigfeed.registry import installed_registry

SMOKING = (
    ("cable:thinwall-2.5", "cable:thinwall-1"),
    ('to = "F1.a", length = "0.15 m"', 'to = "F1.a", length = "0.9 m"'),
)
DEVIATION = """
[[deviations]]
check = "fuse-far-from-source"
subject = "nodes.F1"
reason = "no room nearer"
by = "N. N."
on = "2026-05-31"

[job]"""


def test_errors_come_first_and_say_what_to_do(changed, rows):
    assessment = changed(*SMOKING)
    found = rows(assessment.paper("findings"))
    severities = [row["severity"] for row in found]
    assert severities == sorted(severities, key=["error", "warning", "advice"].index)
    starved = next(row for row in found if row["check"] == "volts-below-minimum")
    assert (starved["severity"], starved["subject"]) == ("error", "vhf")
    assert starved["state"] == "everything keyed, engine off"
    assert starved["remedy"]
    assert starved["authority"]
    assert len(found) == len(assessment.findings)


def test_what_somebody_accepted_stays_with_the_name(changed, rows):
    far = [*SMOKING, ("[job]", DEVIATION.lstrip())]
    assessment = changed(*far)
    (row,) = [row for row in rows(assessment.paper("findings")) if row["check"] == "fuse-far-from-source"]
    assert row["accepted"] == "N. N.: no room nearer"
    errors = sum(f.severity == "error" and f.accepted_by is None for f in assessment.findings)
    assert assessment.paper("findings").notes[0].startswith(f"Not accepted: {errors} error")


def test_all_checks_made_in_full_are_named(assessed):
    assessment = assessed("hazel")
    note = assessment.paper("findings").notes[-1]
    assert all(name in note for name in assessment.made)
    assert "fuse-above-ampacity" in assessment.made
    assert "label-missing" not in note  # it waits for an eye


def test_assumptions_have_their_value_in_the_units_of_the_reader(assessed, rows):
    metric, us = (rows(assessed("hazel").paper("assumptions", system)) for system in ("metric", "us"))
    assert metric[0]["value"] == "1.35 m"
    assert us[0]["value"] == "4.43 ft"
    assert {row["subject"] for row in metric} >= {"box: resistance", "stud: resistance", "states"}


def test_what_was_not_checked_is_complete(assessed, rows):
    assessment = assessed("larch")
    found = rows(assessment.paper("not-checked"))
    assert [(row["check"], row["why"]) for row in found] == [(item.check, item.why) for item in assessment.not_checked]


def test_every_paper_says_what_it_is_for(assessed):
    for name in assessed("hazel").papers:
        table = assessed("hazel").paper(name)
        assert table.use, name
        assert (table.name, table.title) == (name, installed_registry().papers[name].title)
