"""Lists that were made to harm, or are simply too much: refused with a reason, or read within bounds."""

from __future__ import annotations

import io
import json
import subprocess
import sys
import zipfile

import pytest

from rigfeed.errors import Cancelled, InputError
from rigfeed.intake.keeping import catalog_name, keep
from rigfeed.intake.mapping import Mapping, mapping_text, read_mapping
from rigfeed.intake.reading import MOST_BYTES, read_sheet
from rigfeed.intake.taking import take
from rigfeed.registry import make_registry

KINDS = make_registry().kinds
HEAD = "code,description,size,od,ohm\n"


def zipped(**parts: str | bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in parts.items():
            archive.writestr(name.replace("__", "/").replace("_xml", ".xml"), text)
    return out.getvalue()


DOCTYPE = '<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]><x>&b;</x>'
OUTSIDE = '<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]><x>&a;</x>'


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (zipped(content_xml=b"<a>" + b" " * 200 * 2**20), "unpacks to"),
        (zipped(content_xml=DOCTYPE), "document type"),
        (zipped(content_xml=OUTSIDE), "document type"),
        (zipped(xl__workbook_xml=DOCTYPE), "document type"),
        (zipped(xl__workbook_xml="<workbook/>", xl__sharedStrings_xml=OUTSIDE), "document type"),
        (zipped(xl__workbook_xml="<workbook/>"), "no sheet with anything on it"),
        (zipped(content_xml="<a><b></a>"), "broken workbook"),
        (zipped(readme="a"), "no workbook"),
        (b"PK\x03\x04 and no more", "broken workbook"),
        (b"%PDF-1.7", "is a PDF"),
        (b"a,b\n1,\x00\n", "NUL character on line 2"),
        (b"x" * (MOST_BYTES + 1), "larger than 24 MiB"),
        (b"code;size\n" + b"a;1\n" * 1_000_000, "more than 200000 rows"),
        (b"a,b\n" + b"z" * 5000 + b",1\n", "cell of 5000 characters on line 2"),
        (b"a,b\n" + b"1," * 500 + b"1\n", "has 501 cells on line 2"),
    ],
)
def test_it_is_refused_with_a_reason(data, says):
    with pytest.raises(InputError, match=says):
        read_sheet(data)


OX = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
ODS = " ".join(f'xmlns:{n}="urn:oasis:names:tc:opendocument:xmlns:{n}:1.0"' for n in ("office", "table", "text"))


def sheet_of(rows: str) -> str:
    return f'<worksheet xmlns="{OX}"><sheetData>{rows}</sheetData></worksheet>'


def xlsx(sheet: str | bytes, **parts: str) -> bytes:
    """A workbook of one sheet, as ISO/IEC 29500-1 has it."""
    book = f'<workbook xmlns="{OX}" xmlns:r="{OFFICE}"><sheets><sheet name="S" r:id="a"/></sheets></workbook>'
    relations = '<Relationships><Relationship Id="a" Target="worksheets/s.xml"/></Relationships>'
    return zipped(
        xl__workbook_xml=book, **{"xl/_rels/workbook.xml.rels": relations, "xl/worksheets/s.xml": sheet}, **parts
    )


def ods(rows: str, tables: int = 1) -> bytes:
    table = f"<table:table>{rows}</table:table>" * tables
    body = f"<office:body><office:spreadsheet>{table}</office:spreadsheet></office:body>"
    return zipped(content_xml=f"<office:document-content {ODS}>{body}</office:document-content>")


