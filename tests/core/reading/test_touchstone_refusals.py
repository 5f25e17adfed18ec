"""What cannot be read is refused in one line that names file, line, reason and what to do."""

from __future__ import annotations

import pytest
from touchstone_text import error_of

HEAD = "! unit 1\n# MHz S RI R 50\n"
GOOD = "50 0.5 0.25\n51 0.5 0.25\n"
NUMBERS = "repair or remove that line"
NOT_FINITE = "remove that point or measure it again"
COMMA = "write decimal points: export with English number format"
ROW = "correct or remove the row; a one-port row holds a frequency and two numbers"


@pytest.mark.parametrize(
    ("rows", "wanted"),
    [
        ("50 .5 .2\n51 .5 abc\n", f"4: 'abc' is not a number; {NUMBERS}"),
        ("50 .5 .2\n51 .5 1_0\n", f"4: '1_0' is not a number; {NUMBERS}"),
        ("50 .5 .2\n51 .5 \u0661\n", f"4: '\u0661' is not a number; {NUMBERS}"),
        ("50 .5 .2\n51 .5 \u22120.2\n", f"4: '\u22120.2' is not a number; {NUMBERS}"),
        ("50 .5 .2\n51 .5 0x1F\n", f"4: '0x1F' is not a number; {NUMBERS}"),
        ("50 .5 .2\n51 .5 1.0.0\n", f"4: '1.0.0' is not a number; {NUMBERS}"),
        ("50 .5 .2\n51 .5 1+2\n", f"4: '1+2' is not a number; {NUMBERS}"),
        ("50 .5 .2\n51 .5 e\n", f"4: 'e' is not a number; {NUMBERS}"),
        ("50 .5 .2\n51 .5 \x07\x1b[0m\n", f"4: '\\x07\\x1b[0m' is not a number; {NUMBERS}"),
        ("50 .5 .2\n51 .5 nan\n", f"4: 'nan' is not a finite number; {NOT_FINITE}"),
        ("50 .5 .2\n51 -inf 0\n", f"4: '-inf' is not a finite number; {NOT_FINITE}"),
        ("50 .5 .2\n51 1.#IND 0\n", f"4: '1.#IND' is not a finite number; {NOT_FINITE}"),
        ("50 .5 .2\n51 --- 0\n", f"4: '---' is not a finite number; {NOT_FINITE}"),
        ("50 .5 .2\n51 *** 0\n", f"4: '***' is not a finite number; {NOT_FINITE}"),
        ("50 .5 .2\n51 1e999 0\n", f"4: '1e999' is not a finite number; {NOT_FINITE}"),
        ("50,1 0,5 0,2\n51 0 0\n", f"3: '50,1' has a decimal comma; {COMMA}"),
        ("50;0,5;0,2\n51;0;0\n", f"3: '0,5' has a decimal comma; {COMMA}"),
        (
            "50.0,0.5,0.2\n51.0,0.5,0.2\n",
            (
                "3: numbers joined by commas: '50.0,0.5,0.2'; "
                "Touchstone separates numbers by blanks: replace the commas by blanks"
            ),
        ),
        ("50 .5 .2\n51 .5\n52 .5 .2\n", f"4: 2 numbers in this row where 3 belong; {ROW}"),
        ("50 .5 .2\n51 .5 .2 .1 .2\n", f"4: 5 numbers in this row where 3 belong; {ROW}"),
        ("50 .5\n51 .5\n", f"3: 2 numbers in this row where 3 belong; {ROW}"),
        ("50 .5 .2\n51\n\n", f"4: 1 number in this row where 3 belong; {ROW}"),
        ("50 .5 .2\n51 .5 .2 .3\n", f"4: 4 numbers in this row where 3 belong; {ROW}"),
        ("50 .5 .2\n-51 .5 .2\n", "4: negative frequency; correct or remove the row"),
        ("50 .5 .2\n\n \n-51 .5 .2\n", "6: negative frequency; correct or remove the row"),
        (
            "50 .5 .2\n1e308 .5 .2\n",
            "4: frequency beyond all numbers; correct or remove the row",
        ),
        (
            "50 .5 .2\nmarkers: 2\n",
            (
                "4: 'markers: 2' is neither a row of numbers nor a comment; "
                "put ! in front of text, or remove the line"
            ),
        ),
        (
            "50 .5 .2\n[Number of Ports 1\n",
            (
                "4: keyword without its closing bracket: '[Number of Ports 1'; "
                "write keywords as [Version] 2.0"
            ),
        ),
    ],
)
def test_a_bad_row_is_named(rows, wanted):
    assert error_of(HEAD + rows) == f"unit 1.s1p:{wanted}"


