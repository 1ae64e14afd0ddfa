"""Everything the findings, the set-points and the answer are made from, worked out once for a build."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from geometry.document import Build
from geometry.frames import norm, side_slope_deg, slope_deg
from geometry.loads import (
    highest_shaft_speed_rpm,
    low_gear_torque_nm,
    shaft_speed_rpm,
    smaller_known,
    tyre_radius_mm,
    wheel_slip_torque_nm,
)
from geometry.pose import Setting, joints_of, setting
from geometry.running_gear import Tube, TwoPieceShaft
from geometry.shaft import (
    MATERIALS,
    Material,
    TubeSection,
    critical_speed_rpm,
    shear_stress_mpa,
    tube_mass_kg,
    tube_section,
    twist_deg,
)
from geometry.trials import (
    WEDGES_DEG,
    BestPinion,
    Trials,
    best_pinion,
    known_lines,
    shims_mm,
    tried,
    with_shims,
    with_wedges,
)

CRUISE_SHARE = 0.3
"""Share of the engine's peak torque taken for cruising where the build does not say: an assumption, stated as such."""


@dataclass(frozen=True, slots=True)
class TubeFacts:
    """One tube: where it is entered, its constants, and what it does at its length and torque; None where unknown."""

    name: Literal["front", "rear", "whole"]
    entry: str
    tube: Tube | None
    material: Material
    section: TubeSection | None
    length_mm: float | None
    critical_rpm: float | None
    shear_mpa: float | None
    twist_deg: float | None
    mass_kg: float | None


@dataclass(frozen=True, slots=True)
class Speeds:
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


@dataclass(frozen=True, slots=True)
class Facts:
    """The build with all that was worked out about it at ride height.

    `measured` is the vehicle as it was measured, `planned` the same after the plan, one row each; `wedges` and `shims`
    are the trials around the plan.
    """

    build: Build
    measured: Trials
    ride: Setting
    planned: Trials
    wedges: Trials
    shims: Trials
    best: BestPinion | None
    tilt_deg: float
    speeds: Speeds
    tubes: tuple[TubeFacts, ...]
    length_mm: float | None
    taped: bool

    @property
    def joint_names(self) -> tuple[str, ...]:
        """Names of the joints, front to rear."""
        return ("front", "rear") if len(joints_of(self.build)) == 2 else ("front", "centre", "rear")

    def operating(self, joint: int) -> float | None:
        """Operating angle of a joint after the plan, degrees, or None."""
        return None if self.planned.motion is None else finite(self.planned.motion.operating_deg[joint, 0])

    def residual(self) -> float | None:
        """Residual at the pinion after the plan, rad/s², or None."""
        return self.times_omega2(None if self.planned.motion is None else self.planned.motion.residual[0])

    def times_omega2(self, per_omega2: float | None) -> float | None:
        """Acceleration in rad/s² of a value over omega squared, or None."""
        if per_omega2 is None or self.speeds.omega2 is None:
            return None
        return finite(per_omega2 * self.speeds.omega2)


def finite(value: ArrayLike) -> float | None:
    """Return a plain number from a number or an array of none dimensions, or None for nan and infinities."""
    number = float(np.asarray(value))
    return number if np.isfinite(number) else None


