"""One row of the facts and of the judgement, as plain numbers: what a sentence is made from."""

from dataclasses import dataclass, replace
from math import isfinite
from typing import Any

from geometry.document import Build
from geometry.document.vehicle import Display
from geometry.judge.codes import WORDS, Found, Key
from geometry.judge.facts import Facts
from geometry.judge.judging import Elsewhere
from geometry.judge.states import BETWEEN, MEASURED
from geometry.words.solution import Verdict


@dataclass(frozen=True)
class Told:
    """The build of one row, with its facts and findings; `row` counts in both.

    `elsewhere` are the other states that the vehicle is used in; `state` names the one that this is told of, which is
    nothing where there is but one.
    """

    build: Build
    facts: Facts
    found: Found
    row: int = 0
    elsewhere: Elsewhere | None = None
    state: str | None = None

    def worst(self, key: Key) -> "Told":
        """The row in the state in which a finding is worst."""
        there = self.elsewhere
        if there is None:
            return self
        if there.sunk is not None and key in there.sunk_worse and there.sunk_worse[key].item(self.row):
            return Told(self.build, there.sunk, there.sunk_found, self.row, None, there.sunk_name)
        if key not in there.where:
            return self
        number = there.where[key].item(self.row)
        return self.in_state(number) if number else replace(self, state=MEASURED)

    def in_state(self, number: int) -> "Told":
        """The row in one of its states, as measured number 0; beyond them at a place between."""
        there = self.elsewhere
        if there is None:
            raise IndexError(f"there is no state {number}")
        row = number * self.facts.v.rows + self.row
        name = there.names[number] if number < len(there.names) else BETWEEN
        return Told(self.build, there.facts, there.found, row, None, name)

    @property
    def display(self) -> Display:
        """The units that the person reads."""
        return self.build.display

    def number(self, values: Any) -> float | None:
        """The row's number of (rows,) or one for all; None where it is not known or has no end."""
        one = float(values if isinstance(values, float) else self.at(values))
        return one if isfinite(one) else None

    def at(self, values: Any) -> Any:
        """The row of an array whose last axis is the rows, or one for all; what stands before that axis stays."""
        if isinstance(values, float):
            return values
        return values[..., self.row if values.shape[-1] > 1 else 0] if values.ndim else values[()]

    def verdict(self, key: Key) -> Verdict | None:
        """Verdict of a finding, or None where it is not asked."""
        word = WORDS[self.found[key].verdict.item(self.row)]
        return word or None  # type: ignore[return-value]

    def value(self, key: Key) -> float | None:
        """Value of a finding."""
        one: float = self.found[key].value.item(self.row)
        return one if isfinite(one) else None
