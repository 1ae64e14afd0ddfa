"""Everything the findings, the set-points and the answer are made from, worked out once for a build."""

from dataclasses import dataclass
from functools import cached_property
from math import degrees, isfinite, sqrt
from typing import Literal, SupportsFloat

import numpy as np

from geometry.document import Build
from geometry.document.running_gear import Tube, TwoPieceShaft
from geometry.frames import Floats, norm, side_slope_deg, slope_deg
from geometry.joints import operating_angle_deg
from geometry.limits import LIMITS, TAIL_MOST_DEG, allowed_angle_deg
from geometry.loads import Speeds, speeds_of
from geometry.motion import ChainMotion
from geometry.obstacles import BodyGap, obstacle_gaps
from geometry.pose import Pose, Setting, joints_of, setting, stacked, turned
from geometry.ride import Ride
from geometry.ride import ride as lifted_ride
from geometry.shaft import (
    MATERIALS,
    SHEAR_OF_YIELD,
    Material,
    TubeSection,
    critical_speed_rpm,
    shear_stress_mpa,
    tube_mass_kg,
    tube_section,
    twist_deg,
)
from geometry.travel import TravelFacts, travel_range_mm, travelled
from geometry.trials import (
    COARSE_DEG,
    WEDGES_DEG,
    BestPinion,
    Options,
    Trials,
    best_pinion,
    flattened,
    known_lines,
    options,
    phase_trials,
    shims_mm,
    tried,
    with_shims,
    with_wedges,
)
from geometry.uncertainty import cancellation_deg
from geometry.windup import WindupFacts, windup

DOUBT = np.linspace(-1.0, 1.0, 9)
"""Places in the band that gauge and tape leave open."""


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

    @property
    def shear_yield_mpa(self) -> float:
        """Yield stress in shear, MPa: the tube's own entry, or what is usual for its material, over √3."""
        entered = None if self.tube is None else self.tube.yield_mpa
        return (self.material.yield_mpa if entered is None else entered) * SHEAR_OF_YIELD


