"""Every notice of a reader has its code in one list, with what it means."""

from __future__ import annotations

import ast
import re
from pathlib import Path

from fairlead.core.reading import remarks, touchstone
from fairlead.core.reading.tables import table

READERS = Path(remarks.__file__).parent


def codes_in(path):
    """First arguments of every ``Notice(...)`` and of the helpers that make one."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if not isinstance(node, ast.Call) or not node.args:
            continue
        name = getattr(node.func, "id", getattr(node.func, "attr", ""))
        first = node.args[0]
        if name in ("Notice", "_note", "_note_left_out") and isinstance(first, ast.Constant):
            yield first.value


def test_every_code_is_listed_and_every_listed_code_is_used():
    used = {code for path in READERS.rglob("*.py") for code in codes_in(path)}
    assert used == set(remarks.MEANINGS)


def test_codes_and_meanings_look_alike():
    assert list(remarks.MEANINGS) == sorted(remarks.MEANINGS)
    for code, meaning in remarks.MEANINGS.items():
        assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", code)
        assert meaning[0].islower() or meaning.startswith("S11")
        assert not meaning.endswith(".")


def test_the_readers_name_their_codes():
    for reader in (touchstone, table):
        _, _, listed = reader.__doc__.partition("Codes of the notices:")
        codes = re.findall(r"[a-z0-9]+(?:-[a-z0-9]+)+", listed)
        assert codes == sorted(codes)
        assert set(codes) <= set(remarks.MEANINGS)


def test_what_people_were_promised_to_be_told_is_there():
    promised = {
        "defaults-applied",
        "frequency-implausible",
        "points-out-of-order",
        "duplicate-frequencies",
        "mixed-row-lengths",
        "reflection-above-one",
        "nothing-measured",
        "s11-of-multiport",
        "reference-not-50",
    }
    assert promised <= set(remarks.MEANINGS)
