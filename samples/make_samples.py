"""Make the invented sample sweeps from a physical model: ``python samples/make_samples.py``.

Nothing here was measured. An invented radio club compares its 6 m ground-plane antenna on the roof
dry, rain-soaked, iced and dry again within one invented weekend, watches it dry, sweeps it every
spring and autumn for five years, takes a dipole as known-good reference, and checks five kit-built
units.
The antenna solver (NEC-2) comes with the test extra: ``python -m pip install ".[test]"``, or alone:
``python -m pip install PyNEC``. Running the script again writes the same files.
"""

from __future__ import annotations

import argparse
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

try:
    from sample_model.antennas import (
        SOAKED_GROUND,
        Antenna,
        FeedPoint,
        Sheath,
        feed_impedance_ohm,
        ground_plane,
        half_wave_dipole,
    )
except ModuleNotFoundError as error:
    if error.name != "PyNEC":
        raise
    sys.exit('PyNEC is not installed; run: python -m pip install PyNEC   (or ".[test]")')
from sample_model.station import Z0_OHM, Analyzer, Cable, NormalNumbers
from sample_model.touchstone_text import Flavour, one_port_text, two_port_text

if TYPE_CHECKING:
    from numpy.typing import NDArray

PLAIN = Flavour()
LOW_HZ, HIGH_HZ = 46_000_000, 58_000_000
INVENTED = "Invented sample: computed from a model, nothing was measured."


@dataclass(frozen=True, slots=True)
class Sample:
    """One file: what is measured, through what, by whom, and how it is written down."""

    file_name: str
    title: str
    antenna: Antenna
    analyzer: Analyzer
    seed: int
    points: int = 301
    flavour: Flavour = PLAIN
    cable: Cable | None = None
    two_port: bool = False
    remarks: tuple[str, ...] = ()
    taken_at: str = ""


ROOF_ELEMENT_M = 1.385
ROOF_SLOPE_DEG = 35.0
# A wet insulator leaks; 1 / 1500 ohm is invented.
RAIN = Sheath(thickness_m=0.3e-3, relative_permittivity=80.0, conductivity_s_per_m=0.005)
WET_INSULATOR = FeedPoint(leak_siemens=1 / 1500)
# Ice at VHF: relative permittivity about 3.2, from memory; the thickness is invented.
ICE = Sheath(thickness_m=3.5e-3, relative_permittivity=3.2, conductivity_s_per_m=1e-5)

DRY = ground_plane(element_m=ROOF_ELEMENT_M, slope_deg=ROOF_SLOPE_DEG)
# Calibrated anew each time, so each has residual errors of its own.
MORNING, NOON, NIGHT, KIT_DAY, AFTERNOON = (Analyzer(seed) for seed in (601, 602, 603, 604, 605))
SOAKED_AT = "2026-01-17 11:30"
SETTLED_M = 0.8e-3
AT_FEED_POINT = "Reference plane: the antenna's connector."


def kit_unit(
    element_error_mm: float, radial_error_mm: float, slope_deg: float, joint_ohm: float = 0.0
) -> Antenna:
    """Return a unit as somebody built it, on the club's 4 m test mast."""
    return ground_plane(
        element_m=ROOF_ELEMENT_M + element_error_mm / 1e3,
        radial_m=1.450 + radial_error_mm / 1e3,
        slope_deg=slope_deg,
        height_m=4.0,
        feed_point=FeedPoint(joint_ohm=joint_ohm),
    )


