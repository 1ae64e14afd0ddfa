"""The axle on its suspension: at ride height after the plan's lift, over its travel, and wound up by torque.

The measured axle position is the reference: springs and links only say how the axle moves from there.
"""

from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from geometry import lateral, links, springs
from geometry.axle_path import AxlePath
from geometry.document import Build, value_at
from geometry.document.running_gear import LeafSuspension, LinkSuspension
from geometry.frames import Floats, Points
from geometry.leaf_lift import lift_by_block, lift_by_shackle, lift_by_spring
from geometry.wording import length

Want = tuple[str, str]
"""(dotted path of the entry, its name in a sentence)."""

_LEAF_WANTS: tuple[Want, ...] = (
    ("suspension.front_eye_mm", "the spring's front eye"),
    ("suspension.shackle_pivot_mm", "the shackle pivot"),
    ("suspension.shackle_length_mm", "the shackle length"),
    ("suspension.front_half_mm", "the spring's front half"),
    ("suspension.rear_half_mm", "the spring's rear half"),
    ("suspension.seat_to_axle_mm", "seat to axle centre"),
)
_LINK_WANTS: tuple[Want, ...] = (
    ("suspension.lower_frame_mm", "the lower link at the frame"),
    ("suspension.lower_axle_mm", "the lower link at the axle"),
    ("suspension.upper_frame_mm", "the upper link at the frame"),
    ("suspension.upper_axle_mm", "the upper link at the axle"),
)
_TRAVEL_WANTS: tuple[Want, ...] = (
    ("suspension.bump_mm", "travel to the bump stop"),
    ("suspension.droop_mm", "travel to full droop"),
)
AXLE_WANT: Want = ("axle.centre_mm", "the axle centre")


class Leaf(NamedTuple):
    """Leaf springs at ride height: the spring, where the axle hangs on it, and its curvature there, 1/mm."""

    spring: springs.LeafSpring
    seat: springs.Seat
    seat_to_axle_mm: float
    curvature: float


class FourBar(NamedTuple):
    """Links, the axle centre they were measured with, and how far above that ride height now is, mm."""

    links: links.Links
    axle_mm: springs.SidePair
    rise_mm: float


class Ride(NamedTuple):
    """The axle at ride height after the lift, in the frame's axes.

    `shift_mm` (3,) and `turn_deg` are how the lift moved it, nan where it cannot; `trouble` says why in a sentence;
    `wants` names what the motion of the axle still wants; `tilt_deg` is what the lift adds to every gauge reading
    (nan without a wheelbase), `raised_mm` how far it lifts the frame over the front axle and `stop_gain_mm` how much
    farther it is up to the bump stop.
    """

    mechanism: Leaf | FourBar | None
    shift_mm: Points
    turn_deg: float
    tilt_deg: float
    raised_mm: float
    lift_mm: float
    stop_gain_mm: float
    predicted_x_mm: float | None = None
    wants: tuple[Want, ...] = ()
    trouble: str = ""
    trouble_entry: str = ""
    link: lateral.LateralLink | None = None


class Swept(NamedTuple):
    """The axle over its travel: displacement from where it was measured (n, 3), turn (n,), and what is reached."""

    travel_mm: Floats
    shift_mm: Points
    turn_deg: Floats
    reachable: np.ndarray[tuple[int], np.dtype[np.bool_]]
    curvature: Floats | None = None
    lower_axle_mm: Floats | None = None
    upper_axle_mm: Floats | None = None


