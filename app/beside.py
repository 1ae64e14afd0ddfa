"""Two builds held against each other, in words: for the page in the window, and for a terminal."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any, Final, NamedTuple

from app.amounts import reach_deg
from app.cautions import CAUTIONS
from app.complaints import one_line, shortened, unit_of
from app.differing import entry_title
from app.drawing.palette import VERDICT_SIGNS
from app.drawing.wording import value_words
from app.measuring.entries import choice_words
from app.naming import name_of, other_words
from app.setpoints import SetPoint, set_points, variant_words
from app.terminal import WIDTH, headed, wrapped
from app.units import as_kind, degrees, show, show_planned, show_tape
from geometry.document import Build, value_at
from geometry.document.beside import chosen_paths, kept, kept_as
from geometry.document.entries import is_numeric
from geometry.document.sides import SECOND, end_of, other_end, path_swapped
from geometry.document.vehicle import Display
from geometry.words.beside import Beside, FoundApart, Turn, beside
from geometry.words.solution import Finding, Solution, Verdict
from geometry.words.solve import Work, solved
from geometry.words.wording import capital, small

PLANNED, FOUND = "planned and to set", "found differently"
NOTHING: Final = ("The same is planned and to be set in both.", "What is judged comes out the same in both.")
AS_MEASURED: Final = "as measured"
NONE: Final = "none"
_NOT_KNOWN: Final = "not known"
_WORDS: Final[dict[Verdict | None, str]] = {
    "hold": "hold", "caution": "caution", "clear": "clear", "unknown": "not judged", None: "not asked",
}  # fmt: skip
_SAME_AS_PLANNED: Final = ("Block, ", "Plate, ")
"""Set-points that only repeat what is planned."""
_SLIP: Final = "shaft.slip.engaged_mm"
"""An entry that the plan moves, so that what is set reads otherwise."""
_LONGEST_NAME: Final = 60
_TEXTS: Final = frozenset({"title", "notes", "name", "day"})
"""Entries that are the person's own words."""


class Pair(NamedTuple):
    """A row of what is planned and to set: its name between the values; whether it is chosen, so boxed."""

    first: str
    name: str
    second: str
    chosen: bool


class Side(NamedTuple):
    """What one of both builds is found to be: verdict, value, and the word for it; no verdict where it is not asked."""

    verdict: Verdict | None
    value: str
    word: str


class FoundRow(NamedTuple):
    """A row of what is found differently; `turn` is how the second stands to the first, by its verdict."""

    first: Side
    name: str
    second: Side
    turn: Turn

    @property
    def tells(self) -> bool:
        """Whether the verdict is a better or a worse one."""
        return self.turn in {"better", "worse"}


class Two(NamedTuple):
    """A build and one that is kept beside it: names, builds, solutions, and the rows in which they differ."""

    names: tuple[str, str]
    builds: tuple[Build, Build]
    solutions: tuple[Solution, Solution]
    entered: tuple[Pair, ...]
    to_set: tuple[Pair, ...]
    found: tuple[FoundRow, ...]
    notes: tuple[str, ...]
    """Whose set-points are with a remedy, and which one."""
    open: str
    """How many findings are not judged in each; nothing where all of them are."""


def two_of(build: Build, solution: Solution, number: int) -> Two:
    """Hold one of the kept plans against the build, whose solution is known."""
    other = kept(build, number)
    builds, solutions = (build, other), (solution, solved(Work(other)))
    told = beside((build, solution), (other, solutions[1]))
    to_set = tuple(_to_set(builds, solutions))
    remedies = [variant_words(*one) for one in zip(builds, solutions, strict=True)]
    left = [sum(one.verdict == "unknown" for one in its.findings) for its in solutions]
    return Two(
        names=(called(build), build.variants[number].name),
        builds=builds,
        solutions=solutions,
        entered=tuple(_entered(builds, told)),
        to_set=to_set,
        found=tuple(_found(builds, solutions, told)),
        notes=_notes(remedies) if to_set else (),
        open=f"not judged: {left[0]} in A, {left[1]} in B" if any(left) else "",
    )


def _notes(remedies: Sequence[str]) -> tuple[str, ...]:
    """Whose set-points are with which remedy, once where it is the same."""
    if remedies[0] == remedies[1]:
        return (f"A and B to set {remedies[0]}",) if remedies[0] else ()
    return tuple(f"{letter} to set {words}" for letter, words in zip("AB", remedies, strict=True) if words)


def named(build: Build, number: int) -> bool:
    """Whether a person gave a kept plan its name, so that it is not just made of what is planned."""
    name, made = build.variants[number].name, called(kept(build, number))
    return not re.fullmatch(f"{re.escape(made[:70])}(, [0-9]+)?", name)