SAMPLES = (
    Sample(
        "ground-plane-dry.s1p",
        "6 m ground-plane on the club roof, dry",
        DRY,
        MORNING,
        seed=1,
        remarks=(AT_FEED_POINT,),
        taken_at="2026-01-17 09:00",
    ),
    Sample(
        "ground-plane-wet.s1p",
        "6 m ground-plane on the club roof, soaked by rain",
        ground_plane(
            element_m=ROOF_ELEMENT_M,
            slope_deg=ROOF_SLOPE_DEG,
            ground=SOAKED_GROUND,
            sheath=RAIN,
            feed_point=WET_INSULATOR,
        ),
        NOON,
        seed=2,
        flavour=Flavour("# Hz S DB R 50", unit="Hz", numbers="DB", newline="\r\n"),
        remarks=(AT_FEED_POINT, "0.3 mm of water on every wire, a leaking feed insulator."),
        taken_at=SOAKED_AT,
    ),
    Sample(
        "ground-plane-iced.s1p",
        "6 m ground-plane on the club roof, iced",
        ground_plane(element_m=ROOF_ELEMENT_M, slope_deg=ROOF_SLOPE_DEG, sheath=ICE),
        NIGHT,
        seed=3,
        flavour=Flavour("# GHz S MA R 50", unit="GHz", numbers="MA"),
        remarks=(AT_FEED_POINT, "3.5 mm of clear ice on every wire, air at −4 °C."),
        taken_at="2026-01-18 07:40",
    ),
    Sample(
        "ground-plane-dry-again.s1p",
        "6 m ground-plane on the club roof, dry again",
        # A joint has settled a little overnight: that is the drift to be found.
        ground_plane(element_m=ROOF_ELEMENT_M + SETTLED_M, slope_deg=ROOF_SLOPE_DEG),
        AFTERNOON,
        seed=6,
        remarks=(AT_FEED_POINT, "The element came out 0.8 mm longer after the ice."),
        taken_at="2026-01-18 15:10",
    ),
    Sample(
        "ground-plane-dry-12m-cable.s1p",
        "6 m ground-plane on the club roof, dry, seen through 12 m of cable",
        DRY,
        MORNING,
        seed=4,
        flavour=Flavour("#\tHZ\tS\tRI\tR\t50", unit="Hz", separator="\t"),
        cable=Cable(12.0),
        remarks=("Reference plane: the station end of 12 m of 50 ohm coax (invented losses).",),
    ),
    Sample(
        "dipole-reference.s1p",
        "6 m half-wave dipole, the club's known-good reference",
        half_wave_dipole(length_m=2.725, height_m=3.8, radius_m=0.0125),
        MORNING,
        seed=5,
        points=401,
        flavour=Flavour("# kHz Z RI R 50", unit="kHz", parameter="Z"),
        remarks=(AT_FEED_POINT, "Impedance normalised to 50 ohm, as version 1 wants it."),
    ),
    Sample(
        "kit-unit-1.s1p",
        "kit-built 6 m ground-plane, unit 1, on the test mast",
        kit_unit(0, 0, 35),
        KIT_DAY,
        seed=11,
        points=241,
        flavour=Flavour("# MHz Y MA R 50", parameter="Y", numbers="MA"),
        remarks=(AT_FEED_POINT, "Admittance normalised to 1/50 siemens, as version 1 wants it."),
    ),
    Sample(
        "kit-unit-2.s1p",
        "kit-built 6 m ground-plane, unit 2, on the test mast",
        kit_unit(6, 2, 36),
        KIT_DAY,
        seed=12,
        points=241,
        flavour=Flavour("# MHz S MA R 75", numbers="MA", z0_ohm=75.0),
        remarks=(AT_FEED_POINT, "Stored for a reference of 75 ohm."),
    ),
    Sample(
        "kit-unit-3.s2p",
        "kit-built 6 m ground-plane, unit 3, on the test mast",
        kit_unit(-5, 3, 35),
        KIT_DAY,
        seed=13,
        points=241,
        two_port=True,
        remarks=(AT_FEED_POINT, "Saved with both ports; nothing was plugged into port 2."),
    ),
    Sample(
        "kit-unit-4.s1p",
        "kit-built 6 m ground-plane, unit 4 (radials bent too flat), on the test mast",
        kit_unit(10, 2, 28),
        KIT_DAY,
        seed=14,
        points=241,
        flavour=Flavour("# R 50 RI S MHz  ! words in another order", remark_every=20),
        remarks=(AT_FEED_POINT,),
    ),
    Sample(
        "kit-unit-5.ts",
        "kit-built 6 m ground-plane, unit 5 (bad joint, 8 ohm), on the test mast",
        kit_unit(-2, 0, 35, joint_ohm=8.0),
        KIT_DAY,
        seed=15,
        points=241,
        flavour=Flavour("# MHz Z RI R 50", parameter="Z", version=2),
        remarks=(AT_FEED_POINT, "Version 2: impedance in ohms, not normalised."),
    ),
)


