"""Chooses among the columns of a table those that say most about the match.

Instruments write the same thing several times (R, X, SWR, return loss): one of them is read,
those with a phase before those without, and where the others disagree the choice is asked.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

import numpy as np

from fairlead.core.errors import ReadError
from fairlead.core.notice import Notice
from fairlead.core.reading.tables import plausible
from fairlead.core.reading.tables.gather import gather, match_of, power_unit, unit_of
from fairlead.core.reading.tables.headings import Role
from fairlead.core.reading.tables.plan import Kind, Quantity
from fairlead.core.reading.tables.unclear import UnclearError, named
from fairlead.core.reflection import swr

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from fairlead.core.arrays import FloatArray
    from fairlead.core.reading.tables.blocks import Block
    from fairlead.core.reading.tables.headings import Meaning

# Median difference of |G| beyond which two columns do not say the same. Rounding an SWR to one
# decimal makes 0.024 at most.
_DISAGREE = 0.05

_PARTNERS = (
    (Role.REAL, Role.IMAGINARY, Kind.REAL_IMAGINARY),
    (Role.RESISTANCE, Role.REACTANCE, Kind.RESISTANCE_REACTANCE),
)
_IN_DECIBELS = (Role.DECIBEL, Role.RETURN_LOSS, Role.LEVEL)
_WITH_ANGLE = (Role.MAGNITUDE, Role.REFLECTION, *_IN_DECIBELS, Role.IMPEDANCE)
_SCALARS = (
    Role.MAGNITUDE,
    Role.SWR,
    Role.RETURN_LOSS,
    Role.DECIBEL,
    Role.REFLECTION,
    Role.SHARE,
    Role.FORWARD,
)
_KINDS = {
    Role.SWR: Kind.SWR,
    Role.RETURN_LOSS: Kind.RETURN_LOSS,
    Role.DECIBEL: Kind.DECIBEL,
    Role.SHARE: Kind.SHARE,
}
# Port, words that tell sweeps apart, and a count where headings are alike.
_Key = tuple[int, str, int]


def choose_quantities(
    block: Block,
    meanings: Sequence[Meaning],
    frequency: int,
    columns: Iterable[int],
    z0_ohm: float,
    *,
    is_guess: bool = False,
) -> tuple[list[Quantity], list[Notice]]:
    """One quantity for each sweep that the columns hold, in the order of the columns.

    Parameters
    ----------
    block : Block
    meanings : sequence of Meaning
        One a column of the block.
    frequency : int
        Column of the frequency.
    columns : iterable of int
        Columns to choose among.
    z0_ohm : float
        Reference impedance, to compare R and X with an SWR.
    is_guess : bool
        Take the likelier of two readings rather than refuse to choose: for people to confirm.

    Raises
    ------
    UnclearError
        Where columns disagree, lack a partner or could be several things.
    """
    choice = _Choice(block, meanings, frequency, columns, z0_ohm, is_guess=is_guess)
    choice.take_pairs()
    choice.take_angles()
    choice.take_pairs(is_unsigned=True)
    choice.take_angles(is_unsigned=True)
    choice.take_scalars()
    return choice.finish()


class _Choice:
    """State while choosing."""

    def __init__(
        self,
        block: Block,
        meanings: Sequence[Meaning],
        frequency: int,
        columns: Iterable[int],
        z0_ohm: float,
        *,
        is_guess: bool,
    ) -> None:
        self._is_guess = is_guess
        self._block = block
        self._meanings = meanings
        self._frequency = frequency
        self._z0_ohm = z0_ohm
        self._columns = [
            column
            for column in columns
            if (meanings[column].is_known or meanings[column].role is Role.LEVEL)
            and meanings[column].role is not Role.FREQUENCY
            and block.rows.column(column).has_numbers
        ]
        self._keys = _keys(self._columns, meanings)
        self._with_phase: dict[_Key, Quantity] = {}
        self._scalars: list[Quantity] = []
        self._used: set[int] = set()
        self._notices: list[Notice] = []

    def take_pairs(self, *, is_unsigned: bool = False) -> None:
        """Real and imaginary parts, resistance and reactance; or those without a sign."""
        for first_role, second_role, kind in _PARTNERS:
            seconds = self._signed(second_role, is_unsigned=is_unsigned)
            firsts = self._of(first_role)
            for first in firsts:
                same = [column for column in seconds if self._key(column) == self._key(first)]
                if not same and len(firsts) == len(seconds) == 1:
                    same = seconds
                if same and self._key(first) not in self._with_phase:
                    self._add(Quantity(kind, (first, same[0])))
                    seconds = [column for column in seconds if column != same[0]]

    def take_angles(self, *, is_unsigned: bool = False) -> None:
        """Magnitudes with the angle that belongs to them."""
        owners: dict[int, int] = {}
        for angle in self._signed(Role.ANGLE, is_unsigned=is_unsigned):
            owner = self._owner(angle, owners)
            # Of a reflection the magnitude says all that an angle without its sign can.
            is_use = not is_unsigned or self._meanings[owner or 0].role is Role.IMPEDANCE
            if owner is not None and is_use:
                owners[owner] = angle
        # The impedance last: its magnitude is the coarsest way to say it near a match.
        for owner in sorted(owners, key=lambda c: self._meanings[c].role is Role.IMPEDANCE):
            if self._key(owner) not in self._with_phase:
                self._add(self._with_angle(owner, owners[owner]))

    def take_scalars(self) -> None:
        """Columns without phase, where nothing better says the same."""
        keys = dict.fromkeys(map(self._key, self._columns))
        for key in keys:
            own = [column for column in self._columns if self._key(column) == key]
            for role in sorted(_SCALARS, key=lambda role: -self._count(own, role)):
                found = [column for column in own if self._meanings[column].role is role]
                quantities = [q for q in map(self._scalar, found) if q is not None]
                if not quantities:
                    continue
                if key in self._with_phase:
                    self._compare(self._with_phase[key], quantities[0])
                elif not self._is_repeated(quantities):
                    self._scalars += quantities
                break

    def finish(self) -> tuple[list[Quantity], list[Notice]]:
        """Everything found; an error where there is nothing."""
        found = [*self._with_phase.values(), *self._scalars]
        if not found:
            raise UnclearError(self._nothing_found())
        found.sort(key=lambda quantity: quantity.columns)
        return found, self._notices

    # -- helpers ---------------------------------------------------------------------------

    def _of(self, role: Role) -> list[int]:
        return [column for column in self._columns if self._meanings[column].role is role]

    def _signed(self, role: Role, *, is_unsigned: bool) -> list[int]:
        return [c for c in self._of(role) if self._meanings[c].is_unsigned is is_unsigned]

    def _key(self, column: int) -> _Key:
        return self._keys[column]

    def _count(self, columns: Sequence[int], role: Role) -> int:
        """How many numbers the columns of a role hold."""
        return sum(
            int(np.isfinite(self._values(column)).sum())
            for column in columns
            if self._meanings[column].role is role
        )

    def _values(self, column: int) -> FloatArray:
        return self._block.rows.column(column).values

    def _add(self, quantity: Quantity) -> None:
        self._with_phase[self._key(quantity.columns[0])] = quantity
        self._used.update(quantity.columns)

    def _owner(self, angle: int, taken: dict[int, int]) -> int | None:
        """The magnitude an angle belongs to: same words, then the nearest one before it."""
        free = [
            column
            for column in self._columns
            if self._meanings[column].role in _WITH_ANGLE and column not in taken
        ]
        if self._meanings[angle].is_of_impedance:
            free = [c for c in free if self._meanings[c].role is Role.IMPEDANCE] or free
        free = [c for c in free if self._key(c) == self._key(angle)] or free
        return min(free, key=lambda column: (column > angle, abs(column - angle)), default=None)

    def _with_angle(self, column: int, angle: int) -> Quantity:
        unit = unit_of(self._block, angle) or plausible.angle_unit(self._values(angle))
        if unit not in Kind.MAGNITUDE_ANGLE.units and self._is_guess:
            unit = "rad"  # nobody's degrees stay within a turn in radians
        if unit not in Kind.MAGNITUDE_ANGLE.units:
            raise UnclearError(f"{self._named(angle)}: degrees or radians is not stated")
        role = self._meanings[column].role
        if role is Role.IMPEDANCE:
            return Quantity(Kind.IMPEDANCE_ANGLE, (column, angle), unit)
        kind = Kind.MAGNITUDE_ANGLE
        if role in _IN_DECIBELS or self._level(column) is not Kind.MAGNITUDE:
            kind = Kind.DECIBEL_ANGLE
        return Quantity(kind, (column, angle), unit)

    def _scalar(self, column: int) -> Quantity | None:
        """Quantity of a column without phase; None where it is not enough by itself."""
        role = self._meanings[column].role
        if role is Role.FORWARD:
            reflected = [c for c in self._of(Role.REFLECTED) if self._key(c) == self._key(column)]
            if not reflected:
                return None
            columns = (column, reflected[0])
            return Quantity(Kind.POWER, columns, power_unit(self._block, columns))
        if role in (Role.MAGNITUDE, Role.REFLECTION):
            return Quantity(self._level(column), (column,))
        unit = ""
        if role is Role.SHARE:
            unit = "%" if unit_of(self._block, column) == "%" else "share"
        return Quantity(_KINDS[role], (column,), unit)

    def _level(self, column: int) -> Kind:
        """Whether numbers called magnitude or S11 are magnitudes or decibels."""
        is_named = self._meanings[column].role is Role.MAGNITUDE
        kind = plausible.magnitude_kind(self._values(column), is_named=is_named)
        if kind is None and self._is_guess:
            return Kind.RETURN_LOSS
        if kind is None:
            raise UnclearError(
                f"{self._named(column)}: neither clearly magnitudes from 0 to 1 nor decibels"
            )
        if kind is Kind.DECIBEL or not is_named:
            what = "decibels" if kind is Kind.DECIBEL else "magnitudes"
            text = f"{self._named(column)} is read as {what} because of its numbers"
            notice = Notice("quantity-assumed", text)
            if notice not in self._notices:
                self._notices.append(notice)
        return kind

    def _magnitude(self, quantity: Quantity) -> FloatArray | None:
        """|G| row by row, NaN where there is none; None where it cannot be computed."""
        gathered = gather(self._block, self._frequency, quantity)
        try:
            match = match_of(self._block, quantity, gathered, self._z0_ohm, "")
        except ReadError:
            return None
        magnitude = np.full(gathered.has_cells.size, np.nan)
        magnitude[gathered.rows] = np.abs(match.reflection)
        return magnitude

    def _agree(self, first: Quantity, second: Quantity) -> bool:
        """Whether two quantities say the same; True where that cannot be told."""
        one, other = self._magnitude(first), self._magnitude(second)
        if one is None or other is None:
            return True
        apart = plausible.finite(np.abs(one - other))
        return apart.size == 0 or float(np.median(apart)) <= _DISAGREE

    def _compare(self, chosen: Quantity, other: Quantity) -> None:
        """Refuse to choose between columns that contradict each other."""
        if self._is_guess or self._agree(chosen, other):
            return
        one, two = self._magnitude(chosen), self._magnitude(other)
        assert one is not None  # noqa: S101 - they were compared just now
        assert two is not None  # noqa: S101
        row = int(np.nanargmax(np.abs(one - two)))
        raise UnclearError(
            f"{self._named(*chosen.columns)} give an SWR of {_shown(one[row])} at {self._z0_ohm:g} "
            f"ohm in line {self._block.rows.lines[row]}, {self._named(*other.columns)} "
            f"one of {_shown(two[row])}"
        )

    def _is_repeated(self, quantities: Sequence[Quantity]) -> bool:
        """Whether columns under other words only repeat a sweep that has its phase."""
        return bool(self._with_phase) and all(
            any(self._agree(better, quantity) for better in self._with_phase.values())
            for quantity in quantities
        )

    def _nothing_found(self) -> str:
        if not self._columns:
            numeric = [
                column
                for column, meaning in enumerate(self._meanings)
                if meaning.role is Role.UNKNOWN and self._block.rows.column(column).is_numeric
            ]
            where = f"{self._named(*numeric)}: " if numeric else ""
            return f"{where}no heading speaks of SWR, return loss, reflection or impedance"
        roles = " and ".join(str(self._meanings[column].role) for column in self._columns[:3])
        return f"{self._named(*self._columns)}: {roles} alone gives no SWR"

    def _named(self, *columns: int) -> str:
        return named(self._block.headings, columns)


def _shown(magnitude: float) -> str:
    ratio = float(swr(magnitude))
    return "above infinity (|reflection| above 1)" if np.isnan(ratio) else f"{ratio:.3g}"


def _keys(columns: Sequence[int], meanings: Sequence[Meaning]) -> dict[int, _Key]:
    """What tells columns of one role apart: port, words, and the how-manieth of its kind it is."""
    seen: Counter[tuple[Role, int, str]] = Counter()
    keys: dict[int, _Key] = {}
    for column in sorted(columns):
        own = meanings[column]
        kind = (own.role, own.port, own.rest)
        keys[column] = (own.port, own.rest.casefold(), seen[kind])
        seen[kind] += 1
    return keys
