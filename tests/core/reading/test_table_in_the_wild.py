"""Ways in which programs and people write tables; every file here is invented."""

from __future__ import annotations

import numpy as np
import pytest
from table_text import asked, codes, read, read_one, text_of

from fairlead.core.reflection import swr
from fairlead.core.sweep import ScalarSweep, Sweep

ROWS = "50000000,1.5\n51000000,1.2\n52000000,1.6\n"
IN_DB = "50000000,-12.5\n51000000,-14\n52000000,-11\n"


@pytest.mark.parametrize(
    "head",
    ["#\n", "#\n#\n", "# Version 1.00\n# Source: S11\n#\n", "# Version 2\n", "!\n#\n! club\n"],
)
def test_a_lone_hash_is_an_empty_comment_where_a_table_follows(head):
    reading = read_one(f"{head}Frequency (Hz),SWR\n{ROWS}")
    np.testing.assert_allclose(swr(reading.sweep.magnitude), [1.5, 1.2, 1.6])


def test_a_lone_hash_is_an_option_line_where_numbers_of_touchstone_follow():
    reading = read_one("#\n1 0.1 0.2\n2 0.1 0.2\n", name="a.s1p")
    assert codes(reading) == ["defaults-applied"]
    np.testing.assert_allclose(reading.sweep.frequency_hz, [1e9, 2e9])


@pytest.mark.parametrize(
    "line",
    ["! FREQ UNIT MHz", "# freq_unit=MHz", "Frequency units: MHz", 'f unit,"MHz"'],
)
def test_a_line_above_may_state_the_unit_of_frequency(line):
    reading = read_one(f"{line}\nFrequency,SWR\n7,1.5\n7.1,1.2\n")
    assert codes(reading) == []
    np.testing.assert_allclose(reading.sweep.frequency_hz, [7e6, 7.1e6])


def test_the_unit_in_the_heading_and_the_choice_of_the_user_come_first():
    text = "! FREQ UNIT MHz\nFrequency (kHz),SWR\n3500,1.5\n3600,1.2\n"
    np.testing.assert_allclose(read_one(text).sweep.frequency_hz, [3.5e6, 3.6e6])
    found = read_one(text, "frequency=1:Hz,swr=2")
    np.testing.assert_allclose(found.sweep.frequency_hz, [3500, 3600])


def test_two_units_above_are_none():
    text = "! FREQ UNIT MHz\n! FREQ UNIT kHz\nFrequency,SWR\n1,1.5\n2,1.2\n"
    assert "the unit of frequency is not stated" in asked(text).reason


def test_headings_behind_comment_marks_part_the_parameters():
    text = f"! FREQ UNIT Hz\n! DATA UNIT dB\n! DATA Freq,S11\n{IN_DB}! DATA Freq,S22\n{IN_DB}"
    first, second = read(text)
    assert [first.label, second.label] == ["roof S11", "roof S22"]
    assert codes(first) == ["quantity-assumed"]
    assert text_of(second, "other-port") == "S22 is what port 2 reflects, not port 1"


def test_s22_alone_says_so():
    (reading,) = read(f"Hz,S22 (dB)\n{IN_DB}")
    assert reading.label == "roof S22"
    assert codes(reading) == ["other-port"]


@pytest.mark.parametrize(
    "text",
    [
        "Frequency (Hz),Frequency (MHz),SWR\n50000000,50.0,1.5\n51000000,51.0,1.2\n",
        "Frequency (MHz),SWR,Frequency (Hz)\n50.0,1.5,50000000\n51.0,1.2,51000000\n",
        "Frequency (MHz),Freq,SWR\n50,50000000,1.5\n51,51000000,1.2\n",
        "f (MHz),Frequency (Hz),SWR\n50.01,50012345,1.5\n50.01,50013456,1.2\n",
    ],
)
def test_two_columns_of_frequency_that_agree_are_one(text):
    reading = read_one(text)
    assert set(codes(reading)) <= {"frequency-unit-assumed"}
    np.testing.assert_allclose(swr(reading.sweep.magnitude), [1.5, 1.2])
    assert (reading.sweep.frequency_hz > 49e6).all()


def test_the_more_exact_column_of_frequency_is_read():
    text = "f (MHz),Frequency (Hz),SWR\n50.01,50012345,1.5\n50.01,50013456,1.2\n"
    np.testing.assert_array_equal(read_one(text).sweep.frequency_hz, [50012345, 50013456])


