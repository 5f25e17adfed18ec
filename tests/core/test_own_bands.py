"""Bands of one's own from a text file: what is read, and what is refused with its line."""

from __future__ import annotations

import pytest

from fairlead.core.bands import Band
from fairlead.core.errors import FairleadError, ReadError
from fairlead.core.own_bands import (
    MOST_BANDS,
    as_text,
    own_band,
    parse_own_bands,
    read_own_bands,
)

TEXT = """# Invented plan
Club net = 50.1 - 50.3 MHz   # evenings

  low   end=1810:1850kHz
"""
NET, LOW = Band(50.1e6, 50.3e6, "Club net"), Band(1.81e6, 1.85e6, "low end")


def test_a_name_and_two_edges_a_line(tmp_path):
    assert parse_own_bands(TEXT) == (NET, LOW)
    path = tmp_path / "plan.txt"
    path.write_bytes(b"\xef\xbb\xbf" + TEXT.replace("\n", "\r\n").encode())
    assert read_own_bands(str(path)) == (NET, LOW)
    assert parse_own_bands(as_text((NET, LOW))) == (NET, LOW)


def test_a_band_is_found_by_its_name():
    assert own_band("  CLUB  net ", (NET, LOW)) is NET
    with pytest.raises(FairleadError, match="choose one of Club net, low end"):
        own_band("6m", (NET, LOW))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("a = 50:52MHz\nno edges here", "plan:2: .no edges here. is not a band"),
        ("= 50:52MHz", "plan:1: "),
        ("a = 52:50 MHz", "plan:1: .*low edge is not below"),
        ("a = 50:52MHz\nA = 51:52MHz", 'plan:2: there are two bands "A"'),
        ("x" * 41 + " = 50:52MHz", "plan:1: this name is too long"),
        ("# nothing", "plan: there is no band in it"),
        ("".join(f"b{i} = 50:52MHz\n" for i in range(MOST_BANDS + 1)), "more than 200 bands"),
    ],
)
def test_what_is_no_band_is_refused_with_its_line(text, said):
    with pytest.raises(ReadError, match=said):
        parse_own_bands(text, "plan")


def test_a_huge_file_and_a_missing_one_are_refused(tmp_path):
    path = tmp_path / "huge.txt"
    path.write_bytes(b"#" * 200_001)
    with pytest.raises(ReadError, match="larger than 200 kB"):
        read_own_bands(str(path))
    with pytest.raises(ReadError):
        read_own_bands(str(tmp_path / "none.txt"))
