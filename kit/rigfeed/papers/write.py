"""All papers of an assessment into a folder."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterator, Sequence
from pathlib import Path
from typing import Literal

from rigfeed.assess import Assessment
from rigfeed.cautions import CAUTIONS
from rigfeed.checks.check import SEVERITY_ORDER
from rigfeed.errors import FileProblem, Place, UnknownName
from rigfeed.files import replace_file
from rigfeed.papers.csv import write_csv
from rigfeed.papers.front import Front
from rigfeed.papers.paper import Wanted
from rigfeed.papers.spared import book_of, figures_of, svg_of, tables_of
from rigfeed.papers.table import Table, table_json
from rigfeed.papers.xlsx import workbook_bytes
from rigfeed.quantity import System

Format = Literal["xlsx", "csv", "svg", "png", "json"]
FORMATS: tuple[Format, ...] = ("xlsx", "csv", "svg", "png", "json")
USUAL: tuple[Format, ...] = ("xlsx", "csv", "svg")
SCHEMA = 1
ORDER = (
    "cut-list", "termination-list", "label-list", "fuse-schedule", "fuse-window", "fault-table", "what-if",
    "return-question", "hole-list", "load-list", "bill-of-materials", "cutting-plan", "buying-list", "survey-sheet",
    "findings", "assumptions", "not-checked",
)  # the first sheets; others follow by name


def write_papers(
    assessment: Assessment, folder: Path, name: str, *, system: System = "metric",
    paper: Literal["A4", "Letter"] = "A4", formats: Collection[str] = USUAL, file: str = "",
    only: Collection[str] | None = None, left_out: list[str] | None = None,
) -> list[Path]:
    """Write ``name.xlsx`` with all papers, one CSV or JSON file for each, one SVG file for each drawing, and figures as
    SVG, PNG and JSON; the paths, the workbook first. A drawing takes A3 or more where it could not be read on A4; on
    Letter it becomes smaller. Where figures cannot be drawn (the extra is not installed) SVG is that of the drawings.

    Parameters
    ----------
    formats : collection of str
        Which of `FORMATS` to write.
    file : str
        The name of the design's file, for the title block.
    only : collection of str or None
        The names of the papers, drawings and figures to write; None for all.
    left_out : list of str or None
        Where to add what failed and is left out, a line each; where it is None, the first failure is raised.

    Raises
    ------
    UnknownName
        If there is no paper, drawing or figure of a name in `only`.
    NoPictures
        If PNG is wanted and what draws figures is not installed.
    FileProblem
        If the folder cannot be made or a file not written.
    """
    wanted = _wanted(assessment, only)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise FileProblem(
            f"cannot be made: {error.strerror}", place=Place(file=str(folder)), remedy="name another folder"
        ) from error
    names = sorted(assessment.papers, key=lambda n: (ORDER.index(n) if n in ORDER else len(ORDER), n))
    tables = tables_of(assessment, [name for name in names if name in wanted], system, left_out)
    look = Wanted(page="Letter" if paper == "Letter" else None, system=system)
    drawn = {
        name: svg for name in (assessment.drawings if "svg" in formats else ())
        if name in wanted and (svg := svg_of(assessment, name, look, left_out)) is not None
    }
    figures = figure_files(assessment, wanted, formats, system, left_out)
    paths: list[Path] = []
    if "xlsx" in formats:
        book = workbook_of(assessment, tables, file=file, system=system, paper=paper, left_out=left_out)
        if book is not None:
            paths.append(folder / f"{name}.xlsx")
            replace_file(paths[0], book)
    for table in tables:
        if "csv" in formats:
            paths.append(folder / f"{name}-{table.name}.csv")
            write_csv(paths[-1], table, system=system)
        if "json" in formats:
            paths.append(folder / f"{name}-{table.name}.json")
            replace_file(paths[-1], json_text(table, assessment).encode("utf-8"))
    for drawing, svg in drawn.items():
        paths.append(folder / f"{name}-{drawing}.svg")
        replace_file(paths[-1], svg.encode("utf-8"))
    for ending, content in figures:
        paths.append(folder / f"{name}-{ending}")
        replace_file(paths[-1], content)
    return paths


def figure_files(
    assessment: Assessment, names: Collection[str], formats: Collection[str], system: System = "metric",
    left_out: list[str] | None = None,
) -> list[tuple[str, bytes]]:
    """The figures of these names in those of the formats that a figure can have, each with the ending of its name.

    Raises
    ------
    NoPictures
        If PNG is wanted and what draws figures is not installed.
    """
    from rigfeed.figures.write import FORMATS as FORMS
    from rigfeed.figures.write import can_draw

    forms = [form for form in FORMS if form in formats and (form != "svg" or can_draw())]
    if "png" in forms and not can_draw():
        from rigfeed.figures.render import NoPictures

        raise NoPictures
    figures = [name for name in assessment.figures if name in names] if forms else []
    return [file for name in figures for file in figures_of(assessment, name, forms, system, left_out)]


def workbook_of(
    assessment: Assessment, tables: Sequence[Table], *, file: str = "", system: System = "metric",
    paper: Literal["A4", "Letter"] = "A4", left_out: list[str] | None = None,
) -> bytes | None:
    """The workbook of some papers behind its first sheet, which says as well what is left out; None without any."""

    def make(sheets: Sequence[Table]) -> bytes:
        front, job = title_block(assessment, file, left_out or ()), job_line(assessment)
        return workbook_bytes(sheets, job=job, cautions=CAUTIONS, system=system, paper=paper, front=front)

    return book_of(tables, make, left_out)


def _wanted(assessment: Assessment, only: Collection[str] | None) -> frozenset[str]:
    known = (*assessment.papers, *assessment.drawings, *assessment.figures)
    for name in only or ():
        if name not in known:
            raise UnknownName("paper", name, known)
    return frozenset(known if only is None else only)


def write_drawing(assessment: Assessment, name: str, wanted: Wanted, path: Path) -> None:
    """Write a drawing as SVG.

    Raises
    ------
    UnknownName
        If there is none of that name, or no such state.
    FileProblem
        If the file cannot be written.
    """
    from rigfeed.drawing.svg import svg_text

    replace_file(path, svg_text(assessment.drawing(name, wanted)).encode("utf-8"))


def json_text(table: Table, assessment: Assessment) -> str:
    """A paper as JSON, numbers in the base units of its columns, with the job and the cautions."""
    data = {"schema": SCHEMA, "job": job_line(assessment), "cautions": list(CAUTIONS), **table_json(table)}
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=2) + "\n"


def job_line(assessment: Assessment) -> str:
    """What stands under every title and in every footer: job, practice, and revision and date where the design says."""
    job = assessment.installation.design.job
    parts = [assessment.installation.title, f"practice: {assessment.practice.title}"]
    parts += [f"revision {job.revision}"] if job.revision else []
    parts += [job.date] if job.date else []
    return " - ".join(parts)


def title_block(assessment: Assessment, file: str = "", left_out: Sequence[str] = ()) -> Front:
    """The first sheet. What the design does not say is a line to write on; the date is that of the design, never of
    the clock. `left_out` are papers that failed."""
    design = assessment.installation.design
    job, vehicle = design.job, design.vehicle
    facts = (
        ("Vehicle", job.vehicle or ""),
        ("Revision", job.revision or ""),
        ("Customer", job.customer or ""),
        ("Date", job.date or ""),
        ("Practice", assessment.practice.title),
        ("By", job.by or ""),
        ("System", vehicle.system_voltage or f"{assessment.installation.system_v:g} V, assumed"),
        ("Design file", file),
    )
    checks = ("Checks", f"{len(assessment.made)} of {len(assessment.checks)} made in full: {_counts(assessment)}")
    return Front(assessment.installation.title, facts, (*_notes(assessment, left_out), checks))


def _notes(assessment: Assessment, left_out: Sequence[str]) -> Iterator[tuple[str, str]]:
    design = assessment.installation.design
    if design.job.note:
        yield "Note", design.job.note
    if design.vehicle.note:
        yield "Note on the vehicle", design.vehicle.note
    if missing := (*assessment.troubles, *left_out):
        yield "Left out", "; ".join(missing)


def _counts(assessment: Assessment) -> str:
    found = [f"{count} {severity}" for severity in SEVERITY_ORDER if (count := assessment.count(severity))]
    return (
        f"{', '.join(found) or 'no finding'}; {len(assessment.not_checked)} things not checked, "
        f"{len(assessment.assumptions)} assumptions"
    )
