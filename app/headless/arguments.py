"""Options that the verbs share, and their values; wrong usage is one line and status 2."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, NamedTuple, NoReturn

from fairlead.app.headless.output import WRONG_USAGE, say
from fairlead.core.band_tables import REGIONS, parse_band
from fairlead.core.document.edits import LIMIT_HIGHEST, LIMIT_LOWEST
from fairlead.core.errors import FairleadError
from fairlead.core.figures import DEFAULT_LIMIT_SWR
from fairlead.core.uncertainty.error_model import PRESETS, UNKNOWN, ErrorModel
from fairlead.core.units import is_span, parse_number

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.bands import Band
    from fairlead.core.reading import ColumnPlan


class OptionTold(NamedTuple):
    """An option, or what stands without one, for manual and completion."""

    names: tuple[str, ...]
    value: str
    help: str
    choices: tuple[str, ...]


def _value_name(action: argparse.Action) -> str:
    if action.nargs == 0:
        return ""
    name = action.metavar if isinstance(action.metavar, str) else action.dest.upper()
    return name if not action.choices or action.metavar else "|".join(map(str, action.choices))


class VerbParser(argparse.ArgumentParser):
    """A parser that reports wrong usage in one line."""

    def __init__(self, verb: str, purpose: str, *, also: str = "") -> None:
        """``also`` is a further exit status with its meaning."""
        super().__init__(
            prog=f"fairlead {verb}".rstrip(),
            description=purpose,
            allow_abbrev=False,
            epilog="Exit status: 0 done, 1 a file could not be read (the others are still done), "
            f"2 wrong usage{also and ', '}{also}.",
        )

    def error(self, message: str) -> NoReturn:
        """Report wrong usage in one line and exit with status 2."""
        say(f"{self.prog}: {message}; see {self.prog} --help")
        raise SystemExit(WRONG_USAGE)

    def refuse(self, error: FairleadError) -> NoReturn:
        """The same for an error that has its own advice."""
        say(f"{self.prog}: {error}")
        raise SystemExit(WRONG_USAGE)

    def told(self) -> list[OptionTold]:
        """What it takes, in the order of the help."""
        return [
            OptionTold(
                tuple(action.option_strings),
                _value_name(action),
                (action.help or "").replace("%%", "%"),
                tuple(map(str, action.choices or ())),
            )
            for action in self._actions
        ]

    def read(self, arguments: Sequence[str]) -> argparse.Namespace:
        """The arguments, options and files in any order."""
        return self.parse_intermixed_args(arguments)


def add_files(parser: VerbParser, *, may_be_none: bool = False) -> None:
    """One or more files or folders, and ``--columns`` for the tables among them."""
    parser.add_argument(
        "files",
        nargs="*" if may_be_none else "+",
        metavar="FILE",
        help="a sweep, a bench (.fairlead), a folder of sweeps, or - for the standard input",
    )
    parser.add_argument(
        "-q",
        "--quiet",
        action="store_true",
        help="only the result and errors: no notes, no progress, no list of files written",
    )
    parser.add_argument(
        "--columns",
        metavar="PLAN",
        help="what each column of a table is, where its headings do not say: "
        '"frequency=1:MHz,swr=3" or "frequency=1:Hz,magnitude+angle=2+3:deg,z0=75"; columns count '
        "from 1; applies to all tables given",
    )


def add_band(parser: VerbParser) -> None:
    """``--band`` and ``--region``."""
    parser.add_argument(
        "--band",
        metavar="BAND",
        help='a published amateur band ("6m") or two edges ("50:52MHz"); without it, the figures '
        "are for the bench's band, or for the span that all sweeps cover",
    )
    parser.add_argument(
        "--band-file",
        metavar="FILE",
        help='bands of your own, "Club net = 50.1 - 50.3 MHz" a line, for --band "Club net"',
    )
    parser.add_argument(
        "--region",
        type=int,
        choices=REGIONS,
        default=1,
        help="ITU Region of a published band (default 1); the rules of your country and "
        "your licence come first",
    )


def add_limit(parser: VerbParser) -> None:
    """``--limit``."""
    parser.add_argument(
        "--limit",
        metavar="SWR",
        help="SWR below which the antenna counts as usable; default: that of the bench, else "
        f"{DEFAULT_LIMIT_SWR}",
    )


def add_comparison(parser: VerbParser) -> None:
    """Band, reference, limit, reference impedance and the analyzer's errors."""
    add_band(parser)
    parser.add_argument(
        "--reference",
        metavar="LABEL",
        help="the sweep that the others are compared with, by its label, its file name, or the "
        "beginning of either; default: that of the bench, else the first",
    )
    add_limit(parser)
    add_accuracy(parser)
    parser.add_argument(
        "--z0",
        metavar="OHM",
        help="reference impedance of all figures; default: that of the bench, else the one "
        "that all sweeps share, else 50",
    )


