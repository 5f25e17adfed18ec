"""However a table is written, it comes back; whatever the bytes, they are read or refused."""

from __future__ import annotations

import time

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from fairlead.core.errors import ReadError
from fairlead.core.reading import Reading, preview_sweeps, read_preview, read_sweeps
from fairlead.core.reading.tables import ColumnPlan

SEPARATORS = {",": ".", ";": ",", "\t": ",", "  ": ".", " ": ","}
UNITS = {"Hz": 1.0, "kHz": 1e3, "MHz": 1e6, "GHz": 1e9}


@st.composite
def written_tables(draw):
    """A sweep and one of the many ways to write it as a table."""
    count = draw(st.integers(3, 9))
    steps = draw(st.lists(st.integers(1, 10**6), min_size=count, max_size=count))
    frequency_hz = np.cumsum(steps) + 10.0**6
    parts = st.lists(st.integers(-600, 600), min_size=count, max_size=count)
    reflection = (np.array(draw(parts)) + 1j * np.array(draw(parts)) + 0.5) / 1000
    unit, hz = draw(st.sampled_from(sorted(UNITS.items())))
    names, columns = draw(
        st.sampled_from(
            [
                (("S11 real", "S11 imag"), (reflection.real, reflection.imag)),
                (("|S11|", "phase (deg)"), (abs(reflection), np.angle(reflection, deg=True))),
                (
                    ("S11 (dB)", "angle (rad)"),
                    (20 * np.log10(abs(reflection)), np.angle(reflection)),
                ),
                (
                    ("R (ohm)", "X (ohm)"),
                    (
                        (50 * (1 + reflection) / (1 - reflection)).real,
                        (50 * (1 + reflection) / (1 - reflection)).imag,
                    ),
                ),
                (("SWR",), ((1 + abs(reflection)) / (1 - abs(reflection)),)),
                (("Return loss",), (-20 * np.log10(abs(reflection)),)),
                (("Reflected (%)",), (100 * abs(reflection) ** 2,)),
            ]
        )
    )
    separator, mark = draw(st.sampled_from(sorted(SEPARATORS.items())))
    remark = draw(st.sampled_from([None, "fine"]))
    order = draw(st.permutations(range(len(names) + 1)))
    all_names = [f"Frequency ({unit})", *names]
    all_columns = [frequency_hz / hz, *columns]
    header = [all_names[i] for i in order] + (["remark"] if remark else [])
    rows = [header]
    for cells in zip(*(all_columns[i] for i in order), strict=True):
        texts = [f"{cell:.12e}".replace(".", mark) for cell in cells]
        rows.append([*texts, remark] if remark else texts)
    quote = draw(st.sampled_from(["", '"'])) if separator.strip() else ""
    lines = [separator.join(f"{quote}{cell}{quote}" for cell in row) for row in rows]
    before = draw(st.sampled_from([[], ["# made by a test"], ["readings of a test"], [""]]))
    after = draw(st.sampled_from([[], [""], ["end of the readings"], ["END"]]))
    end = draw(st.sampled_from(["\n", "\r\n", "\r"]))
    text = end.join([*before, *lines, *after, ""])
    encoding = draw(st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "cp1252"]))
    return text.encode(encoding), frequency_hz, reflection


@settings(deadline=None)
@given(written_tables())
def test_what_is_written_is_read(written):
    data, frequency_hz, reflection = written
    (reading,) = read_sweeps(data, "roof.csv")
    sweep = reading.sweep
    np.testing.assert_allclose(sweep.frequency_hz, frequency_hz, rtol=1e-11)
    if sweep.has_phase:
        np.testing.assert_allclose(sweep.reflection, reflection, rtol=0, atol=1e-9)
    else:
        np.testing.assert_allclose(sweep.magnitude, abs(reflection), rtol=0, atol=1e-9)


PLANS = [
    None,
    *map(
        ColumnPlan.parse,
        [
            "frequency=1:MHz,swr=2",
            "frequency=1,real+imaginary=2+3",
            "frequency=2,swr=1,trace=3",
            "frequency=1:Hz,forward+reflected=2+3",
            "frequency=1:GHz,z+angle=2+3:rad,z0=75",
            "frequency=1:kHz,db=2,return-loss=3",
            "frequency=1:MHz,reflected=2,magnitude=3",
            "frequency=1:MHz,db+angle=2+3",
        ],
    ),
]


def reads_asks_or_refuses(data, plan=None, name="x.csv"):
    """The outcome, after checking what holds for any."""
    try:
        found = read_sweeps(data, name, plan)
    except ReadError as error:
        assert error.reason  # noqa: PT017
        assert error.advice  # noqa: PT017
        assert len(str(error).splitlines()) == 1  # noqa: PT017
        ends = data.count(b"\n") + data.count(b"\r")
        assert error.line is None or 1 <= error.line <= ends + 1  # noqa: PT017
        return error
    assert found
    for reading in found:
        assert isinstance(reading, Reading)
        assert len(reading.sweep) >= 2
        assert all(len(notice.text.splitlines()) == 1 for notice in reading.notices)
    assert len({reading.label for reading in found}) == len(found)
    return found


def previews(data, plan):
    """A preview never fails in another way than reading does."""
    try:
        preview = read_preview(data, "x.csv")
        if preview is not None:
            preview_sweeps(preview, plan or PLANS[1])
    except ReadError:
        return


@settings(deadline=None)
@given(st.binary(max_size=300), st.sampled_from(PLANS))
@example(b"", None)
@example(b"\xff\xfe\x00\x00", None)
def test_any_bytes_are_read_or_refused(data, plan):
    reads_asks_or_refuses(data, plan)
    previews(data, plan)


