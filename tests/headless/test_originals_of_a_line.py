"""The sweeps of a feed line are originals too."""

from __future__ import annotations

from pathlib import Path

from fairlead.app.__main__ import main

SAMPLES = Path(__file__).parents[2] / "samples"


def test_the_sweeps_of_a_line_are_not_written_over(tmp_path, capsys):
    for name in ("ground-plane-dry.s1p", "cable/12m-far-end-open.s1p"):
        (tmp_path / Path(name).name).write_bytes((SAMPLES / name).read_bytes())
    line = tmp_path / "12m-far-end-open.s1p"
    before = line.read_bytes()
    arguments = ["export", str(tmp_path / "ground-plane-dry.s1p"), "--what", "shown"]
    status = main([*arguments, "--line-measured", str(line), "-o", str(line)])
    assert status == 1
    assert "originals are never written over" in capsys.readouterr().err
    assert line.read_bytes() == before
