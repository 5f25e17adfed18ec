"""Words that people and programs put above the columns of a sweep, in several languages.

Words are folded before they are looked up (`folded`): lower case, no accents. General trade
vocabulary; no table here stands for the layout of any one program.
"""

from __future__ import annotations

import unicodedata


def folded(word: str) -> str:
    """A word in lower case without accents: "Fréquence" and "FREQUENCE" are alike."""
    spread = unicodedata.normalize("NFKD", word.casefold())
    return "".join(letter for letter in spread if not unicodedata.combining(letter))


def _words(text: str) -> frozenset[str]:
    return frozenset(folded(word) for word in text.split())


FREQUENCY = _words(
    "f freq frequ freqs frequency frequencies frequenz frequenzen fréquence fréquences frecuencia "
    "frecuencias frequenza frequenze freqüência frequência frequências "
    "frekvens frekvence frekvencia frequentie taajuus częstotliwość kmitočet частота 周波数 频率"
)
SWR = _words(
    "swr vswr swrs stehwelle stehwellenverhältnis stehwellenverhaeltnis welligkeit "
    "welligkeitsfaktor swv ros roe tos rdos sgv staandegolfverhouding kcb ксв ксвн"
)
RETURN_LOSS = _words(
    "rückflussdämpfung rueckflussdaempfung reflexionsdämpfung anpassungsdämpfung "
    "anpassungsdaempfung returnloss retourverlies reflectieverlies retourdemping"
)
RETURN = _words("return retour retorno ritorno réflexion reflexión")
LOSS = _words("loss perte pertes pérdida pérdidas perda perdita perdite affaiblissement")
FORWARD = _words(
    "forward fwd incident vorlauf hinlaufend hinlaufende vorwärts directe directa diretta pf pfwd"
)
REFLECTED = _words(
    "reflected refl reverse rev rücklauf rücklaufend rücklaufende reflektiert reflektierte "
    "réfléchie reflejada refletida riflessa pr prefl prev pref"
)
POWER = _words("power leistung puissance potencia potência potenza teho moc мощность")
SHARE = _words("share part anteil percent percentage")
RESISTANCE = _words(
    "r rs rser rseries resistance resistanz widerstand wirkwiderstand résistance resistencia "
    "resistência resistenza resistiv resistive zr zre zreal"
)
REACTANCE = _words(
    "x xs xser xseries reactance reaktanz blindwiderstand réactance reactancia reatância reattanza "
    "reactive zi zim zimag"
)
IMPEDANCE = _words(
    "z impedance impedanz scheinwiderstand impédance impedancia impedância impedenza zmag absz"
)
ANGLE = _words(
    "phase angle ang arg argument theta phi θ φ winkel phasenwinkel fase ángulo ângulo angolo ph "
    "phaze phs"
)
THETA = _words("theta θ")
REAL = _words("re real realteil réel réelle reale реальная")
IMAGINARY = _words("im imag imaginary imaginär imaginärteil imaginaire imaginario imaginária img")
MAGNITUDE = _words("mag magnitude betrag module módulo modulo modul abs amplitude linmag mod rho ρ")
LOGARITHM = _words("log logmag")
REFLECTION = _words(
    "gamma γ reflection refco anpassung reflexionsfaktor reflexion coefficient koeffizient rc "
    "refcoef"
)
TRACE = _words(
    "trace sweep curve kurve courbe curva antenna antenne antena name label run series serie "
    "channel kanal unit condition zustand dataset device dut"
)
STANDING = _words(
    "standing stehende stationnaires stationnaire estacionaria estacionarias estacionária "
    "estacionárias stazionarie stazionaria staande"
)
WAVE = _words("wave waves welle wellen onde ondes onda ondas golf golven")
SIGN = _words("sign vorzeichen signe signo segno sinal teken")
UNSIGNED = _words("abs absolute unsigned betrag absolu absoluto assoluto absoluut")
# Say how, not what: nothing to name a sweep after.
NOISE = _words(
    "rl lin db ratio value values wert werte valeur valor measured data the of de von in at "
    "part series coefficient power leistung absolute format stehwellen rapport rapporto taux "
    "relación relação relacion verhouding d di do da"
)

UNITS = {
    **dict.fromkeys(("hz", "hertz"), "Hz"),
    **dict.fromkeys(("khz", "kilohertz"), "kHz"),
    **dict.fromkeys(("mhz", "megahertz"), "MHz"),
    **dict.fromkeys(("ghz", "gigahertz"), "GHz"),
    **dict.fromkeys(("db", "decibel", "decibels"), "dB"),
    "dbm": "dBm",
    **dict.fromkeys(
        ("deg", "degs", "degree", "degrees", "°", "grad", "grados", "gradi", "degre", "degres"),
        "deg",
    ),
    **dict.fromkeys(("rad", "radian", "radians", "radiant", "bogenmass"), "rad"),
    **dict.fromkeys(("ohm", "ohms", "ω"), "ohm"),
    **dict.fromkeys(("%", "percent", "prozent", "pct"), "%"),
    **dict.fromkeys(("w", "watt", "watts"), "W"),
    "mw": "mW",
    "kw": "kW",
}
"""Folded words that are units, and how we write them."""

FOREIGN_UNITS = _words(
    "mm cm m km in ft s sec ms us ns ps v mv uv a ma k c dbi dbd dbc pf nf uf nh uh mh sec bar hpa"
)
"""Units of things that are no part of a sweep."""

UNITS_HZ = {"Hz": 1.0, "kHz": 1e3, "MHz": 1e6, "GHz": 1e9}
UNITS_W = {"W": 1.0, "mW": 1e-3, "kW": 1e3}
