"""Findings as the sheet tells them: those not clear with value and way out, clear ones a line each, sentences."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from app.drawing.board import Board
from app.drawing.fonts import PX_PER_PT, width
from app.drawing.subject import Subject
from app.drawing.wording import numbered, value_words
from app.setpoints import recommended
from app.sheet.flow import (
    BODY_PT,
    PAPER,
    SMALL_PT,
    Block,
    Section,
    beside,
    in_rows,
    indented,
    line_height,
    lines,
    paragraph,
    plain,
    space,
    stacked,
)  # fmt: skip
from app.sheet.ways import Ways
from geometry.words.solution import Finding, Solution, Verdict
from geometry.words.wording import small

HEADINGS: Final[dict[Verdict, str]] = {
    "hold": "Hold: clear these first",
    "caution": "Caution: weigh these",
    "unknown": "Unknown: measure first",
}
_BOTH: Final = "Hold first, then caution"
_WANTED: Final = re.compile(r"[Mm]easure or enter (.*?)\.(?: |$)")
_INDENT: Final = 16.0
_NUMBER: Final = 44.0


def names_of(solution: Solution) -> dict[tuple[str, str], str]:
    """What each finding, by id and part, is called: no two the same, so by its part too, and by a number if need be."""
    titles = Counter(one.title for one in solution.findings)
    named: dict[tuple[str, str], str] = {
        (one.id, one.part): plain(f"{one.title}, {one.part.replace('_', ' ')}" if titles[one.title] > 1 else one.title)
        for one in solution.findings
    }
    again, met = Counter(named.values()), Counter[str]()
    for key, name in named.items():
        if again[name] > 1:
            met[name] += 1
            named[key] = f"{name} {met[name]}"
    return named


class Findings:
    """A solution's findings in blocks."""

    def __init__(self, subject: Subject) -> None:
        self.subject, self.solution, self.display = subject, subject.whole, subject.build.display
        self.names = names_of(self.solution)
        self.numbered = numbered(self.solution)
        self.set = recommended(subject.build, self.solution)

    def not_clear(self, *, briefly: bool, closely: bool = False) -> list[Section]:
        """What holds, what warns, and what is unknown, each under its heading, worst first.

        `briefly` says of the remedy that the set-points are with what it makes of each value, and no more; `closely`
        leaves little paper between, and has one heading over what holds and what warns.
        """
        gap = 1.0 if closely else 5.0
        ways = Ways(self.subject.build)
        blocks: dict[Verdict, list[Block]] = {"hold": [], "caution": [], "unknown": []}
        for number, one in self.numbered:
            details = [self._value(one)]
            if briefly and self._is_set(one):
                details[0] = f"{details[0]} → {self._as_set(one)}".removeprefix(" ")
            else:
                details.append(ways.of(one, number))
            blocks[one.verdict].append(_marked(one.verdict, f"{number} {self._name(one)}", details, gap))
        blocks["unknown"] = self._unknown()
        headings = HEADINGS
        if closely and blocks["hold"] and blocks["caution"]:
            headings = HEADINGS | {"hold": _BOTH}
            blocks["hold"] += blocks.pop("caution")
        found = [Section(headings[verdict], tuple(some)) for verdict, some in blocks.items() if some]
        if found:
            return found
        if not self.solution.findings:
            return [Section("Findings", (paragraph("Nothing has been measured yet."),))]
        return [Section("All clear", (_marked("clear", "Nothing holds, nothing warns", []),))]

    def _is_set(self, finding: Finding) -> bool:
        return self.set is not None and finding.remedy is not None and finding.remedy.changes == self.set.changes

    def _as_set(self, finding: Finding) -> str:
        """What the value is as the set-points have it."""
        way = finding.remedy
        if way is None or way.after is None:
            return "as set"
        after = self._value(replace(finding, value=way.after)).partition(", ")[0]
        if " " in after:
            after = after.rpartition(" ")[0]  # the unit stands before it
        return f"{after} as set" + ("" if way.after_verdict == "clear" else f" ({way.after_verdict})")

    def clear(self) -> list[Section]:
        """Clear findings, a line each with value and limit, two beside one another."""
        told = [_clear(self._name(one), self._value(one)) for one in self.solution.findings if one.verdict == "clear"]
        half = (len(told) + 1) // 2
        rows = [beside(told[at], *told[half + at : half + at + 1]) for at in range(half)]
        return [Section(f"Clear ({len(told)})", tuple(rows), "value and limit")] if told else []

    def sentences(self, pt: float, *, with_way: bool) -> list[Section]:
        """What each numbered finding says, and what the limits rest on; `with_way` the remedy that is set in full."""
        said, bases, way = [], dict[str, list[int]](), ""
        for number, one in self.numbered:
            if with_way and not way and self._is_set(one):
                way = Ways(self.subject.build).of(one, number)
                said.append(_sentence(number, one.verdict, [one.says, way], pt))
            else:
                said.append(_sentence(number, one.verdict, [one.says], pt))
            if one.basis:
                bases.setdefault(plain(one.basis), []).append(number)
        rest = tuple(_beside(", ".join(map(str, numbers)), [basis], SMALL_PT) for basis, numbers in bases.items())
        aside = "the program has other ways out" if any(one.alternatives for one in self.solution.findings) else ""
        limits = in_rows(Section("What the limits rest on", rest))
        made = [Section("What the findings say", tuple(said), aside), limits]
        return [one for one in made if one.blocks]

    def _name(self, finding: Finding) -> str:
        return self.names[finding.id, finding.part]

    def _value(self, finding: Finding) -> str:
        if finding.value is None:
            return ""
        names = [f"{name}_joint" for name in self.subject.joint_names]
        most = self.subject.greatest_deg(names.index(finding.part)) if finding.part in names else None
        told = value_words(finding, self.display, most)
        # A slope that does no harm is clear beyond its line: then the line is not what it is judged by.
        return told.partition(", ")[0] if finding.verdict == "clear" and _beyond(finding) else told

    def _unknown(self) -> list[Block]:
        """What is unknown, told once with all that want the same."""
        groups: dict[str, list[str]] = {}
        for one in self.solution.findings:
            if one.verdict == "unknown":
                says = plain(one.says)
                wanted = _WANTED.search(says)
                groups.setdefault(f"measure {wanted[1]}" if wanted else says, []).append(self._name(one))
        return [_marked("unknown", _listed(names), [wants]) for wants, names in groups.items()]


