"""Contents that make a reader work hard: each a function from a size to text of about that size."""

from __future__ import annotations

OPTION = "# Hz S RI R 50\n"
ROWS = "1000000 0.1 0.2\n1000007 0.1 0.2\n1000014 0.1 0.2\n"
TABLE = "Frequency (Hz),SWR\n"


def _again(unit, head="", tail=""):
    return lambda size: head + unit * (size // len(unit)) + tail


def _rising(row, head=""):
    """Rows of their own frequencies; ``{}`` in the row."""
    width = len(row) + 5
    return lambda size: head + "".join(row.format(10**6 + 7 * i) for i in range(size // width))


CONTENTS = {
    "plain": _rising("{} 0.1 0.2\n", OPTION),
    "comments": _again("! nothing here\n", OPTION, ROWS),
    "comments only": _again("! nothing here\n"),
    "comments between rows": _rising("{} 0.1 0.2 ! measured\n! more\n", OPTION),
    "comments with impedances": _again("! Port Impedance 50 0 50 0\n", OPTION, ROWS),
    "blank lines": _again("\n", OPTION, ROWS),
    "blank lines between rows": _rising("{} 0.1 0.2\n\n\n\n\n\n\n", OPTION),
    "blanks": _again(" " * 200 + "\n", TABLE, "1000000,1.5\n2000000,1.5\n"),
    "option lines": _again(OPTION, OPTION, ROWS),
    "other option lines": _again("# MHz S DB R 75\n", OPTION, ROWS),
    "option lines between rows": _rising(OPTION + "{} 0.1 0.2\n", OPTION),
    "lone hashes": _again("#\n", OPTION, ROWS),
    "hashes with words": _again("# just words\n", "", ROWS),
    "short hash comments": _again("#x\n", OPTION, ROWS),
    "block headers of no length": _again("#0\n", OPTION, ROWS),
    "block headers": _again("#14\n", "", OPTION + ROWS),
    "unknown keywords": _again("[Nothing Known] 3\n", "[Version] 2.0\n" + OPTION, ROWS),
    "references": _again("50 ", "[Version] 2.0\n" + OPTION + "[Reference] "),
    "lone words": _again("db\n", "", ROWS),
    "sweeps": _again(ROWS, OPTION),
    "a line of letters": _again("x"),
    "a line of numbers": _again("1 ", OPTION),
    "a line of separators": _again(";", "", "\n1;2\n"),
    "a line of quotes": _again('"'),
    "a line of brackets": _again("["),
    "a line of blanks": _again(" ", TABLE + "1000000", ",1.5\n"),
    "a comment of one line": _again("x", OPTION + "! ", "\n" + ROWS),
    "a number of one line": _again("1", OPTION, " 0.1 0.2\n"),
    "signs": _again("+-", TABLE, ",1\n"),
    "a table": _rising("{},1.5\n", TABLE),
    "a quoted table": _rising('"{}","1.5"\n', '"Frequency (Hz)","SWR"\n'),
    "a table of open quotes": _rising('"{},1.5\n', TABLE),
    "a table of long numbers": _rising("{}." + "0" * 200 + ",1.5" + "0" * 200 + "\n", TABLE),
    "a table of digit groups": _rising("1.000.{}.000;1,5\n", "Frequency (Hz);SWR\n"),
    "a table of many columns": _rising(
        "{}" + ",1.5" * 300 + "\n", TABLE[:-1] + ",SWR" * 299 + "\n"
    ),
    "a table of empty cells": _rising("{},,,,,,,,,,,,,,\n", TABLE),
    "a table of headings": _rising(TABLE + "{},1.5\n"),
    "a table of sweeps": _again("1000000,1.5\n2000000,1.5\n3000000,1.4\n", TABLE),
    "a table and words": _again("some words, and more\n", TABLE + "1000000,1.5\n2000000,1.5\n"),
    "words and a table": _again("Name: value\n", "", TABLE + "1000000,1.5\n2000000,1.5\n"),
    "words": _again("lorem ipsum dolor\n"),
}
