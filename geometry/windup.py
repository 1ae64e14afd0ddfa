"""Wind-up: how far torque turns the axle on its springs, nose up on a rear axle.

Drive torque turns the axle's housing against its wheels: the front of the housing rises, whichever way the pinion
points, so every line through it grows in slope. Two leaf springs act together; links are taken as rigid.

Source: Gillespie, *Fundamentals of Vehicle Dynamics* (from memory), and beam theory for the springs' stiffness.
"""

from typing import NamedTuple

import numpy as np

from geometry.document import Build
from geometry.document.running_gear import LeafSuspension
from geometry.loads import Speeds
from geometry.ride import FourBar, Ride
from geometry.springs import windup_stiffness_nm_per_rad


class WindupFacts(NamedTuple):
    """Stiffness of both springs, N·m/deg (None for links: rigid), and the turn at cruise and at launch, degrees."""

    stiffness_nm_per_deg: float | None
    rigid: bool
    cruise_deg: float | None
    launch_deg: float | None


def windup(build: Build, at: Ride, speeds: Speeds) -> WindupFacts | None:
    """Wind-up of the build's axle: T_shaft × ratio / stiffness of both springs; None without a suspension.

    Launch takes the smaller of low-gear and wheel-slip torque; cruise the share of the engine's peak torque that the
    build states, through the top gear.
    """
    suspension = build.suspension
    if isinstance(at.mechanism, FourBar):
        return WindupFacts(None, rigid=True, cruise_deg=0.0, launch_deg=0.0)
    if not isinstance(suspension, LeafSuspension):
        return None
    rate, a, b = suspension.rate_n_per_mm, suspension.front_half_mm, suspension.rear_half_mm
    if rate is None or a is None or b is None:
        return WindupFacts(None, rigid=False, cruise_deg=None, launch_deg=None)
    stiffness = 2.0 * float(windup_stiffness_nm_per_rad(rate, a, b)) * float(np.pi / 180.0)
    ratio = None if build.axle is None else build.axle.ratio

    def turn(torque_nm: float | None) -> float | None:
        return None if torque_nm is None or ratio is None else torque_nm * ratio / stiffness

    return WindupFacts(stiffness, rigid=False, cruise_deg=turn(speeds.cruise_nm), launch_deg=turn(speeds.torque_nm))