# How much water is left halves every 40 minutes, and so does nearly all that it does.
DRYING_HALF_TIME_MINUTES = 40.0
DRYING_MINUTES = (15, 35, 60, 100, 160, 240)


def drying_sample(number: int, minutes: int) -> Sample:
    """Return the roof antenna so many minutes after the rain, swept with one calibration."""
    left = 0.5 ** (minutes / DRYING_HALF_TIME_MINUTES)
    hours, rest = divmod(11 * 60 + 30 + minutes, 60)
    return Sample(
        f"drying/ground-plane-{minutes:03}-min.s1p",
        f"6 m ground-plane on the club roof, {minutes} minutes after the rain",
        ground_plane(
            element_m=ROOF_ELEMENT_M,
            slope_deg=ROOF_SLOPE_DEG,
            ground=SOAKED_GROUND,
            sheath=Sheath(
                RAIN.thickness_m * left, RAIN.relative_permittivity, RAIN.conductivity_s_per_m
            ),
            feed_point=FeedPoint(leak_siemens=WET_INSULATOR.leak_siemens * left),
        ),
        NOON,
        seed=31 + number,
        points=151,
        remarks=(AT_FEED_POINT,),
        taken_at=f"2026-01-17 {hours:02}:{rest:02}",
    )


DRYING = tuple(drying_sample(number, minutes) for number, minutes in enumerate(DRYING_MINUTES))

# The clamp at the foot lets the element creep up by a millimetre a year. In the autumn of 2023
# a loose screw made it longer; it was tightened afterwards.
CREEP_MM_A_YEAR = 1.0
LOOSE_AT, LOOSE_MM = "2023-10", 8.0
VISITS = tuple(f"{year}-{month}" for year in range(2021, 2026) for month in ("04", "10"))


def visit_sample(number: int, month: str) -> Sample:
    """Return the roof antenna at a visit in spring or autumn, each calibrated anew."""
    longer_mm = CREEP_MM_A_YEAR * (number / 2) + (LOOSE_MM if month == LOOSE_AT else 0.0)
    return Sample(
        f"years/ground-plane-{month}.s1p",
        f"6 m ground-plane on the club roof, visit of {month}, dry",
        ground_plane(element_m=ROOF_ELEMENT_M + longer_mm / 1e3, slope_deg=ROOF_SLOPE_DEG),
        Analyzer(701 + number),
        seed=51 + number,
        points=61,
        remarks=(AT_FEED_POINT,),
        taken_at=f"{month}-18 15:00",
    )


YEARS = tuple(visit_sample(number, month) for number, month in enumerate(VISITS))

OPEN_CABLE = Cable(25.0)
OPEN_CABLE_HZ = np.linspace(400e6, 470e6, 201)


def open_cable_text() -> str:
    """Return a sweep of 25 m of cable with nothing at its far end: SWR under 1.5 everywhere."""
    reflection = OPEN_CABLE.seen_through(np.ones(OPEN_CABLE_HZ.size, complex), OPEN_CABLE_HZ)
    reading = MORNING.reading(reflection, OPEN_CABLE_HZ, 21)
    comments = ["25 m of cable, nothing at its far end", INVENTED, "Made by make_samples.py."]
    return one_port_text(comments, PLAIN, OPEN_CABLE_HZ, reading)


@dataclass(frozen=True, slots=True)
class CableSweep:
    """The cable alone: what the club swept to know its line, far end open or shorted."""

    file_name: str
    title: str
    far_end: float
    seed: int
    points: int = 301


CABLE_LOW_HZ, CABLE_HIGH_HZ = 2_000_000, 60_000_000
CABLE_SWEEPS = (
    CableSweep("cable/12m-far-end-open.s1p", "the club's 12 m of cable, far end open", 1.0, 21),
    CableSweep("cable/12m-far-end-short.s1p", "the club's 12 m of cable, far end short", -1.0, 22),
)


def cable_text(sweep: CableSweep) -> str:
    """Return the whole text of a sweep of the cable alone."""
    frequency_hz = np.linspace(CABLE_LOW_HZ, CABLE_HIGH_HZ, sweep.points).round()
    far_end = np.full(sweep.points, sweep.far_end, dtype=np.complex128)
    seen = Cable(12.0).seen_through(far_end, frequency_hz)
    reading = MORNING.reading(seen, frequency_hz, sweep.seed)
    comments = [sweep.title, INVENTED, "An ideal open and short.", "Made by make_samples.py."]
    return one_port_text(comments, PLAIN, frequency_hz, reading)


