"""The order for the shaft's builder, as words."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from app.setpoints import both_lengths, by_stick, near, wanted
from app.units import both, degrees, show
from geometry.document import Build, value_at
from geometry.document.running_gear import TwoPieceShaft
from geometry.words.solution import JointState, Solution
from geometry.words.wording import capital

Row = tuple[str, str]
"""(short label, words)."""

_TYPES: Final = {"cardan": "single cross", "double_cardan": "double cross", "constant_velocity": "constant velocity"}
_CRUISE: Final = ("axle.ratio", "vehicle.cruise_speed_kmh")
_MULTIPLIERS: Final = ("powertrain.low_range", "powertrain.converter_ratio")
_TORQUE: Final = ("powertrain.peak_torque_nm", "powertrain.gear_ratios")
_PLACES: Final = ("powertrain.output_joint_mm", "shaft.bearing_mm", "axle.centre_mm", "axle.pinion_length_mm")
_IN_LINE_DEG: Final = 0.05


def shaft_order(build: Build, solution: Solution) -> tuple[Row, ...]:
    """Rows of the order, dimensions first, loads last."""
    if isinstance(build.shaft, TwoPieceShaft):
        rows = [*_two_lengths(build, solution)]
    else:
        rows = [("Length", _length(build, solution)), ("Tube", _tube(build, solution, "tube"))]
    rows += [(capital(joint.name), _joint(joint, number, solution)) for number, joint in enumerate(solution.joints)]
    rows += [
        ("Phase", _phase(build)),
        ("Slip", _slip(build, solution)),
        *_travel(build, solution),
        ("Speed", _speed(build, solution)),
        ("Torque", _torque(build, solution)),
    ]
    return tuple(rows)


def _length(build: Build, solution: Solution) -> str:
    length_mm, state = solution.order.length_mm, solution.order.state
    if length_mm is None:
        placed = value_at(build, "axle.centre_mm") is not None
        return wanted(build, _PLACES if placed else by_stick(build, "readings.shaft_length_mm"))
    in_state = f", {state}" if state else ""
    return f"{both(length_mm, 'mm', build.display)} joint centre to joint centre at ride height{in_state}"


def _two_lengths(build: Build, solution: Solution) -> Iterable[Row]:
    for section in solution.shaft.sections:
        order = solution.order
        slips = order.section == section.name
        length_mm, state = (order.length_mm, order.state) if slips else (section.length_mm, None)
        if length_mm is None:
            length = wanted(build, _PLACES)
        else:
            length = f"{both(length_mm, 'mm', build.display)} joint centre to joint centre at ride height"
            length += f", {state}" if state else ""
        yield f"{capital(section.name)} tube", f"{length}; {_tube(build, solution, f'{section.name}_tube')}"


def stronger_mm(solution: Solution, name: str) -> float | None:
    """Outside diameter of the tube that a finding's first way out asks for instead of the planned one."""
    entry = f"shaft.{name}.outer_diameter_mm"
    remedies = [one.remedy for one in solution.findings if one.remedy is not None]
    return next((float(one.changes[entry]) for one in remedies if entry in one.changes), None)


def _tube(build: Build, solution: Solution, name: str) -> str:
    outer = value_at(build, f"shaft.{name}.outer_diameter_mm")
    wall = value_at(build, f"shaft.{name}.wall_mm")
    if outer is None and wall is None:
        return wanted(build, (f"shaft.{name}.outer_diameter_mm", f"shaft.{name}.wall_mm"))
    parts = []
    for value, word, places in ((outer, "outside", None), (wall, "wall", 3)):
        if value is None:
            parts.append(f"{word} not known")
        else:
            first, other = both_lengths(value, build.display, inch_places=places)
            parts.append(f"{first} ({other}) {word}")
    asked = stronger_mm(solution, name)
    stronger = (
        "" if asked is None else f"; stronger, see findings: {' ('.join(both_lengths(asked, build.display))}) outside"
    )
    return f"{', '.join(parts)}, {value_at(build, f'shaft.{name}.material')}{stronger}"


