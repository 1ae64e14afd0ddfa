"""The sheet's panes as blocks of laid-out words: header, set-points, shaft order, check list, cautions, title block."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from app.cautions import CAUTIONS
from app.drawing.palette import LIGHT, VERDICT_WORDS
from app.setpoints import SetPoint
from app.sheet.checks import Checks
from app.sheet.flow import INK, LEADING, MUTED, Span, baseline_of, fitted, paragraph, tied, width_of, words_at
from app.sheet.order import Row
from app.sheet.page import EMPTY, Block, Item, Mark, Rule, Square, spaced, stacked
from geometry.words.solution import Verdict

HAIR = 0.45
STRONG = 1.1
PROGRAM = "Shaftwright"
_FAINT = "#B9BEC2"
_TIMES = ("before tacking", "after tacking", "after welding")
_SMALLEST = 6.5
_LEAST_LARGE = 11.0  # of a set-point, to be read from under the vehicle
NOTES_CONTINUE = " … notes continue in the file"


def verdict_colour(verdict: Verdict) -> str:
    """Ink of a verdict's shape and word."""
    return LIGHT.colour(verdict)


def header(title: str, says: str, verdict: Verdict, width: float) -> Block:
    """Title and verdict, with the verdict's sentence, over a strong rule."""
    word = VERDICT_WORDS[verdict]
    colour = verdict_colour(verdict)
    badge = width_of(word, 17.0, bold=True)
    room = width - badge - 40.0
    size = next((size for size in (16.0, 14.0, 12.5, 11.0) if width_of(title, size, bold=True) <= room), 9.5)
    named = paragraph([Span(title, bold=True)], size, room, most_lines=2 if size < 11.0 else 1)
    top = max(0.0, 19.0 - named.height) if size >= 11.0 else 0.0
    items: list[Item] = [
        *named.at(0.0, top),
        words_at(width, 16.0, word, 17.0, colour=colour, bold=True, align="right"),
        Mark(width - badge - 13.0, 9.9, 6.4, verdict),
    ]
    sentence = paragraph([Span(says, colour)], 8.5, width, most_lines=1)
    y = max(21.0, top + named.height)
    items += sentence.at(0.0, y)
    bottom = y + sentence.height + 3.5
    items.append(Rule(0.0, bottom, width, bottom, STRONG, INK))
    return Block(tuple(items), bottom)


def heading(text: str, width: float, size: float) -> Block:
    """Title of a pane: bold words over a hairline."""
    baseline = baseline_of(0, size + 0.7)
    bottom = baseline + 0.42 * size
    items = (words_at(0.0, baseline, text, size + 0.7, bold=True), Rule(0.0, bottom, width, bottom, HAIR, INK))
    return Block(items, bottom + 0.25 * size)


def set_point_table(rows: Sequence[SetPoint], width: float, size: float, row: float, variant: str = "") -> Block:
    """Set-points in large type, each with three boxes to write what was measured; `variant` says whose they are."""
    box = 45.5
    boxes = [width - (3 - number) * box - (2 - number) * 4.5 for number in range(3)]
    value_at = max(width_of(point.label, size) for point in rows) + 7.0
    items: list[Item] = list(heading("Set these, level on the tyres at ride height", boxes[0] - 8.0, size).items)
    top = heading("", 1.0, size).height
    for left, words in zip(boxes, _TIMES, strict=True):
        items.append(words_at(left + 0.5 * box, top - 3.2, words, _SMALLEST, colour=MUTED, align="center"))
    if variant:
        said = paragraph([Span(variant, bold=True)], size, width)
        items += said.at(0.0, top)
        top += said.height
    large = min(13.0, max(_LEAST_LARGE, 0.72 * row))
    while large > _LEAST_LARGE and not all(_note_fits(point, boxes[0] - 4.0 - value_at, large) for point in rows):
        large = max(_LEAST_LARGE, large - 0.25)
    for number, point in enumerate(rows):
        y = top + number * row
        baseline = y + 0.5 * row + 0.36 * large
        items.append(words_at(0.0, baseline, point.label, size))
        items += _value(point, value_at, boxes[0] - value_at - 4.0, baseline, large, size)
        items += [Square(left, y + 1.6, box, row - 3.2, HAIR, INK) for left in boxes]
    return Block(tuple(items), top + len(rows) * row)


def _note_fits(point: SetPoint, room: float, large: float) -> bool:
    """Whether a value in that size leaves room for its note."""
    if not point.note:
        return True
    return width_of(point.value, large, bold=True) + 4.5 + width_of(point.note, _SMALLEST) <= room


def _value(point: SetPoint, x: float, room: float, baseline: float, large: float, size: float) -> list[Item]:
    small = max(_SMALLEST, size - 0.9)
    if not point.value:
        asked = paragraph([Span(point.wants, MUTED)], _SMALLEST, room, most_lines=2, leading=1.1)
        middle = baseline - 0.3 * size  # of the label's small letters
        return list(asked.at(x, middle - 0.5 * asked.height))
    value = words_at(x, baseline, point.value, large, bold=True)
    left = room - value.width - 4.5
    small = small if width_of(point.note, small) <= left else _SMALLEST
    told = point.note if width_of(point.note, small) <= left else point.note.rpartition(") ")[2]  # the way, whole
    note = words_at(x + value.width + 4.5, baseline, fitted(told, small, left), small)
    return [value, note] if point.note else [value]


