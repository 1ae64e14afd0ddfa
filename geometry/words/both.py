"""The answer to a whole vehicle: each of its drivelines solved, and one verdict that names the worse."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from geometry.document import Build
from geometry.document.sides import End, driveline, end_of
from geometry.words.finding import WORST_FIRST
from geometry.words.solution import Solution, Verdict
from geometry.words.solve import solve


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
        worse = self.worse
        return f"{worse.end.capitalize()} shaft: {_small(worse.solution.says)} {self.beside(worse)}"

    def beside(self, one: Driveline) -> str:
        """What the others come to beside one of the drivelines; nothing where there is none.

        >>> from geometry.document import edited
        >>> both = edited(Build(), {"drivelines": ({"axle": {"end": "front"}},)})
        >>> solve_whole(both).beside(solve_whole(both).drivelines[0])
        'Front shaft: unknown.'
        """
        others = (other for other in self.drivelines if other.end != one.end)
        return " ".join(f"{other.end.capitalize()} shaft: {other.solution.verdict}." for other in others)

    @property
    def worst_first(self) -> tuple[Driveline, ...]:
        """The drivelines, the one that decides first."""
        return (self.worse, *(one for one in self.drivelines if one is not self.worse))

    def model_dump(self) -> dict[str, Any]:
        """Plain dictionaries: the first driveline's answer as it is alone; with a second one that besides.

        Then `verdict` and `says` at the top are the whole vehicle's, `worse` names the driveline that decides, and
        `drivelines` holds each one's own verdict, and of the second its whole answer.
        """
        first, *others = self.drivelines
        plain = first.solution.model_dump()
        if not others:
            return plain
        own = {"end": first.end, "verdict": first.solution.verdict, "says": first.solution.says}
        behind = [{"end": one.end, **one.solution.model_dump()} for one in others]
        whole = {"verdict": self.verdict, "says": self.says, "worse": self.worse.end}
        return {**plain, **whole, "drivelines": [own, *behind]}

    def model_dump_json(self, *, indent: int | None = None) -> str:
        """The same as JSON text; numbers that are not known are null."""
        return json.dumps(self.model_dump(), indent=indent, ensure_ascii=False, allow_nan=False)


def _small(text: str) -> str:
    return f"{text[0].lower()}{text[1:]}"


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
