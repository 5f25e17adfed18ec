"""``fairlead trace``: from a picture and a file of axes to a table that stays marked as traced."""

from __future__ import annotations

import json

import numpy as np
import pytest
from drawn_sweeps import Look, as_file, axes_document, painted, swr_of

from fairlead.app.__main__ import main
from fairlead.core.document.entry import Entry
from fairlead.core.export import as_csv
from fairlead.core.reading import open_sweeps


@pytest.fixture(scope="module")
def plot(qapp):  # noqa: ARG001 - fonts need it
    return as_file(painted())


@pytest.fixture
def folder(tmp_path, plot):
    (tmp_path / "plot.png").write_bytes(plot)
    (tmp_path / "axes.json").write_text(json.dumps(axes_document()))
    return tmp_path


def trace(folder, *more):
    files = [str(folder / "plot.png"), "--axes", str(folder / "axes.json")]
    return main(["trace", *files, "-o", str(folder / "out.csv"), *more])


def test_the_table_is_read_back_as_traced_with_its_uncertainty(folder, capsys):
    assert trace(folder) == 0
    assert "points, 50" in capsys.readouterr().out
    (reading,) = open_sweeps(folder / "out.csv")
    sweep = reading.sweep
    assert [notice.code for notice in reading.notices] == ["traced"]
    assert len(sweep.traced.picture_sha256) == 64
    ratio = (1 + sweep.magnitude) / (1 - sweep.magnitude)
    low = ratio < 3
    wrong = ratio[low] / swr_of(sweep.frequency_hz[low]) - 1
    assert np.abs(wrong).max() < 0.01
    text = (folder / "out.csv").read_text()
    assert "# traced from a picture, not measured" in text
    assert as_csv(Entry(1, sweep, "plot")) == text


def test_figures_carry_the_mark_and_no_more_digits_than_the_picture_has(folder, capsys):
    trace(folder, "-q")
    out = str(folder / "out.csv")
    assert main(["figures", out, "--band", "51:52.5MHz"]) == 0
    text = capsys.readouterr().out
    assert "traced from a picture" in text
    assert main(["figures", out, "--band", "51:52.5MHz", "--as", "json"]) == 0
    (sweep,) = json.loads(capsys.readouterr().out)["sweeps"]
    assert sweep["traced"]["method"] == 1
    assert sweep["best_match_hz"] == pytest.approx(51.6e6, abs=0.02e6)
    low, high = sweep["intervals"]["best_match_hz"]["accuracy"]
    assert low < 51.6e6 < high
    assert low < high - 2 * sweep["traced"]["frequency_sigma_hz"]
    assert sweep["q"] is None


def test_a_covered_dip_has_no_best_match(folder, capsys):
    pixels = painted(Look(second=None))
    pixels[:, 320:390] = 255
    (folder / "plot.png").write_bytes(as_file(pixels))
    axes = axes_document()
    axes["curves"][0]["clicks"] += axes_document(at_hz=53e6)["curves"][0]["clicks"]
    (folder / "axes.json").write_text(json.dumps(axes))
    assert trace(folder) == 0
    assert "lost in" in capsys.readouterr().out
    main(["figures", str(folder / "out.csv"), "--band", "50.5:53MHz", "--as", "json"])
    (sweep,) = json.loads(capsys.readouterr().out)["sweeps"]
    assert sweep["best_match_hz"] is None
    assert "trace it by hand" in sweep["why_not"]["best_match_hz"]
    assert sweep["traced"]["gaps"] >= 1


def test_a_curve_that_is_mostly_covered_is_refused_in_a_line_without_a_file(folder, capsys):
    pixels = painted(Look(second=None))
    pixels[:, 220:680] = 255
    (folder / "plot.png").write_bytes(as_file(pixels))
    axes = axes_document()
    axes["curves"][0]["clicks"] = [
        axes_document(at_hz=hz)["curves"][0]["clicks"][0] for hz in (50.7e6, 53.7e6)
    ]
    (folder / "axes.json").write_text(json.dumps(axes))
    assert trace(folder) == 1
    error = capsys.readouterr().err
    assert error.count("\n") == 1
    assert "too poor for a sweep: 6" in error
    assert not (folder / "out.csv").exists()


def test_two_curves_become_two_files(folder, capsys):
    axes = axes_document()
    axes["curves"] = [axes["curves"][0] | {"name": "dry"}, axes["curves"][0] | {"name": "wet"}]
    (folder / "axes.json").write_text(json.dumps(axes))
    assert trace(folder) == 0
    assert len(capsys.readouterr().out.splitlines()) == 2
    assert (folder / "out dry.csv").exists()
    assert (folder / "out wet.csv").exists()


@pytest.mark.parametrize(
    ("axes", "words"),
    [
        ("no json", "is not JSON"),
        ("[]", "is not a JSON object"),
        ("{}", "no curve is traced"),
        ('{"colour": 1}', 'the key "colour" of the axes file is unknown'),
        ('{"width": 640, "height": 480}', "a picture of 640 x 480 pixels, this one has 800 x 500"),
        ('{"curves": [{}]}', "0 points of known frequency are too few"),
    ],
)
def test_what_is_wrong_with_the_axes_is_said_in_one_line(folder, capsys, axes, words):
    (folder / "axes.json").write_text(axes)
    assert trace(folder) == 1
    error = capsys.readouterr().err
    assert error.count("\n") == 1
    assert "axes.json" in error
    assert words in error


def test_a_picture_that_is_none_is_refused(folder, capsys):
    (folder / "plot.png").write_text("no picture")
    assert trace(folder) == 1
    assert "plot.png: not a picture" in capsys.readouterr().err


def test_the_result_is_a_table_and_replaces_no_original(folder, capsys):
    files = [str(folder / "plot.png"), "--axes", str(folder / "axes.json")]
    with pytest.raises(SystemExit):
        main(["trace", *files, "-o", str(folder / "out.s1p")])
    assert "does not end in .csv" in capsys.readouterr().err
