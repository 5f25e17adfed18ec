"""Headless impedance maths of Fairlead: no Qt, no plotting, no state.

The names here are for scripts and will stay: ``from fairlead.core import compare, open_sweeps``.
Each is loaded when first used. Anything not named here may move from one version to the next.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fairlead.core.analysis.analyses import Analyses
    from fairlead.core.band_tables import find_band, parse_band
    from fairlead.core.bands import Band
    from fairlead.core.bench_file import load_bench, save_bench
    from fairlead.core.comparison.rows import Change, Row, compare
    from fairlead.core.document.bench import Bench
    from fairlead.core.document.entry import Entry
    from fairlead.core.errors import FairleadError, ReadError, SweepError
    from fairlead.core.export import as_touchstone
    from fairlead.core.figures import Figures
    from fairlead.core.figures import figures as figures_in_band
    from fairlead.core.reading import Reading, open_sweeps
    from fairlead.core.report import as_csv, as_json, as_markdown, as_text
    from fairlead.core.sweep import ScalarSweep, Sweep

__all__ = [
    "Analyses",
    "Band",
    "Bench",
    "Change",
    "Entry",
    "FairleadError",
    "Figures",
    "ReadError",
    "Reading",
    "Row",
    "ScalarSweep",
    "Sweep",
    "SweepError",
    "as_csv",
    "as_json",
    "as_markdown",
    "as_text",
    "as_touchstone",
    "compare",
    "figures_in_band",
    "find_band",
    "load_bench",
    "open_sweeps",
    "parse_band",
    "save_bench",
]

# Module of each name. "figures" itself is the name of a module already, hence figures_in_band.
_HOME = {
    "analysis.analyses": ("Analyses",),
    "band_tables": ("find_band", "parse_band"),
    "bands": ("Band",),
    "bench_file": ("load_bench", "save_bench"),
    "comparison.rows": ("Change", "Row", "compare"),
    "document.bench": ("Bench",),
    "document.entry": ("Entry",),
    "errors": ("FairleadError", "ReadError", "SweepError"),
    "export": ("as_touchstone",),
    "figures": ("Figures",),
    "reading": ("Reading", "open_sweeps"),
    "report": ("as_csv", "as_json", "as_markdown", "as_text"),
    "sweep": ("ScalarSweep", "Sweep"),
}
_MODULES = {name: module for module, names in _HOME.items() for name in names}


def __getattr__(name: str) -> object:
    if name == "figures_in_band":
        module, attribute = "figures", "figures"
    elif name in _MODULES:
        module, attribute = _MODULES[name], name
    else:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    found: object = getattr(import_module(f"{__name__}.{module}"), attribute)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
