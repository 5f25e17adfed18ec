"""The error tree: one line for people, with what to do."""

from __future__ import annotations

import pytest

from fairlead.core.errors import FairleadError, ReadError, SweepError, ValueTextError


def test_reason_and_advice_in_one_line():
    assert str(FairleadError("no points", "give two")) == "no points; give two"
    assert str(FairleadError("no points")) == "no points"


def test_a_read_error_says_where():
    error = ReadError("roof.s1p", "no numbers", "remove the line", 7)
    assert str(error) == "roof.s1p:7: no numbers; remove the line"
    assert (error.file, error.line, error.reason, error.advice) == (
        "roof.s1p",
        7,
        "no numbers",
        "remove the line",
    )
    assert str(ReadError("roof.s1p", "is empty")) == "roof.s1p: is empty"


@pytest.mark.parametrize("kind", [SweepError, ValueTextError, ReadError])
def test_one_handler_catches_them_all(kind):
    assert issubclass(kind, FairleadError)
