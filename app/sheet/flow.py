"""Words into lines: cleaned of what cannot be printed, measured in the sheet's own font, wrapped into paragraphs."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Final

from app.drawing.palette import LIGHT
from app.lettering import font_file, printable
from app.sheet.page import Align, Block, Words, stacked
from app.sheet.true_type import true_type

INK: Final = LIGHT.ink
MUTED: Final = LIGHT.muted
LEADING: Final = 1.19  # of the type size, from baseline to baseline; DejaVu Sans has tall small letters
TIGHT: Final = 1.1
NO_BREAK: Final = "\u00a0"
"""Space at which no line ends; it is printed as a plain one, so that what is searched for is found."""
_MEASURE: Final = re.compile(r"(?<=\d) (?=(?:in|mm|N·m|lb·ft|rpm|rad/s²|MPa|h)\b)")


@dataclass(frozen=True, slots=True)
class Span:
    """Words of one look inside a paragraph."""

    text: str
    colour: str = INK
    bold: bool = False


def cleaned(text: str) -> str:
    r"""Text on one line: white space runs become single spaces, and letters that the font lacks a "�".

    >>> cleaned(" a\n\tb ")
    'a b'
    """
    return printable(" ".join(text.split()))


def tied(text: str) -> str:
    r"""Text in which no line ends between a number and its unit.

    >>> tied("0.02 in (0.6 mm) apart").split(" ")
    ['0.02\xa0in', '(0.6\xa0mm)', 'apart']
    """
    return _MEASURE.sub(NO_BREAK, text)


def width_of(text: str, size: float, bold: bool = False) -> float:  # noqa: FBT001, FBT002
    """Width of words in points: the letters' own advances; kerning, which only draws them closer, is left out."""
    words = text.split(" ")
    return (sum(_word_width(word, bold) for word in words) + (len(words) - 1) * _advance(" ", bold)) * size


@cache
def _advance(letter: str, bold: bool) -> float:  # noqa: FBT001
    """Advance of a letter in type sizes."""
    return true_type(font_file(bold=bold)).advance(letter)


@lru_cache(maxsize=8192)
def _word_width(word: str, bold: bool) -> float:  # noqa: FBT001
    return sum(_advance(letter, bold) for letter in word)


def words_at(
    x: float, baseline: float, text: str, size: float, *, colour: str = INK, bold: bool = False, align: Align = "left"
) -> Words:
    """One run of words, measured."""
    return Words(x, baseline, text, size, width_of(text, size, bold), colour, bold, align)


def fitted(text: str, size: float, width: float, *, bold: bool = False) -> str:
    """Text cut with "…" where it is wider than there is room."""
    return text if width_of(text, size, bold) <= width else cut(text, size, width, bold=bold)


def cut(text: str, size: float, width: float, *, bold: bool = False) -> str:
    """As much of a text as leaves room for the "…" that says that there is more."""
    room = width - width_of("…", size, bold)
    kept = 0
    used = 0.0
    for letter in text:
        used += _advance(letter, bold) * size
        if used > room:
            break
        kept += 1
    return text[:kept].rstrip() + "…"


@dataclass(frozen=True, slots=True)
class _Piece:
    """One word of a paragraph, or a part of one; `glued` ones follow the piece before without a space."""

    text: str
    colour: str
    bold: bool
    glued: bool = False
    breaks: bool = True
    """Whether a line may end before it."""


Line = list[tuple[float, Span]]
"""Runs of one line with their distance from its left edge."""


def wrapped(spans: Sequence[Span], size: float, width: float, hang: float = 0.0) -> list[Line]:
    """Break spans into lines of at most a width; lines after the first start at `hang`.

    A span that starts without a space stays with the word before it.
    """
    lines: list[Line] = [[]]
    x = 0.0
    for cluster in _clusters(_pieces(spans, size, width - hang)):
        wide = sum(_word_width(piece.text, piece.bold) for piece in cluster) * size
        gap = 0.0 if cluster[0].glued or not lines[-1] else _advance(" ", cluster[0].bold) * size
        if lines[-1] and x + gap + wide > width:
            lines.append([])
            x, gap = hang, 0.0
        for piece in cluster:
            _append(lines[-1], x, gap, piece)
            x += gap + _word_width(piece.text, piece.bold) * size
            gap = 0.0
    return lines if lines[-1] else lines[:-1]


