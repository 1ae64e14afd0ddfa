"""A PDF file of one page: its objects, its fonts with the letters used, and the table that finds them.

As in ISO 32000-1 (from memory): chapters 7.3 objects, 7.5 file structure, 9.7 composite fonts, 9.10 text extraction.
"""

from __future__ import annotations

import zlib
from collections.abc import Mapping
from datetime import date
from typing import Final

from app.sheet.true_type import TrueType

_LEVEL: Final = 6
_UNITS: Final = 1000.0  # of a font's widths, to a type size
_MOST_ROWS: Final = 100  # of one section of a letters' table
_STEM: Final = 80


class PdfFont:
    """A font of the file: two-byte codes in the order in which letters are first used."""

    def __init__(self, name: str, font: TrueType) -> None:
        self.name = name
        self.font = font
        self._codes: dict[str, int] = {}

    def encoded(self, text: str) -> str:
        """A text as the hexadecimal string that shows it."""
        return "".join(f"{self._codes.setdefault(letter, len(self._codes) + 1):04X}" for letter in text)

    def written(self, file: PdfFile) -> int:
        """Put the font into a file and return its object's number."""
        glyphs = [0, *(self.font.glyph(letter) for letter in self._codes)]
        name = f"/AAAAAA+{self.name}"
        content = self.font.cut_down(glyphs)
        box = " ".join(f"{_UNITS * edge:.0f}" for edge in self.font.box)
        descriptor = file.add(
            f"<< /Type /FontDescriptor /FontName {name} /Flags 4 /FontBBox [{box}] /ItalicAngle 0"
            f" /Ascent {_UNITS * self.font.ascent:.0f} /Descent {_UNITS * self.font.descent:.0f}"
            f" /CapHeight {_UNITS * self.font.ascent:.0f} /StemV {_STEM}"
            f" /FontFile2 {file.stream(content, f'/Length1 {len(content)}')} 0 R >>"
        )
        places = file.stream(b"".join(glyph.to_bytes(2, "big") for glyph in glyphs))
        widths = " ".join(f"{_UNITS * self.font.advance(letter):.6g}" for letter in self._codes)
        letters = file.add(
            f"<< /Type /Font /Subtype /CIDFontType2 /BaseFont {name} /FontDescriptor {descriptor} 0 R"
            f" /CIDSystemInfo << /Registry (Adobe) /Ordering (Identity) /Supplement 0 >>"
            f" /CIDToGIDMap {places} 0 R /DW 0 /W [1 [{widths}]] >>"
        )
        return file.add(
            f"<< /Type /Font /Subtype /Type0 /BaseFont {name} /Encoding /Identity-H"
            f" /DescendantFonts [{letters} 0 R] /ToUnicode {file.stream(self._letters())} 0 R >>"
        )

    def _letters(self) -> bytes:
        """Table of what letter each code stands for, for searching and copying."""
        rows = [f"<{code:04X}> <{letter.encode('utf-16-be').hex().upper()}>" for letter, code in self._codes.items()]
        sections = [rows[start : start + _MOST_ROWS] for start in range(0, len(rows), _MOST_ROWS)]
        told = "\n".join(f"{len(some)} beginbfchar\n" + "\n".join(some) + "\nendbfchar" for some in sections)
        return (
            "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
            "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n"
            "/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n"
            f"1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n{told}\n"
            "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"
        ).encode("ascii")


class PdfFile:
    """Objects in the order in which they are added."""

    def __init__(self) -> None:
        self._objects: list[bytes] = []

    def add(self, words: str) -> int:
        """Add an object and return its number."""
        self._objects.append(words.encode("ascii"))
        return len(self._objects)

    def stream(self, content: bytes, more: str = "") -> int:
        """Add a compressed stream and return its number."""
        packed = zlib.compress(content, _LEVEL)
        opening = f"<< /Length {len(packed)} /Filter /FlateDecode {more}>>\nstream\n".encode("ascii")
        self._objects.append(opening + packed + b"\nendstream")
        return len(self._objects)

    def content(self, root: int, about: int) -> bytes:
        """The whole file: objects, the table of where they start, and the way in."""
        made = bytearray(b"%PDF-1.4\n%\xe2\xe3\xcf\xd3\n")
        starts = []
        for number, words in enumerate(self._objects, start=1):
            starts.append(len(made))
            made += b"%d 0 obj\n%b\nendobj\n" % (number, words)
        table = len(made)
        made += b"xref\n0 %d\n0000000000 65535 f \n" % (len(starts) + 1)
        made += b"".join(b"%010d 00000 n \n" % start for start in starts)
        made += b"trailer\n<< /Size %d /Root %d 0 R /Info %d 0 R >>\n" % (len(starts) + 1, root, about)
        made += b"startxref\n%d\n%%%%EOF\n" % table
        return bytes(made)


def one_page(
    width: float, height: float, drawn: str, fonts: Mapping[str, PdfFont], opacities: Mapping[tuple[float, ...], str],
    about: Mapping[str, str], made_on: date,
) -> bytes:  # fmt: skip
    """A file of one page, sizes in points; fonts and opacities (of fills, of lines) have the names used in `drawn`."""
    file = PdfFile()
    content = file.stream(drawn.encode("ascii"))
    named_fonts = " ".join(f"/{name} {font.written(file)} 0 R" for name, font in fonts.items())
    named = " ".join(f"/{name} << /ca {fill:.4g} /CA {line:.4g} >>" for (fill, line), name in opacities.items())
    resources = file.add(f"<< /Font << {named_fonts} >> /ExtGState << {named} >> >>")
    pages = resources + 2
    page = file.add(
        f"<< /Type /Page /Parent {pages} 0 R /MediaBox [0 0 {width:.6g} {height:.6g}]"
        f" /Resources {resources} 0 R /Contents {content} 0 R >>"
    )
    file.add(f"<< /Type /Pages /Count 1 /Kids [{page} 0 R] >>")
    root = file.add(f"<< /Type /Catalog /Pages {pages} 0 R >>")
    told = " ".join(f"/{key} <FEFF{words.encode('utf-16-be').hex().upper()}>" for key, words in about.items())
    return file.content(root, file.add(f"<< {told} /CreationDate (D:{made_on:%Y%m%d}000000Z) >>"))
