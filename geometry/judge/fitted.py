"""Shocks, torque bars and links of a block of variants, bound to the axle's path: where their ends go and what it asks.

An end on the axle is fixed to it: it goes along the axle's path and turns with it, by the plan, over the travel and
under torque. Everything is worked out when it is first asked for, and nothing where there is no such part.
"""

from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple
from weakref import proxy

import numpy as np

from geometry.judge.kept import leaf_path, link_path
from geometry.judge.kinds import point
from geometry.judge.limits import BAR_GIVE_MM, LIMITS, SQUASH_MM
from geometry.mechanics import lateral, shocks, torque_bar
from geometry.mechanics.shocks import carried, carried_by
from geometry.mechanics.vectors import (
    NAN,
    ZERO,
    Bools,
    Floats,
    Vector,
    apart_mm,
    backward,
    minus,
    number,
    plus,
    side_slope_deg,
    where,
)

if TYPE_CHECKING:
    from geometry.judge.facts import Facts

_STEP_MM = number(1.0)
"""Travel either way by which a motion ratio is taken."""
_OWN = (-1.0, -0.5, 0.0, 0.5, 1.0)
"""Places of one side, the shock's or the other, as shares of droop and bump, while the other is at either end."""


class Stood(NamedTuple):
    """An axle somewhere: its centre in the frame's axes, mm, and its turn since it was measured, degrees."""

    centre: Vector
    turn_deg: Floats


