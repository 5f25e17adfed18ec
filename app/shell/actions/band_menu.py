"""The Band menu, with the published bands by Region."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.app.shell.actions.marker_menu import MARKERS
from fairlead.app.shell.actions.spec import ActionSpec
from fairlead.core.band_tables import NATIONAL_RULES, REGION_TEXT, REGIONS, allocations

if TYPE_CHECKING:
    from fairlead.core.band_tables import Allocation

BAND: tuple[ActionSpec, ...] = (
    ActionSpec(
        "type-edges",
        "&Band",
        "&Type the edges",
        "Type the lower edge, or both edges",
        lambda do: do.band.type_edges(),
        keys=("Ctrl+L",),
        icon="band",
    ),
    ActionSpec(
        "whole-span",
        "&Band",
        "&Whole span",
        "Use the span that all sweeps cover as the band",
        lambda do: do.band.use_whole_span(),
        keys=("Ctrl+Shift+B",),
        need="sweeps",
    ),
    ActionSpec(
        "own-bands",
        "&Band",
        "Own bands from a file ...",
        "Read bands of your own or a national plan: a name and two edges a line, as "
        "Club net = 50.1 - 50.3 MHz",
        lambda do: do.band.read_own(),
    ),
    *MARKERS,
    ActionSpec(
        "advice",
        "&Band",
        "&Advice ...",
        "What the match costs in power, one tuning for all sweeps, how much to cut, how to match",
        lambda do: do.advice.show(),
        keys=("Ctrl+Shift+A",),
        need="sweeps",
        starts_section=True,
    ),
    ActionSpec(
        "on-air-log",
        "&Band",
        "&On-air log ...",
        "Type signal reports of two antennas, and read what they show beside the power budget",
        lambda do: do.on_air.ask(),
    ),
    ActionSpec(
        "low-down",
        "&Band",
        "&Lower edge down",
        "Move the lower edge down by about 1/200 of the band; hold the key to repeat",
        lambda do: do.band.step_edge("low", -1),
        keys=("Alt+Left",),
        starts_section=True,
    ),
    ActionSpec(
        "low-up",
        "&Band",
        "Lower &edge up",
        "Move the lower edge up by about 1/200 of the band; hold the key to repeat",
        lambda do: do.band.step_edge("low", 1),
        keys=("Alt+Right",),
    ),
    ActionSpec(
        "high-down",
        "&Band",
        "&Upper edge down",
        "Move the upper edge down by about 1/200 of the band; hold the key to repeat",
        lambda do: do.band.step_edge("high", -1),
        keys=("Alt+Shift+Left",),
    ),
    ActionSpec(
        "high-up",
        "&Band",
        "U&pper edge up",
        "Move the upper edge up by about 1/200 of the band; hold the key to repeat",
        lambda do: do.band.step_edge("high", 1),
        keys=("Alt+Shift+Right",),
    ),
    ActionSpec(
        "limit-up",
        "&Band",
        "SWR limit up",
        "Raise the SWR limit by 0.1; hold the key to repeat",
        lambda do: do.band.step_limit(1),
        keys=("Alt+Shift+Up",),
        icon="limit",
        starts_section=True,
    ),
    ActionSpec(
        "limit-down",
        "&Band",
        "SWR limit down",
        "Lower the SWR limit by 0.1; hold the key to repeat",
        lambda do: do.band.step_limit(-1),
        keys=("Alt+Shift+Down",),
    ),
)


def _band_spec(row: Allocation) -> ActionSpec:
    edges = f"{row.low_hz / 1e6:g} – {row.high_hz / 1e6:g} MHz"
    note = f"{row.note}. " if row.note else ""
    band = row.band
    return ActionSpec(
        f"band-{row.region}-{row.name}",
        f"&Band/Region &{row.region}",
        f"{row.name}    {edges}",
        f"{REGION_TEXT[row.region]}. {note}{NATIONAL_RULES}",
        lambda do: do.band.choose(band),
    )


TABLES: tuple[ActionSpec, ...] = tuple(
    _band_spec(row) for region in REGIONS for row in allocations(region)
)
