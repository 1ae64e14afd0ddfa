"""Speeds and torques that reach the shaft, and what they do to a joint.

Sources: Gillespie, *Fundamentals of Vehicle Dynamics*, for torque through the gears and the tyre's limit; theory-of-
machines textbooks for the couples at a joint. Joint life: the handbook law below, from memory.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from geometry.document import Build
from geometry.document.running_gear import Axle
from geometry.document.vehicle import Powertrain, Vehicle
from geometry.frames import Floats

CRUISE_SHARE = 0.3
"""Share of the engine's peak torque taken for cruising where the build does not say: an assumption, stated as such."""
STANDARD_GRAVITY = 9.80665
"""m/s², exact by convention (CGPM 1901)."""
RATED_HOURS, RATED_RPM, RATED_ANGLE_DEG = 5_000.0, 100.0, 3.0
"""What a joint's life rating stands for: this torque for 5,000 hours at 100 rpm and 3 degrees."""


def tyre_radius_mm(vehicle: Vehicle | None, axle: Axle | None) -> float | None:
    """Loaded radius of the driven axle's tyres, mm, or None."""
    if vehicle is None:
        return None
    return vehicle.front_tyre_radius_mm if axle is not None and axle.end == "front" else vehicle.rear_tyre_radius_mm


def shaft_speed_rpm(speed_kmh: float | None, radius_mm: float | None, axle_ratio: float | None) -> float | None:
    """Shaft speed at a road speed, rpm: v/(2 pi r) through the axle ratio; None where any of them is.

    >>> round(shaft_speed_rpm(100.0, 350.0, 3.73))
    2829
    """
    if speed_kmh is None or radius_mm is None or axle_ratio is None:
        return None
    return speed_kmh * 1e6 / 60.0 / (2.0 * np.pi * radius_mm) * axle_ratio


def highest_shaft_speed_rpm(powertrain: Powertrain | None, top_rpm: float | None) -> float | None:
    """The smaller of redline through the highest gear and what the top road speed gives, whichever is known, rpm."""
    engine = None
    if powertrain is not None and powertrain.redline_rpm is not None and powertrain.gear_ratios is not None:
        engine = powertrain.redline_rpm / powertrain.gear_ratios[-1]
    known = [rpm for rpm in (engine, top_rpm) if rpm is not None]
    return min(known) if known else None


def low_gear_torque_nm(powertrain: Powertrain | None) -> float | None:
    """Torque at the output in the lowest gear, N·m: peak × lowest gear × low range × converter × efficiency.

    Low range, converter and efficiency count as 1 where they are not given; None without peak torque or ratios.
    """
    if powertrain is None or powertrain.peak_torque_nm is None or powertrain.gear_ratios is None:
        return None
    factors = (powertrain.low_range, powertrain.converter_ratio, powertrain.efficiency)
    return (
        powertrain.peak_torque_nm
        * powertrain.gear_ratios[0]
        * float(np.prod([1.0 if f is None else f for f in factors]))
    )


def wheel_slip_torque_nm(vehicle: Vehicle | None, axle: Axle | None) -> float | None:
    """Torque in the shaft at which the tyres let go, N·m: mu W g r/(ratio × axle efficiency), or None.

    >>> wheel_slip_torque_nm(Vehicle(rear_axle_load_kg=1000.0, tyre_grip=1, rear_tyre_radius_mm=400.0), Axle(ratio=4))
    980.665
    """
    radius = tyre_radius_mm(vehicle, axle)
    if vehicle is None or axle is None or radius is None or axle.ratio is None:
        return None
    if vehicle.rear_axle_load_kg is None or vehicle.tyre_grip is None:
        return None
    through = axle.ratio * (1.0 if axle.efficiency is None else axle.efficiency)
    return vehicle.tyre_grip * vehicle.rear_axle_load_kg * STANDARD_GRAVITY * radius / 1e3 / through


def smaller_known(*values: float | None) -> float | None:
    """The smallest known value, or None: with one unknown, the other still bounds the load from above."""
    known = [value for value in values if value is not None]
    return min(known) if known else None


def secondary_couple_nm(torque_nm: ArrayLike, operating_deg: ArrayLike) -> Floats:
    """Peak rocking couple on a yoke, T tan(b), (...), N·m; it pulses at the mounts twice a turn.

    >>> round(float(secondary_couple_nm(500.0, 6.0)), 3)
    52.552
    """
    return np.asarray(torque_nm * np.tan(np.radians(operating_deg)))


def joint_life_hours(rating_nm: float, torque_nm: float, rpm: float, operating_deg: float) -> float:
    """Hours of life of a joint, 1.5e6/(n b) × (C/T)^(10/3), b in degrees and not counted below 3.

    Equal to 5,000 h by definition at the rated torque, 100 rpm and 3 degrees.
    """
    angle = max(operating_deg, RATED_ANGLE_DEG)
    return float(RATED_HOURS * RATED_RPM * RATED_ANGLE_DEG / (rpm * angle) * (rating_nm / torque_nm) ** (10.0 / 3.0))


def relative_life(operating_deg: ArrayLike) -> Floats:
    """Life of a joint relative to one at 3 degrees, all else equal, (...): 3/b, b not counted below 3."""
    return np.asarray(RATED_ANGLE_DEG / np.maximum(operating_deg, RATED_ANGLE_DEG))


class Speeds(NamedTuple):
    """Shaft speeds and torques, or None where the build does not give them."""

    cruise_rpm: float | None
    top_speed_rpm: float | None
    max_rpm: float | None
    low_gear_nm: float | None
    wheel_slip_nm: float | None
    torque_nm: float | None
    cruise_nm: float | None
    cruise_share_assumed: bool

    @property
    def omega2(self) -> float | None:
        """Square of the shaft's angular speed at cruise, (rad/s)², or None."""
        return None if self.cruise_rpm is None else float((self.cruise_rpm * np.pi / 30.0) ** 2)


def speeds_of(build: Build) -> Speeds:
    """Shaft speeds and torques of a build."""
    vehicle, axle, powertrain = build.vehicle, build.axle, build.powertrain
    radius = tyre_radius_mm(vehicle, axle)
    ratio = None if axle is None else axle.ratio
    cruise = shaft_speed_rpm(None if vehicle is None else vehicle.cruise_speed_kmh, radius, ratio)
    top = shaft_speed_rpm(None if vehicle is None else vehicle.top_speed_kmh, radius, ratio)
    low_gear, slip = low_gear_torque_nm(powertrain), wheel_slip_torque_nm(vehicle, axle)
    share = None if powertrain is None else powertrain.cruise_torque_share
    cruise_nm = None
    if powertrain is not None and powertrain.peak_torque_nm is not None and powertrain.gear_ratios is not None:
        through = powertrain.gear_ratios[-1] * (1.0 if powertrain.efficiency is None else powertrain.efficiency)
        cruise_nm = powertrain.peak_torque_nm * through * (CRUISE_SHARE if share is None else share)
    highest = highest_shaft_speed_rpm(powertrain, top)
    return Speeds(cruise, top, highest, low_gear, slip, smaller_known(low_gear, slip), cruise_nm, share is None)
