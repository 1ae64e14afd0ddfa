"""Two builds held against each other: in which entries they differ, and what is found differently.

The second is told as it stands to the first. Better is what has a better verdict, and nothing else: a value that is
nearer to its line is not, and what is not known is neither better nor worse than anything.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import isclose
from typing import Any, Literal

from geometry.document import Build
from geometry.document.brackets import Plan
from geometry.document.driveline import OwnPlan
from geometry.document.sides import SECOND
from geometry.words.finding import WORST_FIRST, title_of
from geometry.words.solution import Finding, Solution, Verdict

Turn = Literal["better", "worse", "same", "not judged"]
_TURNS: tuple[Turn, ...] = ("worse", "not judged", "better", "same")
_BY_WORST: dict[Verdict, int] = {"clear": 0, "caution": 1, "hold": 2}


@dataclass(frozen=True, slots=True)
class Differing:
    """An entry that is not the same in both: its dotted path, and its value in each, None where it is not entered."""

    path: str
    first: Any
    second: Any


@dataclass(frozen=True, slots=True)
class FoundApart:
    """A finding that is not the same in both, as found in each; None in a build where it is not asked.

    `title` names the trouble where either of them warns or holds, so that no caution stands beside a good word.
    """

    id: str
    part: str
    title: str
    first: Finding | None
    second: Finding | None

    @property
    def turn(self) -> Turn:
        """How the second stands to the first."""
        return turned(*(None if one is None else one.verdict for one in (self.first, self.second)))

    @property
    def changed(self) -> bool:
        """Whether its verdict is another one, or it is asked in one of both alone."""
        one, other = self.first, self.second
        return one is None or other is None or one.verdict != other.verdict


@dataclass(frozen=True, slots=True)
class Beside:
    """A second build beside a first one: what is entered and what is found differently, changed verdicts first, and of
    them what gets worse.

    Of what is found, all whose verdict differs, but what is clear where the other is not asked; and of what warns or
    holds in both alike, all whose value differs.
    """

    entered: tuple[Differing, ...]
    found: tuple[FoundApart, ...]
    turn: Turn
    """How the second build as a whole stands to the first, by its verdict."""


def beside(first: tuple[Build, Solution], second: tuple[Build, Solution]) -> Beside:
    """Hold a second build against a first one, each with its solution.

    >>> from geometry import edited, solve
    >>> build = edited(Build(), {"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8,
    ...                          "axle.pinion_slope_deg": 3.5})
    >>> other = edited(build, {"axle.pinion_slope_deg": 9.0})
    >>> told = beside((build, solve(build)), (other, solve(other)))
    >>> [(one.path, one.first, one.second) for one in told.entered]
    [('axle.pinion_slope_deg', 3.5, 9.0)]
    >>> [(one.title, one.turn) for one in told.found][:1]
    [('Ends apart', 'worse')]
    """
    return Beside(
        entered=tuple(_entered(first[0], second[0])),
        found=tuple(_found(first, second)),
        turn=turned(first[1].verdict, second[1].verdict),
    )


def turned(first: Verdict | None, second: Verdict | None) -> Turn:
    """How a verdict stands to another one.

    >>> turned("hold", "caution"), turned("caution", "hold"), turned("hold", "unknown"), turned("clear", "clear")
    ('better', 'worse', 'not judged', 'same')
    """
    if first == second:
        return "same"
    if first not in _BY_WORST or second not in _BY_WORST:
        return "not judged"
    return "better" if _BY_WORST[second] < _BY_WORST[first] else "worse"


def _entered(first: Build, second: Build) -> Iterator[Differing]:
    """The plan first, then in the document's order, those that only the second has behind; no plan is a plan of nothing."""
    one, other = (
        dict(_entries((build.plan or Plan()).model_dump(), "plan."))
        | dict(_entries(build.model_dump(exclude={"variants", "format", "plan"}), ""))
        | dict(_entries(_plan_there(build), f"{SECOND}plan."))
        for build in (first, second)
    )
    for path in sorted(dict.fromkeys((*one, *other)), key=lambda path: not path.startswith("plan.")):
        if one.get(path) != other.get(path):
            yield Differing(path, one.get(path), other.get(path))


def _plan_there(build: Build) -> dict[str, Any]:
    """The plan of the other driveline; none is a plan of nothing there too."""
    return (one.plan or OwnPlan()).model_dump() if (one := next(iter(build.drivelines), None)) else {}


def _entries(tree: Mapping[str, Any], prefix: str) -> Iterator[tuple[str, Any]]:
    """Every entry by its path; a point is one."""
    for name, value in tree.items():
        path = f"{prefix}{name}"
        if isinstance(value, dict):
            yield from _entries(value, f"{path}.")
        elif isinstance(value, tuple) and value and isinstance(value[0], dict):
            for number, item in enumerate(value):
                yield from _entries(item, f"{path}.{number}.")
        elif value not in (None, ()):
            yield path, value


def _found(first: tuple[Build, Solution], second: tuple[Build, Solution]) -> list[FoundApart]:
    one, other = ({(found.id, found.part): found for found in solution.findings} for _, solution in (first, second))
    made = []
    for key in dict.fromkeys((*one, *other)):
        build = first[0] if key in one else second[0]
        bad = any(found is not None and found.bad for found in (one.get(key), other.get(key)))
        told = FoundApart(*key, title_of(build, key, bad=bad), one.get(key), other.get(key))
        if _tells(told):
            made.append(told)
    return sorted(made, key=_order)


def _tells(told: FoundApart) -> bool:
    """Whether it is to be told: its verdict differs, or it warns or holds in both alike with another value."""
    one, other = told.first, told.second
    if one is None or other is None:
        return any(found is not None and found.verdict != "clear" for found in (one, other))
    if told.changed or not one.bad:
        return told.changed
    if one.value is None or other.value is None:
        return one.value != other.value
    return not isclose(one.value, other.value, rel_tol=1e-9, abs_tol=1e-9)


def _order(told: FoundApart) -> tuple[bool, int, int]:
    """Changed verdicts first, what gets worse before what gets better, and of each the worst that either has."""
    verdicts = [one.verdict for one in (told.first, told.second) if one is not None]
    return not told.changed, _TURNS.index(told.turn), min(map(WORST_FIRST.index, verdicts))
