"""The command ``fairlead``: a verb without a window, or the window."""

from __future__ import annotations

import atexit
import gc
import importlib
import os
import sys
from typing import TYPE_CHECKING

from fairlead.app.headless.output import DONE, UNREAD, WRONG_USAGE, quiet_end, say, use_utf8
from fairlead.app.plain_imports import import_plainly

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from fairlead.app.headless.arguments import VerbParser

VERBS = (
    "figures",
    "picture",
    "report",
    "check",
    "export",
    "advise",
    "plan",
    "trend",
    "log",
    "trace",
)

_PAINTING = "libgl1 libegl1 libglib2.0-0 libdbus-1-3 libfontconfig1 libxkbcommon0"
_X11 = "libxcb-cursor0 libxkbcommon-x11-0 libxcb-icccm4 libxcb-keysyms1 libxcb-shape0"
_PACKAGES = (
    f"on Debian or Ubuntu: apt-get update && apt-get install {_PAINTING} and for the window on X11 "
    f"{_X11}"
)
_WITHOUT_SCREEN = "use the verbs figures, picture, report, check and export, which need none"
_OVERVIEW = """\
without a window:
  fairlead figures FILE...          the figures of each sweep, and what changed
  fairlead picture FILE... -o OUT   SWR plot, Smith chart and table as .png, .svg or .pdf
  fairlead report FILE... -o OUT    a page for print: .pdf, or .md with its picture
  fairlead check FILE...            what is suspect about each sweep
  fairlead advise FILE...           what the match costs, one tuning for all, how to match
  fairlead plan [FILE...]           what a measurement needs, and a checklist to print
  fairlead trend FILE...            figures of one antenna against the dates of its sweeps
  fairlead log FILE                 two antennas compared by signal reports
  fairlead trace PICTURE --axes FILE.json -o OUT.csv    a curve in a picture, as a sweep
  fairlead export FILE... -o OUT    each sweep as Touchstone or CSV, for other programs
  fairlead VERB --help              the options of a verb

a file with the name of a verb: fairlead ./figures
"""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line and return its exit status.

    Parameters
    ----------
    arguments : sequence of str, optional
        Without the program's name; those of the process if not given.
    """
    use_utf8()
    given = list(sys.argv[1:] if arguments is None else arguments)
    statuses = []
    with quiet_end():
        statuses.append(_run(given))
    # None if the reader of our output has closed the pipe, which is not an error.
    return statuses[0] if statuses else DONE


def _run(given: list[str]) -> int:
    try:
        # Only the first argument can be a verb; later ones are files.
        if given and given[0] in VERBS:
            return _run_verb(given[0], given[1:])
        if given and _is_unknown_verb(given[0]):
            say(_what_verb(given[0]))
            return WRONG_USAGE
        return _run_window(given)
    except ImportError as error:
        library = _missing_library(error)
        if library is None:
            raise
        say(f"fairlead: the system library {library} is missing; {_PACKAGES}")
        return UNREAD


def _is_unknown_verb(word: str) -> bool:
    """Whether a first word is neither a file nor looks like the name of one."""
    return word.isidentifier() and not os.path.lexists(word)


def _what_verb(word: str) -> str:
    from difflib import get_close_matches  # noqa: PLC0415 - only for a slip

    near = get_close_matches(word.lower(), VERBS, n=1)
    meant = f'did you mean "fairlead {near[0]}"?' if near else f"commands are {', '.join(VERBS)}"
    return f'fairlead: "{word}" is neither a file nor a command; {meant}'


def _run_verb(verb: str, arguments: Sequence[str]) -> int:
    # A verb ends before garbage can pile up; collecting it costs a tenth of the run time.
    gc.disable()
    atexit.register(gc.freeze)
    # So does starting threads for large matrices, which do not occur here.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # Each verb loads only what it needs: figures and check start no Qt.
    status: int = importlib.import_module(f"fairlead.app.headless.{verb}").run(arguments)
    return status


def _run_window(arguments: Sequence[str]) -> int:
    options = _window_options(arguments)
    chosen = _done_without_window(options)
    if chosen is not None:
        return chosen
    if not options.new_window and _is_handed_over(options.files):
        return DONE
    importlib.import_module("PySide6.QtCore")
    from fairlead.app.screen import why_no_screen  # noqa: PLC0415 - the verbs need none

    reason = why_no_screen()
    if reason:
        help_with = _PACKAGES if "library" in reason else _WITHOUT_SCREEN
        say(f"fairlead: {reason}; {help_with}")
        return UNREAD
    # Pause the garbage collector: while a thousand classes are made it costs a tenth of the start.
    # The window resumes it once it is shown.
    gc.disable()
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    import_plainly()
    from fairlead.app.shell.window import run  # noqa: PLC0415 - the verbs must not load this

    return run(options.files)


def _is_handed_over(files: Sequence[str]) -> bool:
    """Whether a window that runs already has taken the files."""
    from fairlead.app.files.hand_over import hand_over  # noqa: PLC0415 - the verbs need none

    return hand_over(files)


def _done_without_window(options: argparse.Namespace) -> int | None:
    """The exit status of what needs no window; None if one is wanted."""
    if options.version:
        from fairlead.app.version import with_libraries  # noqa: PLC0415 - asks the metadata

        print(with_libraries())
        return DONE
    if not (options.man_page or options.completion or options.desktop):
        return None
    from fairlead.app.headless import desktop, manual  # noqa: PLC0415 - rare

    parser, verbs = _window_parser(), manual.verb_parsers(VERBS)
    if options.man_page:
        print(manual.man_page(parser, verbs), end="")
    elif options.completion:
        print(manual.completion(options.completion, parser, verbs), end="")
    elif options.desktop == "remove":
        return desktop.uninstall()
    else:
        from fairlead.app.look.resources import data_folder  # noqa: PLC0415 - it needs Qt

        return desktop.install(parser, verbs, data_folder("icons") / "fairlead.svg")
    return DONE


def _window_options(arguments: Sequence[str]) -> argparse.Namespace:
    return _window_parser().read(arguments)


def _window_parser() -> VerbParser:
    import argparse  # noqa: PLC0415 - the verbs bring their own

    from fairlead.app.headless.arguments import VerbParser  # noqa: PLC0415 - as above

    parser = VerbParser("", "Compare antenna sweeps: open the window with these files.")
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.epilog = _OVERVIEW
    parser.add_argument("files", nargs="*", metavar="FILE", help="sweeps, or folders with sweeps")
    parser.add_argument(
        "--version", action="store_true", help="print the versions of program and libraries"
    )
    parser.add_argument(
        "--new-window",
        action="store_true",
        help="open a window of its own, also if one is open that would offer to take the files",
    )
    parser.add_argument(
        "--man-page",
        action="store_true",
        help="print the manual page: fairlead --man-page | man -l -",
    )
    parser.add_argument(
        "--completion", choices=("bash", "zsh", "fish"), help="print a script for this shell"
    )
    parser.add_argument(
        "--install-desktop",
        dest="desktop",
        action="store_const",
        const="install",
        help="write menu entry, icon, file type, manual page and completion into your own folders",
    )
    parser.add_argument(
        "--uninstall-desktop",
        dest="desktop",
        action="store_const",
        const="remove",
        help="remove them again",
    )
    return parser


def _missing_library(error: ImportError) -> str | None:
    """The system library that Qt could not load, or None if the fault is another."""
    if "libshiboken" in str(error):
        # The error of one Qt module can hide the reason why another could not be loaded.
        try:
            importlib.import_module("PySide6.QtGui")
        except ImportError as reason:
            error = reason
    from fairlead.app.screen import missing_library  # noqa: PLC0415 - rare

    return missing_library(str(error))


if __name__ == "__main__":
    sys.exit(main())