def _joint(joint: JointState, number: int, solution: Solution) -> str:
    words = f"{_TYPES[joint.type]} joint"
    if joint.operating_deg is not None:
        words += f"; {degrees(joint.operating_deg)} at ride height"
    travel = solution.travel
    if travel is not None and travel.operating_deg is not None and number < len(travel.operating_deg):
        known = [angle for angle in travel.operating_deg[number] if angle is not None]
        if known:
            words += f", up to {degrees(max(known))} in the travel, at rest"
    return words


def _phase(build: Build) -> str:
    shaft = build.shaft
    if isinstance(shaft, TwoPieceShaft):
        return f"front tube: {_turned(shaft.front_phase_deg)}; rear tube: {_turned(shaft.rear_phase_deg)}"
    return _turned(None if shaft is None else shaft.phase_deg)


def _turned(phase_deg: float | None) -> str:
    if phase_deg is None or abs(phase_deg) < _IN_LINE_DEG:
        return "yokes in line (0°)"
    way = "clockwise" if phase_deg > 0.0 else "anticlockwise"
    return f"rear yoke turned {degrees(abs(phase_deg))} {way}, looking rearward"


def _slip(build: Build, solution: Solution) -> str:
    stroke, engaged = value_at(build, "shaft.slip.stroke_mm"), value_at(build, "shaft.slip.engaged_mm")
    travel = solution.travel
    if travel is not None and travel.engaged_mm is not None:  # at the ride height after the plan
        here = travel.engaged_mm[travel.axle_mm.index(0.0)]
        if here is not None and not near("slip_engaged_mm", here, engaged):  # else as the set-points have it
            engaged = here
    if stroke is None and engaged is None:
        return wanted(build, ("shaft.slip.stroke_mm", "shaft.slip.engaged_mm"))
    parts = []
    if stroke is not None:
        parts.append(f"stroke {both(stroke, 'mm', build.display)}")
    if engaged is not None:
        parts.append(f"engaged {both(engaged, 'mm', build.display)} at ride height")
    return ", ".join(parts)


def _travel(build: Build, solution: Solution) -> Iterable[Row]:
    travel = solution.travel
    if travel is None:
        return
    parts = []
    for values, words in ((travel.slip_left_mm, "left to slide in"), (travel.engaged_mm, "engaged")):
        known = [value for value in values or () if value is not None]
        if known:
            parts.append(f"{both(min(known), 'mm', build.display)} {words}")
    if parts:
        yield "Travel", f"at rest, at the least {' and '.join(parts)}"


def _speed(build: Build, solution: Solution) -> str:
    shaft, parts = solution.shaft, []
    for value, words in ((shaft.cruise_rpm, "cruising"), (shaft.max_rpm, "at most"), (shaft.critical_rpm, "critical")):
        if value is not None:
            parts.append(f"{show(value, 'rpm', build.display)} {words}")
    radius = f"vehicle.{value_at(build, 'axle.end') or 'rear'}_tyre_radius_mm"
    return ", ".join(parts) or wanted(build, (radius, *_CRUISE))


def _torque(build: Build, solution: Solution) -> str:
    shaft, parts = solution.shaft, []
    if shaft.torque_nm is not None and shaft.shock_torque_nm is not None:
        launch, shock = (both(torque, "N·m", build.display) for torque in (shaft.torque_nm, shaft.shock_torque_nm))
        # Of a torque that is a bound alone nobody may order a shaft as if it were the whole.
        open_ = " as far as entered" if open_torque(build, solution) else ""
        parts.append(f"must carry {shock}{open_} in a rough start, {launch} at launch")
    if shaft.low_gear_torque_nm is not None:
        parts.append(f"lowest gear gives {both(shaft.low_gear_torque_nm, 'N·m', build.display)}")
    if shaft.wheel_slip_torque_nm is not None:
        parts.append(f"tyres slip at {both(shaft.wheel_slip_torque_nm, 'N·m', build.display)}")
    return "; ".join(parts) or wanted(build, _TORQUE)


def open_torque(build: Build, solution: Solution) -> bool:
    """Whether something that sets or multiplies the launch torque is not entered."""
    low, slip = solution.shaft.low_gear_torque_nm, solution.shaft.wheel_slip_torque_nm
    if low is None or slip is None:
        return True
    if low < slip:
        return any(value_at(build, entry) is None for entry in _MULTIPLIERS)
    return value_at(build, "vehicle.mass_centre_height_mm") is None