WIDE = '<table:table-cell table:number-columns-repeated="190"><text:p>x</text:p></table:table-cell>'
LATE_CELL = (
    '<table:table-row><table:table-cell table:number-columns-repeated="199"/>'
    "<table:table-cell><text:p>x</text:p></table:table-cell></table:table-row>"
)
MANY_ATTRIBUTES = "<worksheet " + " ".join(f"a{n}=''" for n in range(200_000)) + "/>"
LATE = f'<?xml version="1.0"?><!--{"x" * 5000}--><!DOCTYPE x [<!ENTITY a "a">]>{sheet_of("")}'
WORKBOOKS = [
    (lambda: xlsx(LATE), "document type"),
    (lambda: xlsx(LATE.replace("<?xml version=\"1.0\"?>", "").encode("utf-16")), "document type"),
    (lambda: xlsx(sheet_of("<row>" + "<a>" * 1_000_000)), "too deep"),
    (lambda: xlsx(MANY_ATTRIBUTES), "without end"),
    (lambda: xlsx(sheet_of(f'<row><c t="inlineStr"><is><t>{"a" * 2**24}</t></is></c></row>')), "a cell of"),
    (lambda: xlsx(sheet_of(f'<row>{"<c><v>1</v></c>" * 16_384}</row>')), "201 cells"),
    (lambda: xlsx(sheet_of('<row r="2000000000"><c><v>1</v></c></row>')), "beyond row"),
    (lambda: xlsx(sheet_of("<row><c><v>1</v></c><c><v>2</v></c></row>" * 210_000)), "more than 200000 rows"),
    (lambda: xlsx(sheet_of(""), xl__styles_xml=f"<a><cellXfs>{'<xf/>' * 100_000}</cellXfs></a>"), "formats of cells"),
    (lambda: xlsx(sheet_of(""), xl__sharedStrings_xml=f"<sst>{'<si/>' * 1_100_000}</sst>"), "more texts"),
    (lambda: ods(f'<table:table-row table:number-rows-repeated="190000">{WIDE}</table:table-row>'), "cells"),
    (lambda: ods(f'<table:table-row table:number-rows-repeated="9000">{WIDE}</table:table-row>', 100), "cells"),
    (lambda: ods(f'<table:table-row table:number-rows-repeated="{"9" * 9000}">{WIDE}</table:table-row>'), "rows"),
    (lambda: ods("", 5000), "sheets"),
    (lambda: ods(LATE_CELL * 60_000, 5), "cells"),
]


READ_ALL = """
import json, sys
from pathlib import Path
from rigfeed.errors import InputError
from rigfeed.intake.reading import read_sheet
said = {}
for path in map(Path, sys.argv[1:]):
    try:
        read_sheet(path.read_bytes())
    except InputError as error:
        said[path.name] = str(error)
(line,) = [line for line in open("/proc/self/status") if line.startswith("VmHWM:")]
print(json.dumps(said | {"memory_mb": int(line.split()[1]) / 1024}))
"""


def test_workbooks_that_unfold_are_refused_before_they_do_within_400_mb(tmp_path):
    """All in one process, so that the largest counts."""
    paths = [tmp_path / str(number) for number in range(len(WORKBOOKS))]
    for path, (make, _) in zip(paths, WORKBOOKS, strict=True):
        path.write_bytes(make())
    command = [sys.executable, "-c", READ_ALL, *map(str, paths)]
    said = json.loads(subprocess.run(command, capture_output=True, text=True, timeout=240, check=True).stdout)
    assert said.pop("memory_mb") < 400
    for path, (_, says) in zip(paths, WORKBOOKS, strict=True):
        assert says in said.get(path.name, "was read")


def test_too_many_elements_are_too_much(monkeypatch):
    monkeypatch.setattr("rigfeed.intake.workbooks.MOST_ELEMENTS", 1000)
    with pytest.raises(InputError, match="more than 1000 elements"):
        read_sheet(ods("<table:table-row><table:table-cell/></table:table-row>" * 1000))


def test_sheets_that_share_one_part_are_looked_at_once():
    told = []
    sheet = '<sheet name="S" r:id="a"/>' * 100
    book = f'<workbook xmlns="{OX}" xmlns:r="{OFFICE}"><sheets>{sheet}</sheets></workbook>'
    relations = '<Relationships><Relationship Id="a" Target="worksheets/s.xml"/></Relationships>'
    parts = {"xl/_rels/workbook.xml.rels": relations, "xl/worksheets/s.xml": sheet_of("<row/>" * 9)}
    with pytest.raises(InputError, match="no sheet"):
        read_sheet(zipped(xl__workbook_xml=book, **parts), tell=lambda _, text: told.append(text))
    assert [text for text in told if "s.xml" in text] == ["the workbook, s.xml"]