def test_a_row_too_many_in_a_wrapped_matrix_is_named():
    matrix = "1 0 0 0 0 0 0\n 0 0 0 0 0 0\n 0 0 0 0 0 0\n"
    text = "# GHz S RI R 50\n" + matrix + matrix.replace("1", "2", 1)
    assert error_of(text + " 0 0\n") == (
        f"unit 1.s1p:8: 2 numbers in this row where none belong; {ROW}"
    )
    assert error_of(text[:-13] + "\n\n") == (
        f"unit 1.s1p:6: 6 numbers in this row where 12 belong; {ROW}"
    )


def test_long_words_are_cut_and_the_message_stays_one_line():
    message = error_of(HEAD + "50 .5 .2\n51 .5 " + "x" * 5000 + "\n")
    assert message == f"unit 1.s1p:4: '{'x' * 23}…' is not a number; {NUMBERS}"


def test_the_line_is_counted_in_the_file_with_all_its_comments_and_line_ends():
    text = "! a\r\r\r\n# MHz S RI\r\n\r\n! b\n50 0 0\r51 0 bad\n"
    assert error_of(text).startswith("unit 1.s1p:8: 'bad' is not a number")


ALLOWED = "allowed are Hz kHz MHz GHz, S Y Z H G, DB MA RI and R with a number"
GIVE = "give the reference in ohm with a decimal point: R 50"


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("# MHz S RI R", "R without a number; give the reference in ohm: R 50"),
        ("# MHz R S RI", "R without a number; give the reference in ohm: R 50"),
        ("# MHz S RI R fifty", f"reference resistance 'fifty' is not a number; {GIVE}"),
        ("# MHz S RI R 50,0", f"reference resistance '50,0' is not a number; {GIVE}"),
        ("# MHz S RI R nan", f"reference resistance 'nan' is not a number; {GIVE}"),
        (
            "# MHz S RI R 0",
            "reference resistance 0 ohm is not positive; give the reference in ohm: R 50",
        ),
        (
            "# MHz S RI R -50",
            "reference resistance -50 ohm is not positive; give the reference in ohm: R 50",
        ),
        (
            "# MHz S RI R (50-2j)",
            (
                "complex reference impedance '(50-2j)'; give a real reference resistance: "
                "renormalise the file to 50 ohm and export it again"
            ),
        ),
        ("# MHz S RI R 50 R 75", "R is given twice; keep one of them"),
        ("# MHz S RI R 50 ohm", f"unknown word 'ohm' in the option line; {ALLOWED}"),
        ("# THz S RI R 50", f"unknown word 'thz' in the option line; {ALLOWED}"),
        ("# MHz S11 RI R 50", f"unknown word 's11' in the option line; {ALLOWED}"),
        (
            "# MHz S RI GHz",
            "the option line says both MHZ and GHZ; keep the one that is right for the numbers",
        ),
        (
            "# MHz S RI DB",
            "the option line says both RI and DB; keep the one that is right for the numbers",
        ),
        (
            "# MHz S Z RI",
            "the option line says both S and Z; keep the one that is right for the numbers",
        ),
    ],
)
def test_a_bad_option_line_is_named(line, wanted):
    assert error_of(f"! unit 1\n{line}\n{GOOD}") == f"unit 1.s1p:2: {wanted}"