@dataclass(frozen=True)
class Facts:
    """The build with all that was worked out about it at ride height; what only some findings want is worked out late.

    `planned` is the vehicle after the plan, one row. `band_deg` is what gauge and tape leave open, either way, for the
    difference of the joint angles.
    """

    build: Build
    at: Ride
    ride: Setting
    speeds: Speeds
    windup: WindupFacts | None
    planned: Trials
    band_deg: float | None
    tubes: tuple[TubeFacts, ...]
    length_mm: float | None
    taped: bool

    @cached_property
    def _tries(self) -> dict[str, Trials]:
        """The vehicle as measured, under torque, within the band and with coarse wedges, worked out in one call."""
        wedge, wound = float(self.ride.axle_shim_deg[0]), self.windup
        cruise, launch = (None, None) if wound is None else (wound.cruise_deg, wound.launch_deg)
        rows = {"measured": setting(), "coarse": with_wedges(turned(self.ride, cruise or 0.0), COARSE_DEG)}
        if cruise is not None:
            rows["cruising"] = turned(self.ride, cruise)
        if launch is not None:
            rows["launching"] = turned(self.ride, launch)
        if self.band_deg is not None:
            rows["doubtful"] = with_wedges(self.ride, wedge + DOUBT * self.band_deg)
        tries, first, made = tried(self.build, stacked(*rows.values())), 0, {}
        for name, some in rows.items():
            made[name] = tries.rows(slice(first, first + some.rows))
            first += some.rows
        return made

    @cached_property
    def measured(self) -> Trials:
        """The vehicle as it was measured, one row."""
        return known_lines(self._tries["measured"])

    @cached_property
    def cruising(self) -> Trials | None:
        """The plan with the axle wound up by cruise torque, one row; None where that is not known."""
        return known_lines(self._tries["cruising"]) if "cruising" in self._tries else None

    @cached_property
    def launching(self) -> Trials | None:
        """The plan with the axle wound up by launch torque, one row; None where that is not known."""
        return known_lines(self._tries["launching"]) if "launching" in self._tries else None

    @cached_property
    def coarse(self) -> ChainMotion | None:
        """The motion at cruise with each of `COARSE_DEG` wedges; None without all lines."""
        return self._tries["coarse"].motion

    @cached_property
    def doubtful(self) -> ChainMotion | None:
        """The motion with the pinion off by each of `DOUBT` times the band; None where that is not known."""
        return self._tries["doubtful"].motion if "doubtful" in self._tries else None

    @property
    def tilt_deg(self) -> float:
        """What the lift adds to every gauge reading, degrees; nan where it takes a wheelbase that is not known."""
        return self.at.tilt_deg

    @cached_property
    def choices(self) -> tuple[Options, ...]:
        """Trials of every wedge that is sold and of every mount shim that can be cut."""
        shims = with_shims(self.ride, shims_mm(self.build))
        return options(self.build, self.cruise_deg, self.allowance, with_wedges(self.ride, WEDGES_DEG), shims)

    @property
    def wedges(self) -> Options:
        """Trials of every wedge."""
        return self.choices[0]

    @property
    def shims(self) -> Options:
        """Trials of every mount shim."""
        return self.choices[1]

    @property
    def angle_for_life_deg(self) -> float | None:
        """Operating angle that suits the cruising speed, degrees, or None."""
        return None if self.speeds.cruise_rpm is None else allowed_angle_deg(self.speeds.cruise_rpm)

    @property
    def angle_for_inertia_deg(self) -> float | None:
        """Angle of one joint that jerks the shaft just less than is allowed at the cruising speed, degrees, or None."""
        omega2, most = self.speeds.omega2, LIMITS["shaft_inertia_drive"].clear
        return None if omega2 is None else 0.997 * degrees(sqrt(most / omega2))

    @cached_property
    def flatter(self) -> dict[float, Options]:
        """For each angle that may be wanted of the output's joint, trials of every wedge with the shim that gives it.

        An angle that no shim gives, or none whose tail does not hang too low, is left out.
        """
        assert self.shims.pose.output is not None  # noqa: S101  the planned lines are known
        hangs = slope_deg(self.shims.pose.output) + self.tilt_deg > TAIL_MOST_DEG
        wanted = [angle for angle in (self.angle_for_life_deg, self.angle_for_inertia_deg) if angle is not None]
        # At rest the pinion stands lower by what torque will raise it, so its joint runs that much steeper.
        wanted += [angle - self.cruise_deg for angle in wanted]
        return flattened(self.build, self.ride, self.cruise_deg, self.allowance, self.shims, hangs, wanted)

    @cached_property
    def phases(self) -> tuple[Floats, ChainMotion] | None:
        """Trials of the last section's phase, and the motion with each; None where it makes no difference."""
        lines = self.planned.pose.lines
        return None if lines is None else phase_trials(self.build, lines)

    @cached_property
    def best(self) -> BestPinion | None:
        """Where the pinion wants to be at rest, so that it runs best at cruise."""
        return best_pinion(self.build, self.ride, self.cruise_deg, self.coarse, self.planned.pose.pinion)

    @cached_property
    def travel(self) -> TravelFacts | None:
        """Everything over the axle's travel, or None where that is not known."""
        return travelled(self.build, self.at, self.ride, self.measured.pose.joint_centres_mm)

    @property
    def travel_asked_mm(self) -> tuple[float, float]:
        """Full droop and bump as asked, mm; nil where not entered."""
        return travel_range_mm(self.build, self.at) or (0.0, 0.0)

    @cached_property
    def gaps(self) -> tuple[BodyGap | None, ...]:
        """Least gap to each obstacle over the travel, or else at ride height; None where unknown."""
        return obstacle_gaps(self.build, self.planned.pose, self.travel, tuple(tube.tube for tube in self.tubes))

    @property
    def cruise_deg(self) -> float:
        """How far cruise torque winds the axle up, nil where that is not known, degrees."""
        return 0.0 if self.windup is None or self.windup.cruise_deg is None else self.windup.cruise_deg

    @property
    def allowance(self) -> float:
        """Residual that passes, over omega squared; without a speed, any."""
        return np.inf if self.speeds.omega2 is None else LIMITS["pinion_residual"].clear / self.speeds.omega2

    @property
    def joint_names(self) -> tuple[str, ...]:
        """Names of the joints, front to rear."""
        return ("front", "rear") if len(joints_of(self.build)) == 2 else ("front", "centre", "rear")

    def operating(self, joint: int) -> float | None:
        """Operating angle of a joint after the plan, degrees, or None."""
        return None if self.planned.motion is None else finite(self.planned.motion.operating_deg[joint, 0])

    def residual(self, state: Trials | None = None) -> float | None:
        """Residual at the pinion after the plan, or in another state of one row, rad/s², or None."""
        motion = (self.planned if state is None else state).motion
        return self.times_omega2(None if motion is None else float(motion.residual[0]))

    def times_omega2(self, per_omega2: float | None) -> float | None:
        """Acceleration in rad/s² of a value over omega squared, or None."""
        if per_omega2 is None or self.speeds.omega2 is None:
            return None
        return finite(per_omega2 * self.speeds.omega2)


