"""From a build to the whole answer."""

from dataclasses import replace
from functools import cached_property, partial

import numpy as np

from geometry.document import Build
from geometry.document.brackets import Plan
from geometry.document.entries import variants
from geometry.judge.facts import Facts
from geometry.judge.judging import judged_in_states
from geometry.judge.search import Tried, tried, wide
from geometry.judge.states import State
from geometry.words import answer
from geometry.words.brackets import behind_of, brackets_of, region_of
from geometry.words.buying import buying_of
from geometry.words.finding import WORST_FIRST, findings_of, overall
from geometry.words.flexible import lines_to_buy
from geometry.words.order import order_of
from geometry.words.picture import Floor, floor_of, picture
from geometry.words.place import Torque, at_ride
from geometry.words.posed import posed
from geometry.words.remedies import Ranking, with_remedies
from geometry.words.setpoints import setpoints_of, states_of
from geometry.words.solution import Pair, SetPoints, Solution
from geometry.words.told import Told

POSITIONS = 41
"""Places of the axle's travel, full droop to full bump; ride height is always one of them."""


class Work:
    """A build as it is worked out, each part when it is first asked for: the facts, the judgement, what may be changed."""

    def __init__(self, build: Build) -> None:
        self.build = build
        self._in_states: dict[int, Facts] = {}
        self._regions: dict[int, tuple[tuple[Pair, ...], ...]] = {}

    @cached_property
    def facts(self) -> Facts:
        """The plan's facts, one row."""
        with np.errstate(all="ignore"):
            return Facts(variants(self.build), POSITIONS)

    @cached_property
    def told(self) -> Told:
        """The plan's facts and findings."""
        with np.errstate(all="ignore"):
            found, elsewhere = judged_in_states(self.facts)
            return Told(self.build, self.facts, found, elsewhere=elsewhere)

    @cached_property
    def tried(self) -> Tried:
        """The plan with what may be changed about it, judged whole."""
        with np.errstate(all="ignore"):
            return tried(self.facts)

    @property
    def floor(self) -> Floor:
        """How points in the frame's axes come to lie over the floor after the lift."""
        return floor_of(self._unjudged)

    @property
    def axle_turn_deg(self) -> float:
        """How far the lift has turned the axle, slope growing, degrees; nil where that is not known."""
        return self._unjudged.number(self.facts.ride.turn_deg) or 0.0

    @property
    def _unjudged(self) -> Told:
        return Told(self.build, self.facts, {})

    def shock_region(self, index: int) -> tuple[tuple[Pair, ...], ...]:
        """Where the upper eye of a shock may go, seen from the side: outlines over the floor; see `region_of`."""
        if index not in self._regions:
            with np.errstate(all="ignore"):
                self._regions[index] = region_of(self._unjudged, index)
        return self._regions[index]

    def posed(
        self, whole: Solution, travel_mm: float = 0.0, torque: Torque = "none", state: int = 0
    ) -> Solution | None:
        """A solution moved to a place of this build's travel, under torque, in one of its states; not judged for it."""
        return posed(self.in_state(state) if state else self._unjudged, whole, travel_mm, torque)

    @property
    def states(self) -> tuple[State, ...]:
        """The states that it is used in, as measured first."""
        return self.facts.states

    def in_state(self, number: int) -> Told:
        """The plan in one of its states, unjudged."""
        if number not in self._in_states:
            with np.errstate(all="ignore"):
                moved = self.facts.states[number].moved
                self._in_states[number] = Facts(variants(self.build), 0, None, moved)
        return Told(self.build, self._in_states[number], {}, state=self.facts.states[number].name)


def solve(build: Build) -> Solution:
    """Work out the whole answer for a build: angles, joints, shaft, motion, set-points, findings, picture.

    Pure: the same build gives the same solution, and nothing else is read or changed. What the build cannot give is
    None, and the finding that wanted it names the measurement.

    Examples
    --------
    >>> from geometry.document import edited
    >>> readings = {"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8, "axle.pinion_slope_deg": 3.5}
    >>> [round(joint.operating_deg, 6) for joint in solve(edited(Build(), readings)).joints]
    [7.3, 7.3]
    """
    return solved(Work(build))


def _measured(work: Work, told: Told) -> SetPoints:
    """The set-points without the plan."""
    if told.build.plan is None or told.build.plan == Plan():
        return setpoints_of(told)
    bare = work.facts.unplanned()
    return setpoints_of(Told(bare.v.build, bare, {}))


def _as_set(work: Work, ways: Tried | None, row: int | None) -> Told:
    """The build that the set-points are of by itself, unjudged: with the changes of the row that is recommended, if any.

    What is told of shocks, bars, hoses and the largest tube wants one row and every place of the travel, and no gap that
    is only known to be wide enough: all that rows tried about a plan have not.
    """
    facts = work.facts
    if ways is not None and row is not None:
        facts = Facts(wide(facts.v, (ways.changes[row],)), POSITIONS)
    return Told(work.build, facts, {})


def solved(work: Work, *, with_ways: bool = True) -> Solution:
    """Put the whole answer together; for what is only compared with it, without the ways out."""
    ways = work.tried if with_ways else None
    told = work.told if ways is None else Told(work.build, ways.facts, ways.found, 0, ways.elsewhere)
    with np.errstate(all="ignore"):
        plain = sorted(findings_of(told), key=lambda one: WORST_FIRST.index(one.verdict))
        findings, row = with_remedies(told, plain, None if ways is None else Ranking(told, ways))
        verdict, says = overall(findings)
        chosen = told if row is None else replace(told, row=row)
        as_set = _as_set(work, ways, row)
        place = at_ride(told)
        return Solution(
            verdict=verdict,
            says=says,
            angles=answer.angles(told, place),
            joints=answer.joints(told, place),
            shaft=answer.shaft(told, place),
            motion=answer.motion(told, place),
            travel=answer.travel(told),
            windup=answer.windup(told),
            setpoints=setpoints_of(chosen),
            buying=buying_of(chosen),
            states=states_of(chosen),
            measured=_measured(work, told),
            findings=findings,
            picture=picture(told, place),
            on_order=partial(order_of, chosen, as_set),
            lines=lines_to_buy(as_set),
            behind=behind_of(told),
            on_brackets=partial(brackets_of, as_set) if with_ways else None,
        )
