"""What the program remembers between two starts; a broken value counts as none."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, QSettings

from app.theme import CHOICES
from core.band_tables import REGIONS

if TYPE_CHECKING:
    from app.theme import Choice
    from core.band_tables import Region

ORGANISATION = "Fairlead"
APPLICATION = "Fairlead"


class Settings:
    """Typed access to the stored settings.

    Everything is stored as text (window geometry as base 64), because Qt turns what it cannot
    convert into zeros, or gives back another type than the one asked for.

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
        """Light, dark, or as the system says."""
        text = self._text("look/theme")
        return next((choice for choice in CHOICES if choice == text), "system")

    @theme.setter
    def theme(self, choice: Choice) -> None:
        self._store.setValue("look/theme", choice)

    def blob(self, name: str) -> QByteArray:
        """State of a window or splitter; empty if there is none."""
        return QByteArray.fromBase64(QByteArray(self._text(f"look/{name}").encode()))

    def set_blob(self, name: str, value: QByteArray) -> None:
        """Remember the state of a window or splitter."""
        self._store.setValue(f"look/{name}", bytes(value.toBase64().data()).decode())

    @property
    def shows_detail(self) -> bool:
        """Whether the area with the details of a sweep is open."""
        return self._text("look/detail") != "no"

    @shows_detail.setter
    def shows_detail(self, value: bool) -> None:
        self._store.setValue("look/detail", "yes" if value else "no")

    # Work

    @property
    def region(self) -> Region:
        """ITU Region of the band chooser."""
        text = self._text("work/region")
        return next((region for region in REGIONS if str(region) == text), 1)

    def set_region(self, region: Region) -> None:
        """Remember the ITU Region."""
        self._store.setValue("work/region", str(region))

    @property
    def folder(self) -> str:
        """Where the user opened or saved last; empty if unknown."""
        return self._text("work/folder")

    @folder.setter
    def folder(self, folder: str) -> None:
        self._store.setValue("work/folder", folder)

    def number(self, name: str, default: float, low: float, high: float) -> float:
        """A stored number, or the default if it is none or out of bounds."""
        try:
            value = float(self._text(f"work/{name}"))
        except ValueError:
            return default
        return value if math.isfinite(value) and low <= value <= high else default

    def set_number(self, name: str, value: float) -> None:
        """Remember a number."""
        self._store.setValue(f"work/{name}", repr(float(value)))

    def _text(self, key: str) -> str:
        value = self._store.value(key, "", type=str)
        return value if isinstance(value, str) else ""
