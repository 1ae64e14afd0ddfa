"""Speeds and torques that reach the shaft, and what they do to a joint.

Sources: Gillespie, *Fundamentals of Vehicle Dynamics*, for torque through the gears, the tyre's limit and the load that
goes to the rear as the vehicle is driven; theory-of-machines textbooks for the couples at a joint. Joint life: the
handbook law below, from memory.
"""

from typing import NamedTuple

import numpy as np

from geometry.mechanics.vectors import RADIAN, Floats

CRUISE_SHARE = 0.3
"""Share of the engine's peak torque taken for cruising where the build does not say: an assumption, stated as such."""
SHOCK_FACTOR = 1.5
"""How much a rough start multiplies the launch torque where the build does not say: common practice, no source."""
TALL_MASS_CENTRE_MM = 900.0
"""No usual road vehicle's centre of gravity lies higher over the floor: common practice, no source."""
STANDARD_GRAVITY = 9.80665
"""m/s², exact by convention (CGPM 1901)."""
RATED_HOURS, RATED_RPM, RATED_ANGLE_DEG = 5_000.0, 100.0, 3.0
"""What a joint's life rating stands for: this torque for 5,000 hours at 100 rpm and 3 degrees."""


def shaft_speed_rpm(speed_kmh: Floats, radius_mm: Floats, axle_ratio: Floats) -> Floats:
    """Shaft speed at a road speed, rpm: v/(2 pi r) through the axle ratio.

    >>> from geometry.mechanics.vectors import number
    >>> round(float(shaft_speed_rpm(number(100.0), number(350.0), number(3.73))))
    2827
    """
    return speed_kmh * (1e6 / 60.0 / (2.0 * np.pi)) / radius_mm * axle_ratio


def rolling_radius_mm(turns_per_km: Floats) -> Floats:
    """Radius at which tyres roll, mm, from their turns over a kilometre: 1/(2 pi n). The loaded one is 2 to 4 % less.

    >>> from geometry.mechanics.vectors import number
    >>> round(float(rolling_radius_mm(number(450.0))), 2)
    353.68
    """
    return 1e6 / (2.0 * np.pi) / turns_per_km


ROLLS_MORE = (0.02, 0.04)
"""By what share a tyre's rolling radius is more than its loaded one, the least and the most: common practice."""


def tyre_turns_per_km(radius_mm: Floats) -> Floats:
    """Turns of a tyre over a kilometre, from the radius at which it rolls, mm: 1/(2 pi r).

    >>> from geometry.mechanics.vectors import number
    >>> round(float(tyre_turns_per_km(number(353.68))), 1)
    450.0
    """
    return 1e6 / (2.0 * np.pi) / radius_mm


def shaft_turns_per_km(ratio: Floats, turns_per_km: Floats) -> Floats:
    """Turns of a shaft over a kilometre: axle ratio times its tyres' turns.

    >>> from geometry.mechanics.vectors import number
    >>> float(shaft_turns_per_km(number(4.0), number(450.0)))
    1800.0
    """
    return ratio * turns_per_km


def low_gear_torque_nm(peak_nm: Floats, gear: Floats, factors: Floats) -> Floats:
    """Torque at the output in the lowest gear, N·m: peak × gear × (low range × converter × efficiency).

    >>> from geometry.mechanics.vectors import number
    >>> float(low_gear_torque_nm(number(300.0), number(4.0), number(2.5)))
    3000.0
    """
    return peak_nm * gear * factors


def wheel_slip_torque_nm(grip: Floats, load_kg: Floats, radius_mm: Floats, ratio: Floats, efficiency: Floats) -> Floats:
    """Torque in the shaft at which the tyres let go, N·m: mu W g r/(ratio × axle efficiency).

    >>> from geometry.mechanics.vectors import ONE, number
    >>> round(float(wheel_slip_torque_nm(ONE, number(1000.0), number(400.0), number(4.0), ONE)), 3)
    980.665
    """
    return grip * load_kg * STANDARD_GRAVITY * radius_mm / 1e3 / (ratio * efficiency)


