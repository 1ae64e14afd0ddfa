"""The two perches: do they lie in one plane, sit under their springs, add up with the flanges, and clear the casting?

Each is asked only where a person has begun to measure it.
"""

from typing import NamedTuple

import numpy as np

from geometry.judge.begun import any_there, begun, has_section
from geometry.judge.facts import Facts
from geometry.judge.table import Table
from geometry.mechanics import perch
from geometry.mechanics.spread import COVERAGE
from geometry.mechanics.vectors import Floats

SEATS = ("perches.seat_left_deg", "perches.seat_right_deg")
SPACING, SPRINGS, ACROSS, CASTING = (
    "axle.perch_spacing_mm", "perches.springs_apart_mm", "perches.flange_to_flange_mm", "perches.casting_gap_mm",
)  # fmt: skip
PLACES = ("axle.flange_to_perch_left_mm", "axle.flange_to_perch_right_mm")
NEEDS: dict[str, tuple[str, ...]] = {
    "pad_twist": SEATS,
    "perch_spacing": (SPRINGS, SPACING),
    "perch_chain": (ACROSS, SPACING, *PLACES, "gauge.tape_uncertainty_mm"),
    "perch_casting": (CASTING,),
}
"""What each finding is judged by."""
_FOUR_RUNS = 2.0
"""Standard uncertainty of a sum of four tape readings, over that of one."""


def perches(f: Facts, table: Table) -> None:
    """Both perches, by gauge and tape."""
    v = f.v
    if not has_section(v, "perches"):
        return
    if any_there(v, SEATS):
        left, right = (v[path] for path in SEATS)
        table.add("pad_twist", "perches", np.abs(left - right), asked=begun(v, SEATS))
    if not v.absent(SPRINGS):
        apart = np.abs(v[SPACING] - v[SPRINGS])
        table.add("perch_spacing", "perches", apart, asked=np.isfinite(v[SPRINGS]))
    if not v.absent(ACROSS):
        left, right = (v[path] for path in PLACES)
        off = np.abs(v[ACROSS] - (left + v[SPACING] + right))
        band = COVERAGE * _FOUR_RUNS * v["gauge.tape_uncertainty_mm"] / 3.0**0.5
        table.add("perch_chain", "perches", off, scale=band, asked=np.isfinite(v[ACROSS]))
    if not v.absent(CASTING):
        table.add("perch_casting", "perches", v[CASTING], asked=np.isfinite(v[CASTING]))


def seat_slope_deg(f: Facts) -> Floats:
    """Slope of the seats as read, degrees: of both, or the mean of left and right where that is not entered."""
    v = f.v
    return np.where(
        np.isnan(v["readings.seat_slope_deg"]), (v[SEATS[0]] + v[SEATS[1]]) / 2.0, v["readings.seat_slope_deg"]
    )


class Place(NamedTuple):
    """Where the perches belong, (rows,): how far apart, and how far from the flanges; nan where it is not known."""

    spacing_mm: Floats
    from_flange_mm: Floats


def place(f: Facts) -> Place:
    """The perches under their springs, the same on both sides."""
    v = f.v
    spacing = np.where(np.isnan(v[SPRINGS]), v[SPACING], v[SPRINGS])
    return Place(spacing, perch.place_mm(v[ACROSS], spacing))


def weld_pull_deg(f: Facts) -> Floats:
    """How far welding raises the pinion's slope against its seats, with the edge named that is welded first, degrees.

    The seat's edge that is welded first is drawn to the tube. The seat then lies on its spring as before, so the axle
    turns the other way: with the front edge first the slope grows, which on a rear axle is nose up; a perch under the
    tube pulls the other way.
    """
    pull = f.v.given("perches.weld_pull_deg", perch.WELD_PULL_DEG)
    return pull if (f.v.word("perches.first_weld") == "front") == f.kinds.over else -pull
