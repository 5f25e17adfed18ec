"""Analyses of sweeps, cached for as long as the sweeps exist: one object, passed along.

A document has one, and each command-line verb its own. Nothing here is global, so two documents
never share results, and the memory is freed with the object.
"""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING
from weakref import ref

from fairlead.core.analysis.analysis import analyse
from fairlead.core.analysis.bare import bare_analysis, why_failed

if TYPE_CHECKING:
    from fairlead.core.analysis.analysis import Analysis
    from fairlead.core.sweep import AnySweep


class Analyses:
    """The analyses of sweeps, by identity and reference impedance.

    Threads: `of` may be called on any thread. Two threads that ask for the same sweep at the same
    time may both compute it; both get the result that was stored first. An `Analysis` caches only
    complete results of pure functions in its dictionaries, so one thread may read it while another
    adds to it. Nothing here blocks on anything but a dictionary.
    """

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._kept: dict[int, tuple[ref[AnySweep], dict[float, Analysis]]] = {}

    def __len__(self) -> int:
        """Number of sweeps with a cached analysis."""
        return len(self._kept)

    def of(self, sweep: AnySweep, z0_ohm: float) -> Analysis:
        """The analysis of a sweep at a reference impedance; only the latest impedance is cached.

        If the analysis fails, the result is a bare one with the reason: one odd sweep must not
        bring down a whole bench.

        Parameters
        ----------
        sweep : Sweep or ScalarSweep
            Identified by object identity: equal sweeps are analysed separately.
        z0_ohm : float
        """
        with self._lock:
            known = self._kept.get(id(sweep))
            found = None if known is None else known[1].get(z0_ohm)
        if found is not None:
            return found
        return self._kept_first(sweep, z0_ohm, analysis_or_reason(sweep, z0_ohm))

    def move(self, sweep: AnySweep, moved: AnySweep, factor: float, z0_ohm: float) -> None:
        """Note that a sweep is another one with all its frequencies multiplied by a factor.

        Then it need not be analysed: a curve that is dragged is another sweep at every step.
        """
        self._kept_first(moved, z0_ohm, self.of(sweep, z0_ohm).scaled(factor))

    def _kept_first(self, sweep: AnySweep, z0_ohm: float, made: Analysis) -> Analysis:
        with self._lock:
            key = id(sweep)
            if key not in self._kept:
                # Once this sweep is gone, another one may get the same id.
                self._kept[key] = (ref(sweep, lambda _: self._kept.pop(key, None)), {})
            by_z0 = self._kept[key][1]
            if z0_ohm not in by_z0:
                by_z0.clear()
                by_z0[z0_ohm] = made
            return by_z0[z0_ohm]


def analysis_or_reason(sweep: AnySweep, z0_ohm: float) -> Analysis:
    """Analyse a sweep; a bare analysis with the reason if that fails."""
    try:
        return analyse(sweep, z0_ohm)
    except Exception as error:  # noqa: BLE001 - nobody has foreseen it
        return bare_analysis(sweep, z0_ohm, why_failed(error))