def finite(value: SupportsFloat) -> float | None:
    """Return a plain number from a number or an array of none dimensions, or None for nan and infinities."""
    number = float(value)
    return number if isfinite(number) else None


def gather(build: Build) -> Facts:
    """Work out everything about a build at ride height, as measured and after the plan."""
    plan = build.plan
    wedge = 0.0 if plan is None else plan.axle_shim_deg or 0.0
    shim = 0.0 if plan is None else plan.mount_shim_mm or 0.0
    at = lifted_ride(build)
    planned = setting(wedge, shim, at.shift_mm[None, :], at.turn_deg)
    speeds = speeds_of(build)
    wound = windup(build, at, speeds)
    standing = known_lines(tried(build, planned))
    centres = standing.pose.joint_centres_mm
    lengths = None if centres is None else norm(centres[1:, 0] - centres[:-1, 0])
    # The tape was laid before the lift: what it read is not the length after.
    read = None if build.readings is None or at.lift_mm != 0.0 else build.readings.shaft_length_mm
    tubes = _tubes(
        build, None if lengths is None else [finite(value) or None for value in lengths], read, speeds.torque_nm
    )
    return Facts(
        build, at, planned, speeds, wound, standing, _band(build, standing.pose),
        tubes, tubes[-1].length_mm, lengths is not None,
    )  # fmt: skip


def _band(build: Build, pose: Pose) -> float | None:
    """How far gauge and tape leave the difference of the joint angles open, degrees, or None."""
    if pose.lines is None or len(pose.lines) != 3:
        return None
    centres = pose.joint_centres_mm
    length = None if centres is None else float(norm(centres[-1, 0] - centres[-2, 0])) or None
    slopes = side_slope_deg(pose.lines[:, 0])
    angles = np.maximum(operating_angle_deg(pose.lines[:-1, 0], pose.lines[1:, 0]), 1e-9)
    first, last = ((slopes[1] - slopes[[0, 2]]) / angles).tolist()
    return cancellation_deg(build, length, taped=centres is not None, sides=(first, last))


def slopes_on_tyres(facts: Facts) -> tuple[float | None, float | None, float | None]:
    """Output, (last) shaft and pinion slope after the plan as a gauge reads them with the vehicle on its tyres."""
    pose = facts.planned.pose
    found = (pose.output, None if pose.sections is None else pose.sections[-1], pose.pinion)
    return tuple(None if line is None else finite(slope_deg(line)[0] + facts.tilt_deg) for line in found)  # type: ignore[return-value]


def shaft_side_slope_deg(facts: Facts, section: int = -1) -> float | None:
    """Slope of a shaft section as drawn in side view, after the plan, on the tyres."""
    sections = facts.planned.pose.sections
    return None if sections is None else finite(side_slope_deg(sections[section])[0] + facts.tilt_deg)


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