def _clusters(pieces: Iterable[_Piece]) -> list[list[_Piece]]:
    """Pieces in groups between which a line may end."""
    clusters: list[list[_Piece]] = []
    for piece in pieces:
        if piece.breaks or not clusters:
            clusters.append([piece])
        else:
            clusters[-1].append(piece)
    return clusters


def _append(line: Line, x: float, gap: float, piece: _Piece) -> None:
    """Put a word on a line: into the run before where it looks the same, or as a run of its own."""
    if line:
        start, before = line[-1]
        if (before.colour, before.bold) == (piece.colour, piece.bold):
            line[-1] = (start, Span(f"{before.text}{' ' if gap else ''}{piece.text}", piece.colour, piece.bold))
            return
    line.append((x + gap, Span(piece.text, piece.colour, piece.bold)))


def _pieces(spans: Sequence[Span], size: float, width: float) -> Iterator[_Piece]:
    """Words of the spans in order; one that no line can hold is broken."""
    open_end = False
    for span in spans:
        for number, word in enumerate(span.text.split(" ")):
            if not word:
                continue
            glued = number == 0 and open_end
            for part, text in enumerate(_broken(word, size, width, span.bold)):
                plain = text.replace(NO_BREAK, " ")
                yield _Piece(plain, span.colour, span.bold, glued or part > 0, part > 0 or not glued)
        open_end = bool(span.text) and not span.text.endswith(" ")


def _broken(word: str, size: float, width: float, bold: bool) -> list[str]:  # noqa: FBT001
    if _word_width(word, bold) * size <= width:
        return [word]
    parts, start, used = [], 0, 0.0
    for at, letter in enumerate(word):
        wide = _advance(letter, bold) * size
        if used + wide > width and at > start:
            parts.append(word[start:at])
            start, used = at, 0.0
        used += wide
    return [*parts, word[start:]]


def paragraph(
    spans: Sequence[Span], size: float, width: float, *, indent: float = 0.0, hang: float | None = None,
    most_lines: int | None = None, leading: float = LEADING,
) -> Block:  # fmt: skip
    """Spans as a block of lines; later lines start at `hang`, or like the first at `indent`.

    What is more than `most_lines` is cut with "…".
    """
    return stacked(
        paragraph_lines(spans, size, width, indent=indent, hang=hang, most_lines=most_lines, leading=leading)
    )


def paragraph_lines(
    spans: Sequence[Span], size: float, width: float, *, indent: float = 0.0, hang: float | None = None,
    most_lines: int | None = None, leading: float = LEADING,
) -> list[Block]:  # fmt: skip
    """Like `paragraph`, each line a block of its own."""
    later = (indent if hang is None else hang) - indent
    lines = wrapped(spans, size, width - indent, later)
    if most_lines is not None and len(lines) > most_lines:
        lines = lines[:most_lines]
        start, last = lines[-1][-1]
        text = cut(last.text, size, width - indent - later - start, bold=last.bold)
        lines[-1][-1] = (start, Span(text, last.colour, last.bold))
    baseline = baseline_of(0, size, leading)
    return [
        Block(
            tuple(words_at(indent + x, baseline, run.text, size, colour=run.colour, bold=run.bold) for x, run in line),
            leading * size,
        )
        for line in lines
    ]


def baseline_of(number: int, size: float, leading: float = LEADING) -> float:
    """Baseline of a line of a block, counted from 0."""
    return (0.5 * (leading - 1.0) + 0.77 + number * leading) * size
