"""Which measurements an answer still wants, in the order they are taken with gauge and tape."""

import numpy as np

from geometry.document import Build, value_at
from geometry.document.running_gear import TwoPieceShaft
from geometry.facts import Facts

Want = tuple[str, str]
"""(dotted path of the entry, its name in a sentence)."""


def for_lines(facts: Facts) -> list[Want]:
    """What the three lines still want before operating angles can be given; never nothing."""
    build, pose = facts.build, facts.planned.pose
    wants: list[Want] = []
    if pose.output is None:
        if build.powertrain is not None and build.powertrain.slope_deg is not None:
            wants += _for_shim(build)
        else:
            wants.append(("powertrain.slope_deg", "the output slope"))
    if pose.sections is None:
        wants += _for_shaft_line(facts)
    if build.axle is None or build.axle.pinion_slope_deg is None:
        wants.append(("axle.pinion_slope_deg", "the pinion slope"))
    return wants or _for_plan(facts)


def _for_plan(facts: Facts) -> list[Want]:
    """What the plan still wants where every line is measured and yet cannot be placed after it."""
    at, wants = facts.at, []
    if not np.isfinite((*at.shift_mm, at.turn_deg)).all():
        wants += list(at.wants) or [(at.trouble_entry, "a lift that the suspension can do")]
    if facts.planned.pose.output_joint_mm is None:
        wants += _for_shim(facts.build)
    if not np.isfinite(at.tilt_deg):
        wants.append(("vehicle.wheelbase_mm", "the wheelbase"))
    return wants or [("powertrain.output_joint_mm", "the joints again, of which two lie in one point")]


def _for_shim(build: Build) -> list[Want]:
    mounts = (("powertrain.front_mount_mm", "the front mounts"), ("powertrain.rear_mount_mm", "the rear mount"))
    return _absent(build, *mounts) or [("plan.mount_shim_mm", "a mount shim that the mounts can take")]


def _by_tape(facts: Facts) -> bool:
    """Whether the shaft wants its joints' places: after a lift, what was read along it before says nothing."""
    build = facts.build
    taped = isinstance(build.shaft, TwoPieceShaft) or value_at(build, "axle.centre_mm") is not None
    return taped or facts.at.lift_mm != 0.0


def _for_shaft_line(facts: Facts) -> list[Want]:
    build = facts.build
    if _by_tape(facts):
        entries = [
            ("powertrain.output_joint_mm", "the joint at the output"),
            ("axle.centre_mm", "the axle centre"),
            ("axle.pinion_length_mm", "the pinion length"),
        ]
        if isinstance(build.shaft, TwoPieceShaft):
            entries.append(("shaft.bearing_mm", "the support bearing"))
        return [entry for entry in entries if value_at(build, entry[0]) is None]
    return [("readings.shaft_slope_deg", "the shaft slope")]


def for_cruise(build: Build) -> list[Want]:
    """What the shaft's cruising speed still wants."""
    radius = "front" if value_at(build, "axle.end") == "front" else "rear"
    return _absent(
        build,
        (f"vehicle.{radius}_tyre_radius_mm", f"the {radius} tyre radius"),
        ("axle.ratio", "the axle ratio"),
        ("vehicle.cruise_speed_kmh", "the cruising speed"),
    )


def for_motion(build: Build) -> list[Want]:
    """What an acceleration at cruise still wants, with all lines known; never nothing."""
    square = ("powertrain.slope_deg", "the slopes again, as a joint stands at a right angle, where it cannot turn")
    return for_cruise(build) or [square]


def for_highest_speed(build: Build) -> list[Want]:
    """What the shaft's highest speed still wants: engine speed and gears will do."""
    return _absent(
        build, ("powertrain.redline_rpm", "the highest engine speed"), ("powertrain.gear_ratios", "the gear ratios")
    )


def for_torque(build: Build) -> list[Want]:
    """What the torque in the shaft still wants: the engine's side will do."""
    return _absent(
        build, ("powertrain.peak_torque_nm", "the engine's peak torque"), ("powertrain.gear_ratios", "the gear ratios")
    )


def for_windup(build: Build) -> list[Want]:
    """What the wind-up of leaf springs still wants: their stiffness, the axle ratio, and the torque."""
    stiffness = _absent(
        build,
        ("suspension.rate_n_per_mm", "the rate of one spring"),
        ("suspension.front_half_mm", "the spring's front half"),
        ("suspension.rear_half_mm", "the spring's rear half"),
        ("axle.ratio", "the axle ratio"),
    )
    return stiffness + for_torque(build)


def for_tube(entry: str, build: Build) -> list[Want]:
    """What a tube still wants."""
    return _absent(
        build, (f"{entry}.outer_diameter_mm", "the tube's outside diameter"), (f"{entry}.wall_mm", "the tube's wall")
    )


def for_length(facts: Facts) -> list[Want]:
    """What the length of a tube still wants; never nothing."""
    build = facts.build
    if _by_tape(facts):
        pinion = _absent(build, ("axle.pinion_slope_deg", "the pinion slope"))
        return [*_for_shaft_line(facts), *pinion] or _for_plan(facts)
    return [("readings.shaft_length_mm", "the shaft length, joint to joint")]


def for_gauge(build: Build) -> list[Want]:
    """What the uncertainties still want."""
    return _absent(
        build,
        ("gauge.angle_uncertainty_deg", "how finely your gauge reads"),
        ("gauge.tape_uncertainty_mm", "how finely your tape reads"),
    )


def _absent(build: Build, *entries: Want) -> list[Want]:
    return [entry for entry in entries if value_at(build, entry[0]) is None]
