"""Where the driveline of one row stands: at rest at ride height, or at a place of the travel, wound up by torque."""

from math import isfinite
from typing import Literal, NamedTuple

import numpy as np

from geometry.judge.kept import link_path
from geometry.mechanics import links, springs
from geometry.mechanics.chain import Chain
from geometry.mechanics.pose import Pose, SidePoint
from geometry.mechanics.vectors import NAN, ZERO, Bools, Floats, Vector, number
from geometry.words.told import Told

Torque = Literal["none", "cruise", "launch"]
NO_SIDE: SidePoint = (NAN, NAN)
_NOWHERE_STOOD: Bools = np.zeros((), np.bool_)
"""Elsewhere, and wound up, the pinion's joint has swung away from where the stick was held: nothing tells how far."""


class Place(NamedTuple):
    """Pose, joints and the sections' lengths, front to rear, with the axle's place on its suspension; one number each.

    `curvature` is the main leaf's, 1/mm; `lower` and `upper` are the links' ends at the axle. What is not known is nan.
    `moved` tells that this is another place than rest at ride height.
    """

    pose: Pose
    chain: Chain
    lengths_mm: tuple[Floats, ...]
    curvature: Floats
    lower: SidePoint
    upper: SidePoint
    moved: bool = False


def at_ride(told: Told) -> Place:
    """The driveline at rest at ride height after the plan. Call under `np.errstate(all="ignore")`."""
    facts, ride = told.facts, told.facts.ride
    lower = upper = NO_SIDE
    bar = _bar(told)
    if bar is not None:
        path = link_path(bar, told.at(ride.along_mm))
        lower, upper = (path.lower_x, path.lower_z), (path.upper_x, path.upper_z)
    lengths = tuple(told.at(length) for length in facts.lengths_mm)
    return Place(
        pose_of(told, facts.pose), chain_of(told, facts.rest_chain), lengths, told.at(ride.curvature), lower, upper
    )


def place_at(told: Told, travel_mm: float, torque: Torque = "none") -> Place | None:
    """The driveline with the axle moved exactly so far from ride height, bump positive, and wound up by a torque.

    Launch is the torque as reckoned. None where springs, links or lateral link cannot follow or are not known, or the
    wind-up is not. Call under `np.errstate(all="ignore")`.
    """
    facts, rest = told.facts, at_ride(told)
    if torque == "none" and travel_mm == 0.0:
        return rest
    turn = ZERO if torque == "none" else told.at(facts.cruise_deg if torque == "cruise" else facts.launch_deg)
    if not np.isfinite(turn):
        return None
    if travel_mm == 0.0:
        return _moved(told, rest, facts.posed_at(turn, by_stick=_NOWHERE_STOOD))
    ride, travel = facts.ride, number(travel_mm)
    bar, curvature, lower, upper = _bar(told), NAN, NO_SIDE, NO_SIDE
    leaf = leaf_of(told)
    if leaf is not None:
        dx, dz, swing, curvature = springs.axle_path(leaf, told.at(ride.curvature), travel)
    elif bar is not None:
        along = told.at(ride.along_mm)
        here, start = links.axle_path(bar, travel + along), links.axle_path(bar, along)
        dx, dz, swing = here.dx_mm - start.dx_mm, here.dz_mm - start.dz_mm, here.turn_deg - start.turn_deg
        lower, upper = (here.lower_x, here.lower_z), (here.upper_x, here.upper_z)
    else:
        return None
    across = told.at(facts.sideways(dz + ride.shift.z, dx + ride.shift.x) - ride.shift.y)
    if not np.isfinite(dx + across + dz):
        return None
    pose = facts.posed_at(swing + turn, Vector(dx, across, dz), _NOWHERE_STOOD)
    return _moved(told, rest._replace(curvature=curvature, lower=lower, upper=upper), pose)


def pose_of(told: Told, pose: Pose) -> Pose:
    """One row of a pose; axes before the rows stay."""

    def one(vector: Vector) -> Vector:
        return Vector(*(told.at(part) for part in vector))

    return Pose(
        one(pose.output),
        one(pose.pinion),
        tuple(one(section) for section in pose.sections),
        tuple(one(joint) for joint in pose.joints),
        tuple(told.at(length) for length in pose.lengths_mm),
        one(pose.axle_centre),
    )


def chain_of(told: Told, chain: Chain) -> Chain:
    """One row of a chain; axes before the rows stay."""
    return Chain(*(tuple(told.at(part) for part in parts) for parts in chain))


def _moved(told: Told, rest: Place, pose: Pose) -> Place:
    here = pose_of(told, pose)
    chain = told.facts.chain(here, tuple(told.at(phase) for phase in told.facts.phases_deg))
    return rest._replace(pose=here, chain=chain, lengths_mm=here.lengths_mm, moved=True)


def leaf_of(told: Told) -> springs.Leaf | None:
    """The springs of the row to go on with after the lift; None without."""
    leaf = told.facts.ride.leaf
    return None if leaf is None else springs.Leaf._make((*map(told.at, leaf[:-1]), leaf.hangs))


def _bar(told: Told) -> links.FourBar | None:
    """The links of the row, as measured."""
    bar = told.facts.ride.bar
    if bar is None or (told.facts.kinds.by != "spring" and told.at(told.facts.ride.lift_mm) != 0.0):
        return None
    return links.FourBar(*(told.at(part) for part in bar))


def lines_of(told: Told, pose: Pose) -> list[Vector]:
    """All lines front to rear, every one followed rearward."""
    ends = (pose.pinion, pose.output) if told.facts.kinds.ahead else (pose.output, pose.pinion)
    return [ends[0], *pose.sections, ends[1]]


def known(value: Floats | float) -> float | None:
    """A plain number, or None where it is not known or has no end.

    >>> known(number(1.0)), known(NAN)
    (1.0, None)
    """
    one = float(value)
    return one if isfinite(one) else None
