"""The bytes of a file, or one clear line why not."""

from __future__ import annotations

import os
import stat

from fairlead.core.causes import why_not_read
from fairlead.core.errors import ReadError
from fairlead.core.paths import NoOrdinaryFileError, open_file


def file_bytes(file: str, no_file_advice: str, too_large: ReadError, largest_bytes: int) -> bytes:
    """Whole content of an ordinary file of bounded size.

    Parameters
    ----------
    file : str
        Path as the user gave it.
    no_file_advice : str
        What to do where the path leads to no ordinary file.
    too_large : ReadError
        What to say of a file beyond ``largest_bytes``; it is not opened.
    largest_bytes : int

    Raises
    ------
    ReadError
        For a folder, a pipe, a missing file, a lack of permission, or a size beyond the bound.
    """
    try:
        status = os.stat(file)  # noqa: PTH116 - its size, before opening
        if stat.S_ISDIR(status.st_mode):
            raise ReadError(file, "this is a folder", "open the files in it")
        if status.st_size > largest_bytes and stat.S_ISREG(status.st_mode):
            raise too_large
        with open(open_file(file), "rb", buffering=0) as stream:  # noqa: PTH123 - a descriptor
            content = stream.read(status.st_size)
    except NoOrdinaryFileError:
        raise ReadError(file, "this is not an ordinary file", no_file_advice) from None
    except OSError as error:
        raise ReadError(file, *why_not_read(error)) from None
    except ValueError as error:
        raise ReadError(file, f"cannot be opened: {error}", "check the name") from None
    return content
