"""Ways out, computed on the exact model and rounded to what can be bought or cut."""

from collections.abc import Callable

import numpy as np

from geometry.document.running_gear import TwoPieceShaft
from geometry.document.vehicle import Display
from geometry.facts import Facts, TubeFacts, finite
from geometry.frames import Floats, slope_deg
from geometry.limits import LIMITS, TAIL_MOST_DEG
from geometry.motion import ChainMotion
from geometry.pose import phases_of
from geometry.shaft import critical_speed_rpm, diameter_for_critical_mm, shear_stress_mpa, tube_section
from geometry.solution import Remedy
from geometry.trials import Options, Trials, least_row, options, shims_mm, with_rises
from geometry.wording import MM_PER_INCH, degrees, half_degrees, length, number, shim, stress

Judged = Callable[[ChainMotion, int], float | None]
"""Value of a finding in one row of a motion, for example the residual in rad/s²."""

STOCK_DIAMETERS_IN = (2.0, 2.5, 2.75, 3.0, 3.5, 4.0, 4.5, 5.0, 6.0)
"""Outside diameters of shaft tube kept by stockists, inches: common practice."""
_OUTCOMES = {"ends_parallel": "joint angles {} apart", "straight_end": "single joint at {}"}
"""How a value is told where the title of its limit, which says what is wanted, does not fit before it."""
_STOCK_MM = tuple(round(size * MM_PER_INCH, 6) for size in STOCK_DIAMETERS_IN)


def cancelling(facts: Facts, limit_id: str, judged: Judged, *, loaded: bool = False) -> list[Remedy]:
    """Ways to make the ends cancel: a wedge, a mount shim, a bearing's height or a phase, best first; those that help.

    `loaded` judges them with the axle wound up by cruise torque.
    """
    before = _before(facts, judged, loaded=loaded)
    rated = (_wedge, _shim, _bearing)
    found = [way(facts, limit_id, judged, before, loaded=loaded) for way in rated]
    if not loaded:
        found.append(_phase(facts, limit_id, judged, before))
    order = {"clear": 0, "caution": 1, "hold": 2, "unknown": 3}
    return sorted((one for one in found if one is not None), key=lambda one: order[one.after_verdict])


def _before(facts: Facts, judged: Judged, *, loaded: bool = False) -> float:
    state = facts.cruising if loaded else facts.planned
    value = None if state is None or state.motion is None else judged(state.motion, 0)
    return np.inf if value is None else abs(value)


def _chosen(facts: Facts, choices: Options, judged: Judged, before: float, *, loaded: bool) -> tuple[int, float] | None:
    """Best row of the choices and what the finding's value then is; None where it does not help."""
    row = least_row(facts.build, choices)
    motion = choices.cruise if loaded else choices.motion
    assert motion is not None  # noqa: S101  the planned lines are known
    after = None if row is None else judged(motion, row)
    return None if row is None or after is None or abs(after) >= before else (row, after)


def _wedge(facts: Facts, limit_id: str, judged: Judged, before: float, *, loaded: bool) -> Remedy | None:
    """The wedge that the set-points name, where it passes or none does; else the one with the least residual."""
    chosen = _chosen(facts, facts.wedges, judged, before, loaded=loaded)
    named = _named(facts, judged, before, loaded=loaded)
    judge = LIMITS[limit_id].judge
    if named is not None and (chosen is None or judge(abs(named[1])) == judge(abs(chosen[1]))):
        chosen = named
    if chosen is None:
        return None
    row, after = chosen
    wedge = float(facts.wedges.at.axle_shim_deg[row])
    slope = finite(_gauge_slope(facts, facts.wedges, row))
    pinion = "" if slope is None else f"{pinion_words(facts, slope)}, "
    says = f"{wedge_words(wedge)}: {pinion}{_then(limit_id, after)}."
    return Remedy(says, {"plan.axle_shim_deg": wedge}, after, LIMITS[limit_id].judge(abs(after)))


def _named(facts: Facts, judged: Judged, before: float, *, loaded: bool) -> tuple[int, float] | None:
    """Row of the wedge that the set-points name, and the value with it; None where it is not sold or does not help."""
    motion = facts.wedges.cruise if loaded else facts.wedges.motion
    if facts.best is None or motion is None:
        return None
    rows = np.flatnonzero(facts.wedges.at.axle_shim_deg == facts.best.fitted_deg)
    after = judged(motion, int(rows[0])) if rows.size else None
    return None if after is None or abs(after) >= before else (int(rows[0]), after)