def _beyond(finding: Finding) -> bool:
    value, limit = finding.value, finding.limit
    if value is None or limit is None:
        return False
    return value > limit if finding.sense == "at most" else value < limit


def _listed(names: Sequence[str]) -> str:
    first, *rest = names
    return "; ".join([first, *(small(name) for name in rest)])


def _marked(verdict: Verdict, head: str, details: Sequence[str], gap: float = 5.0) -> Block:
    """A verdict's shape and bold words in its colour, details under them."""
    colour = PAPER.colour(verdict)
    told = [paragraph(head, bold=True, colour=colour), *(paragraph(one) for one in details if one), space(gap)]

    def draw(board: Board, x: float, y: float, room: float) -> float:
        _mark(board, x, y, verdict)
        return indented(stacked(*told), _INDENT)(board, x, y, room)

    return draw


def _mark(board: Board, x: float, y: float, verdict: Verdict) -> None:
    board.mark(x + 5.6, y + 0.56 * BODY_PT * PX_PER_PT, 5.6, verdict)


def _sentence(number: int, verdict: Verdict, says: Sequence[str], pt: float) -> Block:
    told = _beside(str(number), says, pt, indent=_INDENT, colour=PAPER.colour(verdict))

    def draw(board: Board, x: float, y: float, room: float) -> float:
        _mark(board, x, y, verdict)
        return told(board, x, y, room)

    return draw


def _beside(
    label: str, words: Sequence[str], pt: float = BODY_PT, *, indent: float = 0.0, colour: str = PAPER.ink
) -> Block:
    """Bold words in a narrow column, others beside them; a long label goes over them."""
    told = stacked(*(paragraph(one, pt) for one in words if one))

    def draw(board: Board, x: float, y: float, room: float) -> float:
        end = paragraph(label, pt, bold=True, colour=colour)(board, x + indent, y, room - indent)
        over = width(label, pt, bold=True) > _NUMBER - indent - 4.0
        return max(end, told(board, x + _NUMBER, end if over else y, room - _NUMBER)) + 3.0

    return draw


def _clear(name: str, value: str) -> Block:
    """One clear finding: shape, title, value at the right edge; the value below where both are long."""

    def draw(board: Board, x: float, y: float, room: float) -> float:
        board.mark(x + 5.0, y + 0.56 * BODY_PT * PX_PER_PT, 5.0, "clear")
        told = lines(name, BODY_PT, room - _INDENT)
        end = paragraph(name)(board, x + _INDENT, y, room - _INDENT)
        if value:
            if width(value, BODY_PT) > room - _INDENT - width(told[-1], BODY_PT) - 10.0:
                end += line_height(BODY_PT)
            base = end - line_height(BODY_PT) + 0.9 * BODY_PT * PX_PER_PT
            board.write(x + room, base, value, BODY_PT, PAPER.ink, align="right")
        return end + 1.5

    return draw