def test_an_option_line_behind_the_numbers_is_no_option_line():
    assert error_of(GOOD + "# MHz S RI R 50\n") == (
        "unit 1.s1p:3: the option line comes after the first numbers; move it before the numbers"
    )


def test_a_reflection_that_does_not_exist_is_refused():
    no_reflection = (
        "this point has no reflection coefficient (value too large, or Z = -R); "
        "correct or remove the row"
    )
    assert error_of("# MHz Z RI R 50\n50 1 0\n51 -1 0\n") == f"unit 1.s1p:3: {no_reflection}"
    assert error_of("# MHz Y RI R 50\n50 1 0\n51 -1 0\n") == f"unit 1.s1p:3: {no_reflection}"
    assert error_of("# MHz S DB R 50\n50 1e6 0\n51 0 0\n") == f"unit 1.s1p:2: {no_reflection}"


@pytest.mark.parametrize(
    ("keyword", "wanted"),
    [
        ("[Version] 3.0", "unknown version '3.0'; versions 1.0, 1.1, 2.0 and 2.1 are read"),
        (
            "[Number of Ports] one",
            (
                "[Number of Ports] 'one' is not a positive whole number; "
                "write the count after the keyword"
            ),
        ),
        (
            "[Number of Frequencies] 0",
            (
                "[Number of Frequencies] '0' is not a positive whole number; "
                "write the count after the keyword"
            ),
        ),
        ("[Matrix Format] Half", "unknown matrix format 'Half'; Full, Lower and Upper are read"),
        ("[Reference]", "[Reference] without a number; give the reference in ohm for each port"),
        (
            "[Reference] 50 0",
            "reference resistance 0 ohm is not positive; give the reference in ohm: R 50",
        ),
        (
            "[Reference] 50 75\n[Number of Ports] 1",
            "[Reference] gives 2 values for 1 ports; give one value in ohm for each port",
        ),
    ],
)
def test_a_bad_keyword_is_named(keyword, wanted):
    version = "" if keyword.startswith("[Version]") else "[Version] 2.0\n"
    text = f"{version}! comment\n{keyword}\n# MHz S RI R 50\n[Network Data]\n{GOOD}[End]\n"
    assert error_of(text) == f"unit 1.s1p:{3 if version else 2}: {wanted}"


def test_keywords_given_twice_and_numbers_out_of_place_are_refused():
    text = f"[Version] 2.0\n# MHz S RI R 50\n[Network Data]\n{GOOD}"
    assert error_of(text + f"[Network Data]\n{GOOD}") == (
        "unit 1.s1p:6: [Network Data] is given twice; split the file: one sweep per file"
    )
    assert error_of(f"[Version] 2.0\n# MHz S RI R 50\n{GOOD}[Network Data]\n{GOOD}") == (
        "unit 1.s1p:3: numbers before [Network Data]; remove them or put ! in front of them"
    )


def test_version_2_keywords_without_version_are_ambiguous_for_impedances():
    text = f"! unit 1\n[Number of Ports] 1\n# MHz Z RI R 50\n[Network Data]\n{GOOD}[End]\n"
    assert error_of(text) == (
        "unit 1.s1p:2: keywords of version 2 without [Version]: values may be in ohm or "
        "normalised; write [Version] 2.0 as the first line, or remove the keywords"
    )


@pytest.mark.parametrize(
    "text", ["! only a comment\n", "# MHz S RI R 50\n", "BEGIN\nEND\n", "\n\n", "#\n"]
)
def test_files_without_numbers(text):
    assert error_of(text) == "unit 1.s1p: no rows of numbers in the file; export the sweep again"


def test_points_at_zero_hertz_alone_are_no_sweep():
    assert error_of("# MHz S RI R 50\n0 .5 .2\n") == (
        "unit 1.s1p: only 0 points above 0 Hz; "
        "a sweep needs at least 2 frequencies: measure more points"
    )
    assert error_of("# MHz S RI R 50\n0 .5 .2\n50 .5 .2\n").startswith(
        "unit 1.s1p: only 1 point above 0 Hz; "
    )