class Fitted:
    """The parts between frame and axle of a block of variants."""

    def __init__(self, facts: "Facts") -> None:
        """Of some facts, which keep it, so that it must not keep them: see `InTheWay`."""
        self.facts: Facts = proxy(facts)
        self._crossed: dict[float, tuple[Floats, Floats, Stood]] = {}

    # ------------------------------------------------------------------ the axle

    @cached_property
    def at_ride(self) -> Stood:
        """The axle at ride height after the plan."""
        return Stood(self.facts.axle.centre, self.facts.axle_turn_deg)

    def moved(self, travel_mm: Floats) -> Stood:
        """The axle so far up from ride height, bump positive, (places, rows), on its own path."""
        f, ride = self.facts, self.facts.ride
        dx = dz = turn = NAN * travel_mm
        if ride.leaf is not None:
            dx, dz, turn, _ = leaf_path(ride.leaf, ride.curvature, travel_mm)
        elif ride.bar is not None:
            here, start = link_path(ride.bar, travel_mm + ride.along_mm), link_path(ride.bar, ride.along_mm)
            dx, dz, turn = here.dx_mm - start.dx_mm, here.dz_mm - start.dz_mm, here.turn_deg - start.turn_deg
        across = f.sideways(dz + ride.shift.z, dx + ride.shift.x) - ride.shift.y
        return self._off_ride(Vector(dx, across, dz), turn)

    @cached_property
    def travelled(self) -> Stood:
        """The axle over its travel at rest, (places, rows)."""
        sweep = self.facts.sweep
        return self._off_ride(sweep.shift, sweep.turn_deg)

    @cached_property
    def wound_up(self) -> tuple[Floats, Floats]:
        """Cosine and sine of its turn over the travel in every sweep, (sweeps, places, rows)."""
        return self.facts.wound_up(self.travelled.turn_deg)

    def _off_ride(self, shift: Vector, turn_deg: Floats) -> Stood:
        return Stood(plus(self.at_ride.centre, shift), self.at_ride.turn_deg + turn_deg)

    @cached_property
    def beside_ride(self) -> Stood:
        """The axle a step below ride height and a step above, (2, rows)."""
        step = float(_STEP_MM)
        return self.moved(np.array([[-step], [step]]))

    def crossed(self, usual_mm: float) -> tuple[Floats, Floats, Stood]:
        """The axle with one side in full droop or at its squashed stop, the other between.

        How far up the one is, and the other, (combinations, rows), mm; and where the middle of the axle then stands.
        The squash is as entered, else as told; every shock asks for the same.
        """
        if usual_mm not in self._crossed:
            f = self.facts
            v, ride = f.v, f.ride
            squash = v.given("suspension.bump_squash_mm", usual_mm)
            droop = v["suspension.droop_mm"] + ride.up_mm
            bump = np.maximum(v["suspension.bump_mm"] + ride.stop_gain_mm, 0.0)
            rows = np.zeros(v.rows) + 0.0 * (droop + bump)
            own = [rows + share * (droop if share < 0.0 else bump) for share in _OWN]
            between = np.array([*own, rows + bump + squash])
            ends = np.concatenate([np.broadcast_to(one, between.shape) for one in (between[0], between[-1])])
            between = np.concatenate([between, between])
            self._crossed[usual_mm] = between, ends, self.moved((between + ends) / 2.0)
        return self._crossed[usual_mm]

    @cached_property
    def certain(self) -> Bools:
        """Places of the travel that are surely reached: all but those of a squash taken as usual, (places, rows)."""
        return self.facts.travelled.certain

    @cached_property
    def spread_mm(self) -> Floats:
        """How far apart the stops stand that the axle rolls on: as entered, else the springs on their perches, mm."""
        v = self.facts.v
        stops = v["suspension.stop_spacing_mm"]
        if self.facts.kinds.suspension != "leaf":
            return stops
        return np.where(np.isnan(stops), v["axle.perch_spacing_mm"], stops)

    # ------------------------------------------------------------------ the parts

    @cached_property
    def shocks(self) -> tuple["Shock", ...]:
        """The shocks in the build's order."""
        return tuple(Shock(self, index) for index in range(self.facts.v.word("shocks", 0)))

    @cached_property
    def bars(self) -> tuple["Bar", ...]:
        """The torque bars in the build's order."""
        return tuple(Bar(self, index) for index in range(self.facts.v.word("torque_bars", 0)))

    @cached_property
    def lateral_link(self) -> "Link":
        """The link that holds the axle sideways."""
        return Link(self, "lateral_link")

    @cached_property
    def drag_link(self) -> "Link":
        """The one that steers a front axle, from the steering box's arm."""
        return Link(self, "lateral_link", ("drag_box_mm", "drag_axle_mm"))

    @cached_property
    def held_deg(self) -> Floats:
        """Wind-up beyond which some bar that is entered whole holds the axle, degrees; infinite without."""
        held: Floats = number(np.inf)
        for bar in self.bars:
            held = np.minimum(held, np.where(bar.holds, bar.held_deg, np.inf))
        return held

    @cached_property
    def bars_open(self) -> Bools:
        """Rows with a torque bar of which it is not known whether, or how far, it holds the axle."""
        lacks: Bools = np.zeros((), np.bool_)
        for bar in self.bars:
            lacks = lacks | np.isnan(bar.lever_mm + bar.float_mm)
        return lacks

    @cached_property
    def levers_square_mm2(self) -> Floats:
        """Squares of the levers of all bars whose places are known, added up, mm²."""
        total: Floats = ZERO
        for bar in self.bars:
            total = total + np.where(np.isfinite(bar.lever_mm), bar.lever_mm * bar.lever_mm, 0.0)
        return total


class _Part:
    """A part from a point of the frame to a point of the axle."""

    entry: str

    def __init__(self, fitted: Fitted, entry: str, ends: tuple[str, str] = ("frame_point_mm", "axle_point_mm")) -> None:
        self.fitted: Fitted = proxy(fitted)
        self.facts, self.entry = fitted.facts, entry
        self._frame_end, self._axle_end = ends

    @cached_property
    def frame(self) -> Vector:
        """Its end at the frame, mm."""
        return point(self.facts.v, f"{self.entry}.{self._frame_end}")

    @cached_property
    def measured(self) -> Vector:
        """Its end at the axle as measured, mm."""
        return point(self.facts.v, f"{self.entry}.{self._axle_end}")

    @cached_property
    def off(self) -> Vector:
        """That end seen from the axle's centre, mm."""
        return minus(self.measured, point(self.facts.v, "axle.centre_mm"))

    @cached_property
    def eye(self) -> Vector:
        """That end at ride height after the plan, mm; as long as the axle is not turned it goes as the axle does."""
        at = self.fitted.at_ride
        shift = self.facts.ride.shift
        stands = (shift.x == 0.0) & (shift.y == 0.0) & (shift.z == 0.0) | np.isnan(at.centre.x)
        unturned = plus(self.measured, shift)
        return where(stands & (at.turn_deg == 0.0), unturned, carried(self.off, at.centre, at.turn_deg))

    @cached_property
    def ride_mm(self) -> Floats:
        """Its length at ride height, mm."""
        return apart_mm(self.frame, self.eye)

    def at(self, stood: Stood, roll_sine: Floats | None = None) -> Vector:
        """Its end at the axle somewhere else, mm."""
        return carried(self.off, stood.centre, stood.turn_deg, roll_sine)

    @cached_property
    def near(self) -> tuple[Vector, Vector]:
        """That end a step below ride height and a step above, mm."""
        there = self.at(self.fitted.beside_ride)
        below, above = (
            Vector(*(np.broadcast_to(part, (2, self.facts.v.rows))[one] for part in there)) for one in (0, 1)
        )
        return below, above


