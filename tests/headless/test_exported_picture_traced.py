"""Our own exported picture of a sample, traced again, lies on the sample within its own band."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np

from fairlead.app.__main__ import main
from fairlead.core.reading import open_sweeps

SAMPLES = Path(__file__).parents[2] / "samples"
NAMES = ("ground-plane-dry", "ground-plane-iced")
# Crossings of grid lines in the picture below: x, y, Hz, SWR.
KNOWN = (
    (116.5, 55.0, 47e6, 3.0),
    (180.0, 104.5, 48e6, 2.5),
    (434.0, 171.0, 52e6, 2.0),
    (561.0, 223.0, 54e6, 1.7),
    (116.5, 265.0, 47e6, 1.5),
    (561.0, 313.0, 54e6, 1.3),
    (434.0, 341.0, 52e6, 1.2),
    (243.5, 371.0, 49e6, 1.1),
)


def test_a_traced_sample_lies_on_the_sample_within_its_band(tmp_path, qapp, capsys):  # noqa: ARG001
    files = [str(SAMPLES / f"{name}.s1p") for name in NAMES]
    picture, axes, out = (tmp_path / name for name in ("exported.png", "axes.json", "out.csv"))
    request = ["--band", "6m", "--dpi", "150", "--title", "Exported picture"]
    assert main(["picture", *files, *request, "-o", str(picture)]) == 0
    document = {
        "frequency": {"points": [{"x": x, "y": y, "hz": hz} for x, y, hz, _ in KNOWN]},
        "values": [
            {
                "kind": "swr",
                "scale": "free",
                "points": [{"x": x, "y": y, "value": value} for x, y, _, value in KNOWN],
            }
        ],
        "region": [62.0, 54.0, 596.0, 406.0],
        "curves": [{"clicks": [[225.5, 213.5]]}],
    }
    axes.write_text(json.dumps(document))
    assert main(["trace", str(picture), "--axes", str(axes), "-o", str(out)]) == 0
    capsys.readouterr()
    traced = open_sweeps(out)[0].sweep
    original = open_sweeps(SAMPLES / f"{NAMES[0]}.s1p")[0].sweep
    hz = traced.frequency_hz
    assert hz[-1] - hz[0] > 7e6
    true = np.interp(hz, original.frequency_hz, np.abs(original.reflection))
    inside = np.abs(traced.magnitude - true) <= 1.96 * traced.traced.sigma
    assert inside.mean() >= 0.9
