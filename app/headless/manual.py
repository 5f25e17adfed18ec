"""The manual page and shell completions, made from the parsers: nothing is written twice."""

from __future__ import annotations

import importlib
import re
from typing import TYPE_CHECKING

from fairlead.app.version import VERSION

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.app.headless.arguments import OptionTold, VerbParser

SHELLS = ("bash", "zsh", "fish")
_NAME = "fairlead \\- compare antenna sweeps: overlay, mark, compare, print"


def verb_parsers(verbs: Sequence[str]) -> list[VerbParser]:
    """The parser of each verb."""
    modules = (importlib.import_module(f"fairlead.app.headless.{verb}") for verb in verbs)
    return [module.make_parser() for module in modules]


def man_page(main: VerbParser, verbs: Sequence[VerbParser]) -> str:
    """The manual page, as ``man`` reads it.

    Parameters
    ----------
    main : VerbParser
        That of the window.
    verbs : sequence of VerbParser
    """
    lines = [f'.TH FAIRLEAD 1 "" "fairlead {VERSION}"', ".SH NAME", _NAME, ".SH SYNOPSIS"]
    for parser in (main, *verbs):
        named = [f"\\fI{_roff(one.value)}\\fR ..." for one in parser.told() if not one.names]
        lines += [f".B {_roff(parser.prog)}", " ".join(["[option ...]", *named]), ".br"]
    lines += [".SH DESCRIPTION", _roff(str(main.description)), *_options(main)]
    for parser in verbs:
        lines += [f".SH {parser.prog.upper()}", _roff(str(parser.description)), *_options(parser)]
    lines += [".SH EXIT STATUS", _roff(str(verbs[0].epilog))]
    lines += [
        ".SH SAFETY",
        "Keep antennas away from power lines, and do no antenna work when a thunderstorm is near.",
        "Never transmit into an antenna that is being measured. Local codes and your licence come",
        "first.",
    ]
    return "\n".join(lines) + "\n"


def _options(parser: VerbParser) -> list[str]:
    lines = []
    for one in parser.told():
        value = f" \\fI{_roff(one.value)}\\fR" if one.value else ""
        names = ", ".join(f"\\fB{_roff(name)}\\fR" for name in one.names)
        lines += [".TP", f"{names}{value}" if one.names else value.strip(), _roff(one.help)]
    return lines


def _roff(text: str) -> str:
    """Text without what the typesetter takes for its own."""
    escaped = " ".join(text.split()).replace("\\", "\\e").replace("-", "\\-")
    return f"\\&{escaped}" if escaped.startswith((".", "'")) else escaped


def completion(shell: str, main: VerbParser, verbs: Sequence[VerbParser]) -> str:
    """A script that completes verbs, options, their choices and files.

    Parameters
    ----------
    shell : str
        One of `SHELLS`.
    main : VerbParser
    verbs : sequence of VerbParser
    """
    makers = {"bash": _bash, "zsh": _zsh, "fish": _fish}
    return makers[shell](main, verbs)


def _words(told: Sequence[OptionTold]) -> str:
    return " ".join(name for one in told for name in one.names)


def _verb(parser: VerbParser) -> str:
    return parser.prog.partition(" ")[2]


def _bash(main: VerbParser, verbs: Sequence[VerbParser]) -> str:
    names = " ".join(map(_verb, verbs))
    lines = [
        "_fairlead() {",
        '    local word="${COMP_WORDS[COMP_CWORD]}" before="${COMP_WORDS[COMP_CWORD-1]}"',
        "    COMPREPLY=()",
        '    case "${COMP_WORDS[1]} $before" in',
    ]
    for parser in verbs:
        lines += [
            f'    "{_verb(parser)} {name}") COMPREPLY=($(compgen -W "{" ".join(one.choices)}" '
            '-- "$word")); return ;;'
            for one in parser.told()
            for name in one.names
            if one.choices
        ]
    lines += [
        "    esac",
        f'    local words="{_words(main.told())} {names}"',
        '    case "${COMP_WORDS[1]}" in',
        *(f'    {_verb(one)}) words="{_words(one.told())}" ;;' for one in verbs),
        "    esac",
        "    [[ $COMP_CWORD -eq 1 || $word == -* ]] &&",
        '        COMPREPLY=($(compgen -W "$words" -- "$word"))',
        "}",
        "complete -o default -F _fairlead fairlead",
    ]
    return "\n".join(lines) + "\n"


def _zsh(main: VerbParser, verbs: Sequence[VerbParser]) -> str:
    # zsh reads bash's completions.
    return "autoload -U +X bashcompinit && bashcompinit\n" + _bash(main, verbs)


def _fish(main: VerbParser, verbs: Sequence[VerbParser]) -> str:
    lines = []
    for parser in verbs:
        about = _quoted(str(parser.description))
        lines.append(f"complete -c fairlead -n __fish_use_subcommand -a {_verb(parser)} -d {about}")
    for parser in (main, *verbs):
        verb = _verb(parser)
        when = f"'__fish_seen_subcommand_from {verb}'" if verb else "__fish_use_subcommand"
        for one in parser.told():
            if not one.names:
                continue
            names = " ".join(
                f"-l {name[2:]}" if name.startswith("--") else f"-s {name[1:]}"
                for name in one.names
            )
            value = f" -x -a {_quoted(' '.join(one.choices))}" if one.choices else ""
            value = value or (" -r" if one.value else "")
            about = _quoted(re.split(r"[;(]", one.help)[0].strip())
            lines.append(f"complete -c fairlead -n {when} {names}{value} -d {about}")
    return "\n".join(lines) + "\n"


def _quoted(text: str) -> str:
    return "'" + " ".join(text.split()).replace("\\", "\\\\").replace("'", "\\'") + "'"
