"""The View menu."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fairlead.app.shell.actions.spec import ActionSpec
from fairlead.core.views.registry import VIEWS

if TYPE_CHECKING:
    from collections.abc import Callable

    from fairlead.app.handlers import Handlers
    from fairlead.core.views.quantity import Quantity


def _showing(quantity: Quantity) -> Callable[[Handlers], None]:
    return lambda do: do.view.show(quantity)


def _kind(quantity: Quantity) -> tuple[bool, bool]:
    return quantity.against is not None, quantity.is_scaled


_PLOTS = tuple(
    ActionSpec(
        f"view-{view.id}",
        "&View/&Plot over frequency",
        view.menu,
        view.hint,
        _showing(view),
        keys=view.keys,
        group="view",
        starts_section=_kind(view) != _kind(before),
    )
    for before, view in zip((VIEWS[0], *VIEWS), VIEWS, strict=False)
)
VIEW: tuple[ActionSpec, ...] = (
    *_PLOTS,
    ActionSpec(
        "zoom-fit",
        "&View",
        "Zoom to &fit",
        "Show all sweeps in full in both plots",
        lambda do: do.view.zoom_to_fit(),
        keys=("Ctrl+0",),
        icon="zoom-fit",
        need="sweeps",
        starts_section=True,
    ),
    ActionSpec(
        "zoom-band",
        "&View",
        "Zoom to &band",
        "Show the band in both plots",
        lambda do: do.view.zoom_to_band(),
        keys=("Ctrl+B",),
        icon="band",
        need="sweeps",
    ),
    ActionSpec(
        "whole-chart",
        "&View",
        "Whole Smith &chart",
        "Show the Smith chart to its rim; Zoom to fit shows curves and limit",
        lambda do: do.view.show_whole_chart(),
        keys=("Ctrl+Shift+0",),
        need="sweeps",
    ),
    ActionSpec(
        "zoom-in",
        "&View",
        "Zoom &in",
        "Enlarge the plot under the mouse",
        lambda do: do.view.zoom_in(),
        keys=("Ctrl++", "Ctrl+="),
        icon="zoom-in",
        need="sweeps",
    ),
    ActionSpec(
        "zoom-out",
        "&View",
        "Zoom &out",
        "Show more in the plot under the mouse",
        lambda do: do.view.zoom_out(),
        keys=("Ctrl+-",),
        icon="zoom-out",
        need="sweeps",
    ),
    ActionSpec(
        "log-frequency",
        "&View",
        "Lo&g frequency axis",
        "Give each octave the same width in the plot over frequency",
        lambda do: do.view.toggle_log_frequency(),
        keys=("Ctrl+Shift+L",),
        is_checkable=True,
    ),
    ActionSpec(
        "see-at-feed",
        "&View",
        "All at the f&eed point",
        "Remove every feed line that is known",
        lambda do: do.feed_line.see_all_at("feed"),
        keys=("Ctrl+Shift+F",),
        need="sweeps",
        starts_section=True,
    ),
    ActionSpec(
        "see-at-radio",
        "&View",
        "All at the &radio",
        "Add every feed line that is known",
        lambda do: do.feed_line.see_all_at("radio"),
        keys=("Ctrl+Shift+R",),
        need="sweeps",
    ),
    ActionSpec(
        "uncertainty",
        "&View",
        "Show &uncertainty",
        "Shade, in plots and pictures, the range that the analyzer's stated accuracy allows",
        lambda do: do.view.toggle_uncertainty(),
        is_checkable=True,
        starts_section=True,
    ),
    ActionSpec(
        "detail",
        "&View",
        "Show &details",
        "Show file, points and notices of the selected sweep below the list",
        lambda do: do.view.toggle_detail(),
        keys=("Ctrl+D",),
        icon="info",
        is_checkable=True,
    ),
    ActionSpec(
        "marker-values",
        "&View",
        "Show &marker values",
        "Show what the sweeps read at the markers beside the table, once there are markers",
        lambda do: do.markers.toggle_table(),
        is_checkable=True,
    ),
    ActionSpec(
        "theme-system",
        "&View",
        "As the &system",
        "Light or dark, following the desktop",
        lambda do: do.view.choose_theme("system"),
        group="theme",
        starts_section=True,
    ),
    ActionSpec(
        "theme-light",
        "&View",
        "&Light",
        "Dark text on a light background",
        lambda do: do.view.choose_theme("light"),
        icon="theme-light",
        group="theme",
    ),
    ActionSpec(
        "theme-dark",
        "&View",
        "D&ark",
        "Light text on a dark background",
        lambda do: do.view.choose_theme("dark"),
        icon="theme-dark",
        group="theme",
    ),
    ActionSpec(
        "theme-outdoor",
        "&View",
        "Ou&tdoors",
        "Black on white with thick curves and large text, readable in the sun",
        lambda do: do.view.choose_theme("outdoor"),
        keys=("F8",),
        group="theme",
    ),
    ActionSpec(
        "text-larger",
        "&View/Te&xt and curves",
        "&Larger text",
        "Make all text in the window one step larger",
        lambda do: do.view.change_text_size(1),
        keys=("Ctrl+Alt++", "Ctrl+Alt+="),
        starts_section=True,
    ),
    ActionSpec(
        "text-smaller",
        "&View/Te&xt and curves",
        "&Smaller text",
        "Make all text in the window one step smaller",
        lambda do: do.view.change_text_size(-1),
        keys=("Ctrl+Alt+-",),
    ),
    ActionSpec(
        "text-usual",
        "&View/Te&xt and curves",
        "&Usual text size",
        "Show all text in the window at the desktop's size",
        lambda do: do.view.change_text_size(0),
        keys=("Ctrl+Alt+0",),
    ),
    ActionSpec(
        "curves-thicker",
        "&View/Te&xt and curves",
        "&Thicker curves",
        "Draw the curves of the window one step thicker",
        lambda do: do.view.change_line_width(1),
        starts_section=True,
    ),
    ActionSpec(
        "curves-thinner",
        "&View/Te&xt and curves",
        "Th&inner curves",
        "Draw the curves of the window one step thinner",
        lambda do: do.view.change_line_width(-1),
    ),
    ActionSpec(
        "curves-usual",
        "&View/Te&xt and curves",
        "Usual curve &width",
        "Draw the curves of the window in their usual width",
        lambda do: do.view.change_line_width(0),
    ),
)
