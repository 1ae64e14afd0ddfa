"""Findings as blocks, worst first: what holds or warns by its sentence, what is unknown by what it wants, clear ones by
title and value. Where room is short, clear and unknown ones are counted and ways out left away, never a sentence.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from app.drawing.palette import VERDICT_WORDS
from app.sheet.blocks import verdict_colour
from app.sheet.entries import Entry, Letters, short_basis
from app.sheet.flow import INK, LEADING, MUTED, NO_BREAK, TIGHT, Span, baseline_of, paragraph, tied, width_of, words_at
from app.sheet.page import EMPTY, Block, Item, Mark, spaced, stacked
from geometry.words.solution import Verdict

Bases = Literal["full", "kind", "none"]
"""What the letters stand for: whole sources, their kinds, or no letters."""
_A_BLOCK: Final = 8
"""Findings told in one paragraph."""


@dataclass(frozen=True, slots=True)
class Telling:
    """How much of the findings is told, and in what size."""

    size: float
    small: float
    """Type of the clear and unknown findings, which ask for nothing to be done on the vehicle."""
    rows: bool = True
    """Whether clear findings have a line each, or are run together."""
    clear: int | None = None
    """How many clear entries are told, from the first; None for all. The others are counted."""
    unknown: int | None = None
    """How many unknown entries are told; the others are counted."""
    basis: Bases = "full"
    ways: bool = True
    """Whether ways out are told."""
    run_in: bool = False
    """Sentences of what holds or warns follow their titles in one paragraph, with tighter lines."""
    titles: bool = True
    limits: bool = True
    """Whether what holds or warns has its limit beside the value; its sentence has it too."""

    @property
    def leading(self) -> float:
        """Baseline to baseline, in type sizes."""
        return TIGHT if self.run_in else LEADING


def finding_blocks(
    found: Mapping[Verdict, Sequence[Entry]], telling: Telling, width: float, letters: Letters
) -> list[Block]:
    """Blocks of one column's width that must not be broken, worst first."""
    bad = [_told(entry, telling, width, letters) for verdict in ("hold", "caution") for entry in found[verdict]]
    return [*bad, *_unknown(found["unknown"], telling, width), *_clear(found["clear"], telling, width)]


def least_area(found: Mapping[Verdict, Sequence[Entry]], telling: Telling) -> float:
    """Paper that what must be told takes at the very least, in square points: its letters without any white."""
    told = 0.0
    for verdict in ("hold", "caution"):
        for entry in found[verdict]:
            told += sum(width_of(words, 1.0) for words in (entry.says, entry.value, entry.way * telling.ways))
    small = sum(width_of(entry.says, 1.0) for entry in found["unknown"][: telling.unknown])
    return told * telling.size**2 * telling.leading + small * telling.small**2 * TIGHT


def basis_block(letters: Letters, width: float, size: float) -> Block:
    """What the letters stand for."""
    if not letters.found:
        return EMPTY
    spans = [Span("Basis ", MUTED, bold=True)]
    last = len(letters.found) - 1
    for number, (basis, letter) in enumerate(letters.found.items()):
        spans += [Span(f"[{letter}] ", bold=True), Span(f"{basis}{'' if number == last else ';'} ", MUTED)]
    return paragraph(spans, size, width)


def nothing_measured(width: float, size: float) -> Block:
    """What stands where there is no finding at all."""
    return paragraph([Span("Nothing has been measured yet.", MUTED)], size, width)


def left_over(count: int, width: float) -> Block:
    """What stands for findings that no page could hold."""
    size = 7.0
    return paragraph([Span(f"… and {count} more: the program lists them.", bold=True)], size, width)


def _told(entry: Entry, telling: Telling, width: float, letters: Letters) -> Block:
    """What holds or warns: shape, word, title and numbers; the sentence; the ways out."""
    size, leading = telling.size, telling.leading
    mark, indent = _mark(entry.verdict, size, leading)
    head, letter = _head(entry, telling), _letter(entry, telling, letters)
    if telling.run_in:
        spans = [*head, Span(f" {tied(entry.says)}"), *letter]
        said = paragraph(spans, size, width, indent=indent, hang=0.0, leading=leading)
        parts = [Block((mark, *said.items), said.height)]
    else:
        named = paragraph([*head, *letter], size, width, indent=indent)
        says = paragraph([Span(tied(entry.says))], size, width, indent=indent)
        parts = [Block((mark, *named.items), named.height), says]
    if telling.ways and entry.way:
        parts.append(_way(entry.way, telling, width, 0.0 if telling.run_in else indent))
    return stacked([*parts, spaced((0.25 if telling.run_in else 0.5) * size)])


