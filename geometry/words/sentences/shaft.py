"""Sentences on the shaft's tubes and on what its joints carry."""

import numpy as np

from geometry.document import value_at
from geometry.judge.findings import nearest_half_rpm
from geometry.judge.limits import LIMITS
from geometry.judge.shapes import TubeFacts
from geometry.mechanics.loads import CRUISE_SHARE
from geometry.words.names import name_of
from geometry.words.one import JOINT, One
from geometry.words.sentences.motion import so_far
from geometry.words.told import Told
from geometry.words.wants import not_judged
from geometry.words.wording import listed, number

KM_PER_MILE = 1.609344
"""Exact by definition (international yard and pound, 1959)."""


def _of_section(tube: TubeFacts) -> str:
    return "" if tube.name == "whole" else f" of the {tube.name} section"


def judged_tube(one: One) -> TubeFacts:
    """The section that a finding on the tubes is about: the one that is worst, or the first."""
    told, facts = one.told, one.told.facts
    if one.id == "tube_shear":
        return _most_sheared(told)
    half = told.number(nearest_half_rpm(facts)) if one.id == "half_critical_speed" else None
    aim = 0.0 if half is None else 2.0 * half
    return min(facts.tubes, key=lambda tube: abs((told.number(tube.critical_rpm) or np.inf) - aim))


def critical_speed(one: One) -> str:
    """Whether the shaft stays clear of its critical speed."""
    told, row = one.told, LIMITS["critical_speed"]
    if any(told.number(tube.critical_rpm) is None for tube in told.facts.tubes):
        return not_judged(one)
    tube = judged_tube(one)
    critical = told.number(tube.critical_rpm) or np.inf
    whirls = f"the critical speed{_of_section(tube)} is {one.other(critical, 'rpm')}"
    if one.verdict == "unknown" or one.value is None:
        return not_judged(
            one, f"The shaft is good for {one.line(one.clear)}, {row.clear} of its critical speed; {whirls}."
        )
    does = {
        "clear": "well below whirling",
        "caution": "near enough to whirl where tube or balance is not perfect",
        "hold": "it may whirl and break",
    }[one.verdict]
    shares = f"{row.clear} and {row.hold}" if one.verdict == "hold" else f"{row.clear}"
    says = f"The shaft turns up to {one.worded}, and {whirls}: {does}; {one.wanted} ({shares} of it)."
    return says if one.verdict == "clear" else f"{says}{_at_redline(one)}"


def _at_redline(one: One) -> str:
    """Say which road speed the redline in top gear is, where that alone tells how fast the shaft turns."""
    told, facts = one.told, one.told.facts
    turns, entered = told.number(facts.speeds.highest_rpm), value_at(told.build, "vehicle.top_speed_kmh")
    if turns is None or entered is not None or one.value is None or one.value > turns:
        return ""
    road = told.number(turns / facts.v["axle.ratio"] * facts.rolling_radius_mm * (2.0 * np.pi * 60.0 / 1e6))
    if road is None:
        return " That is the redline in top gear: enter the top speed if it is never driven so fast."
    metric, miles = f"{number(road)} km/h", f"{number(road / KM_PER_MILE)} mph"
    fast = f"{miles} ({metric})" if told.display.length == "inch" else f"{metric} ({miles})"
    return f" That is the redline in top gear, {fast}: enter the top speed if it is never driven so fast."


def half_critical(one: One) -> str:
    """Whether cruise keeps away from half the critical speed."""
    told = one.told
    half = told.number(nearest_half_rpm(told.facts))
    cruise = told.number(told.facts.speeds.cruise_rpm)
    if one.verdict == "unknown" or half is None or cruise is None:
        keep = "" if half is None or one.clear is None else (
            f"Keep cruise {one.line(one.clear)} or more away from {one.other(half, 'rpm')}, half the critical speed."
        )  # fmt: skip
        return not_judged(one, keep)
    tube = judged_tube(one)
    does = (
        "far enough that the joints do not shake it"
        if one.verdict == "clear"
        else "where the joints shake the shaft twice a turn"
    )
    return (
        f"Cruise at {one.other(cruise, 'rpm')} lies {one.worded} from {one.other(half, 'rpm')}, half the critical "
        f"speed{_of_section(tube)}: {does}; {one.wanted}."
    )


def tube_shear(one: One) -> str:
    """Whether the tube stands the launch torque."""
    if one.verdict == "unknown" or one.value is None:
        return not_judged(one, _needed(one))
    tube = _most_sheared(one.told)
    shear_yield = one.told.number(tube.shear_yield_mpa)
    usual = "" if value_at(one.told.build, f"{tube.entry}.yield_mpa") is not None else ", usual for the material"
    weld = " beside the weld" if tube.material.weld_share < 1.0 else ""
    which = "the tube" if tube.name == "whole" else f"the {tube.name} section's tube"
    does = {
        "clear": "it is strong enough",
        "caution": "it leaves little in hand",
        "hold": "it may twist off",
    }[one.verdict]
    return (
        f"{_shocked(one)} puts a shear of {one.worded} into {which}, which yields at "
        f"{one.other(shear_yield, 'MPa')} in shear{weld}{usual}: {does}; {one.wanted}."
    )


