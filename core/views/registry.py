"""Every quantity that can be plotted over frequency. A new one is its file and a line here."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.core.errors import FairleadError
from fairlead.core.views.impedance_size import IMPEDANCE_SIZE
from fairlead.core.views.phase import PHASE
from fairlead.core.views.phase_change import PHASE_CHANGE
from fairlead.core.views.reactance import REACTANCE
from fairlead.core.views.reactance_change import REACTANCE_CHANGE
from fairlead.core.views.resistance import RESISTANCE
from fairlead.core.views.resistance_change import RESISTANCE_CHANGE
from fairlead.core.views.return_loss import RETURN_LOSS
from fairlead.core.views.return_loss_change import RETURN_LOSS_CHANGE
from fairlead.core.views.shape import SHAPE
from fairlead.core.views.swr import SWR
from fairlead.core.views.swr_change import SWR_CHANGE

if TYPE_CHECKING:
    from fairlead.core.views.quantity import Quantity

VIEWS: tuple[Quantity, ...] = (
    *(SWR, RETURN_LOSS, RESISTANCE, REACTANCE, PHASE, IMPEDANCE_SIZE),
    *(SWR_CHANGE, RETURN_LOSS_CHANGE, RESISTANCE_CHANGE, REACTANCE_CHANGE, PHASE_CHANGE),
    SHAPE,
)
POINT_VIEWS: tuple[Quantity, ...] = tuple(
    view for view in VIEWS if view.against is None and not view.is_scaled
)
"""The quantities of a single sweep, which need no reference."""


def view_named(name: str) -> Quantity:
    """The quantity with that id.

    Raises
    ------
    FairleadError
        If there is none.
    """
    for view in VIEWS:
        if view.id == name:
            return view
    raise FairleadError(
        f'there is no view called "{name}"', f"choose {', '.join(view.id for view in VIEWS)}"
    )