def ride(build: Build) -> Ride:
    """Set the build on its suspension and lift it as planned.

    Lift by spring: the axle goes down along the spring's own path. By block: straight away from the seat. By shackle:
    the curvature is kept and the shackle that gives the lift is solved. Links: along their path. A lift of nothing is
    the identity.
    """
    plan, ahead = build.plan, value_at(build, "axle.end") == "front"
    rear, front = (0.0, 0.0) if plan is None else (plan.rear_lift_mm or 0.0, plan.front_lift_mm or 0.0)
    lift = front if ahead else rear
    by = "spring" if plan is None else plan.front_lift_by if ahead else plan.rear_lift_by
    wheelbase = value_at(build, "vehicle.wheelbase_mm")
    tilt = 0.0
    if front != rear:
        tilt = np.nan if wheelbase is None else float(np.degrees(np.arctan((front - rear) / wheelbase)))
    mechanism, predicted, wants, trouble = _measured(build)
    link, link_trouble = _lateral(build)
    entry = "suspension"
    shift, turn = np.zeros(3), 0.0
    if lift != 0.0:
        mechanism, shift, turn, lift_trouble = _lifted(build, mechanism, lift, by)
        if link is not None:
            shift[1] = lateral.side_shift(link, shift[2], shift[0]).shift_mm[0]
            if not (lift_trouble or np.isfinite(shift[1])):
                lift_trouble = f"The lateral link cannot reach a lift of {length(lift, build.display)}."
        # What is not measured, or cannot be as entered, is the nearer reason why the lift cannot be worked out.
        if lift_trouble and not (trouble or wants):
            trouble, entry = lift_trouble, f"plan.{'front' if ahead else 'rear'}_lift_mm"
    if link_trouble and not trouble:
        trouble, entry = link_trouble, "lateral_link"
    gain = 0.0 if by == "block" else lift
    return Ride(mechanism, shift, turn, tilt, front, lift, gain, predicted, wants, trouble, entry, link)


def sweep(at: Ride, travel_mm: Floats) -> Swept | None:
    """Move the axle by each travel, (n,) mm from ride height, bump positive; None where the suspension is not known."""
    path: AxlePath
    curvature = lower = upper = None
    if isinstance(at.mechanism, Leaf):
        path = _leaf_path(at.mechanism, travel_mm.tobytes())
        curvature = path.curvature
        base_x, base_z, base_turn = at.shift_mm[0], at.shift_mm[2], at.turn_deg
    elif isinstance(at.mechanism, FourBar):
        bar = at.mechanism
        path = links.axle_sweep(bar.links, bar.axle_mm, travel_mm + bar.rise_mm)
        lower, upper = path.lower_axle_mm, path.upper_axle_mm
        base_x = base_z = base_turn = 0.0
    else:
        return None
    dx, dz = path.dx_mm + base_x, path.dz_mm + base_z
    dy = np.zeros_like(dx) if at.link is None else lateral.side_shift(at.link, dz, dx).shift_mm
    reachable = path.reachable & np.isfinite(dy)
    return Swept(
        travel_mm, np.column_stack((dx, dy, dz)), path.turn_deg + base_turn, reachable, curvature, lower, upper
    )  # fmt: skip


@lru_cache(maxsize=8)  # most edits leave the spring and its stops as they were
def _leaf_path(leaf: Leaf, travel_mm: bytes) -> springs.LeafAxlePath:
    path = springs.axle_sweep(
        leaf.spring, leaf.seat, leaf.seat_to_axle_mm, leaf.curvature, np.frombuffer(travel_mm, np.float64)
    )
    path.curvature.setflags(write=False)  # it is handed out again and again
    return path


def row_of(swept: Swept, row: int) -> Swept:
    """One row of a sweep."""
    return some_rows(swept, slice(row, row + 1))


def some_rows(swept: Swept, rows: slice) -> Swept:
    """Some rows of a sweep."""

    def cut(values: Floats | None) -> Floats | None:
        return None if values is None else values[rows]

    return Swept(
        swept.travel_mm[rows], swept.shift_mm[rows], swept.turn_deg[rows], swept.reachable[rows],
        cut(swept.curvature), cut(swept.lower_axle_mm), cut(swept.upper_axle_mm),
    )  # fmt: skip


def travel_wants(build: Build) -> tuple[Want, ...]:
    """Which travel limits are not entered."""
    return tuple(want for want in _TRAVEL_WANTS if value_at(build, want[0]) is None)


