"""Findings as blocks, worst first: whole while there is room, then shorter, but a hold or caution sentence stays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from app.sheet.blocks import verdict_colour
from app.sheet.entries import FLAGGED, ORDER, Entry, Letters, short_basis
from app.sheet.flow import INK, LEADING, MUTED, NO_BREAK, TIGHT, Span, baseline_of, paragraph, paragraph_lines, width_of
from app.sheet.page import EMPTY, Block, Item, Mark, spaced, stacked
from app.sketch.palette import VERDICT_WORDS
from geometry.solution import Verdict

Ways = Literal["all", "first", "line", "none"]
"""Which of a finding's remedies are told: all, the first, one line of it, none."""
_NOT_JUDGED: Final = "Not judged: "


@dataclass(frozen=True, slots=True)
class Telling:
    """How much of the findings is told, and in what size."""

    size: float
    clear: Literal["sentences", "values", "list", "titles"] = "sentences"
    """Clear findings whole, one a line with value and limit, all in one paragraph, or there by title alone."""
    basis: Literal["full", "kind", "none"] = "full"
    ways: Ways = "all"
    run_in: bool = False
    """Sentences follow their titles in one paragraph, with tighter lines."""
    titles: bool = True

    @property
    def leading(self) -> float:
        """Baseline to baseline, in type sizes."""
        return TIGHT if self.run_in else LEADING


def finding_blocks(
    found: Mapping[Verdict, Sequence[Entry]], telling: Telling, width: float, letters: Letters
) -> list[Block]:
    """Blocks of one column's width that must not be broken, worst first."""
    blocks = []
    for verdict in ORDER:
        entries = found[verdict]
        if verdict == "clear" and telling.clear in {"list", "titles"}:
            blocks += _clear_lines(entries, telling, width, letters)
        else:
            blocks += [_told(entry, telling, width, letters) for entry in entries]
    return blocks


def least_area(found: Mapping[Verdict, Sequence[Entry]], telling: Telling) -> float:
    """Paper that what must be told takes at the very least, in square points: its letters without any white."""
    ways = {"all": None, "first": 1, "line": 0, "none": 0}[telling.ways]
    told = 0.0
    for verdict in ("hold", "caution"):
        for entry in found[verdict]:
            told += sum(width_of(words, 1.0) for words in (entry.says, entry.amount, *entry.ways[:ways]))
    return told * telling.size * telling.leading * telling.size


def basis_block(letters: Letters, width: float, size: float) -> Block:
    """What the letters stand for."""
    if not letters.found:
        return EMPTY
    spans = [Span("Basis ", MUTED, bold=True)]
    last = len(letters.found) - 1
    for number, (basis, letter) in enumerate(letters.found.items()):
        spans += [Span(f"[{letter}] ", MUTED, bold=True), Span(f"{basis}{'' if number == last else ';'} ", MUTED)]
    return paragraph(spans, size, width)


def nothing_measured(width: float, size: float) -> Block:
    """What stands where there is no finding at all."""
    return paragraph([Span("Nothing has been measured yet.", MUTED)], size, width)


def left_over(count: int, width: float) -> Block:
    """What stands for findings that no page could hold."""
    size = 7.0
    return paragraph([Span(f"… and {count} more: the program lists them.", bold=True)], size, width)


def _told(entry: Entry, telling: Telling, width: float, letters: Letters) -> Block:
    """Shape, word, title and numbers; the sentence; the ways out of what holds or warns."""
    flagged = entry.verdict in FLAGGED
    size, leading = telling.size, telling.leading
    mark, indent = _mark(entry.verdict, size, leading)
    head = _head(entry, telling)
    letter = _letter(entry, telling, letters)
    says = _sentence(entry, telling)
    together = telling.run_in or not (flagged or telling.clear == "sentences")
    if together:
        spans = [*head, *([Span(f" {says}")] if says else []), *letter]
        said = paragraph(spans, size, width, indent=indent, hang=0.0 if telling.run_in else None, leading=leading)
        parts = [Block((mark, *said.items), said.height)]
    else:
        named = paragraph([*head, *letter], size, width, indent=indent)
        parts = [Block((mark, *named.items), named.height), paragraph([Span(says)], size, width, indent=indent)]
    if flagged:
        start = 0.0 if telling.run_in else indent
        parts += [_way(words, telling, width, start, first=first) for first, words in _ways(entry, telling)]
    parts.append(spaced((0.2 if together else 0.5) * size))
    return stacked(parts)