def _head(entry: Entry, telling: Telling) -> list[Span]:
    """Word and number as the drawing's flag has them, title, value and limit."""
    word = VERDICT_WORDS[entry.verdict]
    spans = [Span(word if entry.number is None else f"{word} {entry.number}", verdict_colour(entry.verdict), bold=True)]
    if telling.titles or entry.number is None:
        spans.append(Span(f" {entry.title}{'.' if telling.run_in and not entry.amount else ''}", bold=True))
    if entry.amount:
        amount = entry.amount if telling.limits else entry.value
        spans.append(Span(f" {amount}{'.' if telling.run_in else ''}", INK))
    return spans


def _unknown(found: Sequence[Entry], telling: Telling, width: float) -> list[Block]:
    """What is unknown by title and by what it wants, in one list; the rest counted."""
    size = telling.small
    mark, indent = _mark("unknown", size, TIGHT)
    told = found if telling.unknown is None else found[: telling.unknown]
    blocks: list[Block] = []
    for entry in told:
        spans = [] if blocks else [_word("unknown"), Span("measure or enter, for ", MUTED)]
        title = f"{entry.title[:1].lower()}{entry.title[1:]}" if spans else entry.title
        spans += [Span(f"{title}: ", bold=True), Span(f"{tied(entry.says.removesuffix('.'))}.")]
        said = paragraph(spans, size, width, indent=indent, hang=0.0, leading=TIGHT)
        blocks.append(stacked([Block((mark, *said.items), said.height), spaced(0.2 * size)]))
    return [*blocks, *_counted(found[len(told) :], size, width, more=bool(told))]


def _clear(found: Sequence[Entry], telling: Telling, width: float) -> list[Block]:
    """Clear findings by title and value; the rest counted."""
    size = telling.small
    told = found if telling.clear is None else found[: telling.clear]
    blocks: list[Block] = []
    if telling.rows:
        blocks = [_row(entry, size, width, word=not number) for number, entry in enumerate(told)]
    else:
        mark, indent = _mark("clear", size, TIGHT)
        for start in range(0, len(told), _A_BLOCK):
            spans = [] if start else [_word("clear")]
            some = told[start : start + _A_BLOCK]
            for entry in some:
                end = "" if entry is some[-1] else "; "
                spans += [Span(f"{entry.title} ", bold=True), Span(f"{entry.value}{end}", MUTED)]
            said = paragraph(spans, size, width, indent=indent, hang=0.0, leading=TIGHT)
            blocks.append(Block((mark, *said.items), said.height))
    return [*blocks, *_counted(found[len(told) :], size, width, more=bool(told))]


def _row(entry: Entry, size: float, width: float, *, word: bool) -> Block:
    """One clear finding: shape, title, value at the column's right edge; the value below where both are long."""
    mark, indent = _mark("clear", size, LEADING)
    spans = [_word("clear")] if word else []
    spans.append(Span(entry.title, bold=True))
    taken = width_of(entry.value, size) + size
    said = paragraph(spans, size, width, indent=indent, hang=0.0)
    room = width - indent - sum(width_of(span.text, size, bold=True) for span in spans)
    if not entry.value:
        return Block((mark, *said.items), said.height)
    down = said.height if room < taken else said.height - LEADING * size
    value = words_at(width, down + baseline_of(0, size), entry.value, size, colour=MUTED, align="right")
    return Block((mark, *said.items, value), down + LEADING * size)


def _counted(left: Sequence[Entry], size: float, width: float, *, more: bool) -> list[Block]:
    """What is left out, counted, with where to find it."""
    if not left:
        return []
    verdict = left[0].verdict
    count = sum(entry.findings for entry in left)
    mark, indent = _mark(verdict, size, TIGHT)
    words = f"{count}{' more' if more else ''} {verdict} finding{'s' * (count > 1)}: see the program"
    said = paragraph([Span(words)], size, width, indent=indent, hang=0.0, leading=TIGHT)
    return [Block((mark, *said.items), said.height)]


def _word(verdict: Verdict) -> Span:
    return Span(f"{VERDICT_WORDS[verdict]} ", verdict_colour(verdict), bold=True)


def _mark(verdict: Verdict, size: float, leading: float) -> tuple[Item, float]:
    """Shape before a line of words, and the room that it takes."""
    half = 0.38 * size
    return Mark(half, baseline_of(0, size, leading) - 0.36 * size, half, verdict), 1.15 * size


def _letter(entry: Entry, telling: Telling, letters: Letters) -> list[Span]:
    if telling.basis == "none" or not entry.bases:
        return []
    told = entry.bases if telling.basis == "full" else dict.fromkeys(short_basis(basis) for basis in entry.bases)
    return [Span(f"{NO_BREAK}[{','.join(letters.of(basis) for basis in told)}]", MUTED)]


def _way(words: str, telling: Telling, width: float, indent: float) -> Block:
    size = telling.size
    hang = indent + width_of("→ ", size, bold=True)
    spans = [Span("→ ", bold=True), Span(tied(words))]
    return paragraph(spans, size, width, indent=indent, hang=hang, leading=telling.leading)