def order_list(
    rows: Sequence[Row], width: float, size: float, leading: float = LEADING, variant: str = ""
) -> Block:  # fmt: skip
    """Shaft order, short labels beside their words; `variant` says of which shaft."""
    label = max(width_of(name, size, bold=True) for name, _ in rows) + 6.0
    parts = [heading("Shaft order", width, size)]
    if variant:
        parts.append(paragraph([Span(variant, bold=True)], size, width, leading=leading))
    for name, words in rows:
        colour = MUTED if words.startswith("measure: ") else INK
        said = paragraph([Span(tied(words), colour)], size, width - label, leading=leading)
        items = (words_at(0.0, baseline_of(0, size, leading), name, size, bold=True), *said.at(label, 0.0))
        parts.append(Block(items, said.height + 0.16 * size))
    return stacked(parts)


def check_list(checks: Checks, width: float, size: float, leading: float = LEADING) -> Block:
    """Boxes to tick, stage by stage."""
    parts = []
    side = 0.78 * size
    indent = side + 0.55 * size
    for stage, boxes in checks:
        parts.append(heading(stage, width, size))
        for words in boxes:
            said = paragraph([Span(words)], size, width, indent=indent, leading=leading)
            tick = Square(0.0, baseline_of(0, size, leading) - 0.73 * size, side, side, 0.7, INK)
            parts.append(Block((tick, *said.items), said.height + 0.18 * size))
        parts.append(spaced(0.45 * size))
    return stacked(parts[:-1])


def caution_list(width: float, size: float, leading: float = LEADING) -> Block:
    """The cautions that every sheet carries, whole."""
    parts = [heading("Cautions", width, size)]
    indent = 0.9 * size
    for words in CAUTIONS:
        said = paragraph([Span(words)], size, width, indent=indent, leading=leading)
        dot = words_at(0.0, baseline_of(0, size, leading), "•", size)
        parts.append(Block((dot, *said.items), said.height + 0.16 * size))
    return stacked(parts)


def title_block(source_name: str, printed_on: date, units: str, width: float) -> Block:
    """Strip of cells at the foot: file, date, units, who set and checked it, program and page."""
    told = f"{printed_on.day} {_MONTHS[printed_on.month - 1]} {printed_on.year}"
    cells = (
        ("file", source_name or "not saved yet", 0.245),
        ("printed", told, 0.135),
        ("your units first", units, 0.12),
        ("set by", "", 0.145),
        ("checked by", "", 0.145),
        (f"{PROGRAM} build sheet", "page 1 of 1", 0.21),
    )
    height = 24.0
    items: list[Item] = [Rule(0.0, 0.0, width, 0.0, STRONG, INK)]
    x = 0.0
    for number, (caption, words, share) in enumerate(cells):
        wide = share * width
        inset = 0.0 if number == 0 else 5.0
        if number:
            items.append(Rule(x, 0.0, x, height, HAIR, INK))
        items.append(words_at(x + inset, 8.6, caption, _SMALLEST, colour=MUTED))
        if words:
            room = wide - inset - 4.0
            size = next((size for size in (8.5, 7.5) if width_of(words, size) <= room), 6.8)
            items.append(words_at(x + inset, 19.4, fitted(words, size, room), size))
        x += wide
    return Block(tuple(items), height)


_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def notes_block(text: str, width: float, size: float, lines: int) -> Block:
    """The build's notes, cut to that many lines with words that say where the rest is; one or two have no heading."""
    lead = [Span("Notes ", bold=True)] if lines <= 2 else []
    whole = paragraph([*lead, Span(text)], size, width)
    if whole.height > (lines + 0.5) * LEADING * size:
        whole = _cut_notes(text, size, width, lines, lead)
    return whole if lead else stacked([heading("Notes", width, size), whole])


def _cut_notes(text: str, size: float, width: float, lines: int, lead: list[Span]) -> Block:
    """Longest head of the notes, in whole words, that fits into that many lines with the marker behind it."""
    words = text[: int(lines * width / size * 4.0) + 200].split(" ")
    low, high = 0, len(words)
    made = EMPTY
    while low < high or not made.height:
        middle = (low + high + 1) // 2
        tried = paragraph([*lead, Span(" ".join(words[:middle])), Span(NOTES_CONTINUE, MUTED)], size, width)
        if middle == 0 or tried.height <= (lines + 0.5) * LEADING * size:
            low, made = middle, tried
        else:
            high = middle - 1
    return made


def writing_lines(width: float, size: float, height: float) -> Block:
    """Room to write at the bench."""
    head = heading("Notes at the bench", width, size)
    pitch = 17.0
    count = int((height - head.height) // pitch)
    if count < 1:
        return EMPTY
    heights = [head.height + number * pitch for number in range(1, count + 1)]
    return Block((*head.items, *(Rule(0.0, y, width, y, 0.4, _FAINT) for y in heights)), heights[-1])
