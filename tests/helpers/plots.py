"""Both plots in a window of their own, wired to a document as the program wires them."""

from __future__ import annotations

import numpy as np
from circuits import SeriesCircuit, complex_noise
from mouse import Mouse, run_events
from PySide6.QtCore import QPointF
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QSplitter

from fairlead.app.document.document import Document
from fairlead.app.document.edits import Edits
from fairlead.app.document.view_state import ViewState
from fairlead.app.plots.frequency_plot import FrequencyPlot
from fairlead.app.plots.smith_plot import SmithPlot
from fairlead.core.bands import Band
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import ScalarSweep, Sweep

LOW_HZ, HIGH_HZ = 140e6, 150e6
BAND = Band(144e6, 146e6)


def circuit_sweep(f0_hz=145e6, r_ohm=40.0, q=8.0, points=201, noise=0.0, seed=1):
    """A series circuit from 140 to 150 MHz."""
    frequency_hz = np.linspace(LOW_HZ, HIGH_HZ, points)
    gamma = SeriesCircuit(f0_hz, r_ohm, q).reflection(frequency_hz)
    return Sweep(frequency_hz, gamma + complex_noise(points, noise, seed))


def scalar_sweep(f0_hz=145e6, points=101):
    """What a meter without phase would have shown of it."""
    sweep = circuit_sweep(f0_hz, points=points)
    return ScalarSweep(sweep.frequency_hz, sweep.magnitude)


class PlotWindow(QSplitter):
    """SWR plot and Smith chart side by side, with a mouse for each."""

    def __init__(self):
        super().__init__()
        self.document, self.view_state = Document(), ViewState()
        self.edits = Edits(self.document)
        self.swr = FrequencyPlot(self.document, self.view_state)
        self.smith = SmithPlot(self.document, self.view_state)
        for plot in (self.swr, self.smith):
            self.addWidget(plot)
        self.swr.gesture_began.connect(self.edits.begin_gesture)
        self.swr.edge_dragged.connect(self.edits.drag_edge)
        self.swr.band_dragged.connect(self.edits.drag_band)
        self.swr.limit_dragged.connect(self.edits.drag_limit)
        self.swr.gesture_ended.connect(self.edits.end_gesture)
        self.swr.gesture_cancelled.connect(self.edits.cancel_gesture)
        self.swr_mouse = Mouse(self.swr.viewport())
        self.smith_mouse = Mouse(self.smith.viewport())

    @property
    def bench(self):
        return self.document.bench

    @property
    def undo_steps(self):
        return self.document.undo_stack.index()

    def add(self, *sweeps, names=None):
        """Put sweeps on the bench; their keys come back."""
        names = names or [f"sweep {number}" for number in range(len(sweeps))]
        before = len(self.bench.entries)
        readings = [Reading(s, name, "") for s, name in zip(sweeps, names, strict=True)]
        self.edits.add(readings)
        run_events()
        return [entry.key for entry in self.bench.entries[before:]]

    def forget_history(self):
        """Start counting undo steps here."""
        self.document.undo_stack.clear()

    # Places

    def edge_at(self, edge, swr=2.8):
        """A pixel of an edge's line on the SWR plot, well away from tags and the limit line."""
        return self.swr.position_of(self.bench.band.edge_hz(edge), magnitude(swr))

    def limit_at(self, frequency_hz=141e6):
        """A pixel of the limit line."""
        return self.swr.position_of(frequency_hz, magnitude(self.bench.limit_swr))

    def bar_at(self):
        """A pixel of the bar that moves the band."""
        x = self.swr.position_of(sum((BAND.low_hz, BAND.high_hz)) / 2, 0.0).x()
        for y in range(2, 80):
            if self.swr._handles.at(QPointF(x, y) - self.swr._origin()) == "band":
                return QPointF(x, y + 3)
        raise AssertionError("there is no bar")

    def on_swr(self, frequency_hz, swr):
        """A pixel of the SWR plot."""
        return self.swr.position_of(frequency_hz, magnitude(swr))

    def on_smith(self, gamma):
        """A pixel of the Smith chart."""
        gamma = complex(gamma)
        return self.smith.position_of(gamma.real, gamma.imag)

    def hz_a_pixel(self):
        return 1 / self.swr._screen.x_scale


def magnitude(swr):
    """|G| of an SWR."""
    return (swr - 1) / (swr + 1)


class Pixels:
    """What a widget shows."""

    def __init__(self, widget):
        run_events(4)
        self.image = widget.grab().toImage()

    def at(self, place):
        """Red, green, blue at a pixel."""
        colour = self.image.pixelColor(int(place.x()), int(place.y()))
        return colour.red(), colour.green(), colour.blue()

    def nearest(self, place, colour, reach=1):
        """Smallest difference to a colour, summed over red, green, blue, within some pixels."""
        wanted = rgb(colour)
        found = []
        for dx in range(-reach, reach + 1):
            for dy in range(-reach, reach + 1):
                got = self.at(place + QPointF(dx, dy))
                found.append(sum(abs(a - b) for a, b in zip(got, wanted, strict=True)))
        return min(found)

    def shows(self, place, colour, reach=1, tolerance=60):
        """Whether a colour is seen at a place."""
        return self.nearest(place, colour, reach) <= tolerance

    def count(self, place, colour, reach, tolerance=60):
        """Pixels near a colour in a square around a place."""
        return sum(
            self.nearest(place + QPointF(dx, dy), colour, 0) <= tolerance
            for dx in range(-reach, reach + 1)
            for dy in range(-reach, reach + 1)
        )


def rgb(colour):
    """Red, green and blue of "#rrggbb"."""
    made = QColor(colour)
    return made.red(), made.green(), made.blue()