def _shim(facts: Facts, limit_id: str, judged: Judged, before: float, *, loaded: bool) -> Remedy | None:
    chosen = _chosen(facts, facts.shims, judged, before, loaded=loaded)
    if chosen is None or facts.shims.pose.output is None:
        return None
    row, after = chosen
    thick = float(facts.shims.at.mount_shim_mm[row])
    slope = finite(slope_deg(facts.shims.pose.output[row]) + facts.tilt_deg)
    if thick == facts.ride.mount_shim_mm[0] or slope is None or slope > TAIL_MOST_DEG:
        return None
    says = f"{shim_words(facts, thick)}: {output_words(slope)}, {_then(limit_id, after)}."
    return Remedy(says, {"plan.mount_shim_mm": thick}, after, LIMITS[limit_id].judge(abs(after)))


def _bearing(facts: Facts, limit_id: str, judged: Judged, before: float, *, loaded: bool) -> Remedy | None:
    """Height of the support bearing at which the residual is least, in steps that can be cut."""
    shaft = facts.build.shaft
    if not isinstance(shaft, TwoPieceShaft) or shaft.bearing_mm is None:
        return None
    rises = with_rises(facts.ride, shims_mm(facts.build))
    (choices,) = options(facts.build, facts.cruise_deg, facts.allowance, rises)
    chosen = _chosen(facts, choices, judged, before, loaded=loaded)
    if chosen is None:
        return None
    row, after = chosen
    rise = float(choices.at.bearing_rise_mm[row])
    x, y, z = shaft.bearing_mm
    says = f"{'Raise' if rise > 0.0 else 'Lower'} the support bearing by {shim(abs(rise), facts.build.display)}: {_then(limit_id, after)}."
    return Remedy(says, {"shaft.bearing_mm": (x, y, z + rise)}, after, LIMITS[limit_id].judge(abs(after)))


def _phase(facts: Facts, limit_id: str, judged: Judged, before: float) -> Remedy | None:
    """Whole degrees of the last section's phase at which the residual is least; a yoke can be set to a degree by weld."""
    tried_phases = facts.phases
    if tried_phases is None:
        return None
    phases, motion = tried_phases
    row = int(np.argmin(motion.residual))
    after = judged(motion, row)
    if after is None or abs(after) >= 0.75 * before or phases[row] == phases_of(facts.build)[-1]:
        return None
    entry = "shaft.rear_phase_deg" if isinstance(facts.build.shaft, TwoPieceShaft) else "shaft.phase_deg"
    phase = float(phases[row])
    turned = "in line with" if phase == 0.0 else f"turned {degrees(phase, 0)} from"
    says = f"Have the shaft built with its rear yoke {turned} the front one: {_then(limit_id, after)}."
    return Remedy(says, {entry: float(phases[row])}, after, LIMITS[limit_id].judge(abs(after)))


def flattening(facts: Facts, limit_id: str, target_deg: float, judged: Judged, *, at_pinion: bool) -> list[Remedy]:
    """Bring the output's joint down to an angle by a mount shim, and match the pinion with a wedge.

    `target_deg` is one of the angles that `Facts.flatter` looks for; of the wedges the one whose residual is least is
    taken. None where no shim does it.
    """
    wedges = facts.flatter.get(target_deg - (facts.cruise_deg if at_pinion else 0.0))
    if wedges is None:
        return []
    thick = float(wedges.at.mount_shim_mm[0])
    best = least_row(facts.build, wedges)
    assert best is not None and wedges.motion is not None and wedges.pose.output is not None  # noqa: PT018, S101  likewise
    if thick == facts.ride.mount_shim_mm[0]:
        named = _named(facts, judged, np.inf, loaded=False)
        passes = LIMITS[limit_id].judge
        if named is not None and passes(abs(named[1]), _scale(limit_id, target_deg)) == "clear":
            best = named[0]
    after = judged(wedges.motion, best)
    wedge = float(wedges.at.axle_shim_deg[best])
    if after is None or abs(after) >= _before(facts, judged):
        return []
    slope = float(slope_deg(wedges.pose.output[best]) + facts.tilt_deg)
    fit = "no wedges" if wedge == 0.0 else f"{half_degrees(abs(wedge))} wedges that {_nose(wedge)} the pinion's nose"
    mount = "" if thick == facts.ride.mount_shim_mm[0] else f"{shim_words(facts, thick)} and "
    says = (
        f"{_capital(mount + 'fit ' + fit)}: {output_words(slope)}, "
        f"{pinion_words(facts, _gauge_slope(facts, wedges, best))}, {_then(limit_id, after)}."
    )
    return [
        Remedy(
            says, {"plan.mount_shim_mm": thick, "plan.axle_shim_deg": wedge}, after, LIMITS[limit_id].judge(abs(after))
        )
    ]


