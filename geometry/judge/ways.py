"""Ways out of trouble: which entries may be changed, and to what can be bought, cut or set."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np

from geometry.document import Build, value_at
from geometry.document.entries import range_of
from geometry.document.running_gear import Tube
from geometry.judge.ends import ADAPTERS, apart, fit_of
from geometry.judge.facts import Facts
from geometry.judge.judging import everywhere
from geometry.judge.kinds import point
from geometry.judge.limits import LIMITS
from geometry.mechanics import lateral
from geometry.mechanics.tube import MATERIALS
from geometry.mechanics.vectors import Bools, Floats, side_slope_deg

MM_PER_INCH = 25.4
WEDGES_DEG = np.arange(-8.0, 8.01, 0.5)
"""Wedges as they are sold, in half degrees to about eight, nose down to nose up: common practice."""
STEEPEST_DEG = 60.0
"""No entry of a slope takes more, either way."""
ALIKE_MM = 0.06
"""A caliper tells no difference between walls nearer than that."""
STOCK_DIAMETERS_IN = (2.0, 2.5, 2.75, 3.0, 3.5, 4.0, 4.5, 5.0, 6.0)
"""Outside diameters of shaft tube kept by stockists, inches: common practice."""
PINION, POWERTRAIN, BEARING, PHASE, TUBE, LENGTH, LINK, SHOCK, BAR, PLATE = (
    "pinion", "powertrain", "bearing", "phase", "tube", "length", "link", "shock", "bar", "plate",
)  # fmt: skip
LEANS = frozenset({
    "pinion_residual", "residual_at_top", "shaft_inertia_drive", "shaft_inertia_coast", "inertia_at_top",
    "ends_parallel", "straight_end", "operating_angle_least", "operating_angle_most", "first_joint", "equivalent_angle",
    "joint_bind", "shaft_slope", "pinion_nose_up", "pinion_nose_down", "tail_down", "tail_up", "wedge_size", "caster",
    "windup_cruise", "joint_life", "gap", "slip_left", "slip_engaged",
})  # fmt: skip
"""Findings that how pinion, powertrain, bearing and yokes stand may turn."""
SLIP = ("shaft.slip.engaged_mm", "shaft.slip.stroke_mm")
_EFFORT = {PINION: (2.0, 0.0), POWERTRAIN: (0.5, 0.6), BEARING: (0.5, 0.4), PHASE: (10.0, 0.0), TUBE: (10.0, 0.5),
           LENGTH: (10.0, 0.05), LINK: (0.5, 0.5), SHOCK: (2.0, 0.0), BAR: (0.5, 0.02),
           PLATE: (12.0, 0.1)}  # fmt: skip
"""Work of a change at all, and of every degree or millimetre of it: a judgement of the workshop's effort.

Any wedge is as soon fitted as another, and loose perches turn as far as one likes. A support bearing hangs on two
bolts; a gearbox takes engine, linkage, floor and exhaust with it.
"""


class Way(NamedTuple):
    """One kind of change, and for each entry that it touches the values to try, all of one length."""

    kind: str
    changes: Mapping[str, Floats]


def steps(facts: Facts, sixteenths: float, millimetres: float, most: int) -> Floats:
    """So many steps either way, mm, as the person measures: sixteenths of an inch, or millimetres."""
    inch = facts.v.build.display.length == "inch"
    return np.arange(-most, most + 1.0) * (sixteenths * MM_PER_INCH / 16.0 if inch else millimetres)


def leaning_ways(facts: Facts) -> Iterator[Way]:
    """Ways to set pinion, powertrain, support bearing and yokes; `facts` is the plan, one row."""
    v, kinds = facts.v, facts.kinds
    tilt_known = bool(np.isfinite(facts.ride.tilt_deg).all())
    if np.isfinite(facts.pinion_base_deg).all():
        if kinds.loose_perches:
            # Slopes are set on the tyres: without knowing how the lift tips the vehicle there is none to set.
            if tilt_known:
                yield Way(PINION, {"plan.pinion_slope_deg": _pinion_slopes(facts)})
        else:
            yield Way(PINION, {"plan.axle_shim_deg": WEDGES_DEG})
    mounts = sum(v[f"powertrain.{end}_mount_mm.{part}"] for end in ("front", "rear") for part in (0, 1))
    if kinds.loose_mounts:
        if tilt_known and np.isfinite(v["powertrain.front_mount_mm.0"] + v["powertrain.slope_deg"]):
            rise = float(v.given("plan.powertrain_shift_mm.1", 0.0))
            slopes, rises = np.meshgrid(np.arange(0.0, 8.01, 0.5), rise + steps(facts, 6.0, 10.0, 5))
            aft = np.full(slopes.size, float(v.given("plan.powertrain_shift_mm.0", 0.0)))
            yield Way(
                POWERTRAIN,
                {
                    "plan.powertrain_slope_deg": slopes.ravel(),
                    "plan.powertrain_shift_mm.0": aft,
                    "plan.powertrain_shift_mm.1": rises.ravel(),
                },
            )
    elif np.isfinite(mounts):
        yield Way(POWERTRAIN, {"plan.mount_shim_mm": steps(facts, 1.0, 1.0, 32 if _inch(facts) else 50)})
    if kinds.pieces == 2 and np.isfinite(v["shaft.bearing_mm.2"]):
        height, step = float(v["shaft.bearing_mm.2"]), float(v["shaft.bearing_step_mm"])
        by = steps(facts, 2.0, 3.0, 16) if np.isnan(step) else _own_steps(step)
        yield Way(BEARING, {"shaft.bearing_mm.2": height + by})
    if v.word("shaft.kind") is not None and not any(kinds.even[-2:]):
        phase, off = kinds.phases[-1], np.ravel(facts.rest_chain.relative_phase_deg[-1])[0]
        if np.isfinite(v[phase]) and (kinds.pieces == 2 or abs(off) >= 0.5):
            yield Way(PHASE, {phase: _phases(facts, float(v[phase]))})


def _own_steps(step: float) -> Floats:
    """The hanger's own steps either way, as far as it is looked at otherwise, and one at least."""
    most = max(min(int(2.0 * MM_PER_INCH / step), 16), 1)
    return np.arange(-most, most + 1.0) * step