class Shock(_Part):
    """One shock: its lengths over the travel, and what it asks for."""

    def __init__(self, fitted: Fitted, index: int) -> None:
        """The one at a place of the build's list."""
        super().__init__(fitted, f"shocks.{index}")

    @cached_property
    def closed_mm(self) -> Floats:
        """Its length pushed in, mm."""
        return self.facts.v[f"{self.entry}.compressed_mm"]

    @cached_property
    def open_mm(self) -> Floats:
        """Its length pulled out, mm."""
        return self.facts.v[f"{self.entry}.extended_mm"]

    @cached_property
    def lengths_mm(self) -> Floats:
        """Eye to eye over the travel, (sweeps, places, rows)."""
        eye = carried_by(self.off, self.fitted.travelled.centre, *self.fitted.wound_up)
        return apart_mm(self.frame, eye)

    @cached_property
    def to_close_mm(self) -> Floats:
        """What is left before it is pushed right in, over the travel, (sweeps, places, rows), mm."""
        return self.lengths_mm - self.closed_mm

    @cached_property
    def to_open_mm(self) -> Floats:
        """What is left before it is pulled right out, over the travel, (sweeps, places, rows), mm."""
        return self.open_mm - self.lengths_mm

    def crossed_mm(self, usual_mm: float) -> Floats:
        """Its lengths with either side at its squashed bump stop, or in droop, (combinations, rows)."""
        between, ends, stood = self.fitted.crossed(usual_mm)
        right, left = np.array([between, ends]), np.array([ends, between])
        sine = shocks.roll_sine(right, left, self.fitted.spread_mm)
        lengths = apart_mm(self.frame, self.at(stood, sine))
        return lengths.reshape(-1, self.facts.v.rows)

    @cached_property
    def crossed_spares(self) -> tuple[Floats, Floats]:
        """What is left crossed before it is pushed in, and pulled out, (combinations, rows); without a usual squash."""
        lengths = self.crossed_mm(0.0)
        return lengths - self.closed_mm, self.open_mm - lengths

    @cached_property
    def crossed(self) -> tuple[Floats, tuple[Floats, ...]]:
        """The least of both, and what it may be with a usual squash where none is entered, mm."""
        value = self._least(self.crossed_spares)
        if not np.isnan(self.facts.v["suspension.bump_squash_mm"]).any():
            return value, ()
        lengths = self.crossed_mm(SQUASH_MM)
        return value, (np.minimum(value, self._least((lengths - self.closed_mm, self.open_mm - lengths))),)

    @staticmethod
    def _least(spares: tuple[Floats, Floats]) -> Floats:
        # Where the axle cannot get, or is too narrow, nothing is known of it all, but what holds where it can get.
        both = np.minimum(*spares)
        least: Floats = both.min(axis=0)
        known: Floats = np.fmin.reduce(both, axis=0)
        sure = np.isnan(least) & (known < LIMITS["shock_crossed"].hold)
        return np.where(sure, known, least)

    @cached_property
    def span_mm(self) -> tuple[Floats, Floats]:
        """Least and greatest length that the whole travel asks of it, with a usual squash where none is entered, mm.

        nan where the travel is not known; of one side alone only where that is.
        """
        low, high = (how.reduce(how.reduce(self.lengths_mm, axis=1), axis=0) for how in (np.fmin, np.fmax))
        crossed = self.crossed_mm(SQUASH_MM)
        return np.fmin(low, crossed.min(axis=0)) + 0.0 * low, np.fmax(high, crossed.max(axis=0)) + 0.0 * high

    @cached_property
    def lean_deg(self) -> Floats:
        """Angle between it and the way that its lower eye goes at ride height, degrees."""
        return shocks.lean_deg(self.frame, self.eye, *self.near)

    @cached_property
    def ratio(self) -> Floats:
        """Motion ratio at ride height, both wheels moving alike."""
        below, above = (apart_mm(self.frame, one) for one in self.near)
        return shocks.motion_ratio(above, below, _STEP_MM)

    @cached_property
    def ratio_one_wheel(self) -> Floats:
        """The same by one wheel, at the face of its flange; nan where the flanges' places are not known."""
        v = self.facts.v
        track = v["axle.perch_spacing_mm"] + v["axle.flange_to_perch_left_mm"] + v["axle.flange_to_perch_right_mm"]
        own = np.array([[-1.0], [1.0]]) * _STEP_MM
        sine = np.where(self.off.y >= 0.0, 1.0, -1.0) * shocks.roll_sine(own, ZERO, track)
        lengths = apart_mm(self.frame, self.at(self.fitted.moved(own / 2.0), sine))
        lengths = np.broadcast_to(lengths, (2, v.rows))
        return shocks.motion_ratio(lengths[1], lengths[0], _STEP_MM)