def _scale(limit_id: str, target_deg: float) -> float:
    """What the limit is a share of: an angle for its speed of the angle allowed."""
    return target_deg if limit_id == "operating_angle_most" else 1.0


def larger_tubes(facts: Facts, critical_rpm: float, highest_rpm: float) -> list[Remedy]:
    """Next stock size for every tube whose critical speed is less than the one asked for, walls kept."""
    changes: dict[str, float] = {}
    says, lowest = [], np.inf
    for tube in facts.tubes:
        after = tube.critical_rpm
        # What the finding judged by is there.
        assert tube.tube is not None and tube.tube.wall_mm is not None  # noqa: PT018, S101
        assert tube.length_mm is not None and after is not None  # noqa: PT018, S101
        if after < critical_rpm:
            wanted = diameter_for_critical_mm(tube.tube.wall_mm, tube.material, tube.length_mm, critical_rpm)
            outer = _stock_mm(wanted)
            if outer is None:
                return []
            after = float(critical_speed_rpm(tube_section(outer, tube.tube.wall_mm), tube.material, tube.length_mm))
            changes[f"{tube.entry}.outer_diameter_mm"] = outer
            size, least = (length(value, facts.build.display, 1) for value in (outer, wanted))
            says.append(
                f"{_of(tube)}{size} tube of the same wall (at least {least} is needed), critical speed {number(after)} rpm"
            )
        lowest = min(lowest, after)
    verdict = LIMITS["critical_speed"].judge(highest_rpm, float(lowest))
    return [Remedy(f"Order {'; '.join(says)}.", changes, highest_rpm, verdict)] if changes else []


def stronger_tubes(facts: Facts, torque_nm: float) -> list[Remedy]:
    """Next stock size for every tube whose shear does not pass, walls kept."""
    row = LIMITS["tube_shear"]
    changes: dict[str, float] = {}
    says, stresses = [], []
    for tube in facts.tubes:
        after = tube.shear_mpa
        assert tube.tube is not None and tube.tube.wall_mm is not None and after is not None  # noqa: PT018, S101  the finding had them
        if row.judge(after, tube.shear_yield_mpa) != "clear":
            outer, after = _passing(tube, tube.tube.wall_mm, torque_nm)
            if outer is None:
                return []
            changes[f"{tube.entry}.outer_diameter_mm"] = outer
            says.append(
                f"{_of(tube)}{length(outer, facts.build.display, 1)} tube of the same wall, shear {stress(after, facts.build.display)}"
            )
        stresses.append((after / tube.shear_yield_mpa, after))
    return [Remedy(f"Order {'; '.join(says)}.", changes, max(stresses)[1], "clear")] if changes else []


def _stock_mm(least_mm: float) -> float | None:
    return next((size for size in _STOCK_MM if size >= least_mm), None)


def _passing(tube: TubeFacts, wall_mm: float, torque_nm: float) -> tuple[float | None, float]:
    """Smallest stock diameter whose shear passes, and that shear; None where none does."""
    for outer in _STOCK_MM:
        after = shear_stress_mpa(tube_section(outer, min(wall_mm, outer / 2.0)), torque_nm)
        if outer > 2.0 * wall_mm and LIMITS["tube_shear"].judge(after, tube.shear_yield_mpa) == "clear":
            return outer, after
    return None, np.inf


def _of(tube: TubeFacts) -> str:
    return "" if tube.name == "whole" else f"for the {tube.name} section "


def raised_tail(facts: Facts) -> list[Remedy]:
    """Smallest shim under the rear mount that brings the tail up to the usual slope."""
    shims, row = facts.shims, LIMITS["tail_down"]
    assert shims.pose.output is not None  # noqa: S101  the tail's own slope is known
    tail = slope_deg(shims.pose.output) + facts.tilt_deg
    good = (tail <= row.clear) & (shims.at.mount_shim_mm > facts.ride.mount_shim_mm[0])
    if not good.any():
        return []
    first = int(np.argmax(good))
    thick, after = float(shims.at.mount_shim_mm[first]), float(tail[first])
    return [
        Remedy(
            f"{shim_words(facts, thick)}: {output_words(after)}.",
            {"plan.mount_shim_mm": thick},
            after,
            row.judge(after),
        )
    ]


