"""Spreadsheets and archives: what is in them is read, and what they claim is not believed.

The files are made here by hand, as the standards say (ECMA-376, OASIS OpenDocument 1.3).
"""

from __future__ import annotations

import io
import subprocess
import sys
import zipfile

import numpy as np
import pytest

from fairlead.core.errors import ReadError
from fairlead.core.reading import open_sweeps, packed, read_preview, read_sweeps, spreadsheet
from fairlead.core.reading.tables import ColumnPlan, NeedsColumnsError
from fairlead.core.reflection import swr

TOUCHSTONE = "# MHz S RI R 50\n50 0.1 0.2\n51 0.1 0.1\n"
TABLE = "MHz,SWR\n50,1.5\n51,1.2\n"
MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
RELATION = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
OFFICE = "urn:oasis:names:tc:opendocument:xmlns"


def zipped(members, **options):
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED, **options) as archive:
        for name, content in members.items():
            archive.writestr(name, content)
    return buffer.getvalue()


def workbook(sheets, strings="", target="worksheets/{}.xml"):
    """An .xlsx; sheets: XML of the rows by name."""
    entries = "".join(
        f'<sheet name="{name}" sheetId="{i}" r:id="rId{i}"/>' for i, name in enumerate(sheets, 1)
    )
    relations = "".join(
        f'<Relationship Id="rId{i}" Type="{RELATION}/worksheet" Target="{target.format(i)}"/>'
        for i, _ in enumerate(sheets, 1)
    )
    members = {
        "xl/workbook.xml": f'<workbook {MAIN} xmlns:r="{RELATION}"><sheets>{entries}</sheets>'
        "</workbook>",
        "xl/_rels/workbook.xml.rels": f"<Relationships>{relations}</Relationships>",
    }
    if strings:
        members["xl/sharedStrings.xml"] = f"<sst {MAIN}>{strings}</sst>"
    for i, rows in enumerate(sheets.values(), 1):
        text = f"<worksheet {MAIN}><sheetData>{rows}</sheetData></worksheet>"
        members[f"xl/worksheets/{i}.xml"] = text
    return zipped(members)


def row(number, **cells):
    """A row of numbers by column: ``row(2, A=50, B=1.5)``."""
    inner = "".join(f'<c r="{c}{number}"><v>{v}</v></c>' for c, v in cells.items())
    return f'<row r="{number}">{inner}</row>'


def head(number, *texts):
    cells = "".join(
        f'<c r="{"ABC"[i]}{number}" t="inlineStr"><is><t>{t}</t></is></c>'
        for i, t in enumerate(texts)
    )
    return f'<row r="{number}">{cells}</row>'


READINGS = head(1, "MHz", "SWR") + row(2, A=50, B=1.5) + row(3, A=51, B=1.2)


def document(tables):
    """An .ods; tables: XML of the rows by name."""
    body = "".join(
        f'<table:table table:name="{name}">{rows}</table:table>' for name, rows in tables.items()
    )
    names = "".join(f' xmlns:{n}="{OFFICE}:{n}:1.0"' for n in ("office", "table", "text"))
    return zipped(
        {
            "mimetype": "application/vnd.oasis.opendocument.spreadsheet",
            "content.xml": f"<office:document-content{names}><office:body>{body}</office:body>"
            "</office:document-content>",
        }
    )


def text_cell(text, more=""):
    return f"<table:table-cell{more}><text:p>{text}</text:p></table:table-cell>"


def number_cell(value, more=""):
    # What is shown is rounded; the value is what was stored.
    return (
        f'<table:table-cell office:value-type="float" office:value="{value}"{more}>'
        "<text:p>0</text:p></table:table-cell>"
    )


def table_row(*cells, more=""):
    return f"<table:table-row{more}>{''.join(cells)}</table:table-row>"


EMPTY_END = table_row(
    '<table:table-cell table:number-columns-repeated="1024"/>',
    more=' table:number-rows-repeated="1048570"',
)
DOCUMENT = (
    table_row(text_cell("MHz"), text_cell("SWR"))
    + table_row(number_cell(50), number_cell(1.5))
    + table_row(number_cell(51), number_cell(1.2))
    + EMPTY_END
)


