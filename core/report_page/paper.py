"""Sizes of printed pages."""

from __future__ import annotations

from typing import Literal

Paper = Literal["a4", "letter"]
# ISO 216 and ANSI/ASME Y14.1 (from memory).
PAPERS: dict[Paper, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height in mm."""
PAPER_WORDS: dict[Paper, str] = {"a4": "A4", "letter": "Letter"}
# Unicode CLDR, territories with the paper size "US-Letter" (from memory).
_LETTER = ("BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE")


def usual_paper(territory: str) -> Paper:
    """The size that is usual in a territory, by its two letters of ISO 3166; A4 if unknown."""
    return "letter" if territory in _LETTER else "a4"