def called(build: Build) -> str:
    """What a plan is called: as it is kept, where it is; else by what it changes.

    >>> from geometry import edited
    >>> called(Build()), called(edited(Build(), {"plan.rear_lift_mm": 76.2, "plan.front_lift_mm": 76.2}))
    ('as measured', '3 in of lift')
    >>> called(edited(Build(), {"plan.rear_lift_mm": -50.8, "plan.axle_shim_deg": 2.0}))
    'rear lowered by 2 in, 2.0° wedge'
    """
    place = kept_as(build)
    if place is not None:
        return build.variants[place].name
    display, made = build.display, list[str]()
    lifts = {end: value_at(build, f"plan.{end}_lift_mm") or 0.0 for end in ("rear", "front")}
    if lifts["rear"] == lifts["front"] != 0.0:
        made.append(_lifted(lifts["rear"], "", display))
    else:
        made += [_lifted(lift, f"{end} ", display) for end, lift in lifts.items() if lift]
    for path, words in (
        ("plan.axle_shim_deg", "{} wedge"), ("plan.pinion_slope_deg", "pinion to {}"),
        ("plan.mount_shim_mm", "{} shim"), ("plan.powertrain_slope_deg", "output to {}"),
    ):  # fmt: skip
        value = value_at(build, path)
        if value:
            made.append(words.format(degrees(value) if path.endswith("_deg") else _length(value, display)))
    name = ", ".join(made) or AS_MEASURED
    return name if len(name) <= _LONGEST_NAME else f"{name[: _LONGEST_NAME - 1].rstrip(' ,')}…"


def _lifted(lift_mm: float, end: str, display: Display) -> str:
    size = _length(abs(lift_mm), display)
    if lift_mm < 0.0:
        return f"{end}lowered by {size}"
    return f"{size} of lift{f' at the {end}'.rstrip() if end else ''}"


def _length(value_mm: float, display: Display) -> str:
    """A length as it is set: 3 in, 1/4 in, 0.3 in."""
    taped = show_tape(value_mm, display)
    return show_planned(value_mm, display) if taped.startswith("≈") else taped


# ---- what is planned and to set


def _entered(builds: tuple[Build, Build], told: Beside) -> Iterator[Pair]:
    """Every entry that is not the same in both."""
    chosen = {path for build in builds for path in chosen_paths(build)}
    for one in told.entered:
        its = builds[1] if one.first is None else builds[0]
        name = name_of(its, one.path) if is_numeric(one.path) else _title(its, one.path)
        name = f"{name}, before the plan" if one.path == _SLIP else name
        words = [_value(one.path, value, builds[0].display) for value in (one.first, one.second)]
        yield Pair(words[0], small(name), words[1], any(f"{one.path}.".startswith(f"{path}.") for path in chosen))


def _title(build: Build, path: str) -> str:
    """What an entry that is no number is called, of the other shaft with its end."""
    if path.startswith(SECOND):
        return f"{entry_title(path_swapped(path))} at the {other_end(end_of(build))}"
    return entry_title(path)


def _value(path: str, value: Any, display: Display) -> str:
    """An entry in a few letters, in the person's units."""
    if value is None:
        return NONE
    if isinstance(value, tuple) and isinstance(value[0], tuple):
        return f"{len(value)} corners"
    if isinstance(value, tuple):
        return " / ".join(_value(path, one, display) for one in value)
    if isinstance(value, str) and path.rpartition(".")[2] in _TEXTS:
        return one_line(shortened(value))
    if isinstance(value, bool | str):
        return choice_words(value)
    kind = as_kind(unit_of(path) or "ratio")
    return show_planned(value, display) if kind == "mm" else show(value, kind, display)


def _to_set(builds: tuple[Build, Build], solutions: tuple[Solution, Solution]) -> Iterator[Pair]:
    """Set-points that do not read the same in both; those that may yield on paper come last."""
    one, other = (_rows(build, its) for build, its in zip(builds, solutions, strict=True))
    names = dict.fromkeys((*one, *other))
    for name in sorted(names, key=lambda name: any(rows[name].spare for rows in (one, other) if name in rows)):
        rows = one.get(name), other.get(name)
        ways = {row.leans for row in rows if row is not None and row.leans}
        words = [_set(row, way=len(ways) > 1) for row in rows]
        if words[0] != words[1]:
            yield Pair(words[0], small(name[0]), words[1], chosen=False)


def _rows(build: Build, solution: Solution) -> dict[tuple[str, str], SetPoint]:
    """Set-points by their names, and of what is moved by whether up and down or to and fro."""
    made = {}
    for row in set_points(build, solution):
        name, _, moved = row.label.partition(": ")
        if not row.label.startswith(_SAME_AS_PLANNED):
            made[name, "along" if moved.startswith("move") else ""] = row
    return made


