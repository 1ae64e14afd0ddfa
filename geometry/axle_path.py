"""The path of the axle's centre over the travel, and how a linkage is solved for heights.

A leaf spring and a four-bar have one thing in common: one number (the leaf's curvature, the lower link's angle) fixes
every point in closed form. What is wanted is the inverse: that number for a given height of the axle. `find_run` looks
for the stretch around a known posture over which the height runs one way, up to where it turns back or the linkage is
at its stop; `Run.solve` then inverts it for a whole array of heights.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from geometry.frames import Floats

HeightCurve: TypeAlias = Callable[[Floats], tuple[Floats, Floats]]
"""Height (mm) and its exact derivative at each parameter, (n,) -> (n,), (n,)."""

# Nodes crowd toward both ends like those of Chebyshev, because near a dead point the height goes like a square root.
_NODES = 0.5 - 0.5 * np.cos(np.linspace(0.0, np.pi, 129))
_FRACTIONS = np.linspace(0.0, 1.0, 129)
_CLOSE_MM = 1e-9
_MOST_STEPS = 60


@dataclass(frozen=True, slots=True)
class AxlePath:
    """Displacement of the axle from its ride posture, one row for each asked travel.

    Every array is (n,): `travel_mm` as asked (positive: axle up, bump), `dx_mm` rearward, `dz_mm` up, `turn_deg` the
    change of the axle's slope (positive: its pinion's nose rises), `reachable` False where the linkage cannot follow;
    there the displacements are NaN.
    """

    travel_mm: Floats
    dx_mm: Floats
    dz_mm: Floats
    turn_deg: Floats
    reachable: NDArray[np.bool_]

    @property
    def first_unreachable_bump_mm(self) -> float | None:
        """Least travel at or above ride height among those asked that cannot be reached, or None."""
        missed = self.travel_mm[~self.reachable & (self.travel_mm >= 0.0)]
        return float(missed.min()) if missed.size else None

    @property
    def first_unreachable_droop_mm(self) -> float | None:
        """Travel nearest to ride height, at or below it, among those asked that cannot be reached, or None."""
        missed = self.travel_mm[~self.reachable & (self.travel_mm <= 0.0)]
        return float(missed.max()) if missed.size else None

    @property
    def first_unreachable_mm(self) -> float | None:
        """The travel nearest to ride height, either way, among those asked that cannot be reached, or None."""
        missed = self.travel_mm[~self.reachable]
        return float(missed[np.abs(missed).argmin()]) if missed.size else None


class Run(NamedTuple):
    """A stretch of the parameter over which the height runs one way: `sense` +1 upward with the parameter, -1 downward.

    `parameter` (m,) ascends; `height_mm` (m,) holds the curve there, and `start_mm` at the posture it was found from.
    """

    curve: HeightCurve
    parameter: Floats
    height_mm: Floats
    sense: float
    start_mm: float

    @property
    def lowest_mm(self) -> float:
        """The least height on the run."""
        return float(min(self.height_mm[0], self.height_mm[-1]))

    @property
    def highest_mm(self) -> float:
        """The greatest height on the run."""
        return float(max(self.height_mm[0], self.height_mm[-1]))

    def solve(self, height_mm: Floats) -> Floats:
        """Parameter at each height, (n,) -> (n,); NaN where the run does not reach it.

        Newton's rule, held between two nodes that enclose the answer and falling back on halving, until every height
        is met within 1e-9 mm and one step more. Next to a dead point, where the height stands upright over the
        parameter, rounding of the parameter costs up to 1e-8 of the linkage's size.
        """
        parameter = np.full(height_mm.shape, np.nan)
        known = (height_mm >= self.lowest_mm) & (height_mm <= self.highest_mm)
        if not known.any():
            return parameter
        target, node_heights = self.sense * height_mm[known], self.sense * self.height_mm
        upper = np.clip(np.searchsorted(node_heights, target), 1, node_heights.size - 1)
        low, high = self.parameter[upper - 1], self.parameter[upper]
        guess = np.interp(target, node_heights, self.parameter)
        with np.errstate(divide="ignore", invalid="ignore"):
            for _ in range(_MOST_STEPS):
                height, rate = self.curve(guess)
                error = self.sense * height - target
                low, high = np.where(error < 0.0, guess, low), np.where(error < 0.0, high, guess)
                step = guess - error / (self.sense * rate)
                guess = np.where((step >= low) & (step <= high), step, 0.5 * (low + high))
                if np.abs(error).max() <= _CLOSE_MM:
                    break
        parameter[known] = guess
        return parameter


def find_run(curve: HeightCurve, low: float, high: float, start: float) -> Run | None:
    """Stretch around `start`, within [low, high], over which the height runs one way; None where it stands still.

    The ends are either `low` or `high` or where the height turns back, found to about 1e-6 of [low, high]; because the
    height is level there, it is good to about 1e-8 mm. A pair of turning points closer together than
    the spacing of 129 nodes would be overlooked; a spring or a four-bar has none.
    """
    nodes = np.sort(np.append(low + (high - low) * _NODES, start))
    with np.errstate(divide="ignore", invalid="ignore"):
        heights, rates = curve(nodes)
        middle = int(np.searchsorted(nodes, start))
        sense = float(np.sign(rates[middle]))
        if sense not in {-1.0, 1.0}:
            return None
        other = np.flatnonzero(np.sign(rates) != sense)
        place = int(np.searchsorted(other, middle))
        first = int(other[place - 1]) + 1 if place > 0 else 0
        last = int(other[place]) - 1 if place < other.size else nodes.size - 1
        inner = nodes[[first, last]]
        outer = nodes[[max(first - 1, 0), min(last + 1, nodes.size - 1)]]
        for _ in range(2):
            between = inner[:, None] + (outer - inner)[:, None] * _FRACTIONS
            edge_heights, edge_rates = (part.reshape(between.shape) for part in curve(between.ravel()))
            same = np.logical_and.accumulate(np.sign(edge_rates) == sense, axis=1).sum(axis=1) - 1
            inner, edges = between[[0, 1], same], edge_heights[[0, 1], same]
            outer = between[[0, 1], np.minimum(same + 1, _FRACTIONS.size - 1)]
    parameter = np.concatenate((inner[:1], nodes[first : last + 1], inner[1:]))
    height = np.concatenate((edges[:1], heights[first : last + 1], edges[1:]))
    return Run(curve, parameter, height, sense, float(heights[middle]))
