"""Cold start of `fairlead picture` against a scikit-rf and matplotlib script."""

from __future__ import annotations

import importlib.util
from pathlib import Path

from rows import Row, median_seconds, print_rows, python, scratch, write_touchstone

THEIRS = """
import io, sys, warnings
warnings.simplefilter("ignore")
import matplotlib
matplotlib.use("Agg")
import matplotlib.pyplot as plt
import skrf
figure, (left, right) = plt.subplots(1, 2, figsize=(7.09, 3.94))
for path in sys.argv[2:]:
    network = skrf.Network.from_string(open(path).read())
    network.plot_s_vswr(ax=left)
    network.plot_s_smith(ax=right)
figure.savefig(sys.argv[1], dpi=300)
"""


def measure() -> list[Row]:
    """Ratio of the two whole processes."""
    budget = "<= 0.5 x"
    if importlib.util.find_spec("matplotlib") is None:
        note = "not measured: matplotlib is missing, install the extra [bench]"
        return [Row("picture, 6 sweeps, cold", float("nan"), "x", budget, is_ok=False, note=note)]
    with scratch() as folder:
        paths = [str(Path(folder) / f"sweep {i}.s1p") for i in range(6)]
        for i, path in enumerate(paths):
            write_touchstone(Path(path), 1001, i)
        out = str(Path(folder) / "out.png")
        start = "import sys; from fairlead.app.__main__ import main; sys.exit(main())"
        ours = median_seconds(python(start, "picture", *paths, "-o", out))
        theirs = median_seconds(python(THEIRS, out, *paths))
    ratio = ours / theirs
    note = f"{ours:.2f} s against {theirs:.2f} s"
    return [Row("picture, 6 sweeps, cold", ratio, "x", budget, ratio <= 0.5, note)]


if __name__ == "__main__":
    print_rows(measure())
