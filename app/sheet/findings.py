"""Findings as blocks, worst first: whole while there is room, then shorter, but a hold or caution sentence stays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from app.sheet.blocks import verdict_colour
from app.sheet.entries import Entry, Letters, short_basis
from app.sheet.flow import INK, LEADING, MUTED, NO_BREAK, TIGHT, Span, baseline_of, paragraph, tied, width_of
from app.sheet.page import EMPTY, Block, Item, Mark, spaced, stacked
from app.sketch.palette import VERDICT_WORDS
from geometry.solution import Verdict

Ways = Literal["all", "first", "line", "none"]
"""Which of a finding's remedies are told: all, the first, one line of it, none."""
Bases = Literal["full", "kind", "none"]
"""What the letters stand for: whole sources, their kinds, or no letters."""
_TITLES_A_BLOCK: Final = 8


@dataclass(frozen=True, slots=True)
class Telling:
    """How much of the findings is told, and in what size."""

    size: float
    clear_size: float
    """Type of the clear findings, which ask for nothing to be done."""
    sentences: int | None = None
    """How many clear entries are told in sentences, from the first; None for all. The others are there by title."""
    basis: Bases = "full"
    ways: Ways = "all"
    run_in: bool = False
    """Sentences of what holds or warns follow their titles in one paragraph, with tighter lines."""
    titles: bool = True
    limits: bool = True
    """Whether clear findings name the limit beside the value."""

    @property
    def leading(self) -> float:
        """Baseline to baseline, in type sizes."""
        return TIGHT if self.run_in else LEADING


def finding_blocks(
    found: Mapping[Verdict, Sequence[Entry]], telling: Telling, width: float, letters: Letters
) -> list[Block]:
    """Blocks of one column's width that must not be broken, worst first."""
    bad = [_told(entry, telling, width, letters) for verdict in ("hold", "caution") for entry in found[verdict]]
    unknown = [_run_in(entry, telling, width, letters, word=True) for entry in found["unknown"]]
    whole = len(found["clear"]) if telling.sentences is None else telling.sentences
    clear = [
        _run_in(entry, telling, width, letters, word=number == 0) for number, entry in enumerate(found["clear"][:whole])
    ]
    return [*bad, *unknown, *clear, *_titles(found["clear"][whole:], telling, width, letters, word=whole == 0)]


def least_area(found: Mapping[Verdict, Sequence[Entry]], telling: Telling) -> float:
    """Paper that what must be told takes at the very least, in square points: its letters without any white."""
    ways = {"all": None, "first": 1, "line": 0, "none": 0}[telling.ways]
    told = 0.0
    for verdict in ("hold", "caution"):
        for entry in found[verdict]:
            told += sum(width_of(words, 1.0) for words in (entry.says, entry.amount, *entry.ways[:ways]))
    area = told * telling.size**2 * telling.leading
    whole = found["clear"][: telling.sentences]
    return area + sum(width_of(entry.says, 1.0) for entry in whole) * telling.clear_size**2 * TIGHT


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
    start = 0.0 if telling.run_in else indent
    parts += [_way(words, telling, width, start, first=not at) for at, words in enumerate(_ways(entry, telling))]
    return stacked([*parts, spaced((0.25 if telling.run_in else 0.5) * size)])


def _head(entry: Entry, telling: Telling) -> list[Span]:
    """Word and number as the drawing's flag has them, title, value and limit."""
    word = VERDICT_WORDS[entry.verdict]
    spans = [Span(word if entry.number is None else f"{word} {entry.number}", verdict_colour(entry.verdict), bold=True)]
    if telling.titles or entry.number is None:
        spans.append(Span(f" {entry.title}{'.' if telling.run_in and not entry.amount else ''}", bold=True))
    if entry.amount:
        spans.append(Span(f" {entry.amount}{'.' if telling.run_in else ''}", INK))
    return spans


def _run_in(entry: Entry, telling: Telling, width: float, letters: Letters, *, word: bool) -> Block:
    """What asks for no work on the vehicle, in one small paragraph: shape, title, value, sentence."""
    size = telling.clear_size if entry.verdict == "clear" else max(telling.clear_size, telling.size - 0.6)
    mark, indent = _mark(entry.verdict, size, TIGHT)
    spans = [Span(f"{VERDICT_WORDS[entry.verdict]} ", verdict_colour(entry.verdict), bold=True)] if word else []
    spans.append(Span(f"{entry.title}{'' if entry.amount else '.'} ", bold=True))
    if entry.amount:
        spans.append(Span(f"{entry.amount if telling.limits else entry.value}. ", MUTED))
    spans += [Span(tied(entry.says)), *_letter(entry, telling, letters)]
    said = paragraph(spans, size, width, indent=indent, hang=0.0, leading=TIGHT)
    return stacked([Block((mark, *said.items), said.height), spaced(0.2 * size)])


def _titles(
    entries: Sequence[Entry], telling: Telling, width: float, letters: Letters, *, word: bool
) -> list[Block]:  # fmt: skip
    """Clear findings by their titles, a few to a block."""
    blocks = []
    size = telling.clear_size
    mark, indent = _mark("clear", size, TIGHT)
    for start in range(0, len(entries), _TITLES_A_BLOCK):
        leads = word and start == 0
        spans = [Span(f"{VERDICT_WORDS['clear']} ", verdict_colour("clear"), bold=True)] if leads else []
        some = entries[start : start + _TITLES_A_BLOCK]
        for entry in some:
            end = "" if entry is some[-1] else "; "
            spans += [Span(entry.title), *_letter(entry, telling, letters), Span(end)]
        said = paragraph(spans, size, width, indent=indent, hang=0.0, leading=TIGHT)
        blocks.append(Block((mark, *said.items), said.height))
    return blocks


def _mark(verdict: Verdict, size: float, leading: float) -> tuple[Item, float]:
    """Shape before a line of words, and the room that it takes."""
    half = 0.38 * size
    return Mark(half, baseline_of(0, size, leading) - 0.36 * size, half, verdict), 1.15 * size


def _letter(entry: Entry, telling: Telling, letters: Letters) -> list[Span]:
    if telling.basis == "none" or not entry.bases:
        return []
    told = entry.bases if telling.basis == "full" else dict.fromkeys(short_basis(basis) for basis in entry.bases)
    return [Span(f"{NO_BREAK}[{','.join(letters.of(basis) for basis in told)}]", MUTED)]


def _ways(entry: Entry, telling: Telling) -> tuple[str, ...]:
    if telling.ways == "none" or not entry.ways:
        return ()
    return entry.ways if telling.ways == "all" else (entry.first_way,)


def _way(words: str, telling: Telling, width: float, indent: float, *, first: bool) -> Block:
    size = telling.size
    sign = "→ " if first else "or "
    hang = indent + width_of("→ ", size, bold=True)
    return paragraph(
        [Span(sign, bold=first), Span(tied(words))], size, width, indent=indent, hang=hang,
        most_lines=1 if telling.ways == "line" else None, leading=telling.leading,
    )  # fmt: skip