def _inch(facts: Facts) -> bool:
    return facts.v.build.display.length == "inch"


def _pinion_slopes(facts: Facts) -> Floats:
    """Tenths of a degree around both slopes at which a pair cancels, under cruise torque too, and around the present.

    A pinion that is set now turns with the springs as they settle and give: in each state another slope to set would
    cancel there, and the one with which the worst state is best lies between them.
    """
    there = facts if len(facts.states) == 1 else everywhere(facts, between=0)
    tilt, turned = facts.ride.tilt_deg, there.ride.up_turn_deg
    output, shaft = (
        np.atleast_1d(side_slope_deg(line) + tilt)
        for line in (facts.powertrain.line, there.pose.sections[facts.kinds.beside_axle])
    )
    now = np.atleast_1d(side_slope_deg(facts.axle.line) + tilt)
    turn = float(np.ravel(facts.cruise_deg)[0])
    wound = (0.0, turn) if np.isfinite(turn) else (0.0,)
    wanted = [
        now,
        shaft - turned,
        *(slope - turned - share for slope in (output, 2.0 * shaft - output) for share in wound),
    ]
    tenths: set[int] = set()
    for one in wanted:
        known = one[np.isfinite(one)]
        if known.size:
            around = 12 if known.size == 1 else 5  # what several states want is wide enough
            tenths.update(range(round(10.0 * known.min()) - around, round(10.0 * known.max()) + around + 1))
    return np.array(sorted(tenth for tenth in tenths if abs(tenth) <= 10.0 * STEEPEST_DEG)) / 10.0


def coarse_pinion(facts: Facts) -> Way:
    """Loose perches turned as far and as coarsely as by wedges, within what may be entered."""
    now = np.ravel(side_slope_deg(facts.axle.line) + facts.ride.tilt_deg)[0]
    if np.isnan(now):  # no turn brings the pinion to the slope that is planned
        now = np.ravel(facts.pinion_base_deg + facts.ride.tilt_deg)[0]
    tenths = round(10.0 * min(max(now, -STEEPEST_DEG), STEEPEST_DEG)) + np.round(10.0 * WEDGES_DEG)
    return Way(PINION, {"plan.pinion_slope_deg": tenths[np.abs(tenths) <= 10.0 * STEEPEST_DEG] / 10.0})


def _phases(facts: Facts, now: float) -> Floats:
    """Whole degrees, as a yoke can be welded: around the one where a pair cancels; on a longer chain the best few."""
    if facts.kinds.pieces == 1:
        off = float(np.ravel(facts.rest_chain.relative_phase_deg[-1])[0])
        return (np.arange(-1.0, 2.0) + round(now - off) + 90.0) % 180.0 - 90.0
    whole = np.arange(-90.0, 90.0)
    column = {facts.kinds.phases[-1]: whole}
    residual = Facts(facts.v.widened(column), like=facts).residual
    if not np.isfinite(residual).all():
        return np.array([now])
    return np.sort(whole[np.argsort(residual, kind="stable")[:4]])


