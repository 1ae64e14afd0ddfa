"""One finding of one row with its numbers ready to be worded: what every sentence starts from."""

from dataclasses import dataclass
from functools import cached_property
from math import isfinite, isnan
from typing import NamedTuple

import numpy as np

from geometry.judge.codes import Key, finding_id
from geometry.judge.limits import LIMITS, Limit
from geometry.mechanics.vectors import Floats
from geometry.words.solution import Verdict
from geometry.words.told import Told
from geometry.words.wording import finer_apart, shorn, worded

FINE = frozenset({
    "ends_parallel", "straight_end", "operating_angle_least", "gauge_resolution", "stick_slope", "pad_twist",
    "thrust_angle", "toe_before", "toe_welded", "camber_before", "camber_welded",
})  # fmt: skip
"""Findings whose value is worded in hundredths of a degree."""
JOINT = {"front_joint": "front", "centre_joint": "centre", "rear_joint": "rear"}
"""A joint's name by its part of the drawing."""


class Want(NamedTuple):
    """What is wanted: the entries, none of which is there, and what they are called together in a sentence."""

    paths: tuple[str, ...]
    name: str


class One:
    """A finding that is asked in the row that is told.

    `id` names its row of the limits table, which is `row`. `value` is what was reckoned, whether or not it settles the
    `verdict`; `clear` is the line up to which it is clear, `hold` the one beyond which it holds: none where there is no
    clear one either. `wants` is what it wants once that has been looked for, see `geometry.words.wants`; `place` is
    where over the travel its value is, by itself once that has been looked for, see `geometry.words.where`.

    Raises
    ------
    KeyError
        Where the row is not asked.
    """

    def __init__(self, told: Told, key: Key) -> None:
        self.told, self.key, self.id = told, key, finding_id(key)
        self.row: Limit = LIMITS[self.id]
        judged, verdict = told.found[key], told.verdict(key)
        if verdict is None:
            raise KeyError(f"{key} is not asked")
        self.verdict: Verdict = verdict
        self.value, self.clear = _known(judged.value.item(told.row)), _known(judged.clear.item(told.row))
        self.hold = None if self.clear is None else _known(judged.hold.item(told.row))
        self.wants: list[Want] | None = None
        self.place: tuple[Place | None] | None = None

    @property
    def joint(self) -> int:
        """Which joint it is about, front to rear."""
        return self.told.facts.kinds.names.index(JOINT[self.key[1]])

    @property
    def sense(self) -> str:
        """On which side of its lines the value must lie."""
        return "at most" if self.row.sense == "most" else "at least"

    @cached_property
    def finer(self) -> int:
        """Decimals more than usual that tell the value and its lines apart."""
        least = 1 if self.id in FINE else 0
        if self.value is None:
            return least
        lines = [line for line in (self.clear, self.hold) if line is not None]
        return finer_apart(self.value, lines, self.row.unit, self.told.display, least)

    def text(self, value: float | None) -> str:
        """A number in the finding's unit, as its value is worded."""
        return worded(0.0 if value is None else value, self.row.unit, self.told.display, self.finer)

    @property
    def worded(self) -> str:
        """The value."""
        return self.text(self.value)

    def line(self, value: float | None) -> str:
        """A line of the table, without noughts at its end."""
        return shorn(self.text(value))

    @property
    def wanted(self) -> str:
        """The number that is wanted, e.g. "at most 3° is wanted"; with the last one where it holds."""
        wish = f"{self.sense} {self.line(self.clear)} is wanted"
        if self.verdict != "hold" or self.hold is None or self.hold == self.clear:
            return wish
        return f"{wish}, and {self.line(self.hold)} is the {'most' if self.sense == 'at most' else 'least'}"

    def other(self, value: float | None, unit: str, finer: int = 0) -> str:
        """Any other number of the sentence."""
        return worded(0.0 if value is None else value, unit, self.told.display, finer)

    def number(self, values: Floats) -> float | None:
        """The row's number."""
        return self.told.number(values)


def _known(value: float) -> float | None:
    return value if isfinite(value) else None


@dataclass(frozen=True)
class Place:
    """Where over the travel a value is worst: travel in mm, bump positive, and whether launch wind-up makes it."""

    travel_mm: float
    wound: bool

    def words(self, told: Told) -> str:
        """Say where, e.g. "at 2.10 in (53 mm) of bump, wound up by launch torque"."""
        launch = ", wound up by launch torque" if self.wound else ""
        if abs(self.travel_mm) < 0.05 or isnan(self.travel_mm):
            return f"at ride height{launch}"
        way = "bump" if self.travel_mm > 0.0 else "droop"
        return f"at {worded(abs(self.travel_mm), 'mm', told.display)} of {way}{launch}"


def worst_place(told: Told, values: Floats) -> Place | None:
    """Where the least of a value is, among what counts for its verdict; (sweeps, places, rows). None where nowhere known."""
    facts = told.facts
    travelled = facts.travelled
    two = np.array([told.at(part) for part in facts.over_windup(values)])
    still, wound = np.where(told.at(travelled.certain) & np.isfinite(two), two, np.inf)
    wound += 1e-9  # an exact tie is not the wind-up's doing
    both = np.minimum(still, wound) if told.at(facts.launch_settled) else still
    place = int(both.argmin())
    if not isfinite(both[place]):
        return None
    travel = told.at(facts.sweep.travel_mm)
    return Place(float(travel[place]), bool(both[place] < still[place]))
