"""Whether the axle stands square under its frame and in its middle, and whether welding has bent its tube.

Each is asked only where a person has begun to measure it.
"""

from typing import NamedTuple

import numpy as np

from geometry.document.entries import Variants
from geometry.judge.begun import any_there, begun, has_section
from geometry.judge.facts import Facts
from geometry.judge.table import Table
from geometry.mechanics import axle_square
from geometry.mechanics.vectors import Floats

WHEELBASES = ("square.wheelbase_left_mm", "square.wheelbase_right_mm")
DIAGONALS = ("square.diagonal_left_mm", "square.diagonal_right_mm", "square.holes_apart_mm", "square.ends_apart_mm")
OFFSETS = ("square.offset_left_mm", "square.offset_right_mm")
OVER, ABOVE = "square.toe_over_mm", "square.holes_above_mm"
TIMES = ("before", "after")
TOES = {when: (f"square.toe_front_{when}_mm", f"square.toe_rear_{when}_mm") for when in TIMES}
CAMBERS = {when: (f"square.camber_left_{when}_deg", f"square.camber_right_{when}_deg") for when in TIMES}
NEEDS: dict[str, tuple[str, ...]] = {
    "wheelbases_equal": WHEELBASES,
    "thrust_angle": (*DIAGONALS, *OFFSETS, ABOVE),
    "axle_centred": OFFSETS,
    "toe_before": (*TOES["before"], OVER),
    "camber_before": CAMBERS["before"],
    "toe_welded": (*TOES["before"], *TOES["after"], OVER),
    "camber_welded": (*CAMBERS["before"], *CAMBERS["after"]),
}
"""What each finding is judged by."""


class Angle(NamedTuple):
    """An angle between the flanges, before welding and after, (rows,), degrees; nan where it is not known."""

    before_deg: Floats
    after_deg: Floats

    @property
    def bent_deg(self) -> Floats:
        """How far welding changed it."""
        return self.after_deg - self.before_deg

    @property
    def worse_deg(self) -> Floats:
        """What it has come to, or how far welding changed it, whichever is more; without both not known."""
        return np.maximum(np.abs(self.after_deg), np.abs(self.bent_deg))


def yaw_deg(v: Variants) -> Floats:
    """How far the right end of the axle stands farther from the frame's holes than the left one, degrees.

    At the least, where it is not known how much higher than the axle's points the holes are: level with them.
    """
    left, right, holes, ends = (v[path] for path in DIAGONALS)
    return axle_square.yaw_deg(left, right, holes, ends, aside_mm(v), v.given(ABOVE, 0.0))


def yaw_band_deg(v: Variants) -> Floats:
    """How well the tape knows that angle, degrees; nan without its own give or take."""
    left, right, holes, ends = (v[path] for path in DIAGONALS)
    tape = v["gauge.tape_uncertainty_mm"]
    return axle_square.yaw_band_deg(left, right, holes, ends, v.given(ABOVE, 0.0), tape)


def aside_mm(v: Variants) -> Floats:
    """How far the axle stands to the right of the frame's middle, mm."""
    return axle_square.off_centre_mm(*(v[path] for path in OFFSETS))


def toe(v: Variants) -> Angle:
    """The flanges from above: positive where they come together in front."""
    before, after = (axle_square.toe_deg(v[front], v[rear], v[OVER]) for front, rear in TOES.values())
    return Angle(before, after)


def camber(v: Variants) -> Angle:
    """The flanges from behind: positive where their tops lean out; the sum of both sides, as an axle may hang askew."""
    before, after = (v[left] + v[right] for left, right in CAMBERS.values())
    return Angle(before, after)


def square(f: Facts, table: Table) -> None:
    """How the axle stands, and how straight it is."""
    v = f.v
    if not has_section(v, "square"):
        return
    if any_there(v, WHEELBASES):
        left, right = (v[path] for path in WHEELBASES)
        table.add("wheelbases_equal", "axle", np.abs(left - right), asked=begun(v, WHEELBASES))
    if any_there(v, DIAGONALS):
        angle = np.abs(yaw_deg(v))
        most = np.where(np.isnan(v[ABOVE]), np.inf, angle)
        table.add("thrust_angle", "axle", angle, others=(most,), asked=begun(v, DIAGONALS))
    if any_there(v, OFFSETS):
        table.add("axle_centred", "axle", np.abs(aside_mm(v)), asked=begun(v, OFFSETS))
    for name, paths, of in (("toe", TOES, toe), ("camber", CAMBERS, camber)):
        if any_there(v, paths["before"]):
            table.add(f"{name}_before", "axle", np.abs(of(v).before_deg), asked=begun(v, paths["before"]))
        if any_there(v, paths["after"]):
            table.add(f"{name}_welded", "axle", of(v).worse_deg, asked=begun(v, paths["after"]))
