"""Menu entry, icon, file type, manual page and completion in the user's own folders.

Nothing of the system is touched and nothing needs its administrator. What was written is taken
away again by name; no folder is.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from fairlead.app.headless.manual import completion, man_page
from fairlead.app.headless.output import DONE, UNREAD, printable, say
from fairlead.core.atomic_file import write_atomic
from fairlead.core.errors import FairleadError
from fairlead.core.paths import is_file

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.app.headless.arguments import VerbParser

_ENTRY = """\
[Desktop Entry]
Type=Application
Name=Fairlead
GenericName=Antenna sweep workbench
Comment=Overlay antenna sweeps, mark a band, compare and print
Exec={command} %F
Icon=fairlead
Terminal=false
Categories=Science;Electronics;Engineering;HamRadio;
MimeType=application/x-fairlead;
"""
_TYPE = """\
<?xml version="1.0" encoding="UTF-8"?>
<mime-info xmlns="http://www.freedesktop.org/standards/shared-mime-info">
  <mime-type type="application/x-fairlead">
    <comment>Fairlead bench</comment>
    <sub-class-of type="application/json"/>
    <icon name="fairlead"/>
    <glob pattern="*.fairlead"/>
  </mime-type>
</mime-info>
"""
# What reads the folders again; a desktop without these looks by itself.
_REFRESHERS = (
    ("update-desktop-database", "applications"),
    ("update-mime-database", "mime"),
    ("gtk-update-icon-cache", "icons/hicolor"),
)
_PATIENCE_S = 30


def install(main: VerbParser, verbs: Sequence[VerbParser], icon: Path) -> int:
    """Write everything; exit status.

    Parameters
    ----------
    main : VerbParser
        That of the window.
    verbs : sequence of VerbParser
    icon : Path
        Our own.
    """
    if _is_elsewhere():
        return UNREAD
    try:
        contents = {
            "applications/fairlead.desktop": _ENTRY.format(command=_command()),
            "mime/packages/fairlead.xml": _TYPE,
            "icons/hicolor/scalable/apps/fairlead.svg": icon.read_text("utf-8"),
            "man/man1/fairlead.1": man_page(main, verbs),
            "bash-completion/completions/fairlead": completion("bash", main, verbs),
        }
        for name, text in contents.items():
            path = _home() / name
            path.parent.mkdir(parents=True, exist_ok=True)
            write_atomic(path, [text.encode()], never_over=())
            print(printable(str(path)))
    except (FairleadError, OSError) as error:
        say(f"fairlead: {error}")
        return UNREAD
    _refresh()
    return DONE


def uninstall() -> int:
    """Remove what `install` writes; exit status."""
    if _is_elsewhere():
        return UNREAD
    status = DONE
    for name in NAMES:
        path = _home() / name
        if not is_file(path):
            continue
        try:
            path.unlink()
        except OSError as error:
            say(f"fairlead: {path} could not be removed: {error.strerror}")
            status = UNREAD
        else:
            print(printable(str(path)))
    _refresh()
    return status


NAMES = (
    "applications/fairlead.desktop",
    "mime/packages/fairlead.xml",
    "icons/hicolor/scalable/apps/fairlead.svg",
    "man/man1/fairlead.1",
    "bash-completion/completions/fairlead",
)
"""What is written, from the folder of the user's data."""


def _is_elsewhere() -> bool:
    system: str = sys.platform
    if system not in ("win32", "darwin"):
        return False
    say("fairlead: menu entries are written on Linux and the like only; make a shortcut instead")
    return True


def _home() -> Path:
    """Where the user's data are (XDG Base Directory Specification)."""
    chosen = os.environ.get("XDG_DATA_HOME", "")
    # A relative one does not count, as the specification says.
    return Path(chosen) if Path(chosen).is_absolute() else Path.home() / ".local" / "share"


def _command() -> str:
    """What starts this installation, quoted as the Desktop Entry Specification wants it."""
    script = Path(sys.executable).parent / "fairlead"
    words = [str(script)] if is_file(script) else [sys.executable, "-m", "fairlead.app"]
    return " ".join(_quoted(word) for word in words)


def _quoted(word: str) -> str:
    inside = "".join(
        f"\\\\{one}" if one in '"`$' else one for one in word.replace("\\", "\\\\\\\\")
    )
    return f'"{inside}"'.replace("%", "%%")


def _refresh() -> None:
    for program, folder in _REFRESHERS:
        found = shutil.which(program)
        if found is not None:
            with suppress(OSError, subprocess.SubprocessError):
                subprocess.run(  # noqa: S603 - found on the path, with our own folder
                    [found, str(_home() / folder)],
                    check=False,
                    capture_output=True,
                    timeout=_PATIENCE_S,
                )