def _most_sheared(told: Told) -> TubeFacts:
    def share(tube: TubeFacts) -> float:
        return (told.number(tube.shear_mpa) or 0.0) / (told.number(tube.shear_yield_mpa) or np.inf)

    return max(told.facts.tubes, key=share)


def joint_torque(one: One) -> str:
    """Whether a joint stands the launch torque."""
    if one.verdict == "unknown" or one.value is None:
        return not_judged(one, _needed(one))
    name = JOINT[one.key[1]]
    word = "within its limit" if one.verdict == "clear" else "more than its limit"
    return f"{_shocked(one, one.worded)} reaches the {name} joint, {word}: {one.wanted}."


def _needed(one: One) -> str:
    load = one.number(one.told.facts.speeds.torque_nm * one.told.facts.speeds.shock)
    return "" if load is None else f"{_shocked(one)} has to be carried."


def _shocked(one: One, words: str = "") -> str:
    """Say the torque of a rough start, which is the launch torque times a shock, and what was taken."""
    speeds, told = one.told.facts.speeds, one.told
    shock = told.number(speeds.shock) or 1.0
    load = words or one.other(told.number(speeds.torque_nm * speeds.shock), "N·m")
    if shock == 1.0:
        return _noted(f"Launch torque of {load}", torque_notes(told))
    factor = number(shock, 2).rstrip("0").rstrip(".")
    taken = value_at(told.build, "powertrain.shock_factor") is None
    launch = one.other(told.number(speeds.torque_nm), "N·m")
    times = f"{launch} of launch torque times a shock factor of {factor}{' taken' if taken else ''}"
    return _noted(f"A rough start's torque of {load}", [times, *torque_notes(told)])


def _noted(says: str, notes: list[str]) -> str:
    return f"{says}, {', '.join(notes)}," if notes else says


def launch_torque(one: One) -> str:
    """Word the launch torque as the springs feel it, without a shock, and what it leaves out."""
    load = one.other(one.told.number(one.told.facts.speeds.torque_nm), "N·m")
    return _noted(f"Launch torque of {load}", torque_notes(one.told))


def torque_notes(told: Told) -> list[str]:
    """Say what the launch torque leaves out for want of entries, and which way that may be off."""
    speeds, v = told.facts.speeds, told.facts.v
    low, slip = told.number(speeds.low_gear_nm), told.number(speeds.wheel_slip_nm)
    notes = []
    geared = low is not None and (slip is None or low <= slip)
    if geared:
        paths = [path for path in ("powertrain.low_range", "powertrain.converter_ratio") if np.isnan(told.at(v[path]))]
        if paths:
            names = listed([name_of(told.build, path) for path in paths])
            notes.append(f"at least, as {names} {'is' if len(paths) == 1 else 'are'} not entered")
        if slip is None:
            grip = ("vehicle.tyre_grip", "vehicle.rear_axle_load_kg", "axle.ratio")
            lifts = all(np.isfinite(told.at(v[path])) for path in grip)
            notes.append(
                "with so much grip the front wheels lift before the tyres slip"
                if lifts
                else "less where the tyres slip before, as their grip and load are not all entered"
            )
        return notes
    if low is None:
        notes.append("at most, as engine torque and gears are not all entered")
    if np.isnan(told.at(v["vehicle.mass_centre_height_mm"])):
        notes.append("load transfer not counted, as the centre of gravity's height is not entered")
    elif np.isnan(told.at(v["vehicle.wheelbase_mm"])):
        notes.append("load transfer not counted, as the wheelbase is not entered")
    return notes


def cruise_torque(one: One) -> str:
    """Word the torque at cruise, and the share that was taken."""
    told = one.told
    taken = value_at(told.build, "powertrain.cruise_torque_share") is None
    note = f" ({CRUISE_SHARE} of the engine's peak taken)" if taken else ""
    return f"{one.other(told.number(told.facts.speeds.cruise_nm), 'N·m')}{note}"


def joint_life(one: One) -> str:
    """How long a joint lasts at cruise, in hours and by the road."""
    if one.verdict == "unknown" or one.value is None:
        return not_judged(one, so_far(one))
    told, name = one.told, JOINT[one.key[1]]
    speeds, angle = told.facts.speeds, told.number(told.facts.angles_deg[one.joint])
    far = one.value * (told.number(told.facts.v["vehicle.cruise_speed_kmh"]) or 0.0)
    if told.display.length == "inch":
        road = f"{number(round(far / KM_PER_MILE, -3))} miles"
    else:
        road = f"{number(round(far, -3))} km"
    speed, bent = one.other(told.number(speeds.cruise_rpm), "rpm"), one.other(angle, "deg")
    at = f"at {speed}, {bent} and a cruise torque of {cruise_torque(one)}"
    does = "long enough for a road vehicle" if one.verdict == "clear" else "short for a road vehicle"
    return f"The {name} joint lasts about {one.worded}, or {road}, {at}: {does}; {one.wanted}."