def read(data, name="club.xlsx", columns=None):
    return read_sweeps(data, name, ColumnPlan.parse(columns) if columns else None)


def refused(data, name="club.xlsx"):
    with pytest.raises(ReadError) as caught:
        read(data, name)
    assert caught.value.advice
    assert caught.value.file == name
    return caught.value.reason


def check(reading):
    np.testing.assert_allclose(reading.sweep.frequency_hz, [50e6, 51e6])
    np.testing.assert_allclose(swr(reading.sweep.magnitude), [1.5, 1.2])


@pytest.mark.parametrize(
    "data", [workbook({"Sheet1": READINGS}), document({"Sheet1": DOCUMENT})], ids=["xlsx", "ods"]
)
def test_a_sheet_is_a_table(data, tmp_path):
    path = tmp_path / "club dipole.bin"
    path.write_bytes(data)
    (reading,) = open_sweeps(path)
    check(reading)
    assert (reading.label, reading.file) == ("club dipole", str(path))


@pytest.mark.parametrize(
    "data",
    [
        workbook({"dry": READINGS, "notes": head(1, "none"), "empty": "", "wet": READINGS}),
        document({"dry": DOCUMENT, "notes": table_row(text_cell("x")), "": "", "wet": DOCUMENT}),
    ],
    ids=["xlsx", "ods"],
)
def test_sheets_are_told_apart_and_those_without_a_sweep_are_said(data):
    dry, wet = read(data)
    assert [dry.label, wet.label] == ["club dry", "club wet"]
    assert {dry.file, wet.file} == {"club.xlsx"}
    (notice,) = dry.notices
    assert notice.code == "part-left-out"
    assert notice.text.startswith("1 of 3 parts of the file are not read: sheet 'notes': ")
    assert wet.notices == ()


def test_shared_strings_gaps_and_the_paths_of_sheets():
    strings = (
        "<si><t>MHz</t></si><si><r><t>S</t></r><r><t>WR</t></r><rPh><t>aloud</t></rPh></si>"
        "<si><t>a \t&quot;title&quot;\n</t></si>"
    )
    rows = (
        '<row r="3"><c r="B3" t="s"><v>2</v></c></row>'
        '<row r="5"><c r="B5" t="s"><v>0</v></c><c t="s"><v>1</v></c><c t="s"><v>7</v></c></row>'
        "<row><c r='B6'><v>50</v></c><c><f>1+.5</f><v>1.5</v></c><c/></row>" + row(7, B=51, C=1.2)
    )
    for target in ("worksheets/{}.xml", "/xl/worksheets/{}.xml"):
        check(*read(workbook({"Sheet 1": rows}, strings, target)))


def test_repeated_cells_and_rows():
    rows = (
        table_row(text_cell("MHz"), "<text:p/>", text_cell("SWR"))
        + table_row(number_cell(50, ' table:number-columns-repeated="2"'))
        + table_row(number_cell(51), number_cell(51), more=' table:number-rows-repeated="2"')
    )
    (reading,) = read(document({"a": rows}))
    np.testing.assert_allclose(swr(reading.sweep.magnitude), [50, 51])


def test_columns_of_a_sheet_are_asked_for_and_chosen():
    rows = row(1, A=50, B=1.5) + row(2, A=51, B=1.2)
    data = workbook({"a": rows})
    with pytest.raises(NeedsColumnsError) as caught:
        read(data)
    assert caught.value.file == "club.xlsx"
    check(*read(data, columns="frequency=1:MHz,swr=2"))
    assert read_preview(data, "club.xlsx").columns == 2


