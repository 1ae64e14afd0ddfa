"""Lifting a vehicle on leaf springs: by more arch, by a block, by another shackle.

Each way says how the axle moves in the frame's axes and which spring to go on with. A lift brings the axle down, since
the frame's axes go up with the vehicle; a lift of nil changes nothing.

Source: plane geometry on the closed form of `geometry.springs`.
"""

from dataclasses import replace
from typing import NamedTuple

import numpy as np

from geometry.springs import LeafSpring, Seat, axle_above_seat_mm, axle_centre_mm, axle_sweep, posture


class Lift(NamedTuple):
    """What a lift does to the axle in the frame's axes, and the spring to go on with; NaN where it cannot be reached.

    `dx_mm` rearward, `dz_mm` up (a lift brings the axle down), `turn_deg` positive when the pinion's nose rises; then
    `spring`, `seat_to_axle_mm` and `curvature` (1/mm) as they are after the lift, for sweeps and further lifts.
    """

    dx_mm: float
    dz_mm: float
    turn_deg: float
    spring: LeafSpring
    seat_to_axle_mm: float
    curvature: float

    @property
    def reachable(self) -> bool:
        """Whether the spring can do it."""
        return bool(np.isfinite(self.dx_mm))


def lift_by_spring(
    spring: LeafSpring, seat: Seat, seat_to_axle_mm: float, ride_curvature: float, lift_mm: float
) -> Lift:
    """Lift by more arch: the axle goes down by lift_mm along the spring's own path and turns with the seat.

    Raises
    ------
    ValueError
        When seat_to_axle_mm is not a finite number.
    """
    path = axle_sweep(spring, seat, seat_to_axle_mm, ride_curvature, 0.0 - lift_mm)
    moved = (float(path.dx_mm[0]), float(path.dz_mm[0]), float(path.turn_deg[0]))
    return Lift(*moved, spring, seat_to_axle_mm, float(path.curvature[0]))


def lift_by_block(
    spring: LeafSpring, seat: Seat, seat_to_axle_mm: float, ride_curvature: float, lift_mm: float
) -> Lift:
    """Block of lift_mm between spring and axle: the axle moves straight away from the seat by it, without turning.

    With the spring over the axle the axle goes down and the vehicle up. With the spring under the axle it is the
    other way round: a block there lowers the vehicle.

    Raises
    ------
    ValueError
        When lift_mm is not a finite number.
    """
    slope = np.radians(posture(spring, ride_curvature).seat_slope_deg[0])
    away = axle_above_seat_mm(seat, lift_mm)
    moved = (float(away * np.sin(slope)), float(away * np.cos(slope)), float(0.0 * slope))
    return Lift(*moved, spring, seat_to_axle_mm + lift_mm, ride_curvature)


def lift_by_shackle(
    spring: LeafSpring, seat: Seat, seat_to_axle_mm: float, ride_curvature: float, lift_mm: float
) -> Lift:
    """Lift by another shackle, solved in closed form: the load and so the curvature stay, the whole leaf swings.

    The axle's centre turns about the fixed eye until it lies lower by lift_mm; the shackle that holds the swung leaf
    reaches from the pivot to its eye. Not reachable where no swing brings the axle that low, or where the shackle
    would have to pass through the line from the fixed eye to its pivot.

    Raises
    ------
    ValueError
        When seat_to_axle_mm is not a finite number.
    """
    pose = posture(spring, ride_curvature)
    eye, pivot = np.asarray(spring.front_eye_mm), np.asarray(spring.shackle_pivot_mm)
    x, z = axle_centre_mm(spring, seat, seat_to_axle_mm, ride_curvature)[0] - eye
    rear, line, reach = pose.rear_eye_mm[0] - eye, pivot - eye, np.hypot(x, z)
    with np.errstate(invalid="ignore"):
        turn = np.sign(x) * (np.arcsin((lift_mm - z) / reach) - np.arcsin(-z / reach))
    cosine, sine = np.cos(turn), np.sin(turn)
    swung = np.array([rear[0] * cosine + rear[1] * sine, rear[1] * cosine - rear[0] * sine])
    sides = (line[0] * rear[1] - line[1] * rear[0]) * (line[0] * swung[1] - line[1] * swung[0])
    if not sides > 0.0:  # NaN too, where no swing brings the axle that low
        return Lift(np.nan, np.nan, np.nan, spring, seat_to_axle_mm, np.nan)
    lifted = spring if lift_mm == 0.0 else replace(spring, shackle_length_mm=float(np.hypot(*(swung - line))))
    dx = float(x * (cosine - 1.0) + z * sine)
    return Lift(dx, 0.0 - lift_mm, float(np.degrees(turn)), lifted, seat_to_axle_mm, ride_curvature)
