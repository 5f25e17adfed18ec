"""The settings stored between two runs; a damaged value counts as none."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, QLocale, QSettings

from fairlead.app.look.theme import CHOICES
from fairlead.core.band_tables import REGIONS
from fairlead.core.errors import FairleadError
from fairlead.core.feed_line import FeedLine
from fairlead.core.own_bands import as_text, parse_own_bands
from fairlead.core.report_page.paper import PAPERS, usual_paper

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.app.look.theme import Choice
    from fairlead.core.band_tables import Region
    from fairlead.core.bands import Band
    from fairlead.core.report_page.paper import Paper

ORGANISATION = "Fairlead"
APPLICATION = "Fairlead"
_MOST_RECENT = 10
_MOST_LINES = 50
PERCENTS = (80, 90, 100, 115, 130, 150, 175, 200)
"""Sizes of texts and curves that can be chosen."""


class Settings:
    """Typed access to the stored settings.

    Everything is stored as text (window geometry as base 64), because Qt turns what it cannot
    convert into zeros, or returns a type other than the requested one.

    Parameters
    ----------
    store : QSettings, optional
        The user's own by default; organisation and application must be set before.
    """

    def __init__(self, store: QSettings | None = None) -> None:
        self._store = QSettings() if store is None else store

    # Look

    @property
    def theme(self) -> Choice:
        """Light, dark, or following the system."""
        text = self._text("look/theme")
        return next((choice for choice in CHOICES if choice == text), "system")

    @theme.setter
    def theme(self, choice: Choice) -> None:
        self._store.setValue("look/theme", choice)

    @property
    def text_percent(self) -> int:
        """Size of texts, in percent of the theme's own."""
        return self._percent("look/text")

    @text_percent.setter
    def text_percent(self, percent: int) -> None:
        self._store.setValue("look/text", str(percent))

    @property
    def line_percent(self) -> int:
        """Width of curves, in percent of the theme's own."""
        return self._percent("look/lines")

    @line_percent.setter
    def line_percent(self, percent: int) -> None:
        self._store.setValue("look/lines", str(percent))

    @property
    def hidden_columns(self) -> frozenset[str]:
        """Ids of the table's columns that are not shown."""
        return frozenset(self._text("look/hidden-columns").split())

    @hidden_columns.setter
    def hidden_columns(self, ids: frozenset[str]) -> None:
        self._store.setValue("look/hidden-columns", " ".join(sorted(ids)))

    def blob(self, name: str) -> QByteArray:
        """State of a window or splitter; empty if there is none."""
        return QByteArray.fromBase64(QByteArray(self._text(f"look/{name}").encode()))

    def set_blob(self, name: str, value: QByteArray) -> None:
        """Store the state of a window or splitter."""
        self._store.setValue(f"look/{name}", bytes(value.toBase64().data()).decode())

    @property
    def shows_detail(self) -> bool:
        """Whether the area with the details of a sweep is open."""
        return self._text("look/detail") != "no"

    @shows_detail.setter
    def shows_detail(self, value: bool) -> None:
        self._store.setValue("look/detail", "yes" if value else "no")

    @property
    def shows_uncertainty(self) -> bool:
        """Whether plots and pictures show the uncertainty of the points."""
        return self._text("look/uncertainty") != "no"

    @shows_uncertainty.setter
    def shows_uncertainty(self, value: bool) -> None:
        self._store.setValue("look/uncertainty", "yes" if value else "no")

    @property
    def shows_markers(self) -> bool:
        """Whether the values at the markers stand beside the table."""
        return self._text("look/markers") != "no"

    @shows_markers.setter
    def shows_markers(self, value: bool) -> None:
        self._store.setValue("look/markers", "yes" if value else "no")

    @property
    def log_frequency(self) -> bool:
        """Whether the frequency axis is logarithmic."""
        return self._text("look/log-frequency") == "yes"

    @log_frequency.setter
    def log_frequency(self, value: bool) -> None:
        self._store.setValue("look/log-frequency", "yes" if value else "no")

    # Work

    @property
    def region(self) -> Region:
        """ITU Region of the band chooser."""
        text = self._text("work/region")
        return next((region for region in REGIONS if str(region) == text), 1)

    def set_region(self, region: Region) -> None:
        """Store the ITU Region."""
        self._store.setValue("work/region", str(region))

    @property
    def own_bands(self) -> tuple[Band, ...]:
        """Bands read from a file of the user's; none if what was kept cannot be read."""
        text = self._text("work/own-bands")
        try:
            return parse_own_bands(text) if text else ()
        except FairleadError:
            return ()

    @own_bands.setter
    def own_bands(self, bands: Sequence[Band]) -> None:
        self._store.setValue("work/own-bands", as_text(bands))

    @property
    def paper(self) -> Paper:
        """Size of printed pages: that chosen last, or that usual in the locale's territory."""
        text = self._text("work/paper")
        usual = usual_paper(QLocale.territoryToCode(QLocale().territory()))
        return next((paper for paper in PAPERS if paper == text), usual)

    @paper.setter
    def paper(self, paper: Paper) -> None:
        self._store.setValue("work/paper", paper)

    @property
    def folder(self) -> str:
        """Where the user opened or saved last; empty if unknown."""
        return self._text("work/folder")

    @folder.setter
    def folder(self, folder: str) -> None:
        self._store.setValue("work/folder", folder)

    @property
    def recent(self) -> list[str]:
        """Paths of benches opened or saved, the newest first."""
        try:
            found = json.loads(self._text("work/recent") or "[]")
        except (ValueError, RecursionError):
            return []
        if not isinstance(found, list):
            return []
        paths = [path for path in found if isinstance(path, str) and path and "\0" not in path]
        return list(dict.fromkeys(paths))[:_MOST_RECENT]

    @recent.setter
    def recent(self, paths: Sequence[str]) -> None:
        # As text with escapes: file names may contain undecodable bytes.
        self._store.setValue("work/recent", json.dumps(list(paths)[:_MOST_RECENT]))

    def add_recent(self, path: str) -> None:
        """Put a path before the others."""
        self.recent = [path, *(other for other in self.recent if other != path)]

    # Feed lines

    @property
    def own_lines(self) -> list[FeedLine]:
        """Saved lines, by name; damaged ones are left out."""
        try:
            found = json.loads(self._text("work/lines") or "[]")
        except (ValueError, RecursionError):
            return []
        lines = []
        for one in found if isinstance(found, list) else ():
            try:
                lines.append(FeedLine(**one))
            except (FairleadError, TypeError):
                continue
        return lines

    def keep_line(self, line: FeedLine) -> None:
        """Store a line in place of an earlier one with that name."""
        others = [one for one in self.own_lines if one.name != line.name]
        kept = [asdict(one) for one in (line, *others)][:_MOST_LINES]
        self._store.setValue("work/lines", json.dumps(kept))

    # Columns of tables

    @property
    def columns(self) -> dict[str, str]:
        """Columns chosen for tables, as text, by the tables' fingerprints."""
        self._store.beginGroup("columns")
        keys = self._store.childKeys()
        self._store.endGroup()
        return {key: self._text(f"columns/{key}") for key in keys}

    def set_columns(self, fingerprint: str, plan: str) -> None:
        """Store the columns for similar tables."""
        self._store.setValue(f"columns/{fingerprint}", plan)

    def forget_columns(self) -> None:
        """Ask again for every table whose columns cannot be identified."""
        self._store.remove("columns")

    def _percent(self, key: str) -> int:
        text = self._text(key)
        return next((percent for percent in PERCENTS if str(percent) == text), 100)

    def _text(self, key: str) -> str:
        value = self._store.value(key, "", type=str)
        return value if isinstance(value, str) else ""