def test_an_archive_is_read_like_its_files():
    data = zipped(
        {
            "roof/unit 10.s1p": TOUCHSTONE,
            "roof/unit 2.s1p": TOUCHSTONE,
            "roof/table.csv": TABLE,
            "rows": "50 1.5\n51 1.4\n",
            "readme": "nothing to see",
            "photo.jpg": b"\xff\xd8\xff",
            "odd.csv": b"\xff\xd8\xff",
            "inner.zip": zipped({"a.s1p": TOUCHSTONE}),
            "__MACOSX/roof/unit 2.s1p": TOUCHSTONE,
            ".hidden.s1p": TOUCHSTONE,
            "empty/": "",
        }
    )
    readings = read(data, "club.zip")
    assert [one.label for one in readings] == ["table", "unit 2", "unit 10"]
    assert {one.file for one in readings} == {"club.zip"}
    assert [notice.code for notice in readings[0].notices] == ["part-left-out"]
    assert read_preview(data, "club.zip").headings == ("MHz", "SWR")
    assert read_preview(zipped({"a.s1p": TOUCHSTONE}), "club.zip") is None


def test_nothing_in_it():
    assert refused(zipped({"readme": "hello"})) == "the archive holds no file that can be a sweep"
    gone = workbook({"a": READINGS}, target="charts/{}.xml")
    assert refused(gone) == "no sheet of the spreadsheet holds anything"
    assert refused(workbook({"a": ""})) == "no sheet of the spreadsheet holds anything"
    reason = refused(zipped({"roof/a.csv": "hello\n"}))
    assert reason.startswith("file 'roof/a.csv': ")


def test_damaged_archives():
    whole = zipped({"a.s1p": TOUCHSTONE * 50})
    assert refused(whole[:-30]) == "the archive is damaged"
    flipped = bytearray(whole)
    flipped[60] ^= 255
    assert refused(bytes(flipped)) == "the archive is damaged"
    assert refused(workbook({"a": "<row"})) == "the spreadsheet is damaged"
    locked = bytearray(zipped({"a.s1p": TOUCHSTONE}))
    at = locked.index(b"PK\x01\x02")
    locked[at + 8] |= 1
    locked[6] |= 1
    assert refused(bytes(locked)) == "the archive is encrypted or packed in an unknown way"


def test_bounds_hold_for_what_comes_out(monkeypatch):
    monkeypatch.setattr(packed, "MOST_BYTES", 3 * 1024 * 1024)
    bomb = zipped({"a.csv": b"0" * 4 * 1024 * 1024})
    assert len(bomb) < 10_000
    assert refused(bomb) == "more than 3 MiB in the archive"
    many = zipped({f"{i}.csv": b"0" * 1024 * 1024 for i in range(4)})
    assert refused(many) == "more than 3 MiB in the archive"
    monkeypatch.setattr(packed, "MOST_MEMBERS", 2)
    assert refused(many) == "more than 2 files in the archive"


TOO_LARGE = "more than 4096 columns or 1000000 cells"


@pytest.mark.parametrize(
    "data",
    [
        workbook({"a": row(1, A=1) + row(1_048_576, XFD=2)}),
        workbook({"a": row(1, A=1) + row(9_999_999, A=2)}),
        document({"a": table_row(number_cell(1, ' table:number-columns-repeated="999999999"'))}),
        document(
            {"a": table_row(number_cell(1), more=' table:number-rows-repeated="9999999"') * 4}
        ),
        document({"a": EMPTY_END + EMPTY_END + EMPTY_END}),
    ],
    ids=["wide", "long", "wide ods", "long ods", "empty ods"],
)
def test_sheets_that_unfold_are_refused(data):
    assert refused(data) == TOO_LARGE


def test_a_large_document_is_refused(monkeypatch):
    monkeypatch.setattr(spreadsheet, "MOST_CONTENT_BYTES", 100)
    assert refused(document({"a": DOCUMENT})) == TOO_LARGE


def test_entities_are_refused():
    data = zipped(
        {
            "xl/workbook.xml": '<!DOCTYPE a [<!ENTITY b "c">]><a>&b;</a>',
        }
    )
    assert refused(data) == "the spreadsheet defines entities, as none should"


def test_text_files_do_not_load_the_readers_of_archives():
    code = (
        "import sys; from fairlead.core.reading import read_sweeps\n"
        f"read_sweeps({TABLE.encode()!r}, 'a.csv')\n"
        "print([n for n in sys.modules if n in ('zipfile', 'xml.etree.ElementTree')])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    assert done.stdout == "[]\n"
