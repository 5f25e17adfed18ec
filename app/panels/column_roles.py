"""What each column of a table can be, in the user's terms, and the plan that follows."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING

from fairlead.core.errors import ValueTextError
from fairlead.core.reading.tables.headings import Role as Said
from fairlead.core.reading.tables.headings import meaning_of
from fairlead.core.reading.tables.plan import ColumnPlan, Kind, Quantity

if TYPE_CHECKING:
    from collections.abc import Sequence


class Role(Enum):
    """What a column holds; the value is the text shown."""

    UNUSED = "not used"
    FREQUENCY = "Frequency"
    SWR = "SWR"
    RETURN_LOSS = "Return loss, dB"
    DECIBEL = "Reflection, dB"
    MAGNITUDE = "Reflection, |G|"
    ANGLE = "Angle"
    REAL = "Reflection, real part"
    IMAGINARY = "Reflection, imaginary part"
    RESISTANCE = "Resistance R, Ω"
    REACTANCE = "Reactance X, Ω"
    IMPEDANCE = "Impedance |Z|, Ω"
    SHARE = "Reflected share of the power"
    FORWARD = "Forward power"
    REFLECTED = "Reflected power"
    TRACE = "Name of the sweep"


_ALONE = {
    Role.SWR: Kind.SWR,
    Role.RETURN_LOSS: Kind.RETURN_LOSS,
    Role.DECIBEL: Kind.DECIBEL,
    Role.MAGNITUDE: Kind.MAGNITUDE,
    Role.SHARE: Kind.SHARE,
}
_PAIRS = {
    Kind.REAL_IMAGINARY: (Role.REAL, Role.IMAGINARY),
    Kind.RESISTANCE_REACTANCE: (Role.RESISTANCE, Role.REACTANCE),
    Kind.POWER: (Role.FORWARD, Role.REFLECTED),
}
_WITH_ANGLE = {
    Role.MAGNITUDE: Kind.MAGNITUDE_ANGLE,
    Role.DECIBEL: Kind.DECIBEL_ANGLE,
    Role.IMPEDANCE: Kind.IMPEDANCE_ANGLE,
}


# Reading's word for each; a heading like "S11" or "dB" leaves open what the numbers are.
_SAID = {
    Said.FREQUENCY: Role.FREQUENCY,
    Said.SWR: Role.SWR,
    Said.RETURN_LOSS: Role.RETURN_LOSS,
    Said.DECIBEL: Role.DECIBEL,
    Said.MAGNITUDE: Role.MAGNITUDE,
    Said.ANGLE: Role.ANGLE,
    Said.REAL: Role.REAL,
    Said.IMAGINARY: Role.IMAGINARY,
    Said.RESISTANCE: Role.RESISTANCE,
    Said.REACTANCE: Role.REACTANCE,
    Said.IMPEDANCE: Role.IMPEDANCE,
    Said.SHARE: Role.SHARE,
    Said.FORWARD: Role.FORWARD,
    Said.REFLECTED: Role.REFLECTED,
    Said.TRACE: Role.TRACE,
}


@dataclass(frozen=True, slots=True)
class Choices:
    """Everything that a user chooses for a table.

    Attributes
    ----------
    roles : tuple of Role
        One per column.
    frequency_unit, angle_unit, share_unit, power_unit : str
        Empty: as the table says, else the usual one.
    z0_ohm : float or None
        None: as the table says, else 50.
    """

    roles: tuple[Role, ...]
    frequency_unit: str = ""
    angle_unit: str = ""
    share_unit: str = ""
    power_unit: str = ""
    z0_ohm: float | None = None
    _units: dict[Kind, str] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        units = dict.fromkeys(_WITH_ANGLE.values(), self.angle_unit)
        units |= {Kind.SHARE: self.share_unit, Kind.POWER: self.power_unit}
        object.__setattr__(self, "_units", units)

    def plan(self) -> ColumnPlan:
        """The plan for the readers.

        Raises
        ------
        ValueTextError
            If something is missing, with what to do.
        """
        frequencies = self._columns(Role.FREQUENCY)
        if len(frequencies) != 1:
            raise ValueTextError(
                "two columns are marked as frequency"
                if frequencies
                else "no column is the frequency",
                "choose Frequency for one column",
            )
        traces = self._columns(Role.TRACE)
        if len(traces) > 1:
            raise ValueTextError("two columns name the sweep", "choose only one")
        quantities = sorted(self._quantities(), key=lambda quantity: quantity.columns)
        if not quantities:
            raise ValueTextError(
                "no column shows the match", "choose for example SWR or Return loss for one column"
            )
        return ColumnPlan(
            frequency=frequencies[0],
            unit=self.frequency_unit,
            quantities=tuple(quantities),
            z0_ohm=self.z0_ohm,
            trace=traces[0] if traces else None,
        )

    def _columns(self, role: Role) -> list[int]:
        return [column for column, own in enumerate(self.roles) if own is role]

    def _quantities(self) -> list[Quantity]:
        found = []
        for kind, (first, second) in _PAIRS.items():
            firsts, seconds = self._columns(first), self._columns(second)
            if len(firsts) != len(seconds):
                lacking = first if len(firsts) < len(seconds) else second
                other = second if lacking is first else first
                raise ValueTextError(
                    f"{other.value} needs a column with {lacking.value} as its partner",
                    "choose that as well",
                )
            found += [self._quantity(kind, pair) for pair in zip(firsts, seconds, strict=True)]
        partners = self._angles()
        found += [
            self._quantity(_WITH_ANGLE[self.roles[owner]], (owner, angle))
            for owner, angle in partners.items()
        ]
        for column, role in enumerate(self.roles):
            if column in partners:
                continue
            if role in _ALONE:
                found.append(self._quantity(_ALONE[role], (column,)))
            elif role is Role.IMPEDANCE:
                raise ValueTextError(
                    "|Z| alone gives no SWR", "choose Angle for the column of its phase"
                )
        return found

    def _quantity(self, kind: Kind, columns: tuple[int, ...]) -> Quantity:
        return Quantity(kind, columns, self._units.get(kind, ""))

    def _angles(self) -> dict[int, int]:
        """The column that each angle belongs to: the nearest free one, preferably before it."""
        partners: dict[int, int] = {}
        for angle in self._columns(Role.ANGLE):
            free = [
                column
                for column, role in enumerate(self.roles)
                if role in _WITH_ANGLE and column not in partners
            ]
            if not free:
                raise ValueTextError(
                    "an angle has no magnitude column",
                    "choose Reflection, |G|, Reflection, dB or |Z| for the column it belongs to",
                )
            partners[min(free, key=lambda c: (c > angle, abs(c - angle)))] = angle
        return partners


def choices_of(plan: ColumnPlan | None, columns: int) -> Choices:
    """The choices that lead to a plan, as far as these columns can express it.

    Parameters
    ----------
    plan : ColumnPlan or None
        None: nothing is chosen yet.
    columns : int
        Number of columns of the table.
    """
    roles = [Role.UNUSED] * columns
    if plan is None:
        return Choices(tuple(roles))
    _put(roles, (plan.frequency,), (Role.FREQUENCY,))
    if plan.trace is not None:
        _put(roles, (plan.trace,), (Role.TRACE,))
    units: dict[Kind, str] = {}
    for quantity in plan.quantities:
        _put(roles, quantity.columns, _roles_of(quantity.kind))
        units[quantity.kind] = quantity.unit
    angles = [units[kind] for kind in _WITH_ANGLE.values() if units.get(kind)]
    return Choices(
        tuple(roles),
        frequency_unit=plan.unit,
        angle_unit=angles[0] if angles else "",
        share_unit=units.get(Kind.SHARE, ""),
        power_unit=units.get(Kind.POWER, ""),
        z0_ohm=plan.z0_ohm,
    )


def choices_said(plan: ColumnPlan | None, headings: Sequence[str], columns: int) -> Choices:
    """What headings alone say of a plan that was guessed; the rest is left to the user.

    Parameters
    ----------
    plan : ColumnPlan or None
        The likeliest plan.
    headings : sequence of str
        One per column; may be empty texts.
    columns : int
        Number of columns of the table.
    """
    guessed = choices_of(plan, columns)
    meanings = [meaning_of(heading) for heading in headings[:columns]]
    said = [_SAID.get(meaning.role) for meaning in meanings]
    said += [None] * (columns - len(said))
    roles = [
        own if own is wanted else Role.UNUSED
        for own, wanted in zip(guessed.roles, said, strict=True)
    ]
    is_frequency = [role is Role.FREQUENCY for role in roles]
    unit = meanings[is_frequency.index(True)].unit if any(is_frequency) else ""
    # Units of the other columns stand in their headings: as in the table.
    return Choices(tuple(roles), frequency_unit=unit)


def _put(roles: list[Role], columns: Sequence[int], new: Sequence[Role]) -> None:
    for column, role in zip(columns, new, strict=True):
        if column < len(roles):
            roles[column] = role


def _roles_of(kind: Kind) -> tuple[Role, ...]:
    if kind in _PAIRS:
        return _PAIRS[kind]
    for role, with_angle in _WITH_ANGLE.items():
        if kind is with_angle:
            return role, Role.ANGLE
    return (next(role for role, alone in _ALONE.items() if alone is kind),)
