"""What goes out: an assessment, its papers, drawings and figures, in the media type that the caller wants most.

The same for a design that was just sent and for one that is stored.
"""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Iterator, Sequence
from typing import Any, Literal

from flask import Response, request

from rigfeed.assess import Assessment
from rigfeed.cautions import CAUTIONS
from rigfeed.errors import RigfeedError
from rigfeed.json_report import assessment_json
from rigfeed.papers.paper import Page, Wanted
from rigfeed.papers.table import Table
from rigfeed.quantity import System
from rigfeed_api.engine import engine
from rigfeed_api.problems import Problem

JSON, CSV, ZIP, SVG, PNG = "application/json", "text/csv", "application/zip", "image/svg+xml", "image/png"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
TABLE_TYPES = (JSON, CSV, XLSX)
WHOLE_TYPES = (ZIP, XLSX)
PICTURES: dict[str, Literal["svg", "png"]] = {SVG: "svg", PNG: "png"}
LEFT_OUT = "left-out.txt"  # in an archive: what failed and is not in it
_EARLIEST = (1980, 1, 1, 0, 0, 0)  # the first date that a zip file can hold: no clock in what is handed out


def wanted_type(offered: Sequence[str]) -> str:
    """The media type among those offered that the caller likes best; the first where all are as good.

    Raises
    ------
    Problem
        406 where the caller takes none of them.
    """
    wanted = request.accept_mimetypes
    best = max(offered, key=wanted.quality) if wanted else offered[0]
    if wanted and wanted.quality(best) <= 0:
        raise Problem(406, f"this can be had as {', '.join(offered)}; the header Accept allows none of them")
    return best


def json_answer(data: Any, status: int = 200) -> Response:
    """Plain data as JSON; numbers are rounded by whoever made it."""
    wanted_type([JSON])
    text = json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return Response(text, status, content_type=JSON)


def assessment_answer(assessment: Assessment, units: System = "metric") -> Response:
    """Everything that the checks say."""
    return json_answer(assessment_json(assessment, units))


def paper_answer(assessment: Assessment, name: str, units: System = "metric", page: Page | None = None) -> Response:
    """One paper, as JSON, CSV or a workbook."""
    media_type = wanted_type(TABLE_TYPES)
    table = assessment.paper(name, units)
    if media_type == CSV:
        from rigfeed.papers.csv import csv_text

        return _file(csv_text(table, system=units).encode(), f"{CSV}; charset=utf-8", f"{name}.csv")
    if media_type == XLSX:
        return _file(_sheet(assessment, table, units, page), XLSX, f"{name}.xlsx")
    from rigfeed.papers.write import json_text

    return Response(json_text(table, assessment), content_type=JSON)


def papers_answer(assessment: Assessment, units: System = "metric", page: Page | None = None) -> Response:
    """All papers: an archive with every format, drawings and figures, or one workbook."""
    if wanted_type(WHOLE_TYPES) == XLSX:
        left_out: list[str] = []
        book = _whole_book(assessment, _tables(assessment, units, left_out), units, page, left_out)
        if book is None:
            raise RigfeedError("; ".join(left_out) or "there is no paper")
        return _file(book, XLSX, "papers.xlsx")
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in _archived(assessment, units, page):
            entry = zipfile.ZipInfo(name, _EARLIEST)
            entry.compress_type, entry.external_attr = zipfile.ZIP_DEFLATED, 0o644 << 16
            archive.writestr(entry, content)
    return _file(packed.getvalue(), ZIP, "papers.zip")


def drawing_answer(assessment: Assessment, name: str, wanted: Wanted) -> Response:
    """A picture, as SVG."""
    from rigfeed.drawing.svg import svg_text

    wanted_type([SVG])
    return Response(svg_text(assessment.drawing(name, wanted)), content_type=SVG)


def figure_answer(
    assessment: Assessment, name: str, subject: str | None = None, units: System = "metric"
) -> Response:
    """A figure, as its numbers or as a picture; only the former where this server cannot draw."""
    from rigfeed.figures.write import can_draw, figure_bytes

    media_type = wanted_type((JSON, *(PICTURES if can_draw() else ())))
    figure = assessment.figure(name, subject, units)
    content = figure_bytes(assessment, figure, PICTURES.get(media_type, "json"), units)
    return Response(content, content_type=media_type)


def subjects_of(assessment: Assessment, name: str) -> dict[str, Any]:
    """What a figure can be about."""
    wanted_type([JSON])
    return {"subjects": [vars(about) for about in assessment.subjects(name)]}


def known(sort: Literal["paper", "drawing", "figure"], name: str) -> str:
    """A name of a paper, drawing or figure that there is; 404 for any other."""
    if name not in getattr(engine().registry, f"{sort}s"):
        raise Problem(404, f"there is no {sort} {name[:60]!r}; /v1/{sort}s lists them")
    return name


def _archived(assessment: Assessment, units: System, page: Page | None) -> Iterator[tuple[str, bytes]]:
    from rigfeed.papers.csv import csv_text
    from rigfeed.papers.spared import svg_of
    from rigfeed.papers.write import figure_files, json_text

    left_out: list[str] = []
    tables = _tables(assessment, units, left_out)
    look = Wanted(page=page, system=units)
    drawn = [(name, svg_of(assessment, name, look, left_out)) for name in assessment.drawings]
    if book := _whole_book(assessment, tables, units, page, left_out):
        yield "papers.xlsx", book
    for table in tables:
        yield f"csv/{table.name}.csv", csv_text(table, system=units).encode()
        yield f"json/{table.name}.json", json_text(table, assessment).encode()
    for name, svg in drawn:
        if svg is not None:
            yield f"drawings/{name}.svg", svg.encode()
    for name, content in figure_files(assessment, assessment.figures, ("svg", "json"), units, left_out):
        yield f"figures/{name}", content
    if left_out:
        yield LEFT_OUT, "".join(f"{line}\n" for line in left_out).encode(errors="replace")
    yield "assessment.json", json.dumps(
        assessment_json(assessment, units), ensure_ascii=False, allow_nan=False, indent=2
    ).encode()


def _tables(assessment: Assessment, units: System, left_out: list[str]) -> list[Table]:
    from rigfeed.papers.spared import tables_of
    from rigfeed.papers.write import ORDER

    names = sorted(assessment.papers, key=lambda n: (ORDER.index(n) if n in ORDER else len(ORDER), n))
    return tables_of(assessment, names, units, left_out)


def _whole_book(
    assessment: Assessment, tables: Sequence[Table], units: System, page: Page | None, left_out: list[str]
) -> bytes | None:
    from rigfeed.papers.write import workbook_of

    paper: Literal["A4", "Letter"] = "Letter" if page == "Letter" else "A4"
    return workbook_of(assessment, tables, system=units, paper=paper, left_out=left_out)


def _sheet(assessment: Assessment, table: Table, units: System, page: Page | None) -> bytes:
    from rigfeed.papers.write import job_line
    from rigfeed.papers.xlsx import workbook_bytes

    return workbook_bytes(
        [table], job=job_line(assessment), cautions=CAUTIONS, system=units,
        paper="Letter" if page == "Letter" else "A4",
    )


def _file(content: bytes, content_type: str, name: str) -> Response:
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(content, headers=headers, content_type=content_type)