def longer_or_shorter(facts: Facts, limit_id: str, engaged_mm: Floats) -> list[Remedy]:
    """Have the shaft made to the length at which both ends of the travel have spline to spare, or with more stroke.

    The travel uses a span of the slip; what is left is shared out so that bump and droop have the same beyond what
    each wants. Where the stroke is too short for that, the next one in sizes that can be ordered is asked for. None
    where the vehicle as measured, before the plan, would not be within the slip.
    """
    left, held = LIMITS["slip_left"].clear, LIMITS["slip_engaged"].clear
    slip, display = None if facts.build.shaft is None else facts.build.shaft.slip, facts.build.display
    assert slip is not None and slip.stroke_mm is not None and slip.engaged_mm is not None  # noqa: PT018, S101
    step = MM_PER_INCH / 2.0 if display.length == "inch" else 10.0
    wanted = left + held + float(engaged_mm.max() - engaged_mm.min())
    changes: dict[str, float] = {}
    stroke = slip.stroke_mm
    order = "Have the shaft made"
    if stroke < wanted:
        stroke = changes["shaft.slip.stroke_mm"] = float(np.ceil(wanted / step) * step)
        order = f"Order a slip of {length(stroke, display)} stroke and have the shaft made"
    spare = (stroke - wanted) / 2.0
    longer = held + spare - float(engaged_mm.min())
    engaged = changes["shaft.slip.engaged_mm"] = slip.engaged_mm + longer
    if not 0.0 <= engaged <= stroke:
        return []
    after = (left if limit_id == "slip_left" else held) + spare
    way = f"{length(abs(longer), display)} {'longer' if longer > 0.0 else 'shorter'}"
    return [Remedy(f"{order} {way}: {_then_length(limit_id, after, display)}.", changes, after, "clear")]


def _then_length(limit_id: str, value_mm: float, display: Display) -> str:
    title = LIMITS[limit_id].title
    return f"{title[0].lower()}{title[1:]} {length(value_mm, display)}"


def output_words(slope_deg: float) -> str:
    """Say how the output lies: output 4.2° tail down."""
    return f"output {degrees(abs(slope_deg))} tail {'up' if slope_deg < 0.0 else 'down'}"


def pinion_words(facts: Facts, slope_deg: float) -> str:
    """Say how the pinion lies: pinion 3.9° nose up, whichever way it points."""
    nose = -slope_deg if _axle_ahead(facts) else slope_deg
    return f"pinion {degrees(abs(nose))} nose {'down' if nose < 0.0 else 'up'}"


def _axle_ahead(facts: Facts) -> bool:
    return facts.build.axle is not None and facts.build.axle.end == "front"


def _gauge_slope(facts: Facts, trials: Trials, row: int) -> float:
    assert trials.pose.pinion is not None  # noqa: S101  rows that moved have a pinion line
    return float(slope_deg(trials.pose.pinion[row]) + facts.tilt_deg)


def _nose(wedge: float) -> str:
    return "raise" if wedge > 0.0 else "lower"


def wedge_words(wedge_deg: float) -> str:
    """Say what to do at the perches for a wedge in all of this size."""
    if wedge_deg == 0.0:
        return "Take the wedges out at both perches"
    return f"At both perches fit {half_degrees(abs(wedge_deg))} wedges that {_nose(wedge_deg)} the pinion's nose"


def shim_words(facts: Facts, thick_mm: float) -> str:
    """Say what to do under the rear mount for a shim in all of this thickness."""
    words = shim(abs(thick_mm), facts.build.display)
    if thick_mm == 0.0:
        return "Take the shims out from under the rear mount"
    return f"Put {words} of shim under the rear mount" if thick_mm > 0.0 else f"Lower the rear mount by {words}"


def _then(limit_id: str, after: float) -> str:
    row = LIMITS[limit_id]
    value = degrees(abs(after), 2) if row.unit == "deg" else f"{number(abs(after))} {row.unit}"
    return _OUTCOMES.get(limit_id, f"{row.title[0].lower()}{row.title[1:]} {{}}").format(value)


def _capital(text: str) -> str:
    return text[0].upper() + text[1:]
