"""How well sweeps are traced from pictures: a table over looks and what happens to a picture.

    python tests/bench/traces.py [HANDS [FIRST_SEED]]

Plots are painted by Qt, 1,280 pixels wide for the clean class and 800 for the others; the clicks
miss by 0.2 pixel where they snap (clean classes) and by 0.7 elsewhere. Columns: best match and SWR
below 3, both against the model (rms and worst), the share of true values within the stated 95 %,
and how many best matches were refused. The figures are those of the program, in the band.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication

sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

from degraded_pictures import KINDS, burnt, degraded
from drawn_sweeps import HIGH_HZ, LOW_HZ, TOP_SWR, Look, marks, painted, place, swr_of

from fairlead.core.analysis.analysis import analyse
from fairlead.core.bands import Band
from fairlead.core.errors import FairleadError
from fairlead.core.figures import figures_of
from fairlead.core.picture_trace.axes import AxisPoint, FrequencyAxis, ValueAxis
from fairlead.core.picture_trace.straighten import carried
from fairlead.core.picture_trace.sweeps import traced_sweeps
from fairlead.core.picture_trace.trace import Curve, PictureTrace
from fairlead.core.uncertainty.intervals import assess

BEST_HZ = 51.6e6
LOOKS = {
    "light": Look(),
    "dark": Look(colour="#f0d040", paper="#101418", ink="#8090a0", second="#40c0f0"),
    "black": Look(colour="#000000", ink="#a0a0a0", second=None, thickness=1.6),
    "thick": Look(colour="#208040", thickness=4.0),
    "dashed": Look(dash=Qt.PenStyle.DashLine),
    "dash-dot": Look(dash=Qt.PenStyle.DashDotLine),
    "one colour": Look(second="#2060d0", legend=False),
    "library": Look(box=(80.0, 60.0, 760.0, 440.0)),
}
LARGE = {"width": 1280, "height": 800, "box": (110.5, 50.5, 1230.5, 700.5)}


def look_for(name, kind):
    look = LOOKS[name]
    if kind != "clean" or name == "library":
        return look
    return Look(**{**look.__dict__, **LARGE})


def plotted():
    """The same by a general plotting library, with its usual frame, ticks, grid and legend."""
    import matplotlib as mpl  # noqa: PLC0415 - of the extra for benches

    mpl.use("Agg")
    import matplotlib.pyplot as plt  # noqa: PLC0415 - as above

    look = LOOKS["library"]
    x0, y0, x1, y1 = look.box
    figure = plt.figure(figsize=(8, 5), dpi=100)
    size = (look.width, look.height)
    axes = figure.add_axes(
        (x0 / size[0], 1 - y1 / size[1], (x1 - x0) / size[0], (y1 - y0) / size[1])
    )
    hz = np.linspace(LOW_HZ, HIGH_HZ, 600)
    axes.plot(hz / 1e6, swr_of(hz), label="dipole")
    axes.plot(hz / 1e6, swr_of(hz, 52.4e6, 10.0, 66.0), label="other")
    axes.set_xlim(LOW_HZ / 1e6, HIGH_HZ / 1e6)
    axes.set_ylim(1, TOP_SWR)
    axes.grid()
    axes.legend()
    figure.canvas.draw()
    pixels = np.asarray(figure.canvas.buffer_rgba())[..., :3].copy()
    plt.close(figure)
    return pixels


def trace(name, kind, seed, *, dip_burnt=False):
    """Figures, assessment and errors of one picture."""
    rng = np.random.default_rng([seed, list(LOOKS).index(name), KINDS.index(kind)])
    look = look_for(name, kind)
    pixels = plotted() if name == "library" else painted(look)
    if dip_burnt:
        x, y = place(look, BEST_HZ, float(swr_of(BEST_HZ)))
        pixels = burnt(pixels, x + rng.normal(0, 8), y + rng.normal(0, 8), rng.uniform(40, 90))
    picture, matrix = degraded(pixels, kind, rng)
    sigma = 0.2 if kind == "clean" else 0.7
    hertz, ratios = [], []
    for x, y, hz, swr in marks(look):
        at = carried(matrix, np.array([[x, y]]))[0] + rng.normal(0, sigma, 2)
        hertz.append(AxisPoint(*at.tolist(), hz, sigma))
        ratios.append(AxisPoint(*at.tolist(), swr, sigma))
    clicks = []
    for hz in (50.7e6, 53.2e6):
        at = carried(matrix, np.array([place(look, hz, float(swr_of(hz)))]))[0]
        clicks.append(tuple((at + rng.normal(0, 0.7, 2)).tolist()))
    tracing = PictureTrace(
        frequency=FrequencyAxis(tuple(hertz)),
        values=(ValueAxis("swr", tuple(ratios)),),
        curves=(Curve(clicks=tuple(clicks)),),
    )
    sweep = traced_sweeps(picture, tracing)[0].sweep
    analysis = analyse(sweep, 50.0)
    band = Band(50.6e6, 52.8e6)
    found = figures_of(analysis, band, 2.0)
    return sweep, assess(analysis, found, band, 2.0)


def row(name, kind, hands, first, **more):
    best, ratio, inside, inside_best, refused, told = [], [], [], [], 0, 0
    for seed in range(first, first + hands):
        try:
            sweep, known = trace(name, kind, seed, **more)
        except FairleadError:
            told += 1
            continue
        rho, hz = sweep.magnitude, sweep.frequency_hz
        own, true = (1 + rho) / (1 - rho), swr_of(hz)
        low = (true < 3) & (hz > LOW_HZ) & (hz < HIGH_HZ)
        ratio.append(own[low] / true[low] - 1)
        truth = (true - 1) / (true + 1)
        inside.append(np.abs(rho - truth)[low] <= 1.96 * sweep.traced.sigma[low])
        best_hz = known.figures.best_match_hz
        if best_hz is None:
            refused += 1
            continue
        best.append((best_hz - BEST_HZ) / (HIGH_HZ - LOW_HZ))
        ends = known.intervals.get("best_match_hz")
        if ends is not None and ends.widest is not None:
            inside_best.append(ends.widest.low <= BEST_HZ <= ends.widest.high)
    every = np.concatenate(ratio) if ratio else np.zeros(1)
    share = np.array(best) if best else np.full(1, np.nan)
    bad = sum(np.abs(one).max() > 0.05 for one in ratio)
    return (
        f"{name:11}{kind:13} best match % of span: rms {100 * np.sqrt(np.mean(share**2)):.3f} "
        f"worst {100 * np.abs(share).max():.3f} refused {refused} told {told} | SWR below 3 %: "
        f"rms {100 * np.sqrt(np.mean(every**2)):.2f} worst {100 * np.abs(every).max():.2f} "
        f"({bad} of {len(ratio)} beyond 5) | within 95 %: points "
        f"{np.mean(np.concatenate(inside)) if inside else np.nan:.2f} best match "
        f"{np.mean(inside_best) if inside_best else np.nan:.2f}"
    )


def main(hands=6, first=100, only=""):
    application = QGuiApplication.instance() or QGuiApplication(["traces"])
    del application
    start = time.process_time()
    for name in LOOKS:
        for kind in KINDS:
            if name not in ("light", "library") and kind not in ("clean", "jpeg", "photo"):
                continue
            if only in f"{name} {kind}":
                print(row(name, kind, hands, first), flush=True)
    for kind in ("clean", "photo"):
        if only in f"burnt {kind}":
            print("dip burnt: " + row("dark", kind, hands, first, dip_burnt=True), flush=True)
    print(f"{time.process_time() - start:.0f} s")


if __name__ == "__main__":
    main(*(int(a) for a in sys.argv[1:3]), *sys.argv[3:])