def load_transfer(grip: Floats, mass_centre_mm: Floats, wheelbase_mm: Floats, *, ahead: bool) -> Floats:
    """How much the driven axle's load grows as its tyres pull at their limit: 1/(1 − mu h/l), 1/(1 + mu h/l) in front.

    A pull of mu W at the floor moves mu W h/l from the front to the rear axle. Infinite where it lifts the front off.

    >>> from geometry.mechanics.vectors import number
    >>> round(float(load_transfer(number(0.8), number(600.0), number(2400.0), ahead=False)), 3)
    1.25
    """
    share = grip * mass_centre_mm / wheelbase_mm
    if ahead:
        return 1.0 / (1.0 + share)
    return np.where(share >= 1.0, np.inf, 1.0 / (1.0 - np.minimum(share, 0.999)))


def secondary_couple_nm(torque_nm: Floats, operating_deg: Floats) -> Floats:
    """Peak rocking couple on a yoke, T tan(b), N·m; it pulses at the mounts twice a turn.

    >>> from geometry.mechanics.vectors import number
    >>> round(float(secondary_couple_nm(number(500.0), number(6.0))), 3)
    52.552
    """
    couple: Floats = torque_nm * np.tan(operating_deg * RADIAN)
    return couple


def joint_life_hours(rating_nm: Floats, torque_nm: Floats, rpm: Floats, operating_deg: Floats) -> Floats:
    """Hours of life of a joint, 1.5e6/(n b) × (C/T)^(10/3), b in degrees and not counted below 3.

    Equal to 5,000 h by definition at the rated torque, 100 rpm and 3 degrees.

    >>> from geometry.mechanics.vectors import number
    >>> float(joint_life_hours(number(400.0), number(400.0), number(100.0), number(3.0)))
    5000.0
    """
    angle = np.maximum(operating_deg, RATED_ANGLE_DEG)
    hours: Floats = RATED_HOURS * RATED_RPM * RATED_ANGLE_DEG / (rpm * angle) * (rating_nm / torque_nm) ** (10.0 / 3.0)
    return hours


def relative_life(operating_deg: Floats) -> Floats:
    """Life of a joint relative to one at 3 degrees, all else equal: 3/b, b not counted below 3.

    >>> from geometry.mechanics.vectors import number
    >>> float(relative_life(number(6.0)))
    0.5
    """
    share: Floats = RATED_ANGLE_DEG / np.maximum(operating_deg, RATED_ANGLE_DEG)
    return share


class Speeds(NamedTuple):
    """Shaft speeds and torques, nan where not known; omega2 in (rad/s)², torques in the shaft in N·m.

    `torque_nm` is the launch torque: the smaller known of low gear and wheel slip. What is not entered leaves it open
    between `torque_least_nm` and `torque_most_nm`. A rough start multiplies it by `shock` for the parts that carry it.
    """

    cruise_rpm: Floats
    top_rpm: Floats
    highest_rpm: Floats
    low_gear_nm: Floats
    wheel_slip_nm: Floats
    torque_nm: Floats
    torque_least_nm: Floats
    torque_most_nm: Floats
    shock: Floats
    cruise_nm: Floats
    omega2: Floats


def launch_torque_nm(
    low_gear: tuple[Floats, Floats, Floats], wheel_slip: tuple[Floats, Floats, Floats]
) -> tuple[Floats, Floats, Floats]:
    """Launch torque as reckoned, the least and the most it may be, N·m, from the same three of both its bounds.

    Of a bound not known at all the reckoned value is nan, the least nil and the most infinite.

    >>> from geometry.mechanics.vectors import number
    >>> low, slip = ([number(value) for value in three] for three in ((2000.0, 2000.0, 2000.0), (700.0, 700.0, 900.0)))
    >>> [float(torque) for torque in launch_torque_nm(low, slip)]
    [700.0, 700.0, 900.0]
    """
    likely, least, most = (np.fmin(one, other) for one, other in zip(low_gear, wheel_slip, strict=True))
    return likely, np.where(np.isnan(likely), np.nan, least), np.where(np.isnan(likely), np.nan, most)


def windup_deg(torque_nm: Floats, ratio: Floats, stiffness_nm_per_deg: Floats) -> Floats:
    """How far torque turns the axle on its springs, T × ratio/K, degrees; the front of the housing rises.

    Drive torque turns the axle's housing against its wheels: its front rises, whichever way the pinion points, so
    every line through it grows in slope.

    >>> from geometry.mechanics.vectors import number
    >>> float(windup_deg(number(500.0), number(4.0), number(400.0)))
    5.0

    Source: Gillespie, *Fundamentals of Vehicle Dynamics* (from memory).
    """
    return torque_nm * ratio / stiffness_nm_per_deg
