"""The demo bench: the sample sweeps with conditions, a group, notes and the band, as one file."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from fairlead.core.band_tables import find_band
from fairlead.core.bench_file.storage import save_bench
from fairlead.core.document.bench import Bench
from fairlead.core.document.groups import with_group, with_group_visibility
from fairlead.core.reading.opening import open_sweeps

if TYPE_CHECKING:
    from pathlib import Path

    from fairlead.core.document.entry import Circumstances

NAME = "club.fairlead"
_ROOF, _MAST = "club roof (invented)", "test mast (invented)"
_NOTE = "Invented: computed from a model, nothing was measured."

# Label: condition, whether shown at first, place, height, weather, note.
_SWEEPS = {
    "ground-plane-dry": (
        *("dry", True, _ROOF, "7 m", "2 °C, overcast, no rain for three days"),
        "What the others are compared with.",
    ),
    "ground-plane-wet": (
        *("soaked", True, _ROOF, "7 m", "4 °C, heavy rain"),
        "0.3 mm of water on every wire, and a feed insulator that leaks.",
    ),
    "ground-plane-iced": (
        *("iced", True, _ROOF, "7 m", "−4 °C, freezing rain overnight"),
        "3.5 mm of clear ice on every wire. Nobody climbed: the line is calibrated out.",
    ),
    "ground-plane-dry-again": (
        *("dry", False, _ROOF, "7 m", "3 °C, sun"),
        "Another calibration. Not where it was before the ice: that is drift, not weather.",
    ),
    "ground-plane-dry-12m-cable": (
        *("dry", False, _ROOF, "7 m", "2 °C, overcast"),
        "The same antenna at the radio's end of 12 m of cable: it only looks better.",
    ),
    "dipole-reference": (
        *("", True, _MAST, "3.8 m", ""),
        "The club's known-good antenna: if it looks odd, the analyzer is.",
    ),
    "kit-unit-1": ("", False, _MAST, "", "", "Built to the drawing."),
    "kit-unit-2": ("", False, _MAST, "", "", "The element is 6 mm too long."),
    "kit-unit-3": ("", False, _MAST, "", "", "The element is 5 mm too short."),
    "kit-unit-4": ("", False, _MAST, "", "", "Radials bent too flat."),
    "kit-unit-5": ("", False, _MAST, "", "", "A bad joint: 8 ohm that heat instead of radiating."),
}


def club_bench(folder: Path) -> Bench:
    """The bench of the sample sweeps in a folder; the dry antenna is the reference."""
    files = {path.stem: path for path in folder.iterdir() if path.suffix in (".s1p", ".s2p", ".ts")}
    readings = [replace(open_sweeps(files[label])[0], file=files[label].name) for label in _SWEEPS]
    bench = Bench().with_readings(readings).with_band(find_band("6m"))
    for entry in bench.entries:
        condition, is_visible, place, height, weather, note = _SWEEPS[entry.label]
        noted: Circumstances = replace(
            entry.circumstances,
            place=place,
            height=height,
            weather=weather,
            notes=f"{note} {_NOTE}",
        )
        bench = bench.with_condition(entry.key, condition).with_circumstances(entry.key, noted)
        bench = bench.with_visibility(entry.key, is_visible=is_visible)
        # What is not stated matches everything, and all others are at the feed point.
        if entry.label.endswith("cable"):
            bench = bench.with_plane(entry.key, "radio")
    kit = {entry.key for entry in bench.entries if entry.label.startswith("kit-")}
    bench = with_group(bench, kit, "Kit")
    return with_group_visibility(bench, bench.groups[0].key, is_visible=False)


def write_club_bench(folder: Path) -> None:
    """Write it beside the sweeps."""
    save_bench(club_bench(folder), folder / NAME)
