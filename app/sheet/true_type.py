"""The sheet's font read from its file, and cut down to the letters that a page uses, so that the page can carry it.

Only outlines and advances are kept, which is all that a PDF file asks of an embedded font. Tables as in the OpenType
specification, ISO/IEC 14496-22 (from memory).
"""

from __future__ import annotations

import struct
from collections.abc import Iterable
from functools import cache
from pathlib import Path
from typing import Final

import numpy as np
from matplotlib.font_manager import get_font

_KEPT: Final = ("cvt ", "fpgm", "glyf", "head", "hhea", "hmtx", "loca", "maxp", "prep")
_MAGIC: Final = 0xB1B0AFBA
_WORDS_ARE_WIDE, _MORE, _SCALE, _TWO_SCALES, _MATRIX = 0x0001, 0x0020, 0x0008, 0x0040, 0x0080


class TrueType:
    """One font file: which glyph draws a letter, how far it advances, and the file with some glyphs alone."""

    def __init__(self, file: str) -> None:
        self._content = Path(file).read_bytes()
        count = struct.unpack_from(">H", self._content, 4)[0]
        rows = (struct.unpack_from(">4sIII", self._content, 12 + 16 * number) for number in range(count))
        self._tables = {tag.decode("latin-1"): (start, length) for tag, _, start, length in rows}
        head, hhea = self._table("head"), self._table("hhea")
        self._glyphs = struct.unpack_from(">H", self._table("maxp"), 4)[0]
        self._long = struct.unpack_from(">h", head, 50)[0] == 1
        self._full_metrics = struct.unpack_from(">H", hhea, 34)[0]
        unit = 1.0 / struct.unpack_from(">H", head, 18)[0]
        self.box = tuple(unit * edge for edge in struct.unpack_from(">4h", head, 36))
        """Left, bottom, right and top of all its letters, in type sizes."""
        self.ascent, self.descent = (unit * edge for edge in struct.unpack_from(">2h", hhea, 4))
        metrics = np.frombuffer(self._table("hmtx"), ">u2", 2 * self._full_metrics)
        self._advances = (metrics[::2] * unit).tolist()
        self.letters = get_font(file).get_charmap()
        """Glyph of each letter's code."""

    def glyph(self, letter: str) -> int:
        """Number of the glyph that draws a letter; 0, an empty box, for one that the font lacks."""
        return int(self.letters.get(ord(letter), 0))

    def advance(self, letter: str) -> float:
        """How far a letter takes the pen, in type sizes."""
        # In a font of one width for all, the table may be shorter than the list of glyphs; its last row goes on.
        return float(self._advances[min(self.glyph(letter), self._full_metrics - 1)])

    def cut_down(self, glyphs: Iterable[int]) -> bytes:
        """The font file with the outlines of those glyphs, under their old numbers, and of those that they refer to."""
        places = np.frombuffer(self._table("loca"), ">u4" if self._long else ">u2").astype(np.int64)
        if not self._long:
            places = 2 * places
        outlines = self._table("glyf")
        kept: dict[int, bytes] = {}
        waiting = {0, *glyphs}
        while waiting:
            glyph = waiting.pop()
            outline = outlines[int(places[glyph]) : int(places[glyph + 1])]
            kept[glyph] = outline + bytes(-len(outline) % 4)
            waiting |= set(_parts(outline)) - kept.keys()
        lengths = np.zeros(self._glyphs, np.int64)
        lengths[list(kept)] = [len(outline) for outline in kept.values()]
        new = {tag: self._table(tag) for tag in _KEPT if tag in self._tables}
        new["glyf"] = b"".join(kept[glyph] for glyph in sorted(kept))
        new["loca"] = np.concatenate(([0], np.cumsum(lengths))).astype(">u4").tobytes()
        # The long form of places; the sum over the file is put in last, so it counts as nil here.
        new["head"] = new["head"][:8] + bytes(4) + new["head"][12:50] + struct.pack(">h", 1) + new["head"][52:]
        return _assembled(self._content[:4], new)

    def _table(self, tag: str) -> bytes:
        start, length = self._tables[tag]
        return self._content[start : start + length]


@cache
def true_type(file: str) -> TrueType:
    """The font of a file, read once."""
    return TrueType(file)


def _parts(outline: bytes) -> list[int]:
    """Glyphs of which one is put together, as an é is of e and accent."""
    if not outline or struct.unpack_from(">h", outline)[0] >= 0:
        return []
    found, at = [], 10
    while True:
        flags, glyph = struct.unpack_from(">HH", outline, at)
        found.append(glyph)
        at += 8 if flags & _WORDS_ARE_WIDE else 6
        at += 2 if flags & _SCALE else 4 if flags & _TWO_SCALES else 8 if flags & _MATRIX else 0
        if not flags & _MORE:
            return found


def _assembled(version: bytes, tables: dict[str, bytes]) -> bytes:
    """Tables behind their directory, with their sums."""
    count = len(tables)
    power = count.bit_length() - 1
    head = version + struct.pack(">4H", count, 16 << power, power, 16 * count - (16 << power))
    start = 12 + 16 * count
    body = b""
    for tag, content in sorted(tables.items()):
        head += struct.pack(">4s3I", tag.encode(), _sum(content), start + len(body), len(content))
        body += content + bytes(-len(content) % 4)
    made = bytearray(head + body)
    at = start + sum(len(content) + -len(content) % 4 for tag, content in tables.items() if tag < "head")
    struct.pack_into(">I", made, at + 8, (_MAGIC - _sum(bytes(made))) & 0xFFFFFFFF)
    return bytes(made)


def _sum(content: bytes) -> int:
    return int(np.frombuffer(content + bytes(-len(content) % 4), ">u4").sum(dtype=np.uint64)) & 0xFFFFFFFF
