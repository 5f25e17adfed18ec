"""The usual cautions for work on antennas. They defer to local codes and licensed practice."""

from __future__ import annotations

FIRST = "Local codes, the terms of your licence and qualified people come before this program."

# The distance to power lines: United States Technician question pool, T0B06 (reach + 10 ft).
CAUTIONS: tuple[tuple[str, str], ...] = (
    (
        "Power lines",
        (
            "Keep mast and wires so far from any power line that nothing can touch it even "
            "while falling: the full reach of the antenna plus at least 3 m (10 ft). Never "
            "raise an antenna alone."
        ),
    ),
    (
        "Lightning and static",
        (
            "No work on antennas when thunder is about. Ground mast and feed line and bond all "
            "grounds as the local code asks. A wire can carry static: discharge the cable "
            "before it meets the analyzer."
        ),
    ),
    (
        "RF exposure",
        (
            "Keep people away from an antenna in use, and work out the exposure by the limits "
            "of your country. Never connect an analyzer while anybody may transmit nearby."
        ),
    ),
    (
        "Transmitting into a bad match",
        (
            "High SWR can damage transmitter and feed line. Find the fault first; do not "
            "transmit to see what happens. A good SWR alone does not make an antenna good or "
            "safe."
        ),
    ),
    (
        "Falls and ice",
        "A wet or iced roof is no place to stand. Measure from the end of the cable.",
    ),
)

SHORT = (
    "Mind power lines, lightning and static, RF exposure, and never transmit into a bad match. "
    + FIRST
)
"""One line for the empty window."""
