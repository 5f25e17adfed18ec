"""What words and units above a column mean: general trade vocabulary in several languages."""

from __future__ import annotations

import pytest

from fairlead.core.reading.tables.headings import Meaning, Role, meaning_of
from fairlead.core.reading.tables.vocabulary import folded


@pytest.mark.parametrize(
    ("heading", "unit"),
    [
        ("Frequency", ""),
        ("frequency_hz", "Hz"),
        ("Frequency (MHz)", "MHz"),
        ("FREQUENCY[KHZ]", "kHz"),
        ("Freq [GHz]", "GHz"),
        ("freqMHz", "MHz"),
        ("f/MHz", "MHz"),
        ("f", ""),
        ("f1 (kHz)", "kHz"),
        ("MHz", "MHz"),
        ("Frequenz in MHz", "MHz"),
        ("Fréquence, MHz", "MHz"),
        ("FREQUENCE (Hz)", "Hz"),
        ("Frecuencia", ""),
        ("Frequenza", ""),
        ("Freqüência", ""),
        ("frekvens", ""),
        ("taajuus [MHz]", "MHz"),
        ("Częstotliwość", ""),
        ("частота, МГц", ""),
        ("周波数", ""),
    ],
)
def test_frequency(heading, unit):
    meaning = meaning_of(heading)
    assert (meaning.role, meaning.unit) == (Role.FREQUENCY, unit)


@pytest.mark.parametrize(
    ("heading", "role"),
    [
        ("SWR", Role.SWR),
        ("VSWR (50 ohm)", Role.SWR),
        ("Standing wave ratio", Role.SWR),
        ("Stehwellenverhältnis", Role.SWR),
        ("ROS", Role.SWR),
        ("R.O.E. roe", Role.SWR),
        ("КСВ", Role.SWR),
        ("RL", Role.RETURN_LOSS),
        ("RL (dB)", Role.RETURN_LOSS),
        ("ReturnLoss", Role.RETURN_LOSS),
        ("return_loss_db", Role.RETURN_LOSS),
        ("Rückflussdämpfung [dB]", Role.RETURN_LOSS),
        ("Perte de retour (dB)", Role.RETURN_LOSS),
        ("Pérdida de retorno", Role.RETURN_LOSS),
        ("dB(S(1,1)) []", Role.DECIBEL),
        ("S11 (dB)", Role.DECIBEL),
        ("S11_dB", Role.DECIBEL),
        ("Magnitude (dB)", Role.DECIBEL),
        ("LogMag", Role.DECIBEL),
        ("dB", Role.LEVEL),
        ("mag(S(Port1,Port1))", Role.MAGNITUDE),
        ("|S11|", Role.MAGNITUDE),
        ("|Γ|", Role.MAGNITUDE),
        ("ρ", Role.MAGNITUDE),
        ("Betrag S11", Role.MAGNITUDE),
        ("S11", Role.REFLECTION),
        ("Gamma", Role.REFLECTION),
        ("Reflection coefficient", Role.REFLECTION),
        ("re(S11)", Role.REAL),
        ("S11 Realteil", Role.REAL),
        ("im:S11", Role.IMAGINARY),
        ("S11 Imaginärteil", Role.IMAGINARY),
        ("ang_deg(S(1,1))", Role.ANGLE),
        ("Phase", Role.ANGLE),
        ("φ (°)", Role.ANGLE),
        ("deg", Role.ANGLE),
        ("Winkel / Grad", Role.ANGLE),
        ("R", Role.RESISTANCE),
        ("Rs (Ω)", Role.RESISTANCE),
        ("R_feed_ohm", Role.RESISTANCE),
        ("Widerstand", Role.RESISTANCE),
        ("Re(Z)", Role.RESISTANCE),
        ("Z(1,1) real", Role.RESISTANCE),
        ("RL (ohm)", Role.UNKNOWN),
        ("X", Role.REACTANCE),
        ("X wet", Role.REACTANCE),
        ("Zreal", Role.RESISTANCE),
        ("Zi (ohm)", Role.REACTANCE),
        ("x wet", Role.UNKNOWN),
        ("Xs", Role.REACTANCE),
        ("Im(Z11)", Role.REACTANCE),
        ("Reactance [ohm]", Role.REACTANCE),
        ("|Z|", Role.IMPEDANCE),
        ("Z (ohm)", Role.IMPEDANCE),
        ("Impedanz", Role.IMPEDANCE),
        ("Impedance phase", Role.ANGLE),
        ("Reflected power (%)", Role.SHARE),
        ("reflected share", Role.SHARE),
        ("Power reflection (%)", Role.SHARE),
        ("Reflected (W)", Role.REFLECTED),
        ("Rücklauf", Role.REFLECTED),
        ("Reflection power", Role.REFLECTED),
        ("Forward power", Role.FORWARD),
        ("fwd mW", Role.FORWARD),
        ("Antenna", Role.TRACE),
        ("condition", Role.TRACE),
        ("S21 (dB)", Role.TRANSMISSION),
        ("Y11 real", Role.OTHER),
        ("x_mm", Role.OTHER),
        ("Height (m)", Role.OTHER),
        ("Time (s)", Role.OTHER),
        ("Z0", Role.UNKNOWN),
        ("x y", Role.UNKNOWN),
        ("forward gain of array", Role.UNKNOWN),
        ("reflected sound level", Role.UNKNOWN),
        ("Loss (dB)", Role.UNKNOWN),
        ("ohm", Role.UNKNOWN),
        ("S11 (ohm)", Role.UNKNOWN),
        ("dry", Role.UNKNOWN),
        ("A", Role.UNKNOWN),
        ("", Role.UNKNOWN),
    ],
)
def test_role(heading, role):
    assert meaning_of(heading).role is role


@pytest.mark.parametrize(
    ("heading", "rest"),
    [
        ("SWR", ""),
        ("SWR wet", "wet"),
        ("Ground-plane SWR (iced)", "Ground plane iced"),
        ("swr_unit_3", "unit 3"),
        ("|Γ|", ""),
        ("dB(S(1,1)) []", ""),
        ("Return Loss (dB)", ""),
    ],
)
def test_words_that_tell_sweeps_apart_are_kept(heading, rest):
    assert meaning_of(heading).rest == rest


def test_ports_and_whose_angle_it_is():
    assert meaning_of("S22 (dB)").port == 2
    assert meaning_of("dB(S(3,3))").port == 3
    assert meaning_of("theta (deg)").is_of_impedance
    assert meaning_of("ang(Z11)").is_of_impedance
    assert not meaning_of("Phase (deg)").is_of_impedance
    assert meaning_of("Phase (deg)") == Meaning(Role.ANGLE, "deg")


def test_case_and_accents_do_not_matter():
    assert folded("FRÉQUENCE") == folded("frequence") == "frequence"
    assert meaning_of("RUECKFLUSSDAEMPFUNG").role is Role.RETURN_LOSS


def test_a_heading_of_any_length_is_read_in_time():
    assert meaning_of("S" * 1_000_000).role is Role.UNKNOWN
    assert meaning_of("(" * 1_000_000 + "1").role is Role.UNKNOWN