def test_a_transposed_dump_is_refused():
    text = (
        "# Hz S RI R 50\n4e7 4.1e7 4.2e7 4.3e7 4.4e7 4.5e7 4.6e7 4.7e7 4.8e7\n"
        + " ".join(["0.01"] * 9)
        + "\n"
        + " ".join(["-0.02"] * 9)
        + "\n"
    )
    assert error_of(text, "x.s2p") == (
        "x.s2p:2: the rows look transposed: this one contains all frequencies; "
        "write one line per frequency: transpose the rows and export again"
    )


TABLE = (
    "this looks like a table, not Touchstone; "
    "read it as a table, or export the sweep as Touchstone (.s1p)"
)


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("Frequency,SWR\n50,1.5\n51,1.4\n", 1),
        ('"Freq [GHz]","dB(S(1,1)) []"\n1.5,-4.3\n', 1),
        ("! unit 1\nMHz;SWR;R;X\n50,1;1,5;45,1;3,2\n", 2),
        ("unit\tband\tswr\nA1\t6 m\t1.5\n", 1),
        ("freq re im\n50 .1 .2\n", 1),
        ("50 1.5\n51 1.4\n", 1),
        ("BEGIN\n5.0e7,3.4e-1,1.1e-1\n5.1e7,3.2e-1,2.7e-1\nEND\n", 2),
        ("50.0, 0.1, 0.2\n51.0, 0.1, 0.2\n", 1),
        ("1.0 nan 0.2\n2.0 0.1 0.2\n", 1),
    ],
)
def test_a_table_is_called_a_table(text, line):
    assert error_of(text, "swr.csv") == f"swr.csv:{line}: {TABLE}"


def test_columns_named_behind_a_hash_are_no_option_line():
    assert error_of("# freq_Hz re im\n5e7 .1 .2\n5.1e7 .1 .2\n", "x.txt") == (
        "x.txt:1: no option line: '# freq_Hz re im' contains no unit, parameter or format; "
        "write an option line such as '# MHz S RI R 50'; in a table, name the columns"
    )


def test_a_hash_line_alone_is_no_option_line_in_version_2_either():
    text = "[Version] 2.0\n# made by a script\n[Network Data]\n50 .1 .2\n51 .1 .2\n[End]\n"
    assert error_of(text) == (
        "unit 1.s1p:2: this line has no unit, parameter or format, and no other option line "
        "follows; write an option line such as '# MHz S RI R 50'"
    )


@pytest.mark.parametrize(
    "text",
    ["Dear club,\nthe antenna is up.\n", "<html>\n", '{"a": [1, 2]}\n', "[[1, 2]]\n", "1.5\n1.6\n"],
)
def test_other_text_is_called_no_touchstone_file(text):
    message = error_of(text, "letter.txt")
    assert message.startswith(
        "letter.txt:1: not a sweep: neither Touchstone nor a table of numbers; it begins "
    )
    assert message.endswith("; open files that contain sweeps")


@pytest.mark.parametrize("head", ["# MHz S RI R 50\n", "[Version] 2.0\n# MHz S RI\n"])
def test_a_title_without_its_exclamation_mark_is_named(head):
    assert error_of(f"Ground plane, wet\n{head}{GOOD}") == (
        "unit 1.s1p:1: 'Ground plane, wet' is neither a row of numbers nor a comment; "
        "put ! in front of text, or remove the line"
    )


def test_a_second_block_is_not_silently_joined():
    text = f"BEGIN\n# MHz S RI R 50\n{GOOD}END\nBEGIN\n{GOOD}END\n"
    assert error_of(text) == (
        "unit 1.s1p:6: a second block begins; split the file: one sweep per file"
    )


def test_a_lone_format_word_must_not_contradict_the_option_line():
    assert error_of(f"BEGIN\n# MHz S RI R 50\nDB\n{GOOD}END\n") == (
        "unit 1.s1p:3: this line says DB, the option line in line 2 says RI; "
        "remove the one that is wrong"
    )