def test_what_a_workbook_points_to_outside_of_itself_is_not_followed(tmp_path):
    (tmp_path / "secret.xml").write_text(sheet_of("<row><c><v>1</v></c></row>"))
    for target in (f"file://{tmp_path}/secret.xml", f"{tmp_path}/secret.xml", "../../../../etc/hostname"):
        relations = f'<Relationships><Relationship Id="a" Target="{target}"/></Relationships>'
        book = f'<workbook xmlns="{OX}" xmlns:r="{OFFICE}"><sheets><sheet name="S" r:id="a"/></sheets></workbook>'
        with pytest.raises(InputError, match="no sheet"):
            read_sheet(zipped(xl__workbook_xml=book, **{"xl/_rels/workbook.xml.rels": relations}))


def test_a_list_that_is_no_list_says_how_it_begins():
    for text in ("", "hello", "one;two\n1;2\n"):
        with pytest.raises(InputError):
            take(text.encode(), "x.csv", KINDS)


@pytest.mark.parametrize(
    "name", ["../x", "a/b", "/etc/x", "a\0b", "..", "a.b", "", "x" * 65, "con\n", "-x", "NUL", "com1"]
)
def test_a_name_never_leaves_the_folder(name, tmp_path):
    with pytest.raises(InputError):
        keep(tmp_path, name, "part,title\n") if name else catalog_name("", "..")
    assert list(tmp_path.rglob("*")) == []


def test_a_link_is_not_written_through(tmp_path):
    (tmp_path / "elsewhere").write_text("untouched")
    (tmp_path / "mine.csv").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(InputError, match="link"):
        keep(tmp_path, "mine", "part,title\n")
    assert (tmp_path / "elsewhere").read_text() == "untouched"


@pytest.mark.parametrize("cell", ["=1+2", "@SUM(A1)", "+cmd|x", "-cmd|x", "#REF!"])
def test_a_formula_is_never_taken(cell):
    rows = f"{HEAD}K1,{cell},2.5 mm2,3.0,7.6 ohm/km\nK2,plain,2.5 mm2,3.0,7.6 ohm/km\n"
    bad, good = take(rows.encode(), "x.csv", KINDS, Mapping(kind="cable")).outcomes
    assert bad.state == "refused"
    assert good.state == "taken"


def test_the_progress_can_be_stopped():
    def tell(done: float, text: str) -> None:
        raise Cancelled("enough")

    with pytest.raises(Cancelled):
        take((HEAD + "K1,a,2.5 mm2,3.0,7.6 ohm/km\n").encode(), "x.csv", KINDS, Mapping(kind="cable"), tell=tell)


def test_the_unpacking_of_a_workbook_can_be_stopped():
    def tell(done: float, text: str) -> None:
        raise Cancelled(text)

    for data in (ods("<table:table-row/>" * 9), xlsx(sheet_of("<row/>" * 9))):
        with pytest.raises(Cancelled, match="the workbook, "):
            read_sheet(data, tell=tell)


def test_a_mapping_keeps_whatever_headers_there_are(tmp_path):
    mapping = Mapping(kind="cable", columns={'Ø "mm"\t\\': "od", "x": ""}, treat={"size": "awg"}, decimal=",")
    path = tmp_path / "m.toml"
    path.write_text(mapping_text(mapping))
    assert read_mapping(path) == mapping
    for wrong in ("kind = 3\n", "strange = 1\n", "[columns]\na = 1\n", "decimal = ';'\n", "\x00"):
        path.write_text(wrong)
        with pytest.raises(InputError):
            read_mapping(path)


MANY = """
from rigfeed.intake.taking import take
from rigfeed.registry import make_registry
rows = ["code;description;size;od;ohm;temp"]
rows += [f"C{i};cable no {i};2.5 mm2;3.0;7.6 ohm/km;105" for i in range(100_000)]
told = []
taken = take(chr(10).join(rows).encode(), "big.csv", make_registry().kinds, tell=lambda done, text: told.append(done))
assert len(told) == 100 and taken.count("taken") == 100_000
(line,) = [line for line in open("/proc/self/status") if line.startswith("VmHWM:")]
print(int(line.split()[1]) / 1024)
"""


@pytest.mark.slow
def test_a_hundred_thousand_rows_within_400_mb():
    done = subprocess.run([sys.executable, "-c", MANY], capture_output=True, text=True, timeout=240, check=True)
    assert float(done.stdout) < 400
