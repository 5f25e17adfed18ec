"""Tables whose columns cannot be identified: read as chosen before, or collected to ask."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, cast

from fairlead.core.errors import FairleadError, ReadError
from fairlead.core.notice import Notice

if TYPE_CHECKING:
    from collections.abc import Mapping

    from fairlead.core.reading.reading import Reading
    from fairlead.core.reading.tables.preview import NeedsColumnsError, TablePreview


@dataclass(frozen=True, slots=True)
class Unclear:
    """Tables whose columns cannot be identified.

    Attributes
    ----------
    preview : TablePreview
        Of the first of them.
    reason : str
        Why it cannot be read as it is, one line.
    files : tuple of str
        All similar ones: same headings, or none and the same number of columns.
    """

    preview: TablePreview
    reason: str
    files: tuple[str, ...]


class Tables:
    """Reads tables with the chosen columns, and collects those without a choice yet.

    Parameters
    ----------
    remembered, chosen : mapping
        Columns as text by fingerprint, chosen earlier and chosen just now.
    """

    def __init__(
        self, remembered: Mapping[str, str] | None = None, chosen: Mapping[str, str] | None = None
    ) -> None:
        self._remembered = remembered or {}
        self._chosen = chosen or {}
        self._unclear: dict[str, Unclear] = {}

    @property
    def unclear(self) -> tuple[Unclear, ...]:
        """Tables to ask the user about."""
        return tuple(self._unclear.values())

    def open(self, file: str) -> tuple[Reading, ...]:
        """All sweeps of a file; none, and the file is collected, if its columns are unclear.

        Raises
        ------
        ReadError
            Where it cannot be read, or columns chosen just now do not fit.
        """
        # Imported here, not at the top: the readers load while the window is already shown.
        from fairlead.core.reading import open_sweeps  # noqa: PLC0415

        try:
            return open_sweeps(file)
        except ReadError as error:
            if not error.asks_for_columns:
                raise
            # By name: its class would load the table reader, which most sessions never use.
            return self._as_chosen(cast("NeedsColumnsError", error))

    def _as_chosen(self, error: NeedsColumnsError) -> tuple[Reading, ...]:
        from fairlead.core.reading import ColumnPlan, preview_sweeps  # noqa: PLC0415 - see open

        preview = error.preview
        mark = preview.fingerprint
        if mark in self._chosen:
            return preview_sweeps(preview, ColumnPlan.parse(self._chosen[mark]))
        # Without headings, similarity means little: the earlier choice is only offered first.
        if mark in self._remembered and preview.has_headings:
            with suppress(FairleadError):
                plan = ColumnPlan.parse(self._remembered[mark])
                return tuple(map(_as_before, preview_sweeps(preview, plan)))
        known = self._unclear.get(mark)
        if known is None:
            self._unclear[mark] = Unclear(preview, error.reason, (error.file,))
        else:
            self._unclear[mark] = replace(known, files=(*known.files, error.file))
        return ()


def _as_before(reading: Reading) -> Reading:
    text = "columns as chosen before for a table with these headings"
    return replace(reading, notices=(*reading.notices, Notice("columns-remembered", text)))
