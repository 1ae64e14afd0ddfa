"""What the facts are told in: ride, tubes, travel."""

from functools import cache
from typing import NamedTuple

import numpy as np

from geometry.judge.kinds import SIDES
from geometry.mechanics import links, springs
from geometry.mechanics.clearance import Gap, Places
from geometry.mechanics.pose import Pose
from geometry.mechanics.tube import Material, TubeSection
from geometry.mechanics.vectors import Bools, Floats, Vector


class Ride(NamedTuple):
    """How the lift moves the axle in the frame's axes, and what it goes on with.

    `tilt_deg` is what the lift adds to every gauge reading, `stop_gain_mm` how much farther it is up to the bump stop,
    `predicted_x_mm` where the springs put the axle as measured. `known` says where springs or links can be as entered.
    All of it is of the state that the vehicle is in: `set_tilt_deg` is the tilt in which the plan is set, `up_mm` and
    `up_turn_deg` how far the driven axle stands up from there, and is turned by it; `along_mm` where links then stand.
    """

    shift: Vector
    turn_deg: Floats
    tilt_deg: Floats
    lift_mm: Floats
    stop_gain_mm: Floats
    predicted_x_mm: Floats
    known: Bools
    leaf: springs.Leaf | None
    curvature: Floats
    bar: links.FourBar | None
    set_tilt_deg: Floats
    up_mm: Floats
    up_turn_deg: Floats
    along_mm: Floats


class GapFacts(NamedTuple):
    """Least gap to one obstacle and the gap wanted, what it may be for want of entries, and each body's own gap."""

    least_mm: Floats
    wanted_mm: Floats
    others_mm: tuple[Floats, ...]
    bodies: tuple[tuple[str, Gap], ...]


class TubeFacts(NamedTuple):
    """One tube's constants, and what it does at its length, speed and torque."""

    name: str
    entry: str
    material: Material
    section: TubeSection
    length_mm: Floats
    critical_rpm: Floats
    shear_yield_mpa: Floats
    shear_mpa: Floats
    twist_deg: Floats
    mass_kg: Floats
    spin_kg_m2: Floats


class MadeLength(NamedTuple):
    """Length of the section beside the axle, (rows,); nan where it is not known.

    `least` and `most` are over the travel, at rest and wound up by launch torque where that is settled. `collapsed`
    and `extended` are where the spline bottoms and where it leaves its sleeve. `longer` and `shorter` tell how far off
    it may be made and keep the slip that is wanted at both ends; below nought it must be that much the other way.
    """

    at_ride_mm: Floats
    least_mm: Floats
    most_mm: Floats
    at_droop_mm: Floats
    at_bump_mm: Floats
    collapsed_mm: Floats
    extended_mm: Floats
    longer_mm: Floats
    shorter_mm: Floats


class Sweep(NamedTuple):
    """The axle over its travel, (places, rows): from where it stands at ride height after the plan."""

    travel_mm: Floats
    shift: Vector
    turn_deg: Floats
    reachable: Bools
    curvature: Floats
    lower: SIDES
    upper: SIDES


class Travelled(NamedTuple):
    """The driveline over the travel: poses and each joint's angle, front to rear, degrees, (sweeps, places, rows).

    The sweeps are at rest, wound up by the most that launch torque may turn the axle, and by half of that; without the
    last where torque turns the axle in no row. `rest` are the poses of the first, (places, rows). `certain` are the
    places that are surely reached: all but those that only a squash taken as usual reaches, (places, rows).
    """

    sweep: Sweep
    poses: Pose
    rest: Pose
    bent_deg: tuple[Floats, ...]
    certain: Bools


def counted(least_mm: Floats, certain: Bools) -> tuple[Floats, Places]:
    """Which gaps of several sweeps count, (s, o, w, n) -> (s, o, n), and whether launch has it: if that is settled."""
    rest = least_mm[:, :, 0]
    if least_mm.shape[2] == 1:
        return rest, np.zeros(rest.shape, np.intp)
    launch = least_mm[:, :, 1]
    sweep = (certain & ~(launch >= rest)).astype(np.intp)
    return np.where(sweep, launch, rest), sweep


@cache
def shares_of(positions: int) -> Floats:
    """Places of the travel as shares, (positions, 1): full droop −1, ride height 0, first touch 1, squashed 2.

    >>> shares_of(41).ravel()[[0, 19, 37, 40]].tolist()
    [-1.0, 0.0, 1.0, 2.0]
    """
    down, squash = round((positions - 1) * 0.475), max(round((positions - 1) * 0.075), 1)
    up = positions - 1 - down - squash
    parts = (
        np.linspace(-1.0, 0.0, down + 1),
        np.linspace(0.0, 1.0, up + 1)[1:],
        1.0 + np.linspace(0, 1, squash + 1)[1:],
    )
    shares = np.concatenate(parts)[:, None]
    shares.setflags(write=False)
    return shares
