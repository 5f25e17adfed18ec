"""The usual cautions for work on antennas. They defer to local codes and licensed practice."""

from __future__ import annotations

FIRST = "Local codes, the terms of your licence and qualified people come before this program."

# The distance to power lines: United States Technician question pool, T0B06 (reach + 10 ft).
CAUTIONS: tuple[tuple[str, str], ...] = (
    (
        "Power lines",
        (
            "Keep mast and wires far enough from any power line that nothing can touch it, even "
            "while falling: the full reach of the antenna plus at least 3 m (10 ft). Never "
            "raise an antenna alone."
        ),
    ),
    (
        "Lightning and static",
        (
            "Do not work on antennas during a thunderstorm. Ground mast and feed line and bond all "
            "grounds as local codes require. A wire can carry static: discharge the cable "
            "before connecting it to the analyzer."
        ),
    ),
    (
        "RF exposure",
        (
            "Keep people away from an antenna in use, and check the exposure against the limits "
            "of your country. Never connect an analyzer while anyone may transmit nearby."
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
        "Stay off a wet or iced roof: measure from the end of the cable.",
    ),
)

SHORT = (
    "Beware of power lines, lightning and static, and RF exposure; never transmit into a bad "
    "match. " + FIRST
)
"""One line for the window without sweeps."""
