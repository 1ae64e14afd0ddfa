"""The answer to a whole vehicle: each of its drivelines solved, and one verdict that names the worse."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from geometry.document import Build
from geometry.document.sides import End, driveline, end_of, other_end, swapped
from geometry.words.finding import WORST_FIRST
from geometry.words.solution import Solution, Verdict
from geometry.words.solve import Work, solve, solved
from geometry.words.wording import capital, small


@dataclass(frozen=True, slots=True)
class Driveline:
    """One driveline of a vehicle: which axle it drives, the build as seen from it, and the answer to that."""

    end: End
    build: Build
    solution: Solution

    @property
    def name(self) -> str:
        """What it is called in a sentence."""
        return f"{self.end} shaft"


@dataclass(frozen=True, slots=True)
class Whole:
    """All drivelines of a vehicle as the document has them, one or two; `worse` is the one that decides."""

    drivelines: tuple[Driveline, ...]
    worse: Driveline

    @property
    def verdict(self) -> Verdict:
        """The worst verdict of all."""
        return self.worse.solution.verdict

    @property
    def says(self) -> str:
        """What the worst of them comes to; with two it is named, and what the other one comes to behind it."""
        if len(self.drivelines) == 1:
            return self.worse.solution.says
        worse, (other,) = self.worse, self.worst_first[1:]
        says = small(worse.solution.says)
        return f"{capital(worse.end)} shaft, {says} {capital(other.end)} shaft: {other.solution.verdict}."

    @property
    def worst_first(self) -> tuple[Driveline, ...]:
        """The drivelines, the one that decides first."""
        return (self.worse, *(one for one in self.drivelines if one is not self.worse))

    def model_dump(self) -> dict[str, Any]:
        """Plain dictionaries: the first driveline's answer as it is alone; with a second one that besides.

        Then `verdict` and `says` at the top are the whole vehicle's, `worse` names the driveline that decides, and
        `drivelines` holds each one's own verdict, and of the second its whole answer.
        """
        plain = self.drivelines[0].solution.model_dump()
        if len(self.drivelines) == 1:
            return plain
        first, second = self.drivelines
        says = [
            says_beside(one.end, one.solution, other.solution.verdict)
            for one, other in ((first, second), (second, first))
        ]
        both = [
            {"end": first.end, "verdict": first.solution.verdict, "says": says[0]},
            {"end": second.end, **second.solution.model_dump(), "says": says[1]},
        ]
        return {**plain, "verdict": self.verdict, "says": self.says, "worse": self.worse.end, "drivelines": both}

    def model_dump_json(self, *, indent: int | None = None) -> str:
        """The same as JSON text; numbers that are not known are null."""
        return json.dumps(self.model_dump(), indent=indent, ensure_ascii=False, allow_nan=False)


def says_beside(end: End, solution: Solution, other: Verdict | None) -> str:
    """What the answer to one driveline says beside the other's verdict, which is None where there is none.

    While either is on hold nothing is to be tacked.

    >>> from geometry.document import edited
    >>> one = solve(edited(Build(), {"powertrain.slope_deg": 20.0, "axle.end": "front"}))
    >>> says_beside("front", one, "clear")[-19:], says_beside("rear", solve(Build()), "hold")
    (' Rear shaft: clear.', 'Do not tack yet: the front shaft is on hold. The rear shaft by itself: unknown.')
    """
    if other is None:
        return solution.says
    if other == "hold" and solution.verdict != "hold":
        return f"Do not tack yet: the {other_end(end)} shaft is on hold. The {end} shaft by itself: {solution.verdict}."
    return f"{solution.says} {capital(other_end(end))} shaft: {other}."


def on_hold(solution: Solution) -> bool:
    """Whether nothing is to be tacked or welded yet: of two shafts either may hold the other up.

    >>> on_hold(solve(Build()))
    False
    """
    return "hold" in {solution.verdict, solution.beside}


def other_verdict(build: Build) -> Verdict | None:
    """Verdict of the driveline that is not in sight; None where there is none.

    >>> from geometry.document import edited
    >>> both = edited(Build(), {"drivelines": ({"axle": {"end": "front"}},)})
    >>> other_verdict(both), other_verdict(Build()) is None
    ('unknown', True)
    """
    return solved(Work(swapped(build)), with_ways=False).verdict if build.drivelines else None


def worse_of(solutions: Sequence[Solution]) -> int:
    """Which of some answers is the worst: by its verdict, then by how many findings hold, and are a caution."""

    def rank(place: int) -> tuple[int, ...]:
        solution = solutions[place]
        verdicts = [finding.verdict for finding in solution.findings]
        return (-WORST_FIRST.index(solution.verdict), *(verdicts.count(word) for word in WORST_FIRST[:3]), -place)

    return max(range(len(solutions)), key=rank)


def solve_whole(build: Build) -> Whole:
    """Work out the answer for each driveline of a vehicle.

    >>> from geometry.document import edited
    >>> both = edited(Build(), {"drivelines": ({"axle": {"end": "front"}},)})
    >>> [one.name for one in solve_whole(both).drivelines], solve_whole(both).verdict
    (['rear shaft', 'front shaft'], 'unknown')
    """
    views = [driveline(build, number) for number in range(1 + len(build.drivelines))]
    found = tuple(Driveline(end_of(view), view, solve(view)) for view in views)
    return Whole(found, found[worse_of([one.solution for one in found])])
