"""The text of a PDF as Qt writes it: glyphs back to letters by the fonts' own tables.

Format: ISO 32000-1, 9.4 (text objects) and 9.10.3 (ToUnicode); only what Qt's writer uses.
"""

from __future__ import annotations

import re
import unicodedata
import zlib
from pathlib import Path

_OBJECT = re.compile(rb"(?:^|\n)(\d+) 0 obj(.*?)endobj", re.DOTALL)
_STREAM = re.compile(rb"stream\r?\n(.*?)\r?\nendstream", re.DOTALL)
_RANGE = re.compile(rb"<([0-9A-F]{4})> <[0-9A-F]{4}> \[(.*?)\]")
_SHOWN = re.compile(rb"(BT)|/(F\d+) \S+ Tf|<([0-9A-Fa-f]+)> Tj")


def page_count(path):
    """How many pages it has."""
    return len(re.findall(rb"/Type /Page\b(?!s)", Path(path).read_bytes()))


def pdf_text(path):
    """All text, one line for each text object, in the order in which it is painted."""
    objects = {int(found[1]): found[2] for found in _OBJECT.finditer(Path(path).read_bytes())}
    fonts = {}
    for body in objects.values():
        for name, number in re.findall(rb"/(F\d+) (\d+) 0 R", body):
            table = re.search(rb"/ToUnicode (\d+) 0 R", objects[int(number)])
            fonts[name] = _letters(_stream(objects[int(table[1])]))
    lines, font = [], {}
    for content in map(_stream, objects.values()):
        for begins, name, glyphs in _SHOWN.findall(content):
            if begins:
                lines.append("")
            elif name:
                font = fonts[name]
            else:
                codes = [glyphs[at : at + 4] for at in range(0, len(glyphs), 4)]
                lines[-1] += "".join(font[int(code, 16)] for code in codes)
    # Ligatures are letters again.
    return unicodedata.normalize("NFKC", "\n".join(lines)).replace("\t", " ")


def _stream(body):
    found = _STREAM.search(body)
    if found is None:
        return b""
    try:
        return zlib.decompress(found[1])
    except zlib.error:
        return found[1]


def _letters(table):
    letters = {}
    for first, listed in _RANGE.findall(table):
        codes = re.findall(rb"<([0-9A-F]+)>", listed)
        for place, code in enumerate(codes, int(first, 16)):
            letters[place] = bytes.fromhex(code.decode()).decode("utf-16-be")
    return letters
