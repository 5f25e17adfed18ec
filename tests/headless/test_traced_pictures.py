"""Pictures as they reach a person: what cannot be traced well is said, not delivered.

The study over all looks and kinds of damage is tests/bench/traces.py.
"""

from __future__ import annotations

import json

import numpy as np
import pytest
from degraded_pictures import burnt, degraded
from drawn_sweeps import HIGH_HZ, LOW_HZ, Look, as_file, axes_document, painted, place, swr_of
from PySide6.QtCore import Qt

from fairlead.app.__main__ import main
from fairlead.core.picture_trace.straighten import carried
from fairlead.core.reading import open_sweeps

BEST_HZ = 51.6e6
DARK = Look(colour="#f0d040", paper="#101418", ink="#8090a0", second="#40c0f0")


def moved(document, matrix):
    """The axes file for a picture that was turned, with two clicks on the curve."""
    for axis in (document["frequency"], document["values"][0]):
        for point in axis["points"]:
            point["x"], point["y"] = carried(matrix, np.array([[point["x"], point["y"]]]))[0]
    other = axes_document(at_hz=53.2e6)["curves"][0]["clicks"]
    clicks = np.array([*document["curves"][0]["clicks"], *other])
    document["curves"][0]["clicks"] = carried(matrix, clicks).tolist()
    return document


def trace(folder, pixels, matrix, capsys):
    (folder / "photo.png").write_bytes(as_file(pixels))
    (folder / "axes.json").write_text(json.dumps(moved(axes_document(), matrix)))
    files = [str(folder / "photo.png"), "--axes", str(folder / "axes.json")]
    assert main(["trace", *files, "-o", str(folder / "out.csv"), "-q"]) == 0
    band = ["--band", "50.6:52.8MHz", "--as", "json"]
    assert main(["figures", str(folder / "out.csv"), *band]) == 0
    (figures,) = json.loads(capsys.readouterr().out)["sweeps"]
    (reading,) = open_sweeps(folder / "out.csv")
    return reading.sweep, figures


def errors(sweep):
    """Of the SWR where it is below 3, as a share."""
    ratio = (1 + sweep.magnitude) / (1 - sweep.magnitude)
    true = swr_of(sweep.frequency_hz)
    low = (true < 3) & (sweep.frequency_hz > LOW_HZ) & (sweep.frequency_hz < HIGH_HZ)
    assert low.sum() > 100
    return (ratio / true - 1)[low]


@pytest.mark.parametrize(
    "look",
    [Look(second="#2060d0", legend=False), Look(dash=Qt.PenStyle.DashLine)],
    ids=["a crossing curve of the same colour", "dashed"],
)
def test_a_poor_photo_is_traced_within_the_stated_error(tmp_path, capsys, qapp, look):  # noqa: ARG001
    pixels, matrix = degraded(painted(look), "photo", np.random.default_rng(5))
    sweep, figures = trace(tmp_path, pixels, matrix, capsys)
    assert np.abs(errors(sweep)).max() < 0.05
    assert figures["best_match_hz"] == pytest.approx(BEST_HZ, abs=0.005 * (HIGH_HZ - LOW_HZ))
    low, high = figures["intervals"]["best_match_hz"]["accuracy"]
    assert low < BEST_HZ < high


def test_glare_burnt_over_the_dip_leaves_no_best_match(tmp_path, capsys, qapp):  # noqa: ARG001
    x, y = place(DARK, BEST_HZ, float(swr_of(BEST_HZ)))
    pixels, matrix = degraded(
        burnt(painted(DARK), x + 5, y - 6, 60), "photo", np.random.default_rng(6)
    )
    sweep, figures = trace(tmp_path, pixels, matrix, capsys)
    assert np.abs(errors(sweep)).max() < 0.05
    assert sweep.traced.lost_after
    assert figures["best_match_hz"] is None
    assert "the traced curve is lost" in figures["why_not"]["best_match_hz"]
