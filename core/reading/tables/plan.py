"""Which column of a table holds what: a plan, and its text form for the command line.

Text form: ``frequency=1:MHz,swr=3``. Columns count from 1, several of one quantity are joined by
``+``, a unit follows a colon: ``frequency=1:Hz,magnitude+angle=2+3:deg,z0=75``.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from enum import StrEnum

from fairlead.core.errors import ValueTextError
from fairlead.core.reading.tables.vocabulary import UNITS_HZ, UNITS_W


class Kind(StrEnum):
    """What one or two columns say about the match; the value is the word of the text form."""

    REAL_IMAGINARY = "real+imaginary"
    MAGNITUDE_ANGLE = "magnitude+angle"
    DECIBEL_ANGLE = "db+angle"
    RESISTANCE_REACTANCE = "r+x"
    IMPEDANCE_ANGLE = "z+angle"
    SWR = "swr"
    RETURN_LOSS = "return-loss"
    DECIBEL = "db"
    MAGNITUDE = "magnitude"
    SHARE = "reflected"
    POWER = "forward+reflected"

    @property
    def columns(self) -> int:
        """How many columns it takes."""
        return self.value.count("+") + 1

    @property
    def has_phase(self) -> bool:
        """Whether impedance follows from it."""
        return self in _WITH_PHASE

    @property
    def units(self) -> tuple[str, ...]:
        """Units it can have, the usual one first; empty where there is only one way."""
        if self.value.endswith("+angle"):
            return ("deg", "rad")
        if self is Kind.SHARE:
            return ("%", "share")
        return (*UNITS_W, "dBm") if self is Kind.POWER else ()


_WITH_PHASE = (
    Kind.REAL_IMAGINARY,
    Kind.MAGNITUDE_ANGLE,
    Kind.DECIBEL_ANGLE,
    Kind.RESISTANCE_REACTANCE,
    Kind.IMPEDANCE_ANGLE,
)
_ALIASES = {
    "freq": "frequency",
    "f": "frequency",
    "vswr": "swr",
    "rl": "return-loss",
    "returnloss": "return-loss",
    "re+im": "real+imaginary",
    "mag+angle": "magnitude+angle",
    "mag": "magnitude",
    "fwd+refl": "forward+reflected",
}
_KINDS = {kind.value: kind for kind in Kind}
_EXAMPLE = 'write for example "frequency=1:MHz,swr=3"'
_ITEM = re.compile(r"([^=]+)=([^:=]*)(?::([^:=]*))?")
_COLUMNS = re.compile(r"[1-9][0-9]{0,3}(?:\s*\+\s*[1-9][0-9]{0,3})*")


@dataclass(frozen=True, slots=True)
class Quantity:
    """What is known about the match, and where it stands.

    Attributes
    ----------
    kind : Kind
    columns : tuple of int
        Indices from 0, as many as the kind takes.
    unit : str
        One of ``kind.units``; empty where the heading says it, else the usual one holds. Powers
        may have one unit each, joined by ``+``: "W+mW".

    Raises
    ------
    ValueTextError
        Where the number of columns or the unit does not suit the kind.
    """

    kind: Kind
    columns: tuple[int, ...]
    unit: str = ""

    def __post_init__(self) -> None:
        if len(self.columns) != self.kind.columns:
            wanted = "1 column" if self.kind.columns == 1 else f"{self.kind.columns} columns"
            example = "+".join(str(2 + i) for i in range(self.kind.columns))
            raise ValueTextError(
                f"{self.kind} takes {wanted}, not {len(self.columns)}",
                f"write for example {self.kind}={example}",
            )
        parts = self.unit.split("+") if self.kind is Kind.POWER else [self.unit]
        if self.unit and (len(parts) > 2 or not set(parts) <= set(self.kind.units)):
            allowed = " or ".join(self.kind.units) or "no unit"
            raise ValueTextError(
                f'"{self.unit}" is not a unit of {self.kind}', f"it takes {allowed}"
            )

    @property
    def text(self) -> str:
        """Text form: ``swr=3``."""
        columns = "+".join(str(column + 1) for column in self.columns)
        return f"{self.kind}={columns}{':' if self.unit else ''}{self.unit}"


@dataclass(frozen=True, slots=True)
class ColumnPlan:
    """Which column holds frequency, and which ones each sweep.

    Attributes
    ----------
    frequency : int
        Index of the column from 0.
    unit : str
        "Hz", "kHz", "MHz" or "GHz"; empty where the table itself says it.
    quantities : tuple of Quantity
        One a sweep, at least one.
    z0_ohm : float or None
        Reference impedance; None where the table says it, else 50.
    trace : int or None
        A column that names the sweep a row belongs to.

    Raises
    ------
    ValueTextError
        For a plan that uses a column twice, or none, or values that cannot be.
    """

    frequency: int
    unit: str
    quantities: tuple[Quantity, ...]
    z0_ohm: float | None = None
    trace: int | None = None

    def __post_init__(self) -> None:
        if not self.quantities:
            raise ValueTextError(
                "no column for SWR or reflection is given", "add for example swr=2 or return-loss=2"
            )
        if self.unit and self.unit not in UNITS_HZ:
            raise ValueTextError(
                f'"{self.unit}" is not a unit of frequency', "it takes Hz, kHz, MHz or GHz"
            )
        if self.z0_ohm is not None and not (math.isfinite(self.z0_ohm) and self.z0_ohm > 0):
            raise ValueTextError(
                f"z0={self.z0_ohm:g} is not a positive impedance", "write for example z0=50"
            )
        for quantity in self.quantities:
            if len(set(quantity.columns)) < len(quantity.columns):
                raise ValueTextError(f"{quantity.text} uses one column twice", _EXAMPLE)
            if not {self.frequency, self.trace}.isdisjoint(quantity.columns):
                raise ValueTextError(
                    f"{quantity.text}: that column is already used for something else", _EXAMPLE
                )
        if min(self.columns) < 0:
            raise ValueTextError("columns count from 1", _EXAMPLE)
        if self.trace == self.frequency:
            raise ValueTextError("frequency and trace cannot be one column", _EXAMPLE)

    @property
    def columns(self) -> tuple[int, ...]:
        """All columns it uses, ascending."""
        found = {self.frequency, *(c for quantity in self.quantities for c in quantity.columns)}
        return tuple(sorted(found if self.trace is None else found | {self.trace}))

    def text(self) -> str:
        """Text form, which `parse` reads back."""
        items = [f"frequency={self.frequency + 1}{':' if self.unit else ''}{self.unit}"]
        items += [quantity.text for quantity in self.quantities]
        if self.trace is not None:
            items.append(f"trace={self.trace + 1}")
        if self.z0_ohm is not None:
            items.append(f"z0={self.z0_ohm!r}".removesuffix(".0"))
        return ",".join(items)

    @classmethod
    def parse(cls, text: str) -> ColumnPlan:
        """Read the text form; blanks and case do not matter.

        Raises
        ------
        ValueTextError
            Where it cannot be understood.
        """
        given: dict[str, tuple[str, str]] = {}
        quantities = []
        for item in text.split(","):
            name, columns, unit = _item(item)
            if name in _KINDS:
                quantities.append(Quantity(_KINDS[name], _columns(columns, item), unit))
            elif given.setdefault(name, (columns, unit)) != (columns, unit):
                raise ValueTextError(f"{name} is given twice", "keep one of them")
        if "frequency" not in given:
            raise ValueTextError("no column for the frequency is given", _EXAMPLE)
        columns, unit = given["frequency"]
        trace = given.get("trace")
        z0 = given.get("z0")
        return cls(
            frequency=_column(columns, "frequency"),
            unit=unit,
            quantities=tuple(quantities),
            z0_ohm=None if z0 is None else _z0_ohm(z0[0]),
            trace=None if trace is None else _column(trace[0], "trace"),
        )


def _item(item: str) -> tuple[str, str, str]:
    """Name, columns and unit of one item of the text form."""
    match = _ITEM.fullmatch(item.strip())
    if match is None:
        raise ValueTextError(f'"{item.strip()}" is not a column', _EXAMPLE)
    name = re.sub(r"\s+", "", match[1].casefold()).replace("_", "-")
    name = _ALIASES.get(name, name)
    if name not in _KINDS and name not in ("frequency", "trace", "z0"):
        known = ", ".join(_KINDS)
        raise ValueTextError(
            f'"{match[1].strip()}" is not known', f"known are frequency, {known}, trace and z0"
        )
    return name, match[2].strip(), _unit(match[3] or "")


def _unit(text: str) -> str:
    """A unit in our spelling, where it is one in any case of letters."""
    units = (*UNITS_HZ, *UNITS_W, "dBm", "deg", "rad", "%", "share")
    spelling = {unit.casefold(): unit for unit in units}
    parts = [part.strip() for part in text.split("+")]
    return "+".join(spelling.get(part.casefold(), part) for part in parts)


def _columns(text: str, item: str) -> tuple[int, ...]:
    if _COLUMNS.fullmatch(text) is None:
        raise ValueTextError(
            f'"{item.strip()}": columns are whole numbers from 1, joined by +', _EXAMPLE
        )
    return tuple(int(part) - 1 for part in text.split("+"))


def _column(text: str, name: str) -> int:
    columns = _columns(text, f"{name}={text}")
    if len(columns) != 1:
        raise ValueTextError(f"{name} takes 1 column, not {len(columns)}", _EXAMPLE)
    return columns[0]


def _z0_ohm(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise ValueTextError(
            f"z0={text} is not a number of ohms", "write for example z0=50"
        ) from None