def _head(entry: Entry, telling: Telling) -> list[Span]:
    """Word and number as the drawing's flag has them, title, value and limit."""
    colour = verdict_colour(entry.verdict)
    word = VERDICT_WORDS[entry.verdict]
    key = f"{word} {entry.number}" if entry.number is not None else word
    quiet = entry.verdict == "clear" and telling.clear == "values"
    spans = [Span(key, colour, bold=True)]
    follows = telling.run_in or (entry.verdict == "unknown" and telling.clear != "sentences")
    if telling.titles or entry.number is None:
        spans.append(Span(f" {entry.title}{':' if follows and not entry.amount else ''}", bold=not quiet))
    if entry.amount:
        spans.append(Span(f" {entry.amount}{'.' if telling.run_in else ''}", MUTED if quiet else INK))
    return spans


def _sentence(entry: Entry, telling: Telling) -> str:
    if entry.verdict == "clear" and telling.clear != "sentences":
        return ""
    if entry.verdict == "unknown" and telling.clear != "sentences":
        return entry.says.removeprefix(_NOT_JUDGED)
    return entry.says


def _mark(verdict: Verdict, size: float, leading: float) -> tuple[Item, float]:
    """Shape before a line of words, and the room that it takes."""
    half = 0.38 * size
    return Mark(half, baseline_of(0, size, leading) - 0.36 * size, half, verdict), 1.15 * size


def _letter(entry: Entry, telling: Telling, letters: Letters) -> list[Span]:
    if telling.basis == "none" or not entry.basis or entry.verdict == "unknown":
        return []
    basis = entry.basis if telling.basis == "full" else short_basis(entry.basis)
    return [Span(f"{NO_BREAK}[{letters.of(basis)}]", MUTED)]


def _ways(entry: Entry, telling: Telling) -> list[tuple[bool, str]]:
    if telling.ways == "none":
        return []
    ways = entry.ways if telling.ways == "all" else entry.ways[:1]
    return [(number == 0, words) for number, words in enumerate(ways)]


def _way(words: str, telling: Telling, width: float, indent: float, *, first: bool) -> Block:
    size = telling.size
    sign = "→ " if first else "or "
    hang = indent + width_of("→ ", size, bold=True)
    return paragraph(
        [Span(sign, bold=first), Span(words)], size, width, indent=indent, hang=hang,
        most_lines=1 if telling.ways == "line" else None, leading=telling.leading,
    )  # fmt: skip


def _clear_lines(entries: Sequence[Entry], telling: Telling, width: float, letters: Letters) -> list[Block]:
    """Clear findings in one paragraph, which may run on in the next column after any line."""
    if not entries:
        return []
    size, leading = telling.size, telling.leading
    mark, indent = _mark("clear", size, leading)
    spans = [Span(f"{VERDICT_WORDS['clear']} ", verdict_colour("clear"), bold=True)]
    for number, entry in enumerate(entries):
        end = "" if number == len(entries) - 1 else "; "
        if telling.clear == "titles":
            spans.append(Span(f"{entry.title}{end}"))
        else:
            spans += [Span(f"{entry.title} "), Span(entry.amount, MUTED), *_letter(entry, telling, letters)]
            spans.append(Span(end, MUTED))
    lines = paragraph_lines(spans, size, width, indent=indent, hang=0.0, leading=leading)
    lines[0] = Block((mark, *lines[0].items), lines[0].height)
    return lines
