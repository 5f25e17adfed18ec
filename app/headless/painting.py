"""Qt for verbs that paint: without a screen, and not before there is something to paint."""

from __future__ import annotations

import os
import sys
from contextlib import contextmanager
from typing import TYPE_CHECKING

from fairlead.app.plain_imports import import_plainly

if TYPE_CHECKING:
    from collections.abc import Iterator


@contextmanager
def painting() -> Iterator[None]:
    """Fonts and bitmaps exist for as long as this lasts."""
    # Nothing is shown, so no screen is needed: Qt must not look for one and abort without it.
    if sys.platform not in ("win32", "darwin"):
        os.environ["QT_QPA_PLATFORM"] = "offscreen"
    from PySide6.QtGui import QGuiApplication  # noqa: PLC0415 - wrong usage needs no Qt

    import_plainly()
    # Fonts exist only while there is an application.
    application = QGuiApplication.instance() or QGuiApplication(["fairlead"])
    yield
    del application