def grid_hz(sample: Sample) -> NDArray[np.float64]:
    """Return the frequencies of a sample, shape (points,), whole hertz."""
    return np.linspace(LOW_HZ, HIGH_HZ, sample.points).round()


def antenna_reflection(sample: Sample) -> NDArray[np.complex128]:
    """Return the true reflection at the antenna's connector at 50 ohm, shape (points,)."""
    z_ohm = feed_impedance_ohm(sample.antenna, grid_hz(sample))
    return (z_ohm - Z0_OHM) / (z_ohm + Z0_OHM)


def sample_text(sample: Sample) -> str:
    """Return the whole text of a sample's file."""
    frequency_hz = grid_hz(sample)
    reflection = antenna_reflection(sample)
    if sample.cable is not None:
        reflection = sample.cable.seen_through(reflection, frequency_hz)
    reading = sample.analyzer.reading(reflection, frequency_hz, sample.seed)
    date = [f"Invented date of the sweep: {sample.taken_at}"] if sample.taken_at else []
    made_by = "Made by make_samples.py with NEC-2."
    comments = [sample.title, INVENTED, *date, *sample.remarks, made_by]
    if sample.two_port:
        columns = with_idle_second_port(reading, frequency_hz, sample)
        return two_port_text(comments, sample.flavour, frequency_hz, columns)
    return one_port_text(comments, sample.flavour, frequency_hz, reading)


def with_idle_second_port(
    s11: NDArray[np.complex128], frequency_hz: NDArray[np.float64], sample: Sample
) -> NDArray[np.complex128]:
    """Return columns S11, S21, S12, S22: some -70 dB of crosstalk, and an open second port."""
    noise = NormalNumbers(sample.seed + 1000)
    leak, back = (
        3e-4 * np.exp(-2j * np.pi * frequency_hz * 2e-9)
        + 1e-4 * noise.complex_array(frequency_hz.size)
        for _ in range(2)
    )
    # The fringing field of an open connector: some 20 fF, invented; 0.985 for its losses.
    fringe = 2j * np.pi * frequency_hz * 20e-15 * Z0_OHM
    s22 = 0.985 * (1 - fringe) / (1 + fringe) + 1e-3 * noise.complex_array(frequency_hz.size)
    return np.column_stack([s11, leak, back, s22])


def main(arguments: list[str] | None = None) -> int:
    """Write every sample into a folder; return the exit status."""
    parser = argparse.ArgumentParser(description="Write the invented sample sweeps.")
    parser.add_argument(
        "folder",
        nargs="?",
        type=Path,
        default=Path(__file__).resolve().parent,
        help="where to write (default: beside this script)",
    )
    parser.add_argument(
        "--open-cable",
        metavar="FILE",
        type=Path,
        help="write only a sweep that looks like a good antenna and is none: an unconnected cable",
    )
    options = parser.parse_args(arguments)
    if options.open_cable is not None:
        options.open_cable.write_text(open_cable_text(), encoding="utf-8")
        print(options.open_cable)
        return 0
    folder = options.folder
    folder.mkdir(parents=True, exist_ok=True)
    for name in ("drying", "years"):
        (folder / name).mkdir(exist_ok=True)
    for sample in (*SAMPLES, *DRYING, *YEARS):
        (folder / sample.file_name).write_bytes(sample_text(sample).encode("utf-8"))
        print(sample.file_name)
    (folder / "cable").mkdir(exist_ok=True)
    for sweep in CABLE_SWEEPS:
        (folder / sweep.file_name).write_bytes(cable_text(sweep).encode("utf-8"))
        print(sweep.file_name)
    try:
        from sample_model.club_bench import NAME, write_club_bench  # noqa: PLC0415
    except ModuleNotFoundError as error:
        if (error.name or "").partition(".")[0] != "fairlead":
            raise
        print("club.fairlead is left as it is: it needs Fairlead itself, pip install -e .")
        return 0
    write_club_bench(folder)
    print(NAME)
    return 0


if __name__ == "__main__":
    sys.exit(main())
