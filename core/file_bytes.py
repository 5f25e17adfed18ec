"""The bytes of a file, or one clear line why not."""

from __future__ import annotations

import os
import stat

from fairlead.core.errors import ReadError


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
        status = os.stat(file)  # noqa: PTH116 - before opening: a named pipe would block
        if stat.S_ISDIR(status.st_mode):
            raise ReadError(file, "this is a folder", "open the files in it")
        if not stat.S_ISREG(status.st_mode):
            raise ReadError(file, "this is no ordinary file", no_file_advice)
        if status.st_size > largest_bytes:
            raise too_large
        with open(file, "rb", buffering=0) as stream:  # noqa: PTH123 - odd names stay as given
            return stream.read(status.st_size)
    except FileNotFoundError:
        raise ReadError(file, "no such file", "check the name and the folder") from None
    except PermissionError:
        raise ReadError(file, "no permission to read the file", "change its permissions") from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else str(error)
        raise ReadError(file, f"cannot be opened: {reason}", "check the name") from None
