"""Bands of one's own, or a national plan, from a text file: a name and two edges a line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.bands import Band
from fairlead.core.errors import FairleadError, ReadError, ValueTextError
from fairlead.core.file_bytes import file_bytes
from fairlead.core.units import parse_span_hz

if TYPE_CHECKING:
    from collections.abc import Iterable

_LARGEST_BYTES = 200_000
MOST_BANDS = 200
_LONGEST_NAME = 40
_ADVICE = 'write a name and two edges a line, for example "Club net = 50.1 - 50.3 MHz"'


def read_own_bands(path: str) -> tuple[Band, ...]:
    """The bands of a text file in UTF-8.

    Raises
    ------
    ReadError
        If it cannot be opened, or a line is no band; with its number.
    """
    too_large = ReadError(path, f"larger than {_LARGEST_BYTES // 1000} kB", _ADVICE)
    data = file_bytes(path, "choose a text file", too_large, _LARGEST_BYTES)
    return parse_own_bands(data.decode("utf-8-sig", "replace"), path)


def parse_own_bands(text: str, file: str = "") -> tuple[Band, ...]:
    """The bands of a text: ``Club net = 50.1 - 50.3 MHz``; blank lines and ``#`` are passed over.

    Raises
    ------
    ReadError
        If a line is no band, a name comes twice, or there is none or there are too many.
    """
    found: dict[str, Band] = {}
    for number, line in enumerate(text.splitlines(), start=1):
        own = line.partition("#")[0].strip()
        if not own:
            continue
        name, sign, span = own.partition("=")
        name = " ".join("".join(c if c.isprintable() else " " for c in name).split())
        if not sign or not name:
            raise ReadError(file, f'"{own[:60]}" is not a band', _ADVICE, number)
        if len(name) > _LONGEST_NAME:
            raise ReadError(file, "this name is too long for a band", _ADVICE, number)
        if name.casefold() in found:
            raise ReadError(file, f'there are two bands "{name}"', "rename one", number)
        try:
            found[name.casefold()] = Band(*parse_span_hz(span), name)
        except ValueTextError as error:
            raise ReadError(file, error.reason, _ADVICE, number) from None
    if not found:
        raise ReadError(file, "there is no band in it", _ADVICE)
    if len(found) > MOST_BANDS:
        raise ReadError(file, f"there are more than {MOST_BANDS} bands in it", "leave some out")
    return tuple(found.values())


def as_text(bands: Iterable[Band]) -> str:
    """The same as text again, to be kept."""
    return "".join(f"{band.name} = {band.low_hz:.17g} - {band.high_hz:.17g} Hz\n" for band in bands)


def own_band(text: str, bands: Iterable[Band]) -> Band:
    """The band of a name, in capitals or not.

    Raises
    ------
    FairleadError
        If there is none; it names those that there are.
    """
    known = {(band.name or "").casefold(): band for band in bands}
    wanted = " ".join(text.split()).casefold()
    if wanted not in known:
        names = ", ".join(band.name or "" for band in known.values())
        raise FairleadError(f'no band "{text}" in the file of bands', f"choose one of {names}")
    return known[wanted]