class Link(_Part):
    """The lateral link, or the drag link beside it."""

    @cached_property
    def slope_deg(self) -> Floats:
        """Its slope after the plan, seen from behind, degrees: positive where its right end is higher."""
        return lateral.slope_behind_deg(self.frame, self.eye)


class Bar(_Part):
    """One torque bar, a rod with a pivot at each end."""

    def __init__(self, fitted: Fitted, index: int) -> None:
        """The one at a place of the build's list."""
        super().__init__(fitted, f"torque_bars.{index}")

    @cached_property
    def float_mm(self) -> Floats:
        """How far its front end may swing or slide in all, mm."""
        return self.facts.v[f"{self.entry}.float_mm"]

    @cached_property
    def slope_deg(self) -> Floats:
        """Its slope at ride height in side view, degrees, followed rearward; positive where its rear end is lower."""
        along = minus(self.eye, self.frame)
        return side_slope_deg(where(along.x < 0.0, backward(along), along))

    @cached_property
    def lever_mm(self) -> Floats:
        """How far its line passes below the axle's centre at ride height, mm."""
        return torque_bar.lever_mm(self.frame, self.eye, self.fitted.at_ride.centre)

    @cached_property
    def long_enough(self) -> Bools:
        """Whether its lever counts at all."""
        return np.asarray(np.abs(self.lever_mm) >= LIMITS["bar_lever"].hold)

    @cached_property
    def holds(self) -> Bools:
        """Whether it surely holds the axle: entered whole, with a lever that counts."""
        return self.long_enough & np.isfinite(self.float_mm)

    @cached_property
    def held_deg(self) -> Floats:
        """Wind-up that its float, and the give of its bushes, leave, degrees."""
        return torque_bar.held_deg(self.float_mm + BAR_GIVE_MM, self.lever_mm)

    @cached_property
    def grown_mm(self) -> Floats:
        """How much farther apart than at ride height its pivots are, (places, rows), mm."""
        return apart_mm(self.frame, self.at(self.fitted.travelled)) - self.ride_mm

    @cached_property
    def ends_mm(self) -> tuple[Floats, Floats]:
        """The least and the most of that at the places surely reached, mm."""
        sure = np.where(self.fitted.certain, self.grown_mm, NAN)
        return np.fmin.reduce(sure, axis=0), np.fmax.reduce(sure, axis=0)

    @cached_property
    def bind_mm(self) -> tuple[Floats, Floats]:
        """Play that the travel asks for: at the places surely reached, and at all, mm."""
        low, high = self.ends_mm
        return high - low, np.fmax.reduce(self.grown_mm, axis=0) - np.fmin.reduce(self.grown_mm, axis=0)

    @cached_property
    def force_n(self) -> Floats:
        """Force along it as launch torque reaches the axle, N: all bars share it; nan where it has no lever.

        All turn through one angle, so each is stretched, and pulls, as its lever is long.
        """
        torque = self.facts.speeds.torque_nm * self.facts.v["axle.ratio"]
        return torque_bar.force_n(torque, self.fitted.levers_square_mm2 / np.abs(self.lever_mm))