def _set(row: SetPoint | None, *, way: bool) -> str:
    """A number to set; of what is moved, which way before how far."""
    if row is None:
        return NONE
    if not row.value:
        return _NOT_KNOWN
    moved = row.label.partition(": ")[2]
    return f"{moved} {row.value}" if moved else f"{row.value} {row.leans}".rstrip() if way else row.value


# ---- what is found differently


def _found(builds: tuple[Build, Build], solutions: tuple[Solution, Solution], told: Beside) -> Iterator[FoundRow]:
    parts: dict[str, set[str]] = {}
    for solution in solutions:
        for finding in solution.findings:
            parts.setdefault(finding.id, set()).add(finding.part)
    for one in told.found:
        sides = [_side(found, build) for found, build in zip((one.first, one.second), builds, strict=True)]
        if one.changed or sides[0] != sides[1]:
            yield FoundRow(sides[0], _name(one, several=len(parts[one.id]) > 1), sides[1], one.turn)


def _name(one: FoundApart, *, several: bool) -> str:
    part = f", {one.part.partition('_')[0]}" if several else ""
    return f"{small(one.title)}{part}"


def _side(finding: Finding | None, build: Build) -> Side:
    """A finding's verdict and value, as the list has it."""
    if finding is None:
        return Side(None, "", _WORDS[None])
    if finding.verdict == "unknown" or finding.value is None:
        return Side(finding.verdict, "", _WORDS[finding.verdict])
    most = reach_deg(finding.part, build) if finding.id == "joint_bind" else None
    # In which state it is worst the findings tell; here is no room for it.
    value = value_words(replace(finding, state=None), build.display, most).partition(", ")[0]
    return Side(finding.verdict, value, _WORDS[finding.verdict])


def turn_words(row: FoundRow) -> str:
    """What the second build is found to be there, and whether that is better or worse: caution, better."""
    return f"{row.second.word}, {row.turn}" if row.tells else row.second.word


# ---- in a terminal

_NAME, _COLUMN = 43, 24


def beside_text(two: Two, source_name: str) -> str:
    """Return it as text, no line wider than 98 columns."""
    build = two.builds[0]
    lines = [headed(build, source_name), ""]
    of_both = zip("AB", two.names, two.builds, two.solutions, ("in the file", "kept beside it"), strict=True)
    for letter, name, its, solution, of in of_both:
        said = f"{VERDICT_SIGNS[solution.verdict]} {solution.verdict} ({counted(solution)})"
        told = "; ".join(filter(None, (said, other_words(its))))
        lines += wrapped(f"{letter}  {name}, {of}: {told}", later="   ")
    lines += ["", _row(capital(PLANNED), "A", "B")]
    lines += [_row(pair.name, pair.first, pair.second) for pair in two.entered]
    lines += [line for note in two.notes for line in wrapped(note, later="  ")]
    lines += [_row(pair.name, pair.first, pair.second) for pair in two.to_set]
    lines += [] if two.entered or two.to_set else [NOTHING[0]]
    lines += ["", _row(capital(FOUND), "A", "B")]
    for row in two.found:
        lines.append(_row(row.name, _found_words(row.first, row.first.word), _found_words(row.second, turn_words(row))))
    lines += [] if two.found else [NOTHING[1]]
    lines += [two.open] if two.open else []
    lines += ["", *wrapped(CAUTIONS[0])]
    return "\n".join(lines) + "\n"


def _found_words(side: Side, words: str) -> str:
    """Sign, value and word of one side: ▲ 21.3° caution, better."""
    sign = " " if side.verdict is None else VERDICT_SIGNS[side.verdict]
    return " ".join(part for part in (sign, side.value, words) if part)


def counted(solution: Solution) -> str:
    """How many findings have each verdict, worst first: 8 hold, 3 caution, 17 clear."""
    counts = {verdict: sum(one.verdict == verdict for one in solution.findings) for verdict in _WORDS}
    return ", ".join(f"{count} {_WORDS[verdict]}" for verdict, count in counts.items() if count)


def _row(name: str, first: str, second: str) -> str:
    cells = [
        _fitted(text, wide - 2)
        for text, wide in ((name, _NAME), (first, _COLUMN), (second, WIDTH - _NAME - _COLUMN + 2))
    ]
    return one_line(f"{cells[0]:{_NAME}}{cells[1]:{_COLUMN}}{cells[2]}".rstrip())


def _fitted(text: str, wide: int) -> str:
    """A text cut in its middle: its end tells which of several it is."""
    return text if len(text) <= wide else f"{text[: wide - 14]}…{text[-13:]}"
