"""What the import panel is given: the first rows, a plan to offer, and sweeps for its plot."""

from __future__ import annotations

import pytest
from table_text import asked, swr_of

from fairlead.core.errors import ReadError
from fairlead.core.reading import open_preview, open_sweeps, preview_sweeps, read_preview
from fairlead.core.reading.tables import ColumnPlan, NeedsColumnsError

ROWS = "".join(f"{50 + i / 10:.1f};1,{i:02}\n" for i in range(30)).replace(".", ",")
TEXT = f"MHz;reading\n{ROWS}"
PLAN = ColumnPlan.parse("frequency=1:MHz,swr=2")


def test_the_preview_shows_headings_rows_and_a_plan():
    preview = asked(TEXT).preview
    assert preview.file == "roof.csv"
    assert preview.headings == ("MHz", "reading")
    assert preview.has_headings
    assert preview.columns == 2
    assert preview.row_count == 30
    assert len(preview.rows) == 20
    assert preview.rows[0] == ("50,0", "1,00")
    assert preview.guess == PLAN


def test_the_error_is_a_read_error_with_the_plan_in_its_advice():
    error = asked(TEXT)
    assert isinstance(error, ReadError)
    assert str(error) == (
        "roof.csv:1: column 2 'reading': no heading speaks of SWR, return loss, reflection or "
        'impedance; say which column is what, for example --columns "frequency=1:MHz,swr=2"'
    )


@pytest.mark.parametrize("source", ["preview", "bytes"])
def test_the_plot_gets_the_sweeps_of_a_plan(source):
    given = asked(TEXT).preview if source == "preview" else TEXT.encode()
    (reading,) = preview_sweeps(given, PLAN, "roof.csv")
    assert swr_of(reading)[:3] == [1, 1.01, 1.02]
    assert reading.label == "roof"
    (other,) = preview_sweeps(given, ColumnPlan.parse("frequency=2:GHz,swr=1"), "roof.csv")
    assert swr_of(other)[:3] == [50, 50.1, 50.2]


def test_a_plan_that_does_not_fit_is_refused_for_the_plot_too():
    with pytest.raises(ReadError, match="there is no column 3"):
        preview_sweeps(asked(TEXT).preview, ColumnPlan.parse("frequency=1:MHz,swr=3"))


def test_a_table_that_needs_no_plan_can_be_shown_as_well(tmp_path):
    file = tmp_path / "roof.csv"
    file.write_text("MHz,SWR,R\n50,1.5,60\n51,1.4,65\n\nkHz,SWR\n7000,2\n7100,3\n")
    preview = open_preview(file)
    assert preview.file == str(file)
    assert preview.guess == PLAN
    assert preview.row_count == 4
    assert preview.columns == 3


@pytest.mark.parametrize(
    "text", ["# MHz S RI R 50\n50 .1 .2\n51 .1 .2\n", "Dear club\n", "# only a comment\n"]
)
def test_what_is_no_table_has_no_preview(text):
    assert read_preview(text.encode(), "roof.csv") is None


def test_a_file_is_read_once_the_plan_is_chosen(tmp_path):
    file = tmp_path / "roof.csv"
    file.write_text(TEXT)
    with pytest.raises(NeedsColumnsError) as caught:
        open_sweeps(file)
    (reading,) = open_sweeps(file, caught.value.preview.guess)
    assert len(reading.sweep) == 30


# -- fingerprint -------------------------------------------------------------------------------


def fingerprint(text):
    return read_preview(text.encode(), "roof.csv").fingerprint


def test_files_of_the_same_headings_have_one_fingerprint():
    known = fingerprint("MHz;reading 1;x\n50;1;2\n51;1;2\n")
    assert len(known) == 16
    assert known == fingerprint("mhz; READING  2 ;x\n14;1;2\n15;1;3\n16;1;3\n")
    assert known != fingerprint("MHz;value;x\n50;1;2\n51;1;2\n")
    assert known != fingerprint("MHz,reading 1,x\n50,1,2\n51,1,2\n")
    assert known != fingerprint("MHz;reading 1\n50;1\n51;1\n")


def test_without_headings_the_number_of_columns_is_all_there_is():
    known = fingerprint("50;1;2\n51;1;2\n")
    assert known == fingerprint("7;8;9\n8;9;10\n")
    assert known != fingerprint("50;1\n51;1\n")
    assert not read_preview(b"50;1;2\n51;1;2\n", "roof.csv").has_headings