def add_accuracy(parser: VerbParser) -> None:
    """The analyzer's errors: all together by how it was calibrated, or one by one."""
    parser.add_argument(
        "--calibrated",
        metavar="HOW",
        choices=[preset.key for preset in PRESETS if preset.model.is_known],
        help="typical errors of an analyzer: "
        + ", ".join(f"{p.key} ({p.label[0].lower()}{p.label[1:]})" for p in PRESETS[1:])
        + "; common practice, no source. Without any of these four options, those on the bench",
    )
    parser.add_argument(
        "--directivity",
        metavar="DB",
        help='effective directivity of the analyzer after calibration ("40dB"): with it, bounds on '
        "its error are given as well as the effect of noise",
    )
    parser.add_argument(
        "--source-match", metavar="DB", help="its effective source match, as a return loss"
    )
    parser.add_argument(
        "--tracking", metavar="DB", help="largest error at full reflection, without a sign"
    )


def chosen_accuracy(parser: VerbParser, options: argparse.Namespace) -> ErrorModel | None:
    """The analyzer's errors given, or None."""
    preset = next((one.model for one in PRESETS if one.key == options.calibrated), UNKNOWN)
    typed = (options.directivity, options.source_match, options.tracking)
    if options.calibrated is None and typed == (None, None, None):
        return None
    usual = (preset.directivity_db, preset.source_match_db, preset.tracking_db)
    names = ("the directivity", "the source match", "the tracking")
    values = [
        one if text is None else number(parser, _without_db(text), name)
        for one, text, name in zip(usual, typed, names, strict=True)
    ]
    try:
        model = ErrorModel(values[0], values[1], values[2])
    except FairleadError as error:
        parser.refuse(error)
    if not model.is_known:
        parser.refuse(
            FairleadError(
                "without the directivity no accuracy can be stated",
                "add --directivity or --calibrated",
            )
        )
    return model


def _without_db(text: str) -> str:
    stripped = text.strip()
    return stripped[:-2] if stripped.lower().endswith("db") else stripped


def chosen_band(parser: VerbParser, options: argparse.Namespace) -> Band | None:
    """The band given, or None."""
    if options.band is None:
        return None
    try:
        if options.band_file is not None and not is_span(options.band):
            # Few have one.
            from fairlead.core.own_bands import own_band, read_own_bands  # noqa: PLC0415

            return own_band(options.band, read_own_bands(options.band_file))
        return parse_band(options.band, options.region)
    except FairleadError as error:
        parser.refuse(error)


def chosen_columns(parser: VerbParser, options: argparse.Namespace) -> ColumnPlan | None:
    """The plan of columns given, or None."""
    if options.columns is None:
        return None
    from fairlead.core.reading import ColumnPlan  # noqa: PLC0415 - most calls need none

    try:
        return ColumnPlan.parse(options.columns)
    except FairleadError as error:
        parser.refuse(error)


def chosen_limit(parser: VerbParser, options: argparse.Namespace) -> float | None:
    """The SWR limit given, or None."""
    if options.limit is None:
        return None
    limit_swr = number(parser, options.limit, "the SWR limit")
    if not LIMIT_LOWEST <= limit_swr <= LIMIT_HIGHEST:
        parser.refuse(
            FairleadError(
                f"an SWR limit of {options.limit} is out of range",
                f"choose one from {LIMIT_LOWEST} to {LIMIT_HIGHEST:g}",
            )
        )
    return limit_swr


def chosen_z0_ohm(parser: VerbParser, options: argparse.Namespace) -> float | None:
    """The reference impedance given, or None."""
    if options.z0 is None:
        return None
    z0_ohm = number(parser, options.z0, "the reference impedance")
    if z0_ohm <= 0:
        parser.refuse(
            FairleadError(
                f"a reference impedance of {options.z0} ohm is impossible",
                "give a positive number; 50 is usual",
            )
        )
    return z0_ohm


def number(parser: VerbParser, text: str, what: str) -> float:
    """A number with a decimal point or comma."""
    try:
        return parse_number(text, what)
    except FairleadError as error:
        parser.refuse(error)
