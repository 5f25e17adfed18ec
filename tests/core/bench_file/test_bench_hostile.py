"""Two hundred damaged files, the same at every run: an error in one line, or an equal bench."""

from __future__ import annotations

import re

import numpy as np
import pytest
from benches import full_bench

from fairlead.core.bench_file import bench_from_bytes, bench_to_bytes
from fairlead.core.errors import ReadError

BENCH = full_bench()
GOOD = bench_to_bytes(BENCH)
NUMBER = re.compile(rb"-?\d+(?:\.\d+)?(?:e[+-]?\d+)?")
VALUE = re.compile(rb'(?<=: )(?:"[^"\\]*"|true|false|null|-?\d[\d.e+-]*)(?=,?\n)')
PIECES = [
    *(b"NaN", b"Infinity", b"-Infinity", b"1e999", b"-1e999", b"9" * 400, b"9" * 5000, b"0x10"),
    *(b"true", b"null", b'"50"', b"[]", b"{}", b"[[1, 2, 3], [2, 2, 3]]", b"[" * 5000, b"-0"),
    *(b'"\\ud800"', b'"\\u0000"', b"__import__('os').abort()", b"{" * 3000 + b"}" * 3000, b"1 2"),
    *(b"!!python/object/apply:os.abort []", b"cos\nabort\n(tR.", b"\x80\x04.", b"\xff\xfe", b"\0"),
]  # fmt: skip


def cut(data, choice):
    return data[: choice.integers(len(data))]


def flip(data, choice):
    changed = bytearray(data)
    for _ in range(choice.integers(1, 4)):
        changed[choice.integers(len(data))] ^= 1 << int(choice.integers(8))
    return bytes(changed)


def another_number(data, choice):
    found = list(NUMBER.finditer(data))
    match = found[choice.integers(len(found))]
    return data[: match.start()] + PIECES[choice.integers(len(PIECES))] + data[match.end() :]


def another_value(data, choice):
    found = list(VALUE.finditer(data))
    match = found[choice.integers(len(found))]
    return data[: match.start()] + PIECES[choice.integers(len(PIECES))] + data[match.end() :]


def line_twice(data, choice):
    lines = data.splitlines(keepends=True)
    at = choice.integers(len(lines))
    return b"".join([*lines[: at + 1], *lines[at:]])


def line_gone(data, choice):
    lines = data.splitlines(keepends=True)
    # Without the checksum, which may be left out on purpose, the file is the same bench.
    del lines[choice.integers(len(lines))]
    return b"".join(lines)


def insert(data, choice):
    at = choice.integers(len(data))
    return data[:at] + PIECES[choice.integers(len(PIECES))] + data[at:]


def swap(data, choice):
    one, other, end = sorted(choice.integers(len(data), size=3).tolist())
    return data[:one] + data[other:end] + data[one:other] + data[end:]


DAMAGES = [cut, flip, another_number, another_value, line_twice, line_gone, insert, swap]


@pytest.mark.parametrize("seed", range(200))
def test_a_damaged_file_gives_an_error_or_an_equal_bench(seed):
    damage = DAMAGES[seed % len(DAMAGES)]
    data = damage(GOOD, np.random.default_rng(seed))
    try:
        bench = bench_from_bytes(data, "damaged.fairlead")
    except ReadError as error:
        # A line for people, and a way out.
        assert str(error).isprintable()  # noqa: PT017 - or an equal bench
        assert error.advice  # noqa: PT017
        assert len(str(error)) < 300  # noqa: PT017
    else:
        assert bench == BENCH


@pytest.mark.unmeasured
@pytest.mark.slow
def test_every_single_flipped_bit_of_a_small_bench_is_noticed_or_harmless():
    """Not by chance: each of all bits, of the words and of the first points."""
    wrong = []
    end = GOOD.index(b"\n", GOOD.index(b'"points"') + 200)
    for at in range(end):
        for bit in range(8):
            data = bytearray(GOOD)
            data[at] ^= 1 << bit
            try:
                bench = bench_from_bytes(bytes(data), "x")
            except ReadError:
                continue
            if bench != BENCH:
                wrong.append((at, bit))
    assert wrong == []