@settings(deadline=None)
@given(st.text(alphabet="0123456789.,;:-+eE#%!\"' \t\nMHzSWRdBΩ|()nan", max_size=200))
def test_any_text_that_looks_like_a_table_is_read_or_refused(text):
    reads_asks_or_refuses(text.encode())
    previews(text.encode(), None)


SEEDS = [
    "Frequency (MHz),SWR\n14.0,1.5\n14.1,1.3\n14.2,1.4\n",
    "MHz;dry;wet\n14,0;1,5;1,6\n14,1;1,3;1,4\n",
    "kHz,R,X,SWR,RL,|Z|,theta\n14000,33,-10,1.6,12.7,34.5,-17\n14100,35,-8,1.5,13.9,35.9,-13\n",
    "BEGIN\n14e6,0.1,-0.2\n14.1e6,-0.1,0.2\nEND\nBEGIN\n14e6,0.3,-0.2\n14.1e6,-0.3,0.2\nEND\n",
    "antenna,MHz,SWR\na,14.0,1.5\na,14.1,1.4\nb,14.0,1.2\nb,14.1,1.3\n",
    '"GHz","dB(S(1,1))","dB(S(2,2))"\n1,-10,-12\n1.1,-11,-13\n',
    "MHz;Fwd W;Refl W\n14,0;100;4\n14,1;100;2,5\n",
    "# dry\nMHz,SWR\n14.0,1.5\n14.1,1.4\n\n# wet\nMHz,SWR\n14.0,1.2\n14.1,1.3\n",
    "f1/MHz;SWR1;f2/MHz;SWR2\n14,0;1,5;21,0;1,2\n14,1;1,3;21,1;1,4\n",
    "frequency,50,51,52\nSWR,1.5,1.4,1.6\n",
    "14 50 10\n15 60 -10\n",
]
BITS = [
    *("nan", "inf", "-", "", ",", ";", "\t", " ", "\n", "\n\n", "\r", "#", "!", "BEGIN", "END"),
    *("1e999", "-1e308", "1e-320", "0", "-5", "1.234,5", "1,234", "1.5:1", "14 MHz", "∞", "Ω"),
    *('"', "'", "(", ")", "|", "SWR", "MHz", "dB", "deg", "S11", "Z0: 75", "2026-05-14", "\x85"),
    *("x" * 100, "1" * 70, "S(1,1)", "R", "X", "phase", "mag", "re", "im", "refl W", "%", "trace"),
]


@st.composite
def mutated_tables(draw):
    """A valid table after a few strokes of bad luck."""
    text = draw(st.sampled_from(SEEDS))
    for _ in range(draw(st.integers(1, 6))):
        at = draw(st.integers(0, len(text)))
        end = min(len(text), at + draw(st.integers(0, 6)))
        text = text[:at] + draw(st.sampled_from(BITS)) + text[end:]
    return text.encode(draw(st.sampled_from(["utf-8", "utf-16", "cp1252"])), "replace")


@pytest.mark.unmeasured
@settings(deadline=None, max_examples=400)
@given(mutated_tables(), st.sampled_from(PLANS), st.sampled_from(["x.csv", "x.s1p"]))
def test_damaged_tables_are_read_asked_or_refused(data, plan, name):
    reads_asks_or_refuses(data, plan, name)
    previews(data, plan)


# -- bounded time ------------------------------------------------------------------------------
#
# Each of these would take minutes or hours if something in the readers grew with the square of the
# length. The limit is far above what they take (about a second at most), far below that.

N = 200_000
HUGE = {
    "digits and a letter": "MHz,SWR\n14.0,1.5\n14.1," + "1" * N + "x\n",
    "digits and a letter, Touchstone": "# MHz S RI\n1 .1 .1\n2 " + "1" * N + "x .1\n",
    "commas": "MHz,SWR\n14.0,1.5\n14.1" + "," * N + "\n",
    "blanks": "MHz SWR\n14.0 1.5\n14.1" + " " * N + "1.4\n",
    "quotes": "MHz,SWR\n14.0,1.5\n" + '"' * N + "\n",
    "brackets": "(" * N + "\nMHz,SWR\n14.0,1.5\n",
    "words in a line": "w " * N + "\nMHz SWR\n14.0 1.5\n14.1 1.4\n",
    "lines of text": "MHz,SWR\n14.0,1.5\n" + "text\n" * (N // 4) + "14.1,1.4\n",
    "lines of comment": "# MHz SWR\n" * (N // 8) + "14.0 1.5\n14.1 1.4\n",
    "blocks": "MHz,SWR\n14.0,1.5\n14.1,1.4\n" * (N // 40),
    "breaks": "MHz,SWR\n" + "14.0,1.5\n\n" * (N // 20),
    "titles": "MHz,SWR\n" + "14.0,1.5\n14.1,1.4\nwet\n" * (N // 40),
    "names": "unit,MHz,SWR\n" + "".join(f"{i // 2},{14 + i % 2},1.5\n" for i in range(N // 20)),
    "dates": "Date: 2026-05-14 " * (N // 20) + "\nMHz,SWR\n14.0,1.5\n14.1,1.4\n",
    "headings": ",".join(["MHz", *["SWR"] * 2000]) + "\n" + ("14,1.5" + ",1.5" * 1999 + "\n") * 2,
}


@pytest.mark.unmeasured
@pytest.mark.parametrize("text", HUGE.values(), ids=HUGE)
def test_nothing_takes_for_ever(text):
    begin = time.perf_counter()
    reads_asks_or_refuses(text.encode())
    assert time.perf_counter() - begin < 20