def test_columns_of_frequency_with_sweeps_of_their_own_stay_apart():
    text = "MHz,SWR,MHz,SWR\n50,1.5,50,2.5\n51,1.2,51,2.2\n"
    assert [reading.sweep.magnitude.size for reading in read(text)] == [2, 2]


def test_columns_of_frequency_that_differ_are_asked_about():
    text = "Frequency (Hz),Frequency (MHz),SWR\n50000000,52.0,1.5\n51000000,51.0,1.2\n"
    assert "it is not clear which belongs to which column" in asked(text).reason


@pytest.mark.parametrize(
    "heading",
    ["dB(St(1,1)) []", "dB(S(1,1)) []", "dB(S11)", "db:Trc1_S11", "S11 [dB]", "dB(S(Port1,Port1))"],
)
def test_headings_of_s11_in_decibels(heading):
    reading = read_one(f'Hz;"{heading}"\n{IN_DB.replace(",", ";")}')
    assert codes(reading) == []
    np.testing.assert_allclose(20 * np.log10(reading.sweep.magnitude), [-12.5, -14, -11])


@pytest.mark.parametrize(
    "heading",
    [
        "VSWR [U]",
        "VSWR(1) []",
        "Stehwellenverhältnis",
        "Welligkeit",
        "Rapport d'ondes stationnaires",
        "Taux d'onde stationnaire",
        "Relación de ondas estacionarias",
        "Relação de onda estacionária",
        "Rapporto d'onda stazionaria",
        "Staandegolfverhouding",
        "staande golf verhouding",
    ],
)
def test_headings_of_swr(heading):
    reading = read_one(f"Hz;{heading}\n{ROWS.replace(',', ';')}")
    assert codes(reading) == []
    assert reading.label == "roof"
    np.testing.assert_allclose(swr(reading.sweep.magnitude), [1.5, 1.2, 1.6])


@pytest.mark.parametrize(
    "heading",
    [
        "Anpassungsdämpfung (dB)",
        "Rückflussdämpfung in dB",
        "Pertes de retour (dB)",
        "Pérdida de retorno (dB)",
        "Perda de retorno (dB)",
        "Perdita di ritorno (dB)",
        "Retourverlies (dB)",
    ],
)
def test_headings_of_return_loss(heading):
    reading = read_one(f"Hz;{heading}\n{IN_DB.replace(',', ';').replace('-', '')}")
    assert codes(reading) == []
    np.testing.assert_allclose(-20 * np.log10(reading.sweep.magnitude), [12.5, 14, 11])


@pytest.mark.parametrize(
    "heading",
    ["Frequenz", "Fréquence", "Frecuencia", "Frequenza", "Frequência", "Frequentie", "Frequências"],
)
def test_headings_of_frequency(heading):
    assert read_one(f"{heading} (Hz);SWR\n{ROWS.replace(',', ';')}").sweep.frequency_hz[0] == 50e6


def test_rows_quoted_as_a_whole():
    rows = "".join(f'"{50 + i}000000,""1.2"""\n' for i in range(4))
    text = f'"Frequency (Hz),SWR"\n{rows}\nthe end, so far\n'
    np.testing.assert_allclose(swr(read_one(text).sweep.magnitude), [1.2] * 4)


def test_quotes_around_some_lines_stay():
    text = f'"The club\'s dipole, on the roof"\nFrequency (Hz),SWR\n{ROWS}'
    np.testing.assert_allclose(swr(read_one(text).sweep.magnitude), [1.5, 1.2, 1.6])


def test_cells_quoted_each():
    text = '"Frequency (Hz)";"SWR"\n"50000000";"1,5"\n"51000000";"1,2"\n'
    np.testing.assert_allclose(swr(read_one(text).sweep.magnitude), [1.5, 1.2])