def _measured(build: Build) -> tuple[Leaf | FourBar | None, float | None, tuple[Want, ...], str]:
    suspension, centre = build.suspension, value_at(build, "axle.centre_mm")
    if suspension is None:
        return None, None, (("suspension", "the springs or links"),), ""
    rows = _LEAF_WANTS if isinstance(suspension, LeafSuspension) else _LINK_WANTS
    wants = tuple(want for want in (AXLE_WANT, *rows) if value_at(build, want[0]) is None)
    if wants:
        return None, None, wants, ""
    x, _, z = centre
    given: Any = suspension  # every entry that was wanted is there
    try:
        if isinstance(suspension, LinkSuspension):
            bar = links.Links(given.lower_frame_mm, given.lower_axle_mm, given.upper_frame_mm, given.upper_axle_mm)
            return FourBar(bar, (x, z), 0.0), None, (), ""
        leaf = springs.LeafSpring(
            given.front_eye_mm, given.shackle_pivot_mm, given.shackle_length_mm,
            given.front_half_mm, given.rear_half_mm, given.shackle_hangs,
        )  # fmt: skip
    except ValueError as error:
        return (
            None,
            None,
            (),
            f"The {'springs' if isinstance(suspension, LeafSuspension) else 'links'} as entered cannot be: {error}.",
        )
    offset = float(suspension.seat_to_axle_mm or 0.0)
    curvature, predicted = _seated(leaf, suspension.seat, offset, z)
    if not np.isfinite(curvature):
        return None, None, (), (
            "The spring as entered cannot hold the axle at its measured height: measure eyes, shackle and halves again."
        )  # fmt: skip
    return Leaf(leaf, suspension.seat, offset, curvature), predicted, (), ""


@lru_cache(maxsize=8)  # most edits leave the spring as it was
def _seated(leaf: springs.LeafSpring, seat: springs.Seat, offset: float, axle_z_mm: float) -> tuple[float, float]:
    """Curvature, 1/mm, that puts the axle at its measured height, and the station that the spring then gives it, mm."""
    curvature = springs.ride_curvature(leaf, seat, offset, axle_z_mm)
    return curvature, float(springs.axle_centre_mm(leaf, seat, offset, curvature)[0, 0])


def _lateral(build: Build) -> tuple[lateral.LateralLink | None, str]:
    entered = build.lateral_link
    if entered is None or entered.frame_point_mm is None or entered.axle_point_mm is None:
        return None, ""
    try:
        return lateral.LateralLink(entered.frame_point_mm, entered.axle_point_mm), ""
    except ValueError as error:
        return None, f"The lateral link as entered cannot be: {error}."


_NOWHERE = (np.nan, np.nan, np.nan)
_WAYS = {"spring": lift_by_spring, "block": lift_by_block, "shackle": lift_by_shackle}


def _lifted(
    build: Build, mechanism: Leaf | FourBar | None, lift_mm: float, by: str
) -> tuple[Leaf | FourBar | None, Points, float, str]:
    if isinstance(mechanism, FourBar):
        if by != "spring":
            return None, np.array(_NOWHERE), np.nan, f"Links have no {by} to lift by: plan the lift by spring."
        path = links.axle_sweep(mechanism.links, mechanism.axle_mm, np.array([-lift_mm]))
        bar = FourBar(mechanism.links, mechanism.axle_mm, -lift_mm)
        shift = np.array([path.dx_mm[0], 0.0, path.dz_mm[0]])
        trouble = "" if path.reachable[0] else f"The links cannot reach a lift of {length(lift_mm, build.display)}."
        return (None if trouble else bar), shift, float(path.turn_deg[0]), trouble
    if mechanism is None:
        return _block_on_seat(build, lift_mm, by)
    leaf = mechanism
    if by == "block" and leaf.seat == "under":
        return None, np.array(_NOWHERE), np.nan, (
            "A block between axle and a spring that hangs under it lowers the vehicle: lift by spring or by shackle."
        )  # fmt: skip
    lift = _WAYS[by](leaf.spring, leaf.seat, leaf.seat_to_axle_mm, leaf.curvature, lift_mm)
    if not lift.reachable:
        return (
            None,
            np.array(_NOWHERE),
            np.nan,
            f"The spring cannot reach a lift of {length(lift_mm, build.display)} by {by}.",
        )
    moved = Leaf(lift.spring, leaf.seat, lift.seat_to_axle_mm, lift.curvature)
    return moved, np.array([lift.dx_mm, 0.0, lift.dz_mm]), lift.turn_deg, ""


def _block_on_seat(build: Build, lift_mm: float, by: str) -> tuple[None, Points, float, str]:
    """Lift without a known spring: a block needs no more than the seat's slope."""
    seat = value_at(build, "readings.seat_slope_deg")
    if by != "block" or seat is None or value_at(build, "suspension.seat") == "under":
        return (
            None,
            np.array(_NOWHERE),
            np.nan,
            "The lift cannot be worked out before the springs or links are measured.",
        )
    slope = np.radians(seat)
    return None, np.array([-lift_mm * np.sin(slope), 0.0, -lift_mm * np.cos(slope)]), 0.0, ""
