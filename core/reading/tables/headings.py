"""What the words and units above a column mean."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

from fairlead.core.reading.tables import vocabulary
from fairlead.core.reading.tables.vocabulary import FOREIGN_UNITS, UNITS, UNITS_HZ, UNITS_W, folded


class Role(StrEnum):
    """What a column holds."""

    FREQUENCY = "frequency"
    SWR = "SWR"
    RETURN_LOSS = "return loss"
    DECIBEL = "reflection in dB"
    LEVEL = "level in dB"
    MAGNITUDE = "magnitude of the reflection"
    REFLECTION = "reflection"
    REAL = "real part"
    IMAGINARY = "imaginary part"
    ANGLE = "angle"
    RESISTANCE = "resistance"
    REACTANCE = "reactance"
    IMPEDANCE = "magnitude of the impedance"
    SHARE = "reflected share of the power"
    FORWARD = "forward power"
    REFLECTED = "reflected power"
    TRACE = "name of the sweep"
    TRANSMISSION = "transmission"
    OTHER = "something else"
    UNKNOWN = "unknown"


_NO_PART = (Role.UNKNOWN, Role.OTHER, Role.TRACE, Role.TRANSMISSION, Role.LEVEL)


@dataclass(frozen=True, slots=True)
class Meaning:
    """What one heading says.

    Attributes
    ----------
    role : Role
    unit : str
        "Hz" to "GHz", "dB", "deg", "rad", "ohm", "%", "W", "mW", "kW", "dBm", or empty.
    port : int
        2 for S22; 1 where none is given.
    is_of_impedance : bool
        An angle that is that of the impedance, not of the reflection.
    rest : str
        Words that say which sweep it is: "wet", "unit 3"; may be empty.
    is_mixed : bool
        Words of several quantities are in it, as where a line was cut in the wrong place.
    is_unsigned : bool
        A reactance or an angle without its sign: "|X|", "abs(theta)".
    """

    role: Role
    unit: str = ""
    port: int = 1
    is_of_impedance: bool = False
    rest: str = ""
    is_mixed: bool = False
    is_unsigned: bool = False

    @property
    def is_known(self) -> bool:
        """Whether the heading leaves no doubt that the column belongs to a sweep."""
        return self.role not in _NO_PART


_LONGEST = 120
_PARAMETER = re.compile(
    r"(?<![A-Za-z])([SZY])(?:t(?=\())?[\s_]*[(\[{<]?\s*(?:port)?\s*([1-9])\s*"
    r"(?:[,:;._ ]\s*)?(?:port)?\s*"
    r"([1-9])(?![0-9])\s*[)\]}>]?",
    re.IGNORECASE,
)
# Letters, digits apart from them, and the few signs that carry a meaning.
_TOKEN = re.compile(r"[^\W\d_]+|\d+|[|%°]")
_BETWEEN_BARS = re.compile(r"\|([^|]{1,40})\|")
_SIGNED = (Role.REACTANCE, Role.ANGLE)
_CAMEL = re.compile(r"(?<=[a-zäöü])(?=[A-Z])")
_RESISTANCES = vocabulary.RESISTANCE | vocabulary.REAL
_REACTANCES = vocabulary.REACTANCE | vocabulary.IMAGINARY
_SPOKEN_FREQUENCY = ("freq", "frequ", "frek", "frecu")
_QUANTITIES = (
    vocabulary.FREQUENCY,
    vocabulary.SWR,
    vocabulary.ANGLE,
    vocabulary.REAL,
    vocabulary.IMAGINARY,
    vocabulary.RESISTANCE,
    vocabulary.REACTANCE,
    vocabulary.FORWARD,
    vocabulary.REFLECTED,
    vocabulary.LOSS,
)
_CONSUMED = (
    vocabulary.FREQUENCY
    | vocabulary.SWR
    | vocabulary.RETURN_LOSS
    | vocabulary.RETURN
    | vocabulary.LOSS
    | vocabulary.FORWARD
    | vocabulary.REFLECTED
    | vocabulary.POWER
    | vocabulary.SHARE
    | vocabulary.RESISTANCE
    | vocabulary.REACTANCE
    | vocabulary.IMPEDANCE
    | vocabulary.ANGLE
    | vocabulary.REAL
    | vocabulary.IMAGINARY
    | vocabulary.MAGNITUDE
    | vocabulary.LOGARITHM
    | vocabulary.REFLECTION
    | vocabulary.STANDING
    | vocabulary.WAVE
    | vocabulary.SIGN
    | vocabulary.UNSIGNED
    | vocabulary.NOISE
    | frozenset(UNITS)
)


@dataclass(frozen=True, slots=True)
class _Heading:
    """A heading taken apart."""

    words: frozenset[str]
    unit: str
    parameter: str
    row: int
    column: int
    rest: str
    capitals: frozenset[str]

    def has(self, vocabulary_words: frozenset[str]) -> bool:
        return not self.words.isdisjoint(vocabulary_words)

    @property
    def is_bare(self) -> bool:
        """Whether nothing but one word and perhaps a unit is there."""
        return len(self.words - UNITS.keys()) == 1


@lru_cache(maxsize=4096)
def meaning_of(heading: str) -> Meaning:
    """Meaning of a heading such as "Freq (MHz)", "dB(S(1,1)) []" or "SWR wet".

    Parameters
    ----------
    heading : str
        Words in any case; units behind a blank, an underscore, a slash or in brackets.
    """
    found = _take_apart(heading)
    role = _role_of(found)
    # The angle of S11 and of an impedance are two things; theta is mostly the latter's name.
    is_of_impedance = role is Role.ANGLE and (
        found.parameter == "z" or found.has(vocabulary.IMPEDANCE) or found.has(vocabulary.THETA)
    )
    is_mixed = sum(map(found.has, _QUANTITIES)) + (
        found.parameter != "" and found.has(vocabulary.FREQUENCY)
    )
    is_unsigned = role in _SIGNED and (
        found.has(vocabulary.UNSIGNED)
        or any(_role_of(_take_apart(part)) is role for part in _BETWEEN_BARS.findall(heading))
    )
    return Meaning(
        role, found.unit, found.row, is_of_impedance, found.rest, is_mixed > 1, is_unsigned
    )


def is_sign(heading: str) -> bool:
    """Whether a column holds nothing but the sign of another one."""
    return _role_of(found := _take_apart(heading)) in _NO_PART and found.has(vocabulary.SIGN)


# A table of many columns asks for the same headings again and again.
@lru_cache(maxsize=4096)
def _take_apart(heading: str) -> _Heading:
    text = unicodedata.normalize("NFKC", heading[:_LONGEST].replace("°", " ° "))
    parameter, row, column = "", 1, 1
    match = _PARAMETER.search(text)
    if match is not None:
        parameter, row, column = match[1].lower(), int(match[2]), int(match[3])
        text = f"{text[: match.start()]} {text[match.end() :]}"
    tokens = _tokens(text)
    words = [folded(token) for token in tokens]
    units = [UNITS[word] for word in words if word in UNITS]
    rest = [token for token, word in zip(tokens, words, strict=True) if word not in _CONSUMED]
    return _Heading(
        frozenset(words),
        units[-1] if units else "",
        parameter,
        row,
        column,
        " ".join(rest).replace("|", "").strip(),
        frozenset(token for token in tokens if len(token) == 1 and token.isupper()),
    )


def _tokens(text: str) -> list[str]:
    """Words, numbers and signs; "ReturnLoss" is two words, "dB" and "MHz" are one."""
    tokens: list[str] = []
    for token in _TOKEN.findall(text):
        if folded(token) in _CONSUMED or folded(token) in FOREIGN_UNITS:
            tokens.append(token)
        else:
            tokens += _CAMEL.split(token)
    return tokens


def _role_of(heading: _Heading) -> Role:
    if heading.row != heading.column:
        return Role.TRANSMISSION
    if heading.parameter == "y":
        return Role.OTHER
    for rule in _RULES:
        role = rule(heading)
        if role is not None:
            return role
    if heading.has(vocabulary.TRACE):
        return Role.TRACE
    # A lone "A" or "m" may be the name of an antenna; "height m" is no part of a sweep.
    is_foreign = heading.has(FOREIGN_UNITS) and len(heading.words) > 1
    return Role.OTHER if is_foreign else Role.UNKNOWN


def _match_role(heading: _Heading) -> Role | None:
    """SWR and return loss."""
    is_ratio = heading.has(vocabulary.STANDING) and heading.has(vocabulary.WAVE)
    if heading.has(vocabulary.SWR) or is_ratio:
        return Role.SWR
    if heading.has(vocabulary.RETURN_LOSS):
        return Role.RETURN_LOSS
    if heading.has(vocabulary.RETURN) and heading.has(vocabulary.LOSS):
        return Role.RETURN_LOSS
    if "rl" in heading.words and heading.unit in ("", "dB"):
        return Role.RETURN_LOSS
    return None


def _frequency_role(heading: _Heading) -> Role | None:
    words = heading.words - {"f"} if not heading.is_bare and not heading.unit else heading.words
    if heading.unit and heading.unit not in UNITS_HZ:
        return None
    spoken = any(word.startswith(_SPOKEN_FREQUENCY) for word in words)
    if spoken or not words.isdisjoint(vocabulary.FREQUENCY) or heading.unit:
        return Role.FREQUENCY
    return None


def _power_role(heading: _Heading) -> Role | None:
    is_power = heading.unit in UNITS_W or heading.unit == "dBm" or heading.has(vocabulary.POWER)
    if heading.has(vocabulary.REFLECTED) or (is_power and heading.has(vocabulary.REFLECTION)):
        if heading.unit == "%" or heading.has(vocabulary.SHARE):
            return Role.SHARE
        if is_power or heading.is_bare:
            return Role.REFLECTED
    if heading.has(vocabulary.FORWARD) and (is_power or heading.is_bare):
        return Role.FORWARD
    return None


def _impedance_role(heading: _Heading) -> Role | None:
    """R, X and |Z|; single letters count only where nothing speaks against them."""
    is_z = heading.parameter == "z" or heading.has(vocabulary.IMPEDANCE)
    if heading.unit not in ("", "ohm", "deg", "rad") or "0" in heading.words:
        return None
    if is_z and heading.has(vocabulary.ANGLE):
        return Role.ANGLE
    if heading.unit in ("deg", "rad") or heading.parameter == "s":
        return None
    is_sure = is_z or heading.unit == "ohm"
    if heading.has(_RESISTANCES if is_sure else vocabulary.RESISTANCE) and _is_alone(heading, "r"):
        return Role.RESISTANCE
    if heading.has(_REACTANCES if is_sure else vocabulary.REACTANCE) and _is_alone(heading, "x"):
        return Role.REACTANCE
    return Role.IMPEDANCE if is_z and _is_alone(heading, "z") else None


def _is_alone(heading: _Heading, letter: str) -> bool:
    """Whether a letter stands for a quantity: "x" and "X wet" do, "x mm" and "x wet" do not."""
    if heading.unit == "ohm":
        return True
    if heading.has(FOREIGN_UNITS):
        return False
    is_plain = letter not in heading.words or letter.upper() in heading.capitals
    return is_plain or len(heading.words - {"|"}) == 1


def _part_role(heading: _Heading) -> Role | None:
    """Parts of the reflection coefficient."""
    if heading.has(vocabulary.ANGLE) or heading.unit in ("deg", "rad"):
        return Role.ANGLE
    if heading.has(vocabulary.REAL):
        return Role.REAL
    return Role.IMAGINARY if heading.has(vocabulary.IMAGINARY) else None


def _size_role(heading: _Heading) -> Role | None:
    """How large the reflection coefficient is, in whatever way."""
    is_reflection = heading.parameter == "s" or heading.has(vocabulary.REFLECTION)
    is_magnitude = heading.has(vocabulary.MAGNITUDE) or heading.has(vocabulary.LOGARITHM)
    if heading.unit == "dB" or heading.has(vocabulary.LOGARITHM):
        if is_reflection or is_magnitude:
            return Role.DECIBEL
        return Role.LEVEL if heading.words == {"db"} else None
    if heading.unit:
        return None
    if heading.has(vocabulary.MAGNITUDE) or ("|" in heading.words and is_reflection):
        return Role.MAGNITUDE
    return Role.REFLECTION if is_reflection else None


_RULES = (
    _match_role,
    _frequency_role,
    _power_role,
    _impedance_role,
    _part_role,
    _size_role,
)