def gather(build: Build) -> Facts:
    """Work out everything about a build at ride height, as measured and after the plan."""
    plan = build.plan
    wedge = 0.0 if plan is None else plan.axle_shim_deg or 0.0
    shim = 0.0 if plan is None else plan.mount_shim_mm or 0.0
    ride = setting(wedge, shim)
    wedge_rows, shim_rows = WEDGES_DEG, shims_mm(build)
    n = len(wedge_rows)
    by_wedge, by_shim = with_wedges(ride, wedge_rows), with_shims(ride, shim_rows)
    everything = tried(build, _stacked(setting(), ride, by_wedge, by_shim))
    measured, planned = (known_lines(everything.rows(slice(row, row + 1))) for row in (0, 1))
    wedges, shims = everything.rows(slice(2, 2 + n)), everything.rows(slice(2 + n, None))
    speeds = speeds_of(build)
    centres = planned.pose.joint_centres_mm
    lengths = None if centres is None else norm(centres[1:, 0] - centres[:-1, 0])
    read = None if build.readings is None else build.readings.shaft_length_mm
    taped = lengths is not None
    tubes = _tubes(build, None if lengths is None else [finite(value) for value in lengths], read, speeds.torque_nm)
    return Facts(
        build, measured, ride, planned, wedges, shims, best_pinion(build, ride, wedges), 0.0, speeds, tubes,
        tubes[-1].length_mm, taped,
    )  # fmt: skip


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
        cruise_nm = powertrain.peak_torque_nm * powertrain.gear_ratios[-1] * (CRUISE_SHARE if share is None else share)
    highest = highest_shaft_speed_rpm(powertrain, top)
    return Speeds(cruise, top, highest, low_gear, slip, smaller_known(low_gear, slip), cruise_nm, share is None)


def slopes_on_tyres(facts: Facts) -> tuple[float | None, float | None, float | None]:
    """Output, (last) shaft and pinion slope after the plan as a gauge reads them with the vehicle on its tyres."""
    pose = facts.planned.pose
    found = (pose.output, None if pose.sections is None else pose.sections[-1], pose.pinion)
    return tuple(None if line is None else finite(slope_deg(line)[0] + facts.tilt_deg) for line in found)  # type: ignore[return-value]


def shaft_side_slope_deg(facts: Facts, section: int = -1) -> float | None:
    """Slope of a shaft section as drawn in side view, after the plan, on the tyres."""
    sections = facts.planned.pose.sections
    return None if sections is None else finite(side_slope_deg(sections[section])[0] + facts.tilt_deg)


def _stacked(*settings: Setting) -> Setting:
    return Setting(
        np.concatenate([one.axle_shim_deg for one in settings]),
        np.concatenate([one.mount_shim_mm for one in settings]),
        np.concatenate([one.axle_shift_mm for one in settings]),
        np.concatenate([one.axle_turn_deg for one in settings]),
    )


TubeRow = tuple[Literal["front", "rear", "whole"], str, Tube | None, float | None]


def _tubes(
    build: Build, lengths: list[float | None] | None, read: float | None, torque_nm: float | None
) -> tuple[TubeFacts, ...]:
    shaft = build.shaft
    rows: list[TubeRow]
    if isinstance(shaft, TwoPieceShaft):
        known = lengths or [None, None]
        rows = [
            ("front", "shaft.front_tube", shaft.front_tube, known[0]),
            ("rear", "shaft.rear_tube", shaft.rear_tube, known[1]),
        ]
    else:
        tube = None if shaft is None else shaft.tube
        rows = [("whole", "shaft.tube", tube, read if lengths is None else lengths[0])]
    return tuple(_tube_facts(name, entry, tube, length, torque_nm) for name, entry, tube, length in rows)


def _tube_facts(
    name: Literal["front", "rear", "whole"],
    entry: str,
    tube: Tube | None,
    length_mm: float | None,
    torque_nm: float | None,
) -> TubeFacts:
    material = MATERIALS["steel" if tube is None else tube.material]
    if tube is None or tube.outer_diameter_mm is None or tube.wall_mm is None:
        return TubeFacts(name, entry, tube, material, None, length_mm, None, None, None, None)
    section = tube_section(tube.outer_diameter_mm, tube.wall_mm)
    shear = None if torque_nm is None else shear_stress_mpa(section, torque_nm)
    if length_mm is None:
        return TubeFacts(name, entry, tube, material, section, None, None, shear, None, None)
    twist = None if torque_nm is None else twist_deg(section, material, length_mm, torque_nm)
    critical = float(critical_speed_rpm(section, material, length_mm))
    return TubeFacts(
        name,
        entry,
        tube,
        material,
        section,
        length_mm,
        critical,
        shear,
        twist,
        tube_mass_kg(section, material, length_mm),
    )