def tube_ways(facts: Facts, weak: Sequence[str]) -> Iterator[Way]:
    """Sizes that can be had for the tubes at these entries, walls kept: each no smaller than it is."""
    v = facts.v
    outer = {entry: float(v[f"{entry}.outer_diameter_mm"]) for entry in weak}
    own = [own for entry in weak if (own := own_diameters(v.build, entry)) is not None]
    common = frozenset(round(size * MM_PER_INCH, 6) for size in STOCK_DIAMETERS_IN)
    sizes = frozenset.intersection(*own) if own else common
    least = min(outer.values(), default=np.inf)
    larger = np.array([size for size in sorted(sizes) if size > least][:4])
    if larger.size:
        yield Way(TUBE, {f"{entry}.outer_diameter_mm": np.maximum(larger, size) for entry, size in outer.items()})


def sized(tubes: Iterable[Tube]) -> Iterator[tuple[Tube, float, float]]:
    """Those of some tubes of which outside diameter and wall are told, with both, mm."""
    for tube in tubes:
        if tube.outer_diameter_mm is not None and tube.wall_mm is not None:
            yield tube, tube.outer_diameter_mm, tube.wall_mm


def own_diameters(build: Build, entry: str) -> frozenset[float] | None:
    """Outside diameters in the person's own list of a tube's material and wall, and no weaker than it counts, mm.

    None where there is no such list, so that common sizes are taken. With another diameter alone the tube's yield
    stress stays as it is entered.
    """
    own = list(sized(build.tube_stock))
    if not own:
        return None
    tube: Tube = value_at(build, entry)
    return frozenset(
        round(outer, 6)
        for one, outer, wall in own
        if one.material == tube.material
        and abs(wall - (tube.wall_mm or 0.0)) < ALIKE_MM
        and _yield_mpa(one) >= _yield_mpa(tube)
    )


def _yield_mpa(tube: Tube) -> float:
    return MATERIALS[tube.material].yield_mpa if tube.yield_mpa is None else tube.yield_mpa


def plate_ways(facts: Facts) -> Iterator[Way]:
    """A plate between two flanges that do not go together, drilled for both: common practice, half an inch thick."""
    thick = MM_PER_INCH / 2.0 if _inch(facts) else 12.0
    for at, entry in ADAPTERS.items():
        fit = fit_of(facts, at)
        if (
            fit is not None
            and fit.ours == fit.theirs == "flange"
            and np.all(apart(fit) > 0.0)
            and "slip" not in fit.apart
        ):
            yield Way(PLATE, {entry: np.array([thick])})


def link_ways(facts: Facts) -> Iterator[Way]:
    """The lateral link made longer or shorter until the axle is centred after the lift, in steps that can be set."""
    v, ride = facts.v, facts.ride
    ends = point(v, "lateral_link.frame_point_mm"), point(v, "lateral_link.axle_point_mm")
    longer = float(np.ravel(lateral.centring_change_mm(*ends, ride.shift.z, ride.shift.x))[0])
    step = MM_PER_INCH / 16.0 if _inch(facts) else 1.0
    yield Way(LINK, {"plan.lateral_link_longer_mm": np.array([round(longer / step) * step])})


def made_to_length(facts: Facts) -> Mapping[str, Floats]:
    """For each row the engagement, and if need be the stroke, with which both ends of the travel have spline to spare.

    The travel uses a span of the slip; what is left is shared out so that bump and droop have the same beyond what
    each wants. Where the stroke is too short for that, the next one in sizes that can be ordered. nan where there is no
    such slip, or where the vehicle as measured would not be within it.
    """
    v = facts.v
    used = facts.travelled_engaged_mm[:2]
    least, most = np.fmin.reduce(used, axis=(0, 1)), np.fmax.reduce(used, axis=(0, 1))
    spline = v.given("shaft.slip.spline_diameter_mm", MM_PER_INCH)
    left, held = LIMITS["slip_left"].clear, LIMITS["slip_engaged"].clear * spline
    step = MM_PER_INCH / 2.0 if _inch(facts) else 10.0
    wanted = left + held + (most - least)
    stroke = v["shaft.slip.stroke_mm"]
    # A hair more than wanted, so that the last bits of the travel cannot fall short of a line.
    stroke = np.where(stroke >= wanted + 0.2, stroke, np.ceil((wanted + 0.2) / step) * step)
    engaged = np.round(v["shaft.slip.engaged_mm"] + held + (stroke - wanted) / 2.0 - least, 1)
    fits: Bools = (engaged >= 0.0) & (engaged <= stroke) & (stroke <= range_of(SLIP[1])[1])
    return dict(zip(SLIP, (np.where(fits, engaged, np.nan), np.where(fits, stroke, np.nan)), strict=True))


def effort(kind: str, changes: Mapping[str, Floats], now: Mapping[str, float]) -> Floats:
    """How much work a change is, for ranking: so much at all, and so much a degree or a millimetre; nil for none."""
    total = np.zeros(len(next(iter(changes.values()))))
    for path, values in changes.items():
        total = total + np.abs(values - now[path])
    at_all, each = _EFFORT[kind]
    return np.where(total > 0.0, at_all + each * total, 0.0)
