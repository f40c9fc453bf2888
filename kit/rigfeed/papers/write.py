"""All papers of an assessment into a folder."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from rigfeed.assess import Assessment
from rigfeed.cautions import CAUTIONS
from rigfeed.errors import FileProblem, Place
from rigfeed.papers.csv import write_csv
from rigfeed.papers.xlsx import write_workbook
from rigfeed.quantity import System

ORDER = ("cut-list", "findings", "assumptions", "not-checked")  # the first sheets; others follow by name


def write_papers(
    assessment: Assessment, folder: Path, name: str, *, system: System = "metric", paper: Literal["A4", "Letter"] = "A4"
) -> list[Path]:
    """Write ``name.xlsx`` with all papers and one CSV file for each; the paths, the workbook first.

    Raises
    ------
    FileProblem
        If the folder cannot be made or a file not written.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise FileProblem(
            f"cannot be made: {error.strerror}", place=Place(file=str(folder)), remedy="name another folder"
        ) from error
    names = sorted(assessment.papers, key=lambda n: (ORDER.index(n) if n in ORDER else len(ORDER), n))
    tables = [assessment.paper(name, system) for name in names]
    workbook = folder / f"{name}.xlsx"
    job = f"{assessment.installation.title} - practice: {assessment.practice.title}"
    write_workbook(workbook, tables, job=job, cautions=CAUTIONS, system=system, paper=paper)
    paths = [workbook]
    for table in tables:
        paths.append(folder / f"{name}-{table.name}.csv")
        write_csv(paths[-1], table, system=system)
    return paths
