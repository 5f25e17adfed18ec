"""Files inside a file: a .zip of sweeps, the sheets of a spreadsheet (.xlsx, .ods).

An archive may be made to hurt: everything here is bounded by what comes out, not by what the
archive says of itself. Archives inside archives are not opened.
"""

from __future__ import annotations

import io
import zipfile
import zlib
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fairlead.core.errors import ReadError
from fairlead.core.reading.files import is_candidate, natural_key
from fairlead.core.reading.text import ARCHIVE, to_lines

if TYPE_CHECKING:
    from collections.abc import Iterator

MOST_MEMBERS = 2_000
# As much as a plain file may hold.
MOST_BYTES = 128 * 1024 * 1024
_AT_ONCE = 1024 * 1024
_HEAD_BYTES = 4096
_UNPACK = "unpack it and open the files in it"


@dataclass(frozen=True, slots=True)
class Member:
    """One file in an archive, or one sheet of a spreadsheet.

    Attributes
    ----------
    name : str
        Its own name: "roof/unit 1.s1p", "Sheet 1".
    lines : tuple of str
        Its text; cells of a sheet are parted by tabs.
    is_sheet : bool
    """

    name: str
    lines: tuple[str, ...]
    is_sheet: bool = False

    def told(self, error: ReadError, file: str) -> ReadError:
        """An error in this part, as one in the file."""
        what = "sheet" if self.is_sheet else "file"
        return ReadError(file, f"{what} '{self.name}': {error.reason}", error.advice, error.line)


def members_of(data: bytes, file: str) -> list[Member]:
    """All sweeps' files, or all sheets, of an archive.

    Parameters
    ----------
    data : bytes
        Beginning with `ARCHIVE`.
    file : str
        Name for messages.

    Raises
    ------
    ReadError
        Where the archive is damaged, encrypted or too large, or holds nothing that can be a sweep.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return _parts(_Archive(archive, file), file)
    except (zipfile.BadZipFile, zlib.error, EOFError, UnicodeError, ValueError) as error:
        raise ReadError(file, "the archive is damaged", "copy or export it again") from error
    except (NotImplementedError, RuntimeError) as error:
        # An unknown way to pack, or a password.
        reason = "the archive is encrypted or packed in an unknown way"
        raise ReadError(file, reason, _UNPACK) from error


def _parts(archive: _Archive, file: str) -> list[Member]:
    # Imported here: most sessions never open a spreadsheet.
    from fairlead.core.reading import spreadsheet  # noqa: PLC0415

    sheets = spreadsheet.sheets_of(archive.names, archive.read, file)
    if sheets is not None:
        found = [Member(name, lines, is_sheet=True) for name, lines in sheets]
        nothing = "no sheet of the spreadsheet holds anything"
    else:
        found = list(_members(archive))
        nothing = "the archive holds no file that can be a sweep"
    if not found:
        raise ReadError(file, nothing, "open files that hold sweeps")
    return found


def _members(archive: _Archive) -> Iterator[Member]:
    for name in sorted(archive.names, key=lambda name: (natural_key(name), name)):
        folder, _, last = name.rpartition("/")
        # What file managers add beside the files, and hidden files.
        if not last or last.startswith(".") or folder.startswith("__MACOSX"):
            continue
        data = archive.read(name)
        if data.startswith(ARCHIVE) or not is_candidate(last, data[:_HEAD_BYTES]):
            continue
        try:
            yield Member(name, tuple(to_lines(data, f"{archive.file}/{name}")))
        except ReadError:
            # Called like a sweep, and no text.
            continue


class _Archive:
    """Reads members, all together within the bound."""

    def __init__(self, archive: zipfile.ZipFile, file: str) -> None:
        self.file = file
        self.names = [name for name in archive.namelist() if not name.endswith("/")]
        self._archive = archive
        self._left = MOST_BYTES
        if len(self.names) > MOST_MEMBERS:
            raise ReadError(file, f"more than {MOST_MEMBERS} files in the archive", _UNPACK)

    def read(self, name: str) -> bytes:
        """Content of a member; what it says of its size is not believed."""
        pieces = []
        with self._archive.open(name) as stream:
            while piece := stream.read(min(_AT_ONCE, self._left + 1)):
                self._left -= len(piece)
                if self._left < 0:
                    size = f"{MOST_BYTES // 1024 // 1024} MiB"
                    raise ReadError(self.file, f"more than {size} in the archive", _UNPACK)
                pieces.append(piece)
        return b"".join(pieces)