# |G| of R and X is that of R and -X: what is known is the magnitude, and no sign is made up.
# At 50 ohm, Z = 50 + 50j has |G|^2 = 0.2 (Pozar, Microwave Engineering, eq. 2.35: G = (Z - Z0) /
# (Z + Z0)).
@pytest.mark.parametrize(
    ("heads", "row"),
    [
        ("R,|X|", "50,50"),
        ("R,abs(X)", "50,50"),
        # A one may be the bit for "negative", and a mark may be one of the maker's own.
        ("R,X,Sign", "50,50,1"),
        ("R,X,Sign", "50,50,?"),
        ("|Z|,|Theta| (deg)", "70.710678,45"),
        ("|Z|,abs phase of Z (deg)", "70.710678,45"),
    ],
)
def test_a_reactance_that_is_called_unsigned_has_no_phase(heads, row):
    reading = read_one(f"Hz,{heads}\n50000000,{row}\n51000000,{row}\n")
    assert isinstance(reading.sweep, ScalarSweep)
    np.testing.assert_allclose(reading.sweep.magnitude**2, 0.2, rtol=1e-6)
    assert "reactance is given without its sign" in text_of(reading, "sign-missing")


@pytest.mark.parametrize(
    ("heads", "rows", "signs"),
    [
        ("R,X,Sign", ("50,50,+", "50,50,-"), (1, -1)),
        ("R,|X|,Sign", ("50,50,1", "50,50,-1"), (1, -1)),
        ("R,X,Vorzeichen", ("50,50,−1", "50,50,-1"), (-1, -1)),
        ("R,X,Sign", ("50,50,inductive", "50,50,Capacitive"), (1, -1)),
        ("|Z|,|Theta| (deg),Sign", ("70.710678,45,+", "70.710678,45,-"), (1, -1)),
    ],
)
def test_signs_in_a_column_of_their_own_are_put_to_the_reactance(heads, rows, signs):
    """By the same equation: 50 + 50j and 50 - 50j give 0.2 + 0.4j and 0.2 - 0.4j."""
    reading = read_one(f"Hz,{heads}\n50000000,{rows[0]}\n51000000,{rows[1]}\n")
    np.testing.assert_allclose(
        reading.sweep.reflection, [0.2 + sign * 0.4j for sign in signs], atol=1e-7
    )
    assert codes(reading) == []


def test_a_reactance_with_signs_is_taken_at_its_word():
    for heads in ("R,X,Sign", "R,|X|"):
        end = ",-" if "Sign" in heads else ""
        reading = read_one(f"Hz,{heads}\n50000000,50,-50{end}\n51000000,50,50{end}\n")
        assert isinstance(reading.sweep, Sweep)
        assert codes(reading) == []


def test_signed_columns_are_preferred_to_unsigned_ones():
    text = "Hz,R,|X|,S11 re,S11 im\n50000000,50,50,0.2,0.4\n51000000,50,50,0.2,-0.4\n"
    np.testing.assert_allclose(read_one(text).sweep.reflection, [0.2 + 0.4j, 0.2 - 0.4j])


def test_an_unsigned_angle_of_a_reflection_leaves_its_magnitude():
    text = "Hz,S11 (dB),|phase| (deg)\n50000000,-20,10\n51000000,-14,20\n"
    reading = read_one(text)
    assert isinstance(reading.sweep, ScalarSweep)
    np.testing.assert_allclose(20 * np.log10(reading.sweep.magnitude), [-20, -14])


@pytest.mark.parametrize(
    ("limit", "separator"),
    [(">10", ","), ("> 10", ","), ("≥ 10", ","), (">=10:1", ","), ("> 10,0", ";"), ("> 10", "  ")],
)
def test_a_limit_in_the_place_of_an_swr_is_a_lower_bound(limit, separator):
    rows = f"Hz,SWR\n49000000,@\n{ROWS}53000000,@\n".replace(",", separator)
    if separator == ";":
        rows = rows.replace(".", ",")
    reading = read_one(rows.replace("@", limit))
    assert reading.sweep.is_bound.tolist() == [True, False, False, False, True]
    # |G| = (SWR - 1) / (SWR + 1), a definition.
    assert reading.sweep.magnitude[[0, -1]] == pytest.approx([9 / 11, 9 / 11])


def test_a_limit_in_the_place_of_another_value_is_said():
    reading = read_one(f"Hz,SWR\n49000000,< 1.1\n{ROWS}")
    assert reading.sweep.is_bound is None
    assert text_of(reading, "points-left-out") == (
        "1 of 4 rows left out, in line 2: no value in column 2 'SWR', only a limit (\"< 1.1\")"
    )
