"""However a sweep is written, it comes back; whatever the bytes, they are read or refused."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp
from touchstone_text import UNITS, rows_of

from fairlead.core.errors import ReadError
from fairlead.core.reading.kind import looks_like_sweep
from fairlead.core.reading.number import is_number
from fairlead.core.reading.reading import Reading
from fairlead.core.reading.touchstone import parse

steps = hnp.arrays(np.float64, st.integers(2, 12), elements=st.floats(0.25, 1e3))
parts = st.floats(-0.6, 0.6).filter(lambda x: x == 0 or abs(x) > 1e-6)


@st.composite
def written_sweeps(draw):
    """A sweep and one of the many ways to write it."""
    frequency = np.cumsum(draw(steps))
    count = frequency.size
    reflection = np.array(draw(st.lists(parts, min_size=count, max_size=count))) + 1j * np.array(
        draw(st.lists(parts, min_size=count, max_size=count))
    )
    reflection = np.where(reflection == 0, 0.125, reflection)
    unit, hz = draw(st.sampled_from(sorted(UNITS.items())))
    form = draw(st.sampled_from(["RI", "MA", "DB"]))
    parameter = draw(st.sampled_from("SZY"))
    version = draw(st.sampled_from([1, 2]))
    z0_ohm = draw(st.floats(0.5, 1000))
    values = reflection
    if parameter != "S":
        values = (1 + reflection) / (1 - reflection)
        values = values if parameter == "Z" else 1 / values
        if version == 2:
            values = values * z0_ohm if parameter == "Z" else values / z0_ohm
    options = draw(st.permutations([unit, parameter, form, f"R {z0_ohm!r}"]))
    header = [f"# {' '.join(options)}"]
    if version == 2:
        header = [
            "[Version] 2.1",
            *header,
            "[number of PORTS] 1",
            f"[Number of Frequencies] {count}",
            "[Network Data]",
        ]
    blank = draw(st.sampled_from([" ", "\t", "   "]))
    rows = [row.replace(" ", blank) for row in rows_of(frequency, values, form)]
    decoration = draw(st.sampled_from(["", " ", " ! note", "\n! Gamma ! 1 2", "\n\n"]))
    end = draw(st.sampled_from(["\n", "\r\n", "\r"]))
    lines = [*header, *(row + decoration for row in rows), *(["[End]"] if version == 2 else [])]
    text = "\n".join([*lines, ""])
    text = text.lower() if draw(st.booleans()) else text
    encoding = draw(st.sampled_from(["utf-8", "utf-8-sig", "utf-16"]))
    return text.replace("\n", end).encode(encoding), frequency * hz, reflection, z0_ohm


@settings(deadline=None)
@given(written_sweeps())
def test_what_is_written_is_read(written):
    data, frequency_hz, reflection, z0_ohm = written
    sweep = parse(data, "unit 1.s1p").sweep
    np.testing.assert_allclose(sweep.frequency_hz, frequency_hz, rtol=1e-14)
    np.testing.assert_allclose(sweep.reflection, reflection, rtol=0, atol=1e-9)
    assert sweep.z0_ohm == z0_ohm


def outcome(data, name):
    try:
        return parse(data, name)
    except ReadError as error:
        return error


def reads_or_refuses(data, name="x.s1p"):
    found = outcome(data, name)
    if isinstance(found, ReadError):
        assert found.reason
        assert found.advice
        assert len(str(found).splitlines()) == 1
        ends = data.count(b"\n") + data.count(b"\r")
        assert found.line is None or 1 <= found.line <= ends + 1
    else:
        assert isinstance(found, Reading)
        assert np.isfinite(found.sweep.reflection).all()
        assert all(len(notice.text.splitlines()) == 1 for notice in found.notices)
    looks_like_sweep(data)


@settings(deadline=None)
@given(st.binary(max_size=300))
@example(b"\x80\x04\x95")
@example(b"\xff\xfe\x00\x00")
def test_any_bytes_are_read_or_refused(data):
    reads_or_refuses(data)


KEYWORDS = [
    "[Version] 2.0\n",
    "[Version] 1.0\n",
    "[Version 2.1]\n",
    "[Number_of_Ports] 1\n",
    "[Number of Ports] 2\n",
    "[Number of Frequencies] 2\n",
    "[Two-Port Data Order] 12_21\n",
    "[Reference]",
    "[Matrix Format] Lower\n",
    "[Matrix Format] Upper\n",
    "[Mixed-Mode Order] S1 D2,3\n",
    "[Network Data]\n",
    "[Noise Data]\n",
    "[Begin Information]\n",
    "[End Information]\n",
    "[End]\n",
    "[Foo] 1\n",
    "[]",
    "[",
]
OPTIONS = [
    "# Hz S RI R 50\n",
    "# Z\n",
    "#\n",
    "# H R 75 25\n",
    "# y\n",
    "#0\n",
    "#214",
    "# R (5+1j)",
]
ROWS = ["1 0.5 0\n", "2 0 -1\n", "0 0 0\n", "3 1 2 3 4 5 6 7 8\n", "4 5 6 7 8\n", "-1 0 0\n"]
ODD = [
    "nan",
    "1_0",
    "1,5",
    ";",
    "!",
    "BEGIN\n",
    "END\n",
    "DB\n",
    "text\n",
    "ß",
    "\x0c",
    "\x85",
    "\r",
]
WORDS = [*KEYWORDS, *OPTIONS, *ROWS, *ROWS, *ODD, "! Port Impedance 1 2\n", "1e308", "1e-320"]


@settings(deadline=None, max_examples=300)
@given(st.lists(st.sampled_from(WORDS), max_size=30))
def test_any_words_of_the_format_are_read_or_refused(words):
    reads_or_refuses(" ".join(words).encode())


rows = st.lists(
    st.lists(st.sampled_from(["0", "1", "2", "3.5", "-1", "1e9", "x"]), min_size=1, max_size=10),
    min_size=1,
    max_size=8,
)


@pytest.mark.unmeasured
@settings(deadline=None, max_examples=300)
@given(rows, st.sampled_from("SZYHG"), st.sampled_from(["RI", "MA", "DB"]), st.integers(1, 4))
def test_any_rows_of_numbers_are_read_or_refused(table, parameter, form, ports):
    body = "\n".join(" ".join(row) for row in table)
    reads_or_refuses(f"# GHz {parameter} {form} R 50\n{body}\n".encode(), f"x.s{ports}p")
    for matrix_format in ("Full", "Lower", "Upper"):
        header = f"[Version] 2.0\n# GHz {parameter} {form}\n[Number of Ports] {ports}\n"
        tail = f"[Matrix Format] {matrix_format}\n[Network Data]\n{body}\n[End]\n"
        reads_or_refuses((header + tail).encode())


@settings(deadline=None)
@given(written_sweeps(), st.data())
def test_one_changed_byte_is_read_or_refused(written, data):
    content = bytearray(written[0])
    place = data.draw(st.integers(0, len(content) - 1))
    content[place] = data.draw(st.integers(0, 255))
    reads_or_refuses(bytes(content))


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_every_way_python_writes_a_number_is_one(value):
    assert is_number(repr(value))
    assert is_number(f"{value:+.17E}")
    assert is_number(f"{value:e}".replace("e", "D"))
