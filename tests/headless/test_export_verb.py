"""``fairlead export``: measured unless asked, one file a sweep, nothing replaced or lost."""

from __future__ import annotations

import pytest
from benches import full_bench

from fairlead.core.bench_file import save_bench
from fairlead.core.reading.opening import open_sweeps


@pytest.fixture
def bench(tmp_path):
    path = tmp_path / "club.fairlead"
    save_bench(full_bench(), path)
    return str(path)


def test_one_sweep_to_one_file(fairlead, write, tmp_path):
    source = write("dry.s1p")
    out = tmp_path / "out.ts"
    result = fairlead("export", source, "-o", str(out))
    assert (result.status, result.errors) == (0, [])
    assert result.out.strip() == str(out)
    assert open_sweeps(out)[0].sweep == open_sweeps(tmp_path / source)[0].sweep
    assert "[Version] 2.0" in out.read_text("ascii")


def test_a_bench_goes_into_a_folder_as_measured(fairlead, bench, tmp_path):
    folder = tmp_path / "out"
    folder.mkdir()
    result = fairlead("export", bench, "-o", str(folder), "--as", "csv")
    assert (result.status, result.errors) == (0, [])
    names = ["Mesuré à la main.csv", "Roof, wet.csv"]
    assert sorted(path.name for path in folder.iterdir()) == names
    (reading,) = open_sweeps(folder / "Roof, wet.csv")
    assert reading.sweep == full_bench().entries[0].measured
    again = fairlead("export", bench, "-o", str(folder), "--as", "csv")
    assert again.status == 0
    assert (folder / "Roof, wet (2).csv").exists()


def test_what_is_shown_is_written_when_asked_and_called_so(fairlead, bench, tmp_path):
    folder = tmp_path / "out"
    folder.mkdir()
    result = fairlead("export", bench, "-o", str(folder), "--what", "shown")
    assert result.status == 1
    assert "no phase was measured" in result.errors[0]
    (path,) = folder.iterdir()
    assert path.name == "what-if- Roof, wet (frequency +0.58 %, at the radio).s1p"
    assert open_sweeps(path)[0].sweep == full_bench().entries[0].sweep
    assert "! not as measured: what-if: frequency +0.58 %" in path.read_text("ascii")


def test_an_original_is_never_written_over(fairlead, write, tmp_path):
    source = write("dry.s1p")
    before = (tmp_path / source).read_bytes()
    result = fairlead("export", source, "-o", source)
    assert result.status == 1
    assert "originals are never written over" in result.errors[0]
    assert (tmp_path / source).read_bytes() == before


def test_what_cannot_be_read_stops_no_other(fairlead, write, tmp_path):
    bad = tmp_path / "bad.s1p"
    bad.write_text("nothing\n", encoding="utf-8")
    result = fairlead("export", write("dry.s1p"), str(bad), "-o", str(tmp_path / "out.csv"))
    assert result.status == 1
    assert "bad.s1p" in result.errors[0]
    assert (tmp_path / "out.csv").exists()
    result = fairlead("export", str(bad), "-o", str(tmp_path / "none.csv"))
    assert result.status == 1
    assert "nothing written" in result.errors[-1]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["-o", "out.txt"], "out.txt is not a folder and does not end in .s1p, .ts or .csv"),
        (
            ["-o", "out.csv", "--as", "touchstone"],
            "out.csv does not have the extension of touchstone",
        ),
        (["-o", "out.csv", "--what", "both"], "invalid choice: 'both'"),
        (["-o", "out.csv", "--as", "xls"], "invalid choice: 'xls'"),
        ([], "the following arguments are required: -o/--out"),
    ],
)
def test_wrong_usage_is_one_line_and_status_2(fairlead, write, arguments, words):
    result = fairlead("export", write("dry.s1p"), *arguments)
    assert result.status == 2
    assert words in result.errors[0]
    assert len(result.errors) == 1


def test_several_sweeps_need_a_folder(fairlead, bench, tmp_path):
    result = fairlead("export", bench, "-o", str(tmp_path / "out.csv"))
    assert result.status == 2
    assert "2 sweeps do not fit into the single file" in result.errors[0]
